//! The one test binary. Each module is one topic; a tidy test checks that none is forgotten.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::cast_precision_loss,
    clippy::needless_pass_by_value,
    clippy::single_match_else,
    clippy::wildcard_enum_match_arm,
    reason = "a test may stop where it finds something wrong"
)]

mod bad_input;
mod bad_weeks;
mod before;
mod braced;
mod cases;
mod columns;
mod commands;
mod common_practice;
mod corrections;
mod due;
mod errors;
mod figures;
mod file_names;
mod form;
mod handout;
mod hazards;
mod help;
mod kneeling;
mod library;
mod missing;
mod pages;
mod prescriptions;
mod procedures;
mod profiles;
mod published;
mod safety;
mod shipped;
mod spoilt_files;
mod support;
mod tidy;
mod together;
#[allow(
    dead_code,
    clippy::print_stdout,
    reason = "the binary `walk` runs the rest of it, and prints"
)]
mod walk;
#[path = "walk/fish.rs"]
mod walk_fish;
mod weeks;
