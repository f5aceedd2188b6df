//! Checks that reach across files: what is pointed at exists, and the parts fit each other.
//!
//! Each part has a module of its own. Must not decide for a patient.

mod ladder;
mod limits;
mod links;
mod missing;
mod phases;

use std::collections::BTreeMap;

use crate::domain::exercise::Exercise;
use crate::domain::ids::{ExerciseId, SourceKey};
use crate::domain::procedure::Procedure;
use crate::domain::source::Work;

use super::reading::Reading;
use super::shelf::Shelf;

/// What the checks look at; an exercise with problems of its own is not in it.
pub struct Files<'a> {
    /// Every file of the library.
    pub shelf: &'a Shelf,
    /// The procedure.
    pub procedure: &'a Procedure,
    /// Its exercises.
    pub exercises: &'a BTreeMap<ExerciseId, Exercise>,
    /// The bibliography, if it could be read.
    pub works: Option<&'a BTreeMap<SourceKey, Work>>,
}

/// Runs every check.
pub fn run(files: &Files<'_>, reading: &mut Reading) {
    links::check(files, reading);
    missing::check(files, reading);
    ladder::check(files, reading);
    phases::check(files, reading);
    limits::check(files, reading);
}
