#![doc = include_str!("d705_easier_by_test.md")]

use crate::domain::verdict::{RuleId, Why};
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D705"),
    name: "easier-by-test",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Goes down to the highest rung whose own entry test holds.",
    sources: &["practice"],
    doc: include_str!("d705_easier_by_test.md"),
};

/// Proposes the highest rung whose test holds.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let given = working.given.as_ref()?;
    let at = dosing.at(given)?;
    let failing = dosing.entry(at)?;
    let lower = dosing.easier(dosing.highest_below(at)?, given)?;
    let why = Why::EasierByTest {
        test: failing.test.clone(),
        value: failing.value.clone(),
    };
    Some((lower, why))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn rung(lag: i64) -> (String, bool) {
        let mut record = sample::record(40);
        sample::earlier(&mut record, 32, &[("lift", "l5")]);
        record.visits[1].measured.lag = sample::degrees(Some(lag));
        sample::silent(&mut record, 1);
        record.visits[1].phase = Some(sample::stay("middle"));
        let program = sample::program(&sample::library(), &record);
        (
            sample::item(&program, "lift").rung.to_string(),
            program.fired.contains(&RULE.id),
        )
    }

    #[test]
    fn a_failing_test_takes_an_easier_rung() {
        assert_eq!(rung(6), ("l4".to_owned(), true));
    }

    #[test]
    fn a_holding_test_is_silent() {
        assert_eq!(rung(5), ("l5".to_owned(), false));
    }
}
