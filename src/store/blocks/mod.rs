//! The text of every block that may stand in a record.
//!
//! Typed input in, TOML out; inline tables stay on one line; what was not recorded is not written.
//! Must not touch a disk. Next: `compose` puts a block at the end of a record.

pub mod correction;
pub mod dose;
pub mod intake;
pub mod issued;
pub mod text;
pub mod visit;

/// The place in a record that a block belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// The record as a whole, at any time.
    Record,
    /// A new visit with this number.
    NewVisit(i64),
    /// The visit with this number, which must be the last one and open.
    OpenVisit(i64),
}

/// Text to be appended to a record, and the place it belongs to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Block {
    place: Place,
    text: String,
    sealed: Option<i64>,
}

impl Block {
    /// Makes a block; only the builders beside this file do.
    pub(in crate::store) fn new(place: Place, text: String) -> Self {
        Self {
            place,
            text,
            sealed: None,
        }
    }

    /// Has the seal of a visit follow the block: the block closes it.
    pub(in crate::store) fn and_sealed(self, visit: i64) -> Self {
        Self {
            sealed: Some(visit),
            ..self
        }
    }

    /// Returns the visit whose seal follows the text.
    pub fn sealed(&self) -> Option<i64> {
        self.sealed
    }

    /// Returns the place the block belongs to.
    pub fn place(&self) -> Place {
        self.place
    }

    /// Returns the text; it begins with a blank line and ends with a line end.
    pub fn text(&self) -> &str {
        &self.text
    }
}
