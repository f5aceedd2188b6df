//! What speaks against giving an old sheet back, as ids and numbers.
//!
//! The bytes never change; what is said beside them does. Must not hold sentences.
//! Next: `engine::reprint` finds it, `handout::explain` says it.

use chrono::NaiveDate;

use super::correction::Correction;
use super::ids::FlagId;
use super::record::{Clearance, LimitOverride, Order};

/// One thing that has changed since a sheet went out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outdated {
    /// No exercises may be done now.
    Withheld {
        /// Since this visit.
        since: NaiveDate,
        /// Signs that nobody has assessed; none when nothing but a new sheet is missing.
        flags: Vec<FlagId>,
    },
    /// A correction has made the sheet void.
    Void {
        /// Which.
        correction: Correction,
    },
    /// The operation was moved after it.
    Moved {
        /// To which day.
        correction: Correction,
    },
    /// The visit it was made for was given again.
    Corrected {
        /// The visit, by number.
        visit: i64,
        /// The visit that counts in its place.
        by: i64,
    },
    /// A newer sheet went out.
    Replaced {
        /// Its number, the latest.
        sheet: i64,
        /// When.
        on: NaiveDate,
    },
    /// An order was written down after it.
    Order {
        /// Which.
        order: Order,
    },
    /// A sign it speaks of was assessed after it.
    Assessed {
        /// By whom and until when.
        clearance: Clearance,
    },
    /// A limit was set aside after it.
    SetAside {
        /// Which and by whom.
        said: LimitOverride,
    },
    /// Its days are over.
    Over {
        /// Its last day, included.
        until: NaiveDate,
        /// The last day if the visit slips, included.
        slip_until: NaiveDate,
    },
}

impl Outdated {
    /// Says whether the sheet must not be used at all.
    pub fn stops(&self) -> bool {
        match self {
            Self::Withheld { .. } | Self::Void { .. } => true,
            Self::Moved { .. }
            | Self::Corrected { .. }
            | Self::Replaced { .. }
            | Self::Order { .. }
            | Self::Assessed { .. }
            | Self::SetAside { .. }
            | Self::Over { .. } => false,
        }
    }
}
