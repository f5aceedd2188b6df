#![doc = include_str!("d403_demand_unknown.md")]

use crate::domain::verdict::{LimitInForce, RuleId, WhyNot};
use crate::engine::allow::Bar;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D403"),
    name: "demand-unknown",
    stage: Stage::Allow,
    since: "0.1",
    summary: "Leaves out an exercise that does not say what it asks of the body.",
    sources: &["practice"],
    doc: include_str!("d403_demand_unknown.md"),
};

/// Returns the bar of a limit that looks at what nobody said.
pub(crate) fn bar(limit: &LimitInForce) -> Bar {
    Bar {
        reason: WhyNot::DemandUnknown {
            limit: limit.limit.clone(),
        },
        rule: RULE.id,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::Until;
    use crate::domain::word::{Joint, Word};
    use crate::engine::sample;

    fn fires(cap: bool) -> bool {
        let mut library = sample::library();
        sample::exercise(&mut library, "push").demands.clear();
        let mut record = sample::record(10);
        if cap {
            record.orders.push(sample::cap(90, 1, Until::Open));
        }
        let program = sample::program(&library, &record);
        assert_eq!(sample::has(&program, "push"), !cap);
        program.fired.contains(&RULE.id)
    }

    #[test]
    fn no_demands_and_a_limit_means_no_exercise() {
        assert!(fires(true));
    }

    #[test]
    fn a_joint_nobody_said_anything_of_is_unknown_too() {
        let mut library = sample::library();
        let other = Joint::ALL
            .iter()
            .copied()
            .find(|joint| *joint != sample::joint());
        sample::exercise(&mut library, "push").demands[0].joint = other.unwrap();
        let mut record = sample::record(10);
        record.orders.push(sample::cap(90, 1, Until::Open));
        let program = sample::program(&library, &record);
        let reason = WhyNot::DemandUnknown {
            limit: sample::id("cap"),
        };
        assert_eq!(sample::left_out(&program, "push"), Some(reason));
    }

    #[test]
    fn no_limit_means_no_bar() {
        assert!(!fires(false));
    }
}
