//! `banister` turns a patient record after a joint replacement into a home exercise program.
//!
//! Data flows one way:
//!
//! ```text
//! protocols/ + shared/ ─ files ─> Library ─┐
//! record.toml ────────── files ─> Record  ─┼─ engine::decide (pure) ─> Verdict ─┬─ handout ─> Document ─ render ─> PDF, text
//! visit date ──────────────────────────────┘                                   └─ handout::explain ─> text, JSON
//! ```

pub mod cli;
pub mod domain;
pub mod engine;
pub mod figure;
pub mod files;
pub mod handout;
pub mod render;
pub mod store;
