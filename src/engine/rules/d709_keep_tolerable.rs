#![doc = include_str!("d709_keep_tolerable.md")]

use crate::domain::recorded::Recorded;
use crate::domain::verdict::{RuleId, Why};
use crate::domain::word::{Response, YesNo};
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D709"),
    name: "keep-tolerable",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Keeps the rung when the answer was tolerable.",
    sources: &["practice"],
    doc: include_str!("d709_keep_tolerable.md"),
};

/// Proposes to keep.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let given = working.given.as_ref()?;
    let answer = dosing.answer?;
    if dosing.response()? != Response::Tolerable {
        return None;
    }
    let sign = answer.sign?;
    let why = match (answer.line, answer.pain, answer.medicine_first) {
        (Some(line), Recorded::Yes(pain), YesNo::Yes) => Why::KeptMedicineFirst { pain, line },
        (Some(_) | None, _, YesNo::Yes | YesNo::No) => Why::KeptTolerable { sign },
    };
    Some((given.clone(), why))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn fires(pain: i64) -> bool {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 3, &[("bend", "b2")]);
        record.visits[1].pain.exercise = sample::pain(Some(pain));
        let program = sample::program(&sample::library(), &record);
        let kept = sample::item(&program, "bend").rung == sample::id("b2");
        kept && program.fired.contains(&RULE.id)
    }

    #[test]
    fn tolerable_keeps() {
        assert!(fires(6));
    }

    #[test]
    fn settled_or_overdone_is_not_its_business() {
        assert!(!fires(5));
        assert!(!fires(8));
    }
}
