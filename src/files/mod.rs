//! Text to checked values: the library, the clinic's file and a patient record.
//!
//! Every problem of every file is told at once, with its place and what to do.
//! The only module that reads TOML into values; must not decide anything clinical.
//! Next: `engine` decides with what is read here.

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
        clippy::unwrap_used,
        clippy::panic,
        clippy::indexing_slicing,
        clippy::arithmetic_side_effects,
        reason = "a test that meets the unexpected must fail"
    )
)]

mod checks;
mod clinic;
pub mod codes;
mod control;
mod depth;
mod digest;
mod encoding;
mod exercise;
mod fact_test;
mod head;
mod inherit;
pub mod kind;
mod language;
pub mod library;
mod nearest;
mod node;
pub mod page;
mod placed;
mod plain_text;
pub mod problem;
mod procedure;
mod reader;
mod reading;
pub mod record;
mod scan;
pub mod shelf;
pub mod source;
mod sources;
mod typeset;
mod values;
mod vocabulary;
mod vouch;
mod window;
pub mod words;
mod wrong;
