//! Why a call cannot leave the sheet at home as it is, as ids and numbers.
//!
//! Must not hold sentences. Next: `engine::keep` finds them, `handout::explain` says them.

use chrono::NaiveDate;

use super::ids::{FlagId, OrderKind};
use super::overtaken::SheetLine;

/// A sheet that may stay at home.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AtHome {
    /// Its number.
    pub sheet: i64,
    /// Its last day, included.
    pub until: NaiveDate,
}

/// One reason why the sheet at home does not stay as it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotKept {
    /// The visit was in person: it has a sheet of its own.
    Seen,
    /// The visit corrects one that had a sheet, and that was decided with what was wrong.
    Corrects,
    /// No sheet was given yet.
    NothingAtHome,
    /// What was given last withholds exercises.
    NoExercises {
        /// Its number.
        sheet: i64,
    },
    /// The sheet is void, or counts the days to another operation date.
    PutRight {
        /// Its number.
        sheet: i64,
    },
    /// The sheet and the days for a slipped visit are over.
    Over {
        /// Its number.
        sheet: i64,
        /// The last day it stood.
        until: NaiveDate,
    },
    /// The next visit named at the call lies beyond the sheet.
    NextVisit {
        /// The day named.
        on: NaiveDate,
        /// The last day the sheet stands if the visit slips.
        until: NaiveDate,
    },
    /// There will be no next visit, and the sheet counts on one.
    NoNextVisit,
    /// Questions must be answered first.
    Unanswered,
    /// Exercises are withheld.
    Withheld,
    /// A sign is new or worse.
    Sign {
        /// Which.
        flag: FlagId,
    },
    /// An order is newer than the sheet.
    Order {
        /// Which.
        what: OrderKind,
        /// When it was given.
        on: NaiveDate,
    },
    /// The last dose was too much.
    Overdone,
    /// The answers of the call ask for something to be done.
    Action,
    /// The clinician changed the program at the call.
    Word,
    /// What is known of the person changed.
    Person,
    /// Something on the sheet asks for more than may be done now.
    Line(SheetLine),
}
