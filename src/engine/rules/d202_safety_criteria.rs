#![doc = include_str!("d202_safety_criteria.md")]

use crate::domain::ids::CriterionId;
use crate::domain::procedure::Phase;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Asked, Notice, Question, RuleId};
use crate::domain::word::Fact;
use crate::engine::case::Case;
use crate::engine::judge::value_on;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D202"),
    name: "safety-criteria",
    stage: Stage::Place,
    since: "0.1",
    summary: "Holds the person in the phase while a safety criterion fails.",
    sources: &["practice"],
    doc: include_str!("d202_safety_criteria.md"),
};

/// Says whether only the person can tell: a blank then holds, since they may not know.
fn is_symptom(fact: Fact) -> bool {
    matches!(fact, Fact::Swelling | Fact::Morning | Fact::Response)
}

/// Lists the criteria that hold the person; asks for other unknown ones when none fails.
pub(crate) fn held_by(case: &Case<'_>, phase: &Phase, log: &mut Log) -> Vec<CriterionId> {
    let mut failing = Vec::new();
    let mut unknown = Vec::new();
    for criterion in &phase.safety {
        match value_on(case, criterion.test.fact, case.day) {
            Recorded::Yes(value) if criterion.test.passes(&value) => {}
            Recorded::Yes(_) => failing.push(criterion.id.clone()),
            Recorded::NotRecorded => unknown.push(criterion),
        }
    }
    if !failing.is_empty() {
        log.fire(&RULE);
        return failing;
    }
    for criterion in unknown {
        let fact = criterion.test.fact;
        if case.last.is_some() && is_symptom(fact) {
            log.fire(&RULE);
            log.notice(
                &RULE,
                Notice::NotRecorded {
                    rule: RULE.id,
                    fact,
                },
            );
            failing.push(criterion.id.clone());
        } else if case.last.is_some() {
            let question = Question::Criterion {
                criterion: criterion.id.clone(),
                phase: phase.id.clone(),
            };
            log.ask(&RULE, question, Asked::Clinician);
        } else {
            log.notice(
                &RULE,
                Notice::NotRecorded {
                    rule: RULE.id,
                    fact,
                },
            );
        }
    }
    failing
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::word::ScreenAnswer;
    use crate::engine::sample;

    #[test]
    fn a_failing_criterion_holds() {
        let mut record = sample::record(20);
        sample::answer(&mut record, "wound", ScreenAnswer::Yes);
        let program = sample::program(&sample::library(), &record);
        assert_eq!(program.phase, sample::id("early"));
        assert_eq!(program.held_by, [sample::id("dry")]);
    }

    #[test]
    fn a_symptom_nobody_knows_holds_when_there_was_a_sheet() {
        let mut record = sample::record(20);
        sample::earlier(&mut record, 10, &[("bend", "b1")]);
        sample::silent(&mut record, 1);
        let program = sample::program(&sample::library(), &record);
        assert_eq!(program.phase, sample::id("early"));
        assert_eq!(program.held_by, [sample::id("settles")]);
        let fact = Fact::Response;
        let notice = Notice::NotRecorded {
            rule: RULE.id,
            fact,
        };
        assert!(program.notices.contains(&notice));
    }

    #[test]
    fn a_blank_passes_on_the_first_sheet_with_a_notice() {
        let program = sample::program(&sample::library(), &sample::record(20));
        assert_eq!(program.phase, sample::id("middle"));
        let notice = Notice::NotRecorded {
            rule: RULE.id,
            fact: Fact::Response,
        };
        assert!(program.notices.contains(&notice));
    }

    #[test]
    fn nothing_is_asked_before_the_floor_day() {
        let program = sample::program(&sample::library(), &sample::record(5));
        assert!(!program.fired.contains(&RULE.id));
    }
}
