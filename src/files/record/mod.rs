//! Reads a patient record and checks it against the library it is used with.
//!
//! Everything wrong is told at once. Must not decide anything clinical, nor check seals.
//! Next: `engine` decides for one visit of the record.

mod correction;
mod done;
mod dose;
mod episode;
mod head;
mod issued;
mod known;
mod measured;
mod orders;
mod overrides;
mod patient;
#[cfg(test)]
mod samples;
mod sequence;
mod timeline;
mod visit;

use std::sync::Arc;

use crate::domain::library::Library;
use crate::domain::record::{Episode, Record};
use crate::domain::recorded::Recorded;

use super::head as first_keys;
use super::kind::{Keys, Kind, may_as, need_as};
use super::node;
use super::problem::Problems;
use super::reader::{TableReader, in_table};
use super::reading::{Reading, Vouching};
use super::source::SourceFile;
use super::values::Readable;

pub use head::{Head, head};
pub use measured::{Deficit, Flexion, Lag, Mornings, Stance};
pub use orders::NewCap;

use known::Known;

/// Keys of a record.
pub static RECORD: Keys = Keys {
    what: "a record",
    keys: &[
        first_keys::SCHEMA_KEY,
        first_keys::KIND_KEY,
        need_as(
            "episode",
            Kind::Table(&episode::EPISODE),
            "What the record is about.",
        ),
        need_as(
            "patient",
            Kind::Table(&patient::PATIENT),
            "What was known of the person at intake.",
        ),
        may_as("order", Kind::Tables(&orders::ORDER), "A surgeon's orders."),
        may_as(
            "clear",
            Kind::Tables(&orders::CLEAR),
            "Red flags somebody has assessed.",
        ),
        may_as(
            "override",
            Kind::Tables(&overrides::OVERRIDE),
            "Limits set aside by a named clinician.",
        ),
        may_as(
            "correction",
            Kind::Tables(&correction::CORRECTION),
            "What of the episode was put right; appended at any time.",
        ),
        may_as(
            "visit",
            Kind::Tables(&visit::VISIT),
            "The visits in the order written.",
        ),
    ],
};

/// Reads a record against its library, or says everything that is wrong with it.
pub fn read(file: &Arc<SourceFile>, library: &Library) -> Result<Record, Problems> {
    let node = node::parse(file)?;
    let mut reading = Reading::new(Vouching::NotAsked);
    let record = in_table(&node, &RECORD, &mut reading, |table| record(table, library));
    reading.settle(file, record.flatten())
}

fn record(table: &mut TableReader<'_>, library: &Library) -> Option<Record> {
    first_keys::check(table, "record");
    let known = Known::of(library);
    let orders = orders::all(table, known);
    let known = known.with_orders(&orders);
    let episode = table.need_table("episode", &episode::EPISODE, |table| {
        Some(episode::read(table, known))
    });
    let patient = table.need_table("patient", &patient::PATIENT, |table| {
        Some(patient::read(table, known))
    });
    let clearances = table.tables("clear", &orders::CLEAR, |table| {
        orders::clearance(table, known)
    });
    let overrides = table.tables("override", &overrides::OVERRIDE, |table| {
        overrides::read(table, known)
    });
    let visits = table.tables("visit", &visit::VISIT, |table| {
        Some(visit::read(table, known))
    });
    let corrections = table.tables("correction", &correction::CORRECTION, |table| {
        Some(correction::read(table, known.library()))
    });
    let in_force = correction::follow(table, episode.as_ref(), &corrections, &visits);
    sequence::check(table, &in_force, &visits);
    timeline::check(table, &visits);
    let clearances = orders::after_visits(clearances, &visits);
    let visits: Option<Vec<_>> = visits.into_iter().map(|read| read.visit).collect();
    let orders: Option<Vec<_>> = orders.into_iter().map(|read| read.order).collect();
    let corrections: Option<Vec<_>> = corrections
        .into_iter()
        .map(|read| read.correction)
        .collect();
    let patient = patient?;
    Some(Record {
        episode: Episode {
            side: in_force.side()?,
            operation: in_force.operation()?,
            ..episode?.episode?
        },
        visits: patient::from_visit_on(&patient, visits?),
        patient,
        orders: orders?,
        clearances,
        overrides,
        corrections: corrections?,
    })
}

/// Reads a key that is "not recorded" when it is left out.
fn recorded<T: Readable>(table: &mut TableReader<'_>, name: &'static str) -> Recorded<T> {
    Recorded::from(table.may::<T>(name))
}

#[cfg(test)]
mod tests {
    use super::samples::{RECORD, line, only, read, sample, told, with};
    use super::*;
    use crate::domain::ids::Id;
    use crate::domain::quantity::Quantity;
    use crate::domain::record::{NextVisit, OrderValue, Until};
    use crate::domain::word::{AdjustAction, Morning, ScreenAnswer};

    #[test]
    fn a_whole_record_is_read() {
        let record = sample();
        assert_eq!(record.episode.token, "TE-0007-E1");
        let first = &record.orders[0];
        assert_eq!(first.value, OrderValue::Degrees(Quantity::nearest(90)));
        assert!(matches!(first.until, Until::Date(day) if day.to_string() == "2026-06-01"));
        assert_eq!(
            (record.orders[1].until, &record.orders[1].value),
            (Until::Asked, &OrderValue::Stands)
        );
        assert_eq!(record.orders[1].origin.line, 78);
        assert_eq!(record.clearances[0].until.to_string(), "2026-05-17");
        assert_eq!(record.visits.len(), 3);
    }

    #[test]
    fn a_visit_keeps_what_was_recorded_and_nothing_else() {
        let record = sample();
        let [first, second, third] = record.visits.as_slice() else {
            panic!("three visits");
        };
        let screen = first.screen.as_ref().known().unwrap();
        assert_eq!(screen[&Id::new("wound").unwrap()], ScreenAnswer::Known);
        assert_eq!(screen.len(), 2);
        assert_eq!(second.screen, Recorded::NotRecorded);
        assert_eq!(second.measured.flexion, Recorded::NotRecorded);
        assert_eq!(second.next_visit, Recorded::Yes(NextVisit::Unknown));
        assert_eq!(
            (third.corrects, third.next_visit),
            (Some(2), Recorded::Yes(NextVisit::None))
        );
        assert_eq!(third.pain.bad_mornings, Recorded::Yes(1));
        assert_eq!(third.done[0].morning, Recorded::Yes(Morning::More));
        assert_eq!(third.done[1].done, Recorded::NotRecorded);
        assert_eq!(third.adjust[1].action, AdjustAction::Set);
        assert_eq!(third.phase.as_ref().unwrap().id.as_str(), "motion");
        assert!(third.issued.is_none() && third.seal.is_none());
    }

    #[test]
    fn nearly_nothing_is_a_record_too() {
        let head = RECORD
            .split("\n[patient]")
            .next()
            .unwrap()
            .replace("needs = [\"large-print\"]\n", "");
        let record = read(&format!("{head}\n[patient]\n")).unwrap();
        assert_eq!(record.patient, patient::nothing());
        assert_eq!(record.episode.needs, Recorded::NotRecorded);
        assert!(record.visits.is_empty() && record.orders.is_empty());
        line(&told(&head), "BN021", "a record needs `patient`");
    }

    #[test]
    fn other_line_ends_change_nothing() {
        assert_eq!(read(&RECORD.replace('\n', "\r\n")).unwrap(), sample());
    }

    #[test]
    fn keys_nobody_asks_for_are_refused_everywhere() {
        for (old, at) in [
            ("[episode]\n", "an episode"),
            ("[patient]\n", "a patient"),
            ("[[clear]]\n", "a clearance"),
            ("n = 3\n", "a visit"),
        ] {
            only(old, &format!("{old}note = \"x\"\n"), "BN020", at);
        }
        only("{ rest = 2", "{ note = 1, rest = 2", "BN020", "`pain`");
        only("{ during = 2", "{ note = 1, during = 2", "BN020", "`felt`");
        only(
            "{ minutes = 5",
            "{ note = 1, minutes = 5",
            "BN020",
            "a dose",
        );
        only(
            "changes = { goal",
            "changes = { name = \"x\", goal",
            "BN020",
            "`changes`",
        );
    }

    #[test]
    fn all_problems_are_told_at_once() {
        let text = with("side = \"left\"", "side = \"both\"")
            .replace("corrects = 2\n", "")
            .replace("n = 2\n", "n = 5\n")
            .replace("lag = 6", "lag = 600")
            .replace("\"Sore hip.\"", "\"\"");
        let told = told(&text);
        let codes: Vec<&str> = told
            .lines()
            .map(|line| line.split(['[', ']']).nth(1).unwrap())
            .collect();
        assert_eq!(codes, ["BN061", "BN062", "BN023", "BN028"]);
    }
}
