#![doc = include_str!("d303_unknown_fact_limit.md")]

use crate::domain::verdict::{Notice, RuleId};
use crate::domain::word::Fact;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D303"),
    name: "unknown-fact-limit",
    stage: Stage::Limit,
    since: "0.1",
    summary: "Lets a limit stand while the fact it hangs on is not recorded.",
    sources: &["practice"],
    doc: include_str!("d303_unknown_fact_limit.md"),
};

/// Leaves the notice.
pub(crate) fn note(fact: Fact, log: &mut Log) {
    log.notice(
        &RULE,
        Notice::NotRecorded {
            rule: RULE.id,
            fact,
        },
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::fact::{Comparison, Test};
    use crate::domain::limit::When;
    use crate::domain::recorded::Recorded;
    use crate::domain::verdict::Program;
    use crate::domain::word::YesNo;
    use crate::engine::sample;

    fn with_limp(limp: Recorded<YesNo>) -> Program {
        let mut library = sample::library();
        let limit = library
            .procedure
            .limits
            .iter_mut()
            .find(|l| l.id == sample::id("thin-bone"));
        limit.unwrap().when = When::Fact(Test {
            fact: Fact::Limp,
            comparison: Comparison::Is(vec!["yes".to_owned()]),
        });
        let mut record = sample::record(10);
        record.visits[0].measured.limp = limp;
        sample::program(&library, &record)
    }

    #[test]
    fn a_blank_keeps_the_limit() {
        let program = with_limp(Recorded::NotRecorded);
        assert_eq!(program.limits.len(), 1);
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn a_known_fact_decides() {
        assert_eq!(with_limp(Recorded::Yes(YesNo::Yes)).limits.len(), 1);
        let program = with_limp(Recorded::Yes(YesNo::No));
        assert!(program.limits.is_empty());
        assert!(!program.fired.contains(&RULE.id));
    }
}
