#![doc = include_str!("d707_seen_done_well.md")]

use crate::domain::recorded::Recorded;
use crate::domain::verdict::{RuleId, Why};
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D707"),
    name: "seen-done-well",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Goes up to the rung seen done well today.",
    sources: &["practice"],
    doc: include_str!("d707_seen_done_well.md"),
};

/// Proposes the rung seen done well.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let at = dosing.at(working.given.as_ref()?)?;
    let well = match &dosing.done?.well_at {
        Recorded::Yes(rung) => dosing.exercise().rung(rung).map(|(well, _)| well)?,
        Recorded::NotRecorded => return None,
    };
    let most = match dosing.worse() {
        Some(_) => well.min(dosing.last_at().unwrap_or(at)),
        None if swelling_unknown(dosing) => well.min(one_above_last(dosing).unwrap_or(well)),
        None => well,
    };
    let first_above = at.saturating_add(1);
    let found = (first_above..=most).rev().find(|rung| dosing.fits(*rung))?;
    Some((dosing.given(found)?, Why::SeenDoneWell))
}

/// Says whether there was a sheet and nobody asked about swelling since.
fn swelling_unknown(dosing: &Dosing<'_>) -> bool {
    dosing.case.last.is_some() && !dosing.case.visit.swelling.is_recorded()
}

fn one_above_last(dosing: &Dosing<'_>) -> Option<usize> {
    dosing.last_at().map(|last| last.saturating_add(1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn rung(well: &str, pain: i64) -> (String, bool) {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 8, &[("bend", "b1")]);
        record.visits[1].pain.exercise = sample::pain(Some(pain));
        sample::done(&mut record, 1, "bend").well_at = Recorded::Yes(sample::id(well));
        let program = sample::program(&sample::library(), &record);
        (
            sample::item(&program, "bend").rung.to_string(),
            program.fired.contains(&RULE.id),
        )
    }

    #[test]
    fn the_rung_seen_wins_upward() {
        assert_eq!(rung("b3", 2), ("b3".to_owned(), true));
    }

    #[test]
    fn not_when_the_answer_was_worse() {
        assert_eq!(rung("b3", 6), ("b1".to_owned(), false));
    }

    #[test]
    fn one_rung_at_most_while_nobody_asked_about_swelling() {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 8, &[("bend", "b1")]);
        sample::done(&mut record, 1, "bend").well_at = Recorded::Yes(sample::id("b3"));
        record.visits[1].swelling = Recorded::NotRecorded;
        let program = sample::program(&sample::library(), &record);
        assert_eq!(sample::item(&program, "bend").rung, sample::id("b2"));
    }

    #[test]
    fn never_downward() {
        assert_eq!(rung("b1", 2), ("b1".to_owned(), false));
    }
}
