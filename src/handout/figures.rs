//! The contact sheet: every picture of the library for one side, for the clinician to look through.
//!
//! Clinician's text alone, so its words stand here. Next: `render` draws it.

use std::collections::BTreeMap;

use super::form::frame;
use super::model::{FigureRow, FigureSheet, Picture};
use crate::domain::exercise::Exercise;
use crate::domain::ids::{ExerciseId, HowId, Id};
use crate::domain::library::Library;
use crate::domain::pose::Pose;
use crate::domain::word::Side;
use crate::figure::{Case, FigureError, cases, fault, pair};

/// Draws every exercise of the libraries and every way of it, as usual doses have it.
///
/// Each exercise stands once, as the operation has it that knows most rungs of it.
pub fn sheet(
    first: &Library,
    others: &[&Library],
    side: Side,
) -> Result<Box<FigureSheet>, FigureError> {
    let mut exercises: BTreeMap<&ExerciseId, &Exercise> = BTreeMap::new();
    for library in std::iter::once(&first).chain(others) {
        for (id, exercise) in &library.exercises {
            let fuller = exercises
                .get(id)
                .is_none_or(|other| other.rungs.len() < exercise.rungs.len());
            if fuller {
                exercises.insert(id, exercise);
            }
        }
    }
    let mut rows = Vec::new();
    for exercise in exercises.values() {
        rows.extend(ways(exercise, side)?);
    }
    let title = match side {
        Side::Left | Side::Right => format!("Pictures, {side} side"),
        Side::Both => "Pictures, both sides".to_owned(),
    };
    Ok(Box::new(FigureSheet {
        frame: frame(first, &title, None),
        title,
        rows,
    }))
}

/// Draws the ways of one exercise, each once.
fn ways(exercise: &Exercise, side: Side) -> Result<Vec<FigureRow>, FigureError> {
    let mut rows: Vec<FigureRow> = Vec::new();
    let usual = cases(exercise).into_iter().filter(|case| case.usual);
    for case in usual {
        let way = case.shown.how.as_ref().map_or("", HowId::as_str);
        if rows.iter().any(|row| row.way == way) {
            continue;
        }
        let drawn = pair(&exercise.pose, side, &case.shown)?;
        let name = exercise.id.as_str();
        let picture = |drawing, caption: &str| Picture {
            drawing,
            caption: caption.to_owned(),
            alt: format!("{name} {way}, {caption}"),
        };
        rows.push(FigureRow {
            name: name.to_owned(),
            way: way.to_owned(),
            pictures: [picture(drawn.start, "Start"), picture(drawn.end, "End")],
        });
    }
    Ok(rows)
}

/// Draws all that libraries may ask for and says, with file, line and column, what cannot be drawn.
///
/// What several libraries ask alike is drawn once.
pub fn faults(libraries: &[&Library]) -> Vec<String> {
    let mut told = Vec::new();
    let mut seen: Vec<(&Pose, Case)> = Vec::new();
    let exercises = libraries
        .iter()
        .flat_map(|library| library.exercises.values());
    for exercise in exercises {
        for case in cases(exercise) {
            let pose = &exercise.pose;
            if seen
                .iter()
                .any(|(before, same)| *before == pose && *same == case)
            {
                continue;
            }
            if let Some(fault) = fault(pose, &case) {
                let (at, name) = (&pose.origin, &case.name);
                told.push(format!(
                    "{}:{}:{}: the picture cannot be drawn ({name}): {fault}",
                    at.path, at.line, at.column
                ));
            }
            seen.push((pose, case));
        }
    }
    told
}
