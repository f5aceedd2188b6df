//! What must be answered before there is a program, and who can.
//!
//! Ids alone; the sentences are made in `handout`.

use super::ids::{CriterionId, FlagId, OrderKind, PhaseId};
use super::time::{Day, VisitDate};
use super::verdict::FlagRaised;
use super::word::Fact;
/// Who can answer a question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Asked {
    /// The patient, now.
    Patient,
    /// The clinician who looks at the patient.
    Clinician,
    /// The surgical team.
    Surgeon,
}

/// A question that must be answered first.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[serde(tag = "question", rename_all = "kebab-case")]
pub enum Question {
    /// The record has no visit for that date.
    NoVisit,
    /// These flags were not asked.
    Screen {
        /// Which.
        flags: Vec<FlagId>,
    },
    /// Other illnesses were not asked.
    Conditions,
    /// No order says what the leg may bear.
    WeightBearing,
    /// The surgeon has no standing orders in the clinic file and the record has none.
    StandingOrders,
    /// An order whose value or end is still open.
    OpenOrder {
        /// Which.
        what: OrderKind,
    },
    /// A safety criterion is not known.
    Criterion {
        /// Which.
        criterion: CriterionId,
        /// In which phase.
        phase: PhaseId,
    },
    /// A fact a rule must have.
    Fact {
        /// Which.
        fact: Fact,
    },
    /// The day lies beyond the library.
    BeyondLibrary {
        /// The first day it covers.
        first_day: Day,
        /// The last day it covers.
        last_day: Day,
    },
}

/// No program yet: questions.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Unanswered {
    /// Decided for this date.
    pub date: VisitDate,
    /// Day since the operation.
    pub day: Day,
    /// What must be answered, and by whom.
    pub questions: Vec<(Question, Asked)>,
    /// Flags raised all the same: these are acted on first.
    pub flags: Vec<FlagRaised>,
}
