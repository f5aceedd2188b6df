//! Documents drawn on a medium: plain text and paper.
//!
//! Must not write a sentence of its own: every word comes from `handout::model`.

pub mod pdf;
pub mod svg;
pub mod text;
