#![doc = include_str!("d204_targets.md")]

use crate::domain::fact::Test;
use crate::domain::procedure::Phase;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::RuleId;
use crate::engine::case::Case;
use crate::engine::judge::value_on;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D204"),
    name: "targets",
    stage: Stage::Place,
    since: "0.1",
    summary: "Lists the targets of the phase that are known and not met.",
    sources: &["practice"],
    doc: include_str!("d204_targets.md"),
};

/// Lists the targets that a known fact misses.
pub(crate) fn unmet(case: &Case<'_>, phase: &Phase, log: &mut Log) -> Vec<Test> {
    let unmet: Vec<Test> = phase
        .targets
        .iter()
        .filter(|test| match value_on(case, test.fact, case.day) {
            Recorded::Yes(value) => !test.passes(&value),
            Recorded::NotRecorded => false,
        })
        .cloned()
        .collect();
    if !unmet.is_empty() {
        log.fire(&RULE);
    }
    unmet
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn fires(flexion: Option<i64>) -> bool {
        let mut record = sample::record(9);
        record.visits[0].measured.flexion = sample::degrees(flexion);
        let program = sample::program(&sample::library(), &record);
        assert_eq!(
            program.targets_unmet.is_empty(),
            !program.fired.contains(&RULE.id)
        );
        program.fired.contains(&RULE.id)
    }

    #[test]
    fn a_missed_target_is_listed() {
        assert!(fires(Some(79)));
    }

    #[test]
    fn a_met_or_unknown_target_is_not() {
        assert!(!fires(Some(80)));
        assert!(!fires(None));
    }
}
