//! The stages of a program with no next visit, and how each line of them came about.

use super::trade;
use super::why::step;
use crate::domain::library::Library;
use crate::domain::quantity::Quantity;
use crate::domain::verdict::{Program, Stage};

/// Writes each stage with the lines that go up in it.
pub(super) fn lines(program: &Program, library: &Library) -> Vec<String> {
    let numbered = program.stages.iter().zip(1..);
    numbered
        .flat_map(|(stage, number)| one(stage, number, library))
        .collect()
}

fn one(stage: &Stage, number: i64, library: &Library) -> Vec<String> {
    let from = trade::date(stage.from);
    let Some(check) = stage.check else {
        return vec![format!("{number} from {from}: the doses above")];
    };
    let mut lines = vec![format!(
        "{number} not before {from}, ring by {}; check: {} days on the one before, pain up to {}",
        trade::date(stage.ring_by),
        check.days_before.get(),
        check.pain_at_most.get()
    )];
    for line in &stage.lines {
        let Some(exercise) = library.exercises.get(&line.exercise) else {
            continue;
        };
        let steps = line.steps.iter();
        lines.extend(steps.map(|each| {
            let told = step(each, library, exercise);
            format!("   {}: {told}", line.exercise)
        }));
    }
    lines
}
