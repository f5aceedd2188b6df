#![doc = include_str!("d408_missing_fact.md")]

use crate::domain::fact::Test;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Notice, RuleId};
use crate::engine::judge::Judged;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D408"),
    name: "missing-fact",
    stage: Stage::Allow,
    since: "0.1",
    summary: "Tells when an entry test met a blank and what was assumed.",
    sources: &["practice"],
    doc: include_str!("d408_missing_fact.md"),
};

/// Leaves the notice a judgement calls for.
pub(crate) fn note(test: &Test, judged: &Judged, log: &mut Log) {
    let fact = test.fact;
    match judged {
        Judged::Passes | Judged::Fails(Recorded::Yes(_)) => {}
        Judged::PassesBlank | Judged::PassesFirst | Judged::Fails(Recorded::NotRecorded) => {
            log.notice(
                &RULE,
                Notice::NotRecorded {
                    rule: RULE.id,
                    fact,
                },
            );
        }
        Judged::PassesUsual(value) | Judged::FailsUsual(value) => {
            log.notice(
                &RULE,
                Notice::UsualTaken {
                    rule: RULE.id,
                    fact,
                    value: *value,
                },
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::word::Fact;
    use crate::engine::sample;

    fn program(flexion: Option<i64>) -> crate::domain::verdict::Program {
        let mut library = sample::library();
        sample::exercise(&mut library, "rise")
            .entry
            .push(sample::at_least(Fact::Flexion, 91));
        let mut record = sample::record(14);
        record.visits[0].measured.lag = sample::degrees(Some(0));
        record.visits[0].measured.flexion = sample::degrees(flexion);
        sample::program(&library, &record)
    }

    #[test]
    fn the_usual_value_is_taken_and_said() {
        let program = program(None);
        let notice = Notice::UsualTaken {
            rule: RULE.id,
            fact: Fact::Flexion,
            value: 91,
        };
        assert!(program.notices.contains(&notice));
        assert!(sample::has(&program, "rise"));
    }

    #[test]
    fn a_known_value_leaves_no_notice() {
        let program = program(Some(95));
        let flexion = |notice: &Notice| {
            matches!(
                notice,
                Notice::UsualTaken {
                    fact: Fact::Flexion,
                    ..
                }
            )
        };
        assert!(!program.notices.iter().any(flexion));
    }
}
