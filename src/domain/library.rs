//! The library one decision looks at: a procedure, its exercises and the clinic on top.

use std::collections::BTreeMap;

use super::clinic::Clinic;
use super::exercise::Exercise;
use super::ids::{ExerciseId, SourceKey};
use super::procedure::Procedure;
use super::source::Work;

/// Digests of the files a library was read from, `sha256:` and 64 hex digits each.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Digests {
    /// The built-in files.
    pub built_in: String,
    /// The clinic's files.
    pub clinic: String,
    /// Over both; its first 8 digits are printed on every page.
    pub both: String,
}

/// A procedure, the exercises it names and the clinic that uses them.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Library {
    /// The operation.
    pub procedure: Procedure,
    /// Exercises by id; every id the procedure names is here.
    pub exercises: BTreeMap<ExerciseId, Exercise>,
    /// The clinic.
    pub clinic: Clinic,
    /// Bibliography.
    pub sources: BTreeMap<SourceKey, Work>,
    /// What it was read from.
    pub digests: Digests,
}
