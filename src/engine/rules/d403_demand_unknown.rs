#![doc = include_str!("d403_demand_unknown.md")]

use crate::domain::exercise::Exercise;
use crate::domain::limit::LimitRule;
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

/// Returns the bar when the demands a limit looks at are missing.
pub(crate) fn bar(exercise: &Exercise, limit: &LimitInForce) -> Option<Bar> {
    let looks_at_demands = match &limit.rule {
        LimitRule::Motion { .. } => true,
        LimitRule::Forbid {
            weight_bearing,
            tags,
            modes,
            ..
        } => !(weight_bearing.is_empty() && tags.is_empty() && modes.is_empty()),
    };
    (exercise.demands.is_empty() && looks_at_demands).then(|| Bar {
        reason: WhyNot::DemandUnknown {
            limit: limit.limit.clone(),
        },
        rule: RULE.id,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::Until;
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
    fn no_limit_means_no_bar() {
        assert!(!fires(false));
    }
}
