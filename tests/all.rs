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

mod at_home;
mod bad_input;
mod bad_weeks;
mod before;
mod braced;
mod cases;
mod closing;
mod columns;
mod commands;
mod common_practice;
mod corrections;
mod due;
mod errors;
mod figures;
mod file_names;
mod fitting;
mod form;
mod fuzz;
mod handout;
mod hazards;
mod help;
mod kneeling;
mod left_unsaid;
mod library;
mod missing;
mod new_signs;
mod numb_leg;
mod odd_numbers;
mod old_records;
mod older_copy;
mod one_limit;
mod pages;
mod part_weight;
mod prescriptions;
mod prints;
mod procedures;
mod profiles;
mod published;
mod safety;
mod shipped;
mod signs;
mod spoilt_files;
mod strength_order;
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
#[path = "walk/fish_course.rs"]
mod walk_fish_course;
#[path = "walk/word_fish.rs"]
mod walk_word_fish;
mod weeks;
