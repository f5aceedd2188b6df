//! What of the episode is put right, as text.

use chrono::NaiveDate;

use crate::domain::correction::PutRight;
use crate::domain::word::CorrectWhat;

use super::text::{Keys, date, text, word};
use super::{Block, Place};

/// A correction to be written down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewCorrection {
    /// What is put right, with the value in force until now.
    pub what: PutRight,
    /// Why.
    pub because: String,
    /// Who.
    pub by: String,
    /// When.
    pub on: NaiveDate,
    /// How many visits stand in the record now.
    pub visits: i64,
}

/// Returns the block of a correction; the values it replaces stay where they are.
pub fn correction_block(correction: &NewCorrection) -> Block {
    let (what, was, now) = match correction.what {
        PutRight::Side { was, now } => (CorrectWhat::Side, word(was), word(now)),
        PutRight::Operation { was, now } => (CorrectWhat::Operation, date(was.0), date(now.0)),
        PutRight::Moved { was, now } => (CorrectWhat::Moved, date(was.0), date(now.0)),
    };
    let keys = Keys::none()
        .put("what", word(what))
        .put("was", was)
        .put("now", now)
        .put("because", text(&correction.because))
        .put("by", text(&correction.by))
        .put("on", date(correction.on))
        .put("visits", correction.visits);
    Block::new(Place::Record, format!("\n[[correction]]\n{}", keys.lines()))
}
