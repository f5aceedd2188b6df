//! What the screen and the review lines found: signs raised or standing, measures past a line.
//!
//! Ids and both sides of each comparison; sentences are made in `handout`.

use chrono::NaiveDate;

use super::ids::FlagId;
use super::procedure::ReviewLine;
use super::verdict::{Program, RuleId};
use super::word::{Fact, FlagEffect, Level, ReviewTell, YesNo};

/// A red flag that calls for somebody.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct FlagRaised {
    /// Which.
    pub flag: FlagId,
    /// How soon.
    pub level: Level,
    /// What it does.
    pub effect: FlagEffect,
    /// Rule that raised it.
    pub rule: RuleId,
    /// What was answered, and why that raises it.
    pub why: RaisedBy,
}

/// Why a red flag is raised.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum RaisedBy {
    /// The sign is new or worse.
    Yes,
    /// It is new or worse, though it was assessed on this day and that would still count.
    NewSince(NaiveDate),
    /// It was on this day, and nobody has assessed it since, whatever is answered now.
    NotAssessedSince(NaiveDate),
    /// It is called known, and nobody ever assessed it.
    NeverAssessed,
    /// It is called known, and its assessment counted until this day.
    AssessmentOver(NaiveDate),
}

/// A red flag that was assessed, or is known and unchanged.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct FlagStood {
    /// Which.
    pub flag: FlagId,
    /// By whom it was assessed and until when it counts; none when it is known and unchanged.
    pub cleared: Option<(String, NaiveDate)>,
    /// Its limits stand all the same.
    pub limits_stand: bool,
}

/// A measure past a review line.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct ReviewDue {
    /// The measure.
    pub fact: Fact,
    /// Its value.
    pub value: i64,
    /// The line.
    pub line: ReviewLine,
    /// What it was before, where the line looks back.
    pub before: Option<Earlier>,
    /// Whom it tells.
    pub tell: ReviewTell,
    /// All but motion work keeps at most.
    pub keeps: YesNo,
}

/// An earlier value a measure is held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct Earlier {
    /// The value.
    pub value: i64,
    /// How many days lie between the two.
    pub days_ago: i64,
}

impl Program {
    /// Says whether a red flag stands: raised, or assessed or known with its limits kept.
    pub fn stands(&self, flag: &FlagId) -> bool {
        self.standing().any(|standing| standing == flag)
    }

    /// Lists the red flags that stand.
    pub fn standing(&self) -> impl Iterator<Item = &FlagId> {
        let raised = self.flags.iter().map(|raised| &raised.flag);
        let stood = self.stood.iter().filter(|stood| stood.limits_stand);
        raised.chain(stood.map(|stood| &stood.flag))
    }
}
