#![doc = include_str!("d109_conditions_asked.md")]

use crate::domain::verdict::{Asked, Question, RuleId};
use crate::engine::case::Case;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D109"),
    name: "conditions-asked",
    stage: Stage::Gate,
    since: "0.1",
    summary: "Asks for other illnesses when nobody has.",
    sources: &["practice"],
    doc: include_str!("d109_conditions_asked.md"),
};

/// Asks when the list is missing.
pub(crate) fn ask(case: &Case<'_>, log: &mut Log) {
    if !case.patient().conditions.is_recorded() {
        log.ask(&RULE, Question::Conditions, Asked::Patient);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::recorded::Recorded;
    use crate::engine::sample;

    #[test]
    fn a_missing_list_is_asked() {
        let mut record = sample::record(9);
        record.visits[0].patient.conditions = Recorded::NotRecorded;
        let asked = sample::questions(&sample::library(), &record);
        assert_eq!(asked, [Question::Conditions]);
    }

    #[test]
    fn an_empty_list_is_an_answer() {
        assert!(sample::questions(&sample::library(), &sample::record(9)).is_empty());
    }
}
