#![doc = include_str!("d1005_stage_up.md")]

use crate::domain::verdict::{Given, RuleId, Step, Why};
use crate::engine::dose::{Dosing, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D1005"),
    name: "stage-up",
    stage: Stage::Ahead,
    since: "0.1",
    summary: "Lets a few lines go up one rung at each stage.",
    sources: &["practice"],
    doc: include_str!("d1005_stage_up.md"),
};

/// Starts a line at the next rung, the step told; the rung must have a lever.
pub(crate) fn start(dosing: &Dosing<'_>, before: Given, at: usize, why: Why) -> Option<Working> {
    dosing.exercise().rungs.get(at)?.lever?;
    let after = dosing.given(at)?;
    let step = Step {
        rule: RULE.id,
        before: Some(before),
        after: after.clone(),
        why,
    };
    Some(Working {
        given: Some(after),
        steps: vec![step],
    })
}
