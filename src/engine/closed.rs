//! What keeps anything new off a sheet.
//!
//! Must not know which exercise: `d720_nothing_new` says what may begin all the same.

use crate::domain::ids::FlagId;
use crate::domain::verdict::WhyNot;
use crate::domain::word::Response;

use super::case::Case;
use super::rules::d606_amount_done;

/// Why nothing new may begin, the strictest reason first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Closed {
    /// A red flag narrows the program.
    Flag(FlagId),
    /// Nothing of the last sheet was done.
    NotDone,
    /// The last dose was too much.
    Overdone,
    /// The last dose was tolerable, not settled.
    Tolerable,
}

impl Closed {
    /// Finds it; none when new work may begin.
    pub(crate) fn of(case: &Case<'_>) -> Option<Self> {
        if let Some(flag) = case.answers.narrowed_by.first() {
            return Some(Self::Flag(flag.clone()));
        }
        if d606_amount_done::nothing(case) {
            return Some(Self::NotDone);
        }
        match case.answers.worse_than_settled() {
            Some(Response::Overdone) => Some(Self::Overdone),
            Some(Response::Tolerable) => Some(Self::Tolerable),
            Some(Response::Settled) | None => None,
        }
    }

    /// Returns it as a reason to leave something out.
    pub(crate) fn reason(self) -> WhyNot {
        match self {
            Self::Flag(flag) => WhyNot::FlagNarrows { flag },
            Self::NotDone => WhyNot::NothingDone,
            Self::Overdone => WhyNot::NothingNew {
                response: Response::Overdone,
            },
            Self::Tolerable => WhyNot::NothingNew {
                response: Response::Tolerable,
            },
        }
    }
}
