#![doc = include_str!("d203_clinicians_phase.md")]

use crate::domain::procedure::Phase;
use crate::domain::verdict::{Notice, RuleId};
use crate::engine::case::Case;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D203"),
    name: "clinicians-phase",
    stage: Stage::Place,
    since: "0.1",
    summary: "Takes the phase the clinician has set.",
    sources: &["practice"],
    doc: include_str!("d203_clinicians_phase.md"),
};

/// Returns the phase the clinician set, if any; one of the other side of the operation is none.
pub(crate) fn set<'a>(case: &Case<'a>, log: &mut Log) -> Option<(usize, &'a Phase)> {
    let set = case.visit.phase.as_ref()?;
    let (index, phase) = case.procedure().phase(&set.id)?;
    if phase.is_before_operation() == case.day.is_before_operation() {
        log.fire(&RULE);
        return Some((index, phase));
    }
    let (rule, phase) = (RULE.id, phase.id.clone());
    log.notice(&RULE, Notice::PhaseNotTaken { rule, phase });
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::PhaseSet;
    use crate::engine::sample;

    #[test]
    fn the_clinicians_phase_wins() {
        let mut record = sample::record(5);
        record.visits[0].phase = Some(PhaseSet {
            id: sample::id("late"),
            because: "Fit.".to_owned(),
            by: "PT".to_owned(),
        });
        let program = sample::program(&sample::library(), &record);
        assert_eq!(program.phase, sample::id("late"));
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn without_a_word_it_is_silent() {
        let program = sample::program(&sample::library(), &sample::record(5));
        assert!(!program.fired.contains(&RULE.id));
    }
}
