#![doc = include_str!("d703_phase_start.md")]

use crate::domain::fact::Test;
use crate::domain::procedure::StartByTest;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{RuleId, Why, WhyNot};
use crate::domain::word::YesNo;
use crate::engine::allow::Bar;
use crate::engine::dose::{Dosing, Proposal, Working};
use crate::engine::judge::{Judged, judge};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D703"),
    name: "phase-start",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Starts a new exercise at the rung the phase names.",
    sources: &["practice"],
    doc: include_str!("d703_phase_start.md"),
};

/// Proposes the phase's rung.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    if working.given.is_some() {
        return None;
    }
    if let (Some(fact), None) = (dosing.ladder.first_only, dosing.wanted) {
        return Some((dosing.given(0)?, Why::StartBlank { fact }));
    }
    if dosing.only_easiest() && dosing.wanted.is_none() {
        return Some((dosing.given(0)?, Why::StartEasiest));
    }
    let wanted = dosing.wanted.and_then(|adjust| match &adjust.rung {
        Recorded::Yes(rung) => dosing.exercise().rung(rung).map(|(at, _)| at),
        Recorded::NotRecorded => None,
    });
    if let Some(start) = by_test(dosing) {
        let (at, _) = dosing.exercise().rung(&start.rung)?;
        let tests = start.tests.clone();
        return Some((dosing.given(at)?, Why::StartByTest { tests }));
    }
    let given = dosing.given(dosing.ladder.start.or(wanted).unwrap_or(0))?;
    Some((
        given,
        Why::PhaseStart {
            phase: dosing.phase.id.clone(),
        },
    ))
}

/// Finds the highest start whose tests hold, for somebody who never had a sheet; never a loaded one.
fn by_test<'a>(dosing: &Dosing<'a>) -> Option<&'a StartByTest> {
    let case = dosing.case;
    if !case.sheets.is_empty() || dosing.wanted.is_some() {
        return None;
    }
    let exercise = dosing.exercise();
    let mut candidates = dosing.phase.candidates.iter();
    let starts = &candidates
        .find(|candidate| candidate.exercise == exercise.id)?
        .by_test;
    let holds = |test: &Test| matches!(judge(case, test, case.day), Judged::Passes);
    starts.iter().rev().find(|start| {
        let unloaded = exercise
            .rung(&start.rung)
            .is_some_and(|(_, rung)| rung.loaded == YesNo::No);
        unloaded && start.tests.iter().all(holds)
    })
}

/// Returns the bar of an exercise without a rung to start from.
pub(crate) const fn nothing_to_start(_: &Dosing<'_>) -> Bar {
    Bar {
        reason: WhyNot::LessNeeded,
        rule: RULE.id,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::procedure::Missing;
    use crate::domain::time::Window;
    use crate::domain::word::{Fact, MissingRule};
    use crate::engine::sample;

    #[test]
    fn a_new_exercise_begins_where_the_phase_says() {
        let mut library = sample::library();
        sample::candidate(&mut library, 0, "bend").rung = sample::id("b3");
        let program = sample::program(&library, &sample::record(10));
        let bend = sample::item(&program, "bend");
        assert_eq!(bend.rung, sample::id("b3"));
        assert_eq!(
            bend.steps[0].why,
            Why::PhaseStart {
                phase: sample::id("early")
            }
        );
    }

    #[test]
    fn a_blank_that_lets_in_at_the_first_rung_only_begins_there() {
        let mut library = sample::library();
        sample::candidate(&mut library, 0, "bend").rung = sample::id("b3");
        let entry = &mut sample::exercise(&mut library, "bend").entry;
        entry.push(sample::at_least(Fact::WalkMinutes, 5));
        let mut record = sample::record(10);
        let mut rung = |record: &crate::domain::record::Record, then| {
            library
                .procedure
                .missing
                .retain(|row| row.fact != Fact::WalkMinutes);
            library.procedure.missing.push(Missing {
                fact: Fact::WalkMinutes,
                window: Window::ALWAYS,
                then,
            });
            let program = sample::program(&library, record);
            let bend = sample::item(&program, "bend").clone();
            (bend.rung.to_string(), bend.steps[0].why.clone())
        };
        let fact = Fact::WalkMinutes;
        let (at, why) = rung(&record, MissingRule::FirstRung);
        assert_eq!((at.as_str(), why), ("b1", Why::StartBlank { fact }));
        assert_eq!(rung(&record, MissingRule::Pass).0, "b3");
        record.visits[0].measured.walk_minutes = Recorded::Yes(sample::n(9));
        assert_eq!(rung(&record, MissingRule::FirstRung).0, "b3");
    }

    fn first_seen(
        stance: Option<i64>,
        change: impl Fn(&mut crate::domain::record::Record),
    ) -> String {
        let mut library = sample::library();
        sample::candidate(&mut library, 0, "bend").by_test = vec![
            StartByTest {
                rung: sample::id("b2"),
                tests: vec![sample::at_least(Fact::WalkMinutes, 10)],
            },
            StartByTest {
                rung: sample::id("b3"),
                tests: vec![
                    sample::at_least(Fact::WalkMinutes, 10),
                    sample::at_least(Fact::Stance, 5),
                ],
            },
        ];
        let mut record = sample::record(10);
        record.visits[0].measured.walk_minutes = Recorded::Yes(sample::n(10));
        record.visits[0].measured.stance_s = stance.into();
        change(&mut record);
        let program = sample::program(&library, &record);
        sample::item(&program, "bend").rung.to_string()
    }

    #[test]
    fn somebody_first_seen_late_starts_at_the_highest_rung_whose_tests_hold() {
        assert_eq!(first_seen(Some(5), |_| {}), "b3");
        assert_eq!(first_seen(Some(4), |_| {}), "b2");
        assert_eq!(first_seen(None, |_| {}), "b2", "a blank opens nothing");
        let blank = |record: &mut crate::domain::record::Record| {
            record.visits[0].measured.walk_minutes = Recorded::NotRecorded;
        };
        assert_eq!(first_seen(Some(5), blank), "b1");
        let known = |record: &mut crate::domain::record::Record| {
            sample::earlier(record, 5, &[("pump", "m1")]);
            let last = record.visits.last_mut().unwrap();
            last.measured.walk_minutes = Recorded::Yes(sample::n(10));
            last.measured.stance_s = Recorded::Yes(5);
        };
        assert_eq!(
            first_seen(Some(5), known),
            "b1",
            "we know them: the phase's rung"
        );
    }

    #[test]
    fn an_exercise_from_the_last_sheet_does_not() {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("bend", "b2")]);
        let program = sample::program(&sample::library(), &record);
        let bend = sample::item(&program, "bend");
        assert!(bend.steps.iter().all(|step| step.rule != RULE.id));
    }
}
