//! The walk over every state: which states, what must hold of them, and the checker's own eyes.
//!
//! The binary `walk` runs it; `fish` proves that each kind of wrong is found.

pub mod after;
pub mod check;
pub mod course;
pub mod edges;
pub mod eyes;
pub mod pairs;
pub mod pictures;
pub mod plan;
pub mod read;
pub mod run;
pub mod same;
pub mod speed;
pub mod state;
pub mod walker;
pub mod words;
pub mod world;

use std::path::PathBuf;

/// The repository's own folder.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}
pub mod worse;
