//! The modifiers in force, and which exercises each one speaks of.
//!
//! Must not change a dose: a dose rule does.

use std::collections::BTreeMap;

use crate::domain::exercise::Exercise;
use crate::domain::ids::ExerciseId;
use crate::domain::limit::Modifier;
use crate::domain::quantity::Items;

use super::case::Case;
use super::gate::Gate;
use super::limit::{Held, holds};

/// Modifiers in force, by exercise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Modifiers<'a> {
    by_exercise: BTreeMap<ExerciseId, Vec<&'a Modifier>>,
    /// The fewest items any of them allows.
    pub(crate) max_items: Option<Items>,
}

impl<'a> Modifiers<'a> {
    /// Gathers the modifiers in force; an unknown fact counts, save for protected range work.
    pub(crate) fn gather(case: &Case<'a>, gate: &Gate) -> Self {
        let mut found = Self {
            by_exercise: BTreeMap::new(),
            max_items: None,
        };
        for modifier in &case.procedure().modifiers {
            let held = holds(case, gate, &modifier.when);
            if held == Held::No {
                continue;
            }
            found.max_items = match (found.max_items, modifier.max_items) {
                (Some(one), Some(other)) => Some(one.min(other)),
                (one, other) => one.or(other),
            };
            for (id, exercise) in &case.library.exercises {
                if speaks_of(case, modifier, exercise, held) {
                    found
                        .by_exercise
                        .entry(id.clone())
                        .or_default()
                        .push(modifier);
                }
            }
        }
        found
    }

    /// Returns the modifiers in force for one exercise, in the order of the file.
    pub(crate) fn of(&self, exercise: &Exercise) -> &[&'a Modifier] {
        self.by_exercise
            .get(&exercise.id)
            .map_or(&[], Vec::as_slice)
    }
}

fn speaks_of(case: &Case<'_>, modifier: &Modifier, exercise: &Exercise, held: Held) -> bool {
    let named = modifier.exercises.is_empty() || modifier.exercises.contains(&exercise.id);
    let spared = match held {
        Held::Unknown(_) => case.protects(exercise),
        Held::Yes | Held::No => false,
    };
    named && !spared
}
