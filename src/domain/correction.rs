//! A wrong side or operation date put right, or an operation moved, without losing the old value.
//!
//! The episode of a record holds the values in force; the corrections say what they were.
//! Must not decide anything. Next: `timeline` says which visits stand before which correction.

use chrono::NaiveDate;

use super::record::Visit;
use super::source::Origin;
use super::time::OperationDate;
use super::word::Side;

/// What was put right, with both values.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(tag = "what", rename_all = "kebab-case")]
pub enum PutRight {
    /// The operated side.
    Side {
        /// What the record said.
        was: Side,
        /// What is right.
        now: Side,
    },
    /// The day of the operation.
    Operation {
        /// What the record said.
        was: OperationDate,
        /// What is right.
        now: OperationDate,
    },
    /// An operation still to come that was put back or brought forward: nobody was wrong.
    #[serde(rename = "operation-moved")]
    Moved {
        /// Its day until then.
        was: OperationDate,
        /// Its new day.
        now: OperationDate,
    },
}

/// A correction of what the episode is about.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Correction {
    /// What was put right.
    pub what: PutRight,
    /// Why.
    pub because: String,
    /// Who.
    pub by: String,
    /// When.
    pub on: NaiveDate,
    /// How many visits stood in the record then; their sheets are void, save when it was moved.
    pub visits: i64,
    /// Where it stands.
    pub origin: Origin,
}

impl Correction {
    /// Says whether a visit stood in the record already.
    pub fn follows(&self, visit: &Visit) -> bool {
        visit.n <= self.visits
    }

    /// Says whether it makes the sheet of a visit void; an operation moved makes none.
    pub fn voids(&self, visit: &Visit) -> bool {
        match self.what {
            PutRight::Side { .. } | PutRight::Operation { .. } => self.follows(visit),
            PutRight::Moved { .. } => false,
        }
    }

    /// Says whether it lies between two visits: the earlier one is void for the later one.
    pub fn parts(&self, earlier: &Visit, later: &Visit) -> bool {
        self.voids(earlier) && !self.voids(later)
    }

    /// Says whether it is about the side: nothing found before it was of the right one.
    pub fn is_of_side(&self) -> bool {
        matches!(self.what, PutRight::Side { .. })
    }
}
