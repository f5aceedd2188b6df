//! Many made-up people with one earlier sheet and one visit.

use proptest::prelude::*;

use crate::domain::library::Library;
use crate::domain::record::{Record, Until};
use crate::domain::recorded::Recorded;
use crate::domain::word::{Did, How, Morning, ScreenAnswer, Seen, Swelling, WeightBearing, Word};
use crate::engine::sample;

/// The answers of one made-up person.
#[derive(Debug, Clone)]
pub(super) struct Person {
    pub(super) day: i64,
    pub(super) gap: i64,
    pub(super) lines: Vec<(usize, usize)>,
    pub(super) pain: Option<i64>,
    pub(super) morning: Option<Morning>,
    pub(super) swelling: Option<Swelling>,
    pub(super) flexion: Option<i64>,
    pub(super) lag: Option<i64>,
    pub(super) conditions: Vec<usize>,
    pub(super) cap: Option<i64>,
    pub(super) bears: WeightBearing,
    pub(super) wound: ScreenAnswer,
    pub(super) did: Option<Did>,
    pub(super) seen: Option<Seen>,
    pub(super) how: How,
    pub(super) phase: &'static str,
    pub(super) put_right: PutRight,
}

/// What was put right after the first visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PutRight {
    Nothing,
    Side,
    /// The day of the operation, typed as so many days after the right one.
    Day(i64),
}

const NAMES: [&str; 8] = [
    "bend", "straight", "lift", "push", "rise", "poise", "stroll", "pump",
];
pub(super) const CONDITIONS: [&str; 3] = ["thin-bone", "weak", "cold-skin"];

pub(super) fn word<W: Word + std::fmt::Debug>() -> impl Strategy<Value = W> {
    prop::sample::select(W::ALL)
}

pub(super) fn maybe<T: std::fmt::Debug>(
    inner: impl Strategy<Value = T>,
) -> impl Strategy<Value = Option<T>> {
    prop::option::weighted(0.8, inner)
}

prop_compose! {
    fn measures()(
        pain in maybe(0_i64..=10), morning in maybe(word()), swelling in maybe(word()),
        flexion in maybe(30_i64..130), lag in maybe(0_i64..20),
    ) -> (Option<i64>, Option<Morning>, Option<Swelling>, Option<i64>, Option<i64>) {
        (pain, morning, swelling, flexion, lag)
    }
}

fn put_right() -> impl Strategy<Value = PutRight> {
    prop_oneof![
        2 => Just(PutRight::Nothing),
        1 => Just(PutRight::Side),
        1 => (1_i64..20).prop_map(PutRight::Day),
        1 => (-20_i64..0).prop_map(PutRight::Day),
    ]
}

prop_compose! {
    pub(super) fn person()(
        day in 1_i64..100, gap in 1_i64..40,
        lines in prop::collection::btree_map(0_usize..NAMES.len(), 0_usize..6, 0..6),
        (pain, morning, swelling, flexion, lag) in measures(),
        conditions in prop::collection::btree_set(0_usize..CONDITIONS.len(), 0..3),
        cap in prop::option::weighted(0.4, 20_i64..140), bears in word(), wound in word(),
        did in maybe(word()), seen in maybe(word()), how in word(), put_right in put_right(),
        phase in prop::sample::select(vec!["early", "middle", "late"]),
    ) -> Person {
        Person {
            day, gap, lines: lines.into_iter().collect(), pain, morning, swelling, flexion, lag,
            conditions: conditions.into_iter().collect(), cap, bears, wound, did, seen, how, phase, put_right,
        }
    }
}

pub(super) fn record(library: &Library, person: &Person) -> Record {
    let mut record = sample::record(person.day);
    let lines: Vec<(&str, String)> = person
        .lines
        .iter()
        .map(|(exercise, rung)| {
            let name = NAMES[*exercise];
            let rungs = &library.exercises[&sample::id(name)].rungs;
            (name, rungs[rung % rungs.len()].id.to_string())
        })
        .collect();
    let lines: Vec<(&str, &str)> = lines.iter().map(|(name, rung)| (*name, &**rung)).collect();
    sample::earlier(&mut record, person.day - person.gap, &lines);
    let at = record.visits.len() - 1;
    for (name, _) in &lines {
        sample::done(&mut record, at, name).seen = Recorded::from(person.seen);
    }
    let visit = &mut record.visits[at];
    visit.pain.exercise = sample::pain(person.pain);
    visit.pain.morning = Recorded::from(person.morning);
    visit.swelling = Recorded::from(person.swelling);
    visit.measured.flexion = sample::degrees(person.flexion);
    visit.measured.lag = sample::degrees(person.lag);
    visit.did = Recorded::from(person.did);
    visit.how = person.how;
    visit.phase = Some(sample::stay(person.phase));
    for condition in &person.conditions {
        sample::condition(&mut record, CONDITIONS[*condition]);
    }
    sample::answer(&mut record, "wound", person.wound);
    let start = person.day - person.gap;
    record
        .orders
        .push(sample::bears(person.bears, start, Until::Open));
    if let Some(cap) = person.cap {
        record.orders.push(sample::cap(cap, start, Until::Asked));
    }
    match person.put_right {
        PutRight::Nothing => {}
        PutRight::Side => record.corrections.push(sample::side_put_right(1)),
        PutRight::Day(was) => record.corrections.push(sample::day_put_right(was, 1)),
    }
    record
}
