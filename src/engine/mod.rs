//! The dosage engine: a library, a record and a date in, a verdict out.
//!
//! Pure and total: no clock, no files, no environment, whole numbers only, ordered collections.
//! It names no joint, no operation and no exercise: every clinical number comes from the library.
//! Ten stages run in order, each a short list of small rules in `rules`:
//!
//! ```text
//! gate -> place -> limit -> allow -> need -> answer -> dose -> choose -> plan -> ahead
//! ```
//!
//! The answer to the last dose is heard before the phase is chosen, because some safety criteria
//! look at it. Sentences are made in `handout`.
#![deny(
    clippy::arithmetic_side_effects,
    clippy::as_conversions,
    clippy::float_arithmetic,
    clippy::indexing_slicing,
    clippy::string_slice
)]
#![cfg_attr(
    test,
    allow(
        clippy::arithmetic_side_effects,
        clippy::indexing_slicing,
        reason = "tests may panic"
    )
)]

mod ahead;
mod allow;
mod amount;
mod answer;
mod case;
mod choose;
mod closed;
mod dates;
mod decision;
mod dose;
pub mod due;
mod facts;
mod gate;
mod judge;
pub mod keep;
mod life;
mod limit;
mod log;
mod modify;
mod need;
mod orders;
mod place;
mod plan;
mod profile;
mod program;
pub mod reprint;
pub mod rules;
mod search;
mod stages;

#[cfg(test)]
mod properties;
#[cfg(test)]
mod sample;

pub use decision::decide;
