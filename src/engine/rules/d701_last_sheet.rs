#![doc = include_str!("d701_last_sheet.md")]

use crate::domain::verdict::{RuleId, Why};
use crate::engine::case::Stands;
use crate::engine::dates::days_between;
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage, d702_long_gap};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D701"),
    name: "last-sheet",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Starts from the rung of the last sheet.",
    sources: &["practice"],
    doc: include_str!("d701_last_sheet.md"),
};

/// Proposes the last sheet's rung.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let last = dosing.case.last?;
    let given = dosing.given(dosing.last_at()?)?;
    let long = d702_long_gap::ran_out(dosing.case).is_some();
    (working.given.is_none() && !long && last.stands == Stands::Valid).then(|| {
        let days_ago = days_between(last.visit.date, dosing.case.date);
        (
            given,
            Why::LastSheet {
                sheet: last.issued.sheet,
                days_ago,
            },
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    #[test]
    fn the_last_rung_is_where_it_begins() {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("bend", "b2")]);
        let program = sample::program(&sample::library(), &record);
        let step = &sample::item(&program, "bend").steps[0];
        assert_eq!(step.rule, RULE.id);
        assert_eq!(step.after.rung, sample::id("b2"));
        assert_eq!(
            step.why,
            Why::LastSheet {
                sheet: 1,
                days_ago: 5
            }
        );
    }

    #[test]
    fn on_a_first_sheet_it_is_silent() {
        let program = sample::program(&sample::library(), &sample::record(10));
        assert!(!program.fired.contains(&RULE.id));
    }
}
