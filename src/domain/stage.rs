//! A program with no next visit: its dated stages.
//!
//! Ids and numbers only; sentences are made in `handout`.

use chrono::NaiveDate;

use super::dose::Dose;
use super::ids::{ExerciseId, RungId};
use super::quantity::{Days, PainScore};
use super::verdict::{Item, Program, Step};

/// One line at one stage.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct StageLine {
    /// Which exercise.
    pub exercise: ExerciseId,
    /// At which rung.
    pub rung: RungId,
    /// The dose, caps applied for every day from the stage's first to the end of the sheet.
    pub dose: Dose,
    /// How it came from the stage before; empty when it stays as it was.
    pub steps: Vec<Step>,
}

/// What must hold before a stage is begun, as the person can tell alone.
///
/// Pain is the only number: morning, swelling, walking and what was done are asked in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct StageCheck {
    /// Pain during the exercises up to this, included.
    pub pain_at_most: PainScore,
    /// Days on the stage before, at the least.
    pub days_before: Days,
}

/// One stage of a program with no next visit; the first one is the program itself.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Stage {
    /// Not before this day.
    pub from: NaiveDate,
    /// Somebody who has not begun it on this day rings.
    pub ring_by: NaiveDate,
    /// What must hold first; the first stage asks for nothing.
    pub check: Option<StageCheck>,
    /// All lines, those that stay as they were included, in the program's order.
    pub lines: Vec<StageLine>,
}

impl Program {
    /// Lists the rungs above its own that a line may reach by the stages, in order.
    pub fn may_reach(&self, item: &Item) -> Vec<RungId> {
        let mut rungs: Vec<RungId> = Vec::new();
        for line in self.stages.iter().flat_map(|stage| &stage.lines) {
            let known = line.rung == item.rung || rungs.contains(&line.rung);
            if line.exercise == item.exercise && !known {
                rungs.push(line.rung.clone());
            }
        }
        rungs
    }
}
