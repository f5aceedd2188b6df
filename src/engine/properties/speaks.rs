//! Every rule has a person for whom it speaks and one for whom it is silent.

use std::collections::{BTreeMap, BTreeSet};

use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;

use crate::domain::library::Library;
use crate::domain::quantity::Quantity;
use crate::domain::record::{Clearance, NextVisit, Record, Until};
use crate::domain::recorded::Recorded;
use crate::domain::verdict::Verdict;
use crate::domain::word::{AdjustAction, Did, LegLift, ScreenAnswer, Seen, WalkingAid, YesNo};
use crate::engine::{log, rules, sample};

use super::people;

/// How often each rule spoke, and how often it was silent.
#[derive(Default)]
struct Heard {
    spoke: BTreeMap<&'static str, [usize; 2]>,
}

impl Heard {
    fn hear(&mut self, library: &Library, record: &Record) {
        log::heard();
        let verdict = sample::verdict(library, record);
        let mut fired: BTreeSet<&str> = log::heard();
        if let Verdict::Program(program) = &verdict {
            fired.extend(program.fired.iter().map(|rule| rule.0));
        }
        for rule in rules::ALL {
            let silent = usize::from(!fired.contains(rule.id.0));
            self.spoke.entry(rule.id.0).or_default()[silent] += 1;
        }
    }
}

/// Made-up people, the same in every run.
fn people(library: &Library) -> Vec<Record> {
    let mut runner = TestRunner::deterministic();
    let one = |runner: &mut TestRunner| people::person().new_tree(runner).unwrap().current();
    (0..400)
        .map(|_| people::record(library, &one(&mut runner)))
        .collect()
}

/// People for whom the rules speak that no answer alone brings out.
fn special() -> Vec<Record> {
    let calm = |day| sample::record(day);
    let changed = |day, change: &dyn Fn(&mut Record)| {
        let mut record = calm(day);
        change(&mut record);
        record
    };
    let followed = |day, gap, lines: &[(&str, &str)], change: &dyn Fn(&mut Record)| {
        let mut record = calm(day);
        sample::earlier(&mut record, day - gap, lines);
        change(&mut record);
        record
    };
    vec![
        calm(181),
        changed(10, &|r| r.visits[0].screen = Recorded::NotRecorded),
        changed(10, &|r| sample::answer(r, "clot", ScreenAnswer::Yes)),
        changed(10, &|r| sample::answer(r, "wound", ScreenAnswer::Known)),
        changed(10, &|r| sample::answer(r, "lift-lost", ScreenAnswer::Yes)),
        changed(12, &|r| {
            sample::answer(r, "clot", ScreenAnswer::Known);
            r.clearances.push(Clearance {
                flag: sample::id("clot"),
                by: "scan".to_owned(),
                on: sample::on(10),
                until: sample::on(17),
                visits: 1,
            });
        }),
        changed(10, &|r| {
            r.visits[0].patient.conditions = Recorded::NotRecorded;
        }),
        changed(10, &|r| r.visits[0].patient.surgeon = Recorded::NotRecorded),
        changed(2, &|r| r.visits[0].block_gone = Recorded::NotRecorded),
        changed(10, &|r| {
            r.visits[0].measured.leg_lift = Recorded::Yes(LegLift::AloneLag);
        }),
        changed(10, &|r| {
            r.visits[0].measured.walking_aid = Recorded::Yes(WalkingAid::Frame);
        }),
        changed(10, &|r| {
            r.visits[0].patient.equipment = Recorded::Yes(BTreeSet::new());
        }),
        changed(10, &|r| {
            let positions = crate::domain::word::Word::ALL.iter().copied().collect();
            r.visits[0].patient.positions_no = Recorded::Yes(positions);
        }),
        changed(10, &|r| {
            sample::adjust(r, "bend", AdjustAction::Set, Some("b2"));
        }),
        changed(10, &|r| {
            sample::adjust(r, "bend", AdjustAction::LeaveOut, None);
        }),
        changed(10, &|r| {
            sample::slots(r, &[crate::domain::word::Slot::Evening]);
        }),
        changed(15, &|r| {
            r.visits[0].measured.flexion = sample::degrees(Some(60));
        }),
        changed(10, &|r| {
            r.visits[0].next_visit = Recorded::Yes(NextVisit::None);
        }),
        changed(10, &|r| r.orders.push(sample::cap(60, 1, Until::Open))),
        changed(60, &|r| {
            r.visits[0].measured.walk_minutes = Recorded::Yes(Quantity::nearest(60));
        }),
        followed(60, 45, &[("bend", "b2"), ("rise", "r1")], &|_| {}),
        followed(60, 7, &[("lift", "l5")], &|r| {
            sample::done(r, 1, "lift").seen = Recorded::Yes(Seen::Yes);
            r.visits[1].measured.lag = sample::degrees(Some(0));
        }),
        followed(60, 7, &[("lift", "l5")], &|r| {
            r.visits[1].pain.exercise = sample::pain(Some(9));
        }),
        followed(20, 7, &[("bend", "b3"), ("rise", "r1")], &|r| {
            r.visits[1].pain.exercise = sample::pain(Some(9));
        }),
        followed(20, 7, &[("rise", "r2")], &|r| {
            r.visits[1].pain.exercise = sample::pain(Some(9));
        }),
        followed(20, 7, &[("bend", "b3")], &|r| {
            r.visits[1].pain.exercise = sample::pain(Some(9));
            r.visits[1].pain.medicine_before = Recorded::Yes(YesNo::No);
        }),
        followed(20, 7, &[("bend", "b1")], &|r| {
            sample::done(r, 1, "bend").well_at = Recorded::Yes(sample::id("b3"));
            r.visits[1].did = Recorded::Yes(Did::All);
        }),
        followed(20, 3, &[("bend", "b1")], &|r| {
            sample::earlier(r, 14, &[("bend", "b1")]);
            for visit in &mut r.visits {
                visit.pain.exercise = sample::pain(Some(9));
            }
        }),
    ]
    .into_iter()
    .chain(sheet_put_aside())
    .collect()
}

/// People whose last sheet lacks a line, or no longer counts.
fn sheet_put_aside() -> [Record; 3] {
    let followed = |gap: i64, line, change: &dyn Fn(&mut Record)| {
        let mut record = sample::record(20);
        sample::earlier(&mut record, 20 - gap, &[line]);
        change(&mut record);
        record
    };
    [
        followed(3, ("lift", "l1"), &|r| {
            sample::earlier(r, 10, &[("bend", "b2")]);
        }),
        followed(7, ("bend", "b3"), &|r| {
            r.corrections.push(sample::day_put_right(5, 1));
        }),
        followed(7, ("bend", "b3"), &|r| {
            r.corrections.push(sample::side_put_right(1));
        }),
    ]
}

/// Rules that need a library or a record of their own to speak: their own tests show them speak.
const BY_THEIR_OWN_TESTS: &[&str] = &[
    "D1003", "D101", "D102", "D108", "D113", "D303", "D305", "D403", "D410", "D411", "D412",
    "D413", "D704", "D706", "D722", "D802", "D906", "D907",
];

#[test]
fn every_rule_speaks_for_somebody_and_is_silent_for_somebody() {
    let library = sample::library();
    let mut heard = Heard::default();
    for record in people(&library).into_iter().chain(special()) {
        heard.hear(&library, &record);
    }
    let mute = |at: usize| {
        let rules = heard.spoke.iter().filter(|(_, counts)| counts[at] == 0);
        rules.map(|(rule, _)| *rule).collect::<Vec<_>>()
    };
    assert_eq!(mute(0), BY_THEIR_OWN_TESTS, "never spoke");
    assert_eq!(mute(1), Vec::<&str>::new(), "never silent");
}
