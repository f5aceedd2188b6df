#![doc = include_str!("d401_forbidden_work.md")]

use crate::domain::exercise::{Exercise, Rung};
use crate::domain::limit::LimitRule;
use crate::domain::verdict::{LimitInForce, RuleId, WhyNot};
use crate::domain::word::LegLoad;
use crate::engine::allow::Bar;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D401"),
    name: "forbidden-work",
    stage: Stage::Allow,
    since: "0.1",
    summary: "Leaves out work of a kind that a limit forbids.",
    sources: &["practice"],
    doc: include_str!("d401_forbidden_work.md"),
};

/// Returns the bar when the limit forbids this kind of work.
pub(crate) fn bar(exercise: &Exercise, rung: &Rung, limit: &LimitInForce) -> Option<Bar> {
    let LimitRule::Forbid {
        weight_bearing,
        tags,
        modes,
        positions,
    } = &limit.rule
    else {
        return None;
    };
    let demands = &exercise.demands;
    let own = demands
        .iter()
        .flat_map(|demand| &demand.tags)
        .chain(&rung.tags);
    let forbidden = loads(exercise, rung)
        .iter()
        .any(|load| weight_bearing.contains(load))
        || own.into_iter().any(|tag| tags.contains(tag))
        || demands.iter().any(|demand| modes.contains(&demand.mode))
        || positions.contains(&exercise.position);
    forbidden.then(|| Bar {
        reason: WhyNot::Forbidden {
            limit: limit.limit.clone(),
        },
        rule: RULE.id,
    })
}

/// Lists the leg loads of a rung: its own, else those of the demands.
fn loads(exercise: &Exercise, rung: &Rung) -> Vec<LegLoad> {
    match rung.weight_bearing {
        Some(load) => vec![load],
        None => exercise
            .demands
            .iter()
            .map(|demand| demand.weight_bearing)
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::Until;
    use crate::domain::word::WeightBearing;
    use crate::engine::sample;

    #[test]
    fn forbidden_leg_load_is_left_out() {
        let mut record = sample::record(10);
        record
            .orders
            .push(sample::bears(WeightBearing::None, 1, Until::Open));
        let program = sample::program(&sample::library(), &record);
        for standing in ["rise", "poise"] {
            let reason = WhyNot::Forbidden {
                limit: sample::id("no-weight"),
            };
            assert_eq!(sample::left_out(&program, standing), Some(reason));
        }
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn a_forbidden_tag_is_left_out() {
        let mut record = sample::record(10);
        sample::condition(&mut record, "thin-bone");
        let program = sample::program(&sample::library(), &record);
        assert!(sample::left_out(&program, "poise").is_some());
        assert!(sample::has(&program, "rise"));
    }

    #[test]
    fn what_is_not_forbidden_stays() {
        let program = sample::program(&sample::library(), &sample::record(10));
        assert!(sample::has(&program, "poise"));
        assert!(!program.fired.contains(&RULE.id));
    }
}
