#![doc = include_str!("d704_lower_rung_offered.md")]

use crate::domain::verdict::{RuleId, Why};
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D704"),
    name: "lower-rung-offered",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Goes down to a rung that no limit, equipment or teaching bars.",
    sources: &["practice"],
    doc: include_str!("d704_lower_rung_offered.md"),
};

/// Proposes the highest rung that is offered.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let given = working.given.as_ref()?;
    let at = dosing.at(given)?;
    let reason = dosing.bar(at)?.reason.clone();
    let lower = dosing.easier(dosing.highest_below(at)?, given)?;
    Some((lower, Why::LowerRungOffered { reason }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::recorded::Recorded;
    use crate::engine::sample;

    fn rung(kit: &[&str]) -> (String, bool) {
        let mut record = sample::record(40);
        sample::earlier(&mut record, 32, &[("lift", "l5")]);
        let kit = kit.iter().map(|id| sample::id(id)).collect();
        record.visits[1].patient.equipment = Recorded::Yes(kit);
        record.visits[1].measured.lag = sample::degrees(Some(0));
        sample::silent(&mut record, 1);
        record.visits[1].phase = Some(sample::stay("middle"));
        let program = sample::program(&sample::library(), &record);
        (
            sample::item(&program, "lift").rung.to_string(),
            program.fired.contains(&RULE.id),
        )
    }

    #[test]
    fn a_barred_rung_gives_way_to_the_one_below() {
        assert_eq!(rung(&["chair"]), ("l4".to_owned(), true));
    }

    #[test]
    fn a_rung_that_is_offered_stays() {
        assert_eq!(rung(&["chair", "weight"]), ("l5".to_owned(), false));
    }
}
