#![doc = include_str!("d406_done_with.md")]

use crate::domain::exercise::Exercise;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{RuleId, WhyNot};
use crate::engine::allow::Bar;
use crate::engine::case::Case;
use crate::engine::judge::value_on;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D406"),
    name: "done-with",
    stage: Stage::Allow,
    since: "0.1",
    summary: "Leaves out an exercise that has done its work.",
    sources: &["practice"],
    doc: include_str!("d406_done_with.md"),
};

/// Returns the bar when every leaving test holds.
pub(crate) fn bar(case: &Case<'_>, exercise: &Exercise) -> Option<Bar> {
    let all = exercise
        .leave
        .iter()
        .all(|test| match value_on(case, test.fact, case.day) {
            Recorded::Yes(value) => test.passes(&value),
            Recorded::NotRecorded => false,
        });
    let last = exercise.leave.last().filter(|_| all)?;
    Some(Bar {
        reason: WhyNot::DoneWith { test: last.clone() },
        rule: RULE.id,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn fires(day: i64) -> bool {
        let program = sample::program(&sample::library(), &sample::record(day));
        let gone = matches!(
            sample::left_out(&program, "pump"),
            Some(WhyNot::DoneWith { .. })
        );
        assert_eq!(gone, program.fired.contains(&RULE.id));
        gone
    }

    #[test]
    fn it_leaves_on_its_day() {
        assert!(fires(21));
    }

    #[test]
    fn the_day_before_it_stays() {
        assert!(!fires(20));
    }
}
