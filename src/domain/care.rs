//! What a sheet says beside the exercises: red flags, home care by day, what is usual and what not.
//!
//! Must not know a patient. Next: `procedure` holds them.

use std::collections::{BTreeMap, BTreeSet};

use super::exercise::Demand;
use super::fact::{Facts, Test};
use super::fitted::{ForWhom, Person, holds};
use super::ids::{
    CareId, ConditionId, EquipmentId, ExerciseId, FlagId, Id as _, OrderKind, StopSignId,
};
use super::quantity::{Minutes, TimesADay};
use super::recorded::Recorded;
use super::source::Source;
use super::time::Window;
use super::word::{CareRow, FlagEffect, KnownFlag, Level, Position, YesNo};

/// Begins a place in a text at which the words of a red flag's level are printed, such as
/// `{ring:wound}`.
pub const RING: &str = "ring:";

/// Words of a red flag in one language.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct FlagWords {
    /// The sign, as asked on the screen.
    pub ask: String,
    /// The sign, as printed on page 1.
    pub hazard: String,
    /// What it may be.
    pub consequence: String,
    /// What was found, on the page of the one who has it.
    pub finding: String,
    /// What the patient says on the phone.
    pub say: String,
    /// What to do until seen.
    pub until: Vec<String>,
    /// What changes in the program, for a flag that restricts.
    pub restrict: Option<String>,
}

/// A red flag of the screen.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct RedFlag {
    /// Its id, the key of the screen.
    pub id: FlagId,
    /// How soon to act.
    pub level: Level,
    /// What it does to the program.
    pub effect: FlagEffect,
    /// Days it is asked.
    pub window: Window,
    /// What "known, unchanged" does to its limits.
    pub known: KnownFlag,
    /// Counts only when this held at an earlier visit.
    pub only_if_before: Option<Test>,
    /// Work that may begin while it stands: it calls for it.
    pub calls_for: BTreeSet<ExerciseId>,
    /// Only for people with one of these; an empty set means everybody.
    pub only_if: BTreeSet<ConditionId>,
    /// Stop signs of exercises that are this sign: its level says whom to ring for them.
    pub stops: BTreeSet<StopSignId>,
    /// Whether it stays once it is there, as a wet wound does: its stop sign says nothing new then.
    pub lasts: YesNo,
    /// Words by language.
    pub words: BTreeMap<String, FlagWords>,
}

impl RedFlag {
    /// Says of whom it is asked, when not of everybody: " (heart only)".
    pub fn of_whom(&self) -> String {
        let ids: Vec<&str> = self.only_if.iter().map(ConditionId::as_str).collect();
        if ids.is_empty() {
            return String::new();
        }
        format!(" ({} only)", ids.join(", "))
    }

    /// Says whether it is asked of somebody with these conditions; with none recorded it is.
    pub fn concerns(&self, conditions: Recorded<&BTreeSet<ConditionId>>) -> bool {
        match conditions {
            Recorded::Yes(all) => self.only_if.is_empty() || !self.only_if.is_disjoint(all),
            Recorded::NotRecorded => true,
        }
    }
}

/// Words of a home care row in one language.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct CareWords {
    /// Left cell.
    pub title: String,
    /// Right cell, with placeholders.
    pub text: String,
    /// Name in the plan of the day.
    pub short: Option<String>,
    /// What it comes to on a day when the whole part is worse.
    pub bad_day: Option<String>,
    /// Words for some people, in the place of these.
    pub fitted: Vec<FittedCare>,
}

/// Words of home care for some people, in the place of the usual ones; what is left out stays.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct FittedCare {
    /// For whom; home care has no dose.
    pub whom: ForWhom,
    /// Left cell.
    pub title: Option<String>,
    /// Right cell, with placeholders.
    pub text: Option<String>,
}

impl CareWords {
    /// Returns the words as a person reads them: a later wording over an earlier.
    #[must_use]
    pub fn fitted_to(&self, person: &Person<'_>) -> Self {
        let mut words = self.clone();
        let fitted = self.fitted.iter();
        for own in fitted.filter(|own| own.whom.is(person, None)) {
            if let Some(title) = &own.title {
                words.title.clone_from(title);
            }
            if let Some(text) = &own.text {
                words.text.clone_from(text);
            }
        }
        words
    }
}

/// Which facts a row hangs on.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Serialize)]
pub struct Whose {
    /// Only when all are known and hold.
    pub only_when: Vec<Test>,
    /// Not when one is known and holds.
    pub unless_when: Vec<Test>,
}

impl Whose {
    /// Says whether a row is for somebody of whom these facts are known.
    pub fn is(&self, facts: &Facts) -> bool {
        self.only_when.iter().all(|test| holds(facts, test))
            && !self.unless_when.iter().any(|test| holds(facts, test))
    }
}

/// What a row of advice asks of the body and of the home.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Serialize)]
pub struct Asks {
    /// What it asks of each joint; none when nobody said, an empty list when it asks for nothing.
    pub demands: Option<Vec<Demand>>,
    /// Positions it speaks of.
    pub positions: BTreeSet<Position>,
    /// What the home must have.
    pub needs: BTreeSet<EquipmentId>,
}

/// A home care row.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct HomeCare {
    /// Its id.
    pub id: CareId,
    /// Its days.
    pub window: Window,
    /// Not for people with any of these.
    pub unless: BTreeSet<ConditionId>,
    /// Only for people with one of these; an empty set means everybody.
    pub only_if: BTreeSet<ConditionId>,
    /// Facts it hangs on.
    pub whose: Whose,
    /// Only while an order of this kind stands.
    pub when_order: Option<OrderKind>,
    /// Not where an order of this kind brings a row of its own.
    pub unless_order: Option<OrderKind>,
    /// Only while one of these red flags narrows the program; an empty set means always.
    pub when_flag: BTreeSet<FlagId>,
    /// What it asks; a row that asks too much is left out.
    pub asks: Asks,
    /// Only in the place of this row, when that one is not for this person or asks too much.
    pub instead_of: Option<CareId>,
    /// Shortest and longest time.
    pub minutes: Option<[Minutes; 2]>,
    /// Shortest and longest gap, in hours.
    pub every_hours: Option<[i64; 2]>,
    /// Times a day, when it is a row of the day.
    pub times_a_day: Option<TimesADay>,
    /// Which table it stands in.
    pub row: CareRow,
    /// Words by language.
    pub words: BTreeMap<String, CareWords>,
    /// What vouches for it.
    pub source: Source,
}

/// A line of plain text for some days.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct TimedLine {
    /// Its id.
    pub id: CareId,
    /// Its days.
    pub window: Window,
    /// What it asks; a line that asks too much is left out.
    pub asks: Asks,
    /// Facts it hangs on.
    pub whose: Whose,
    /// Once this holds the line is no longer said.
    pub met: Option<Test>,
    /// The line by language.
    pub words: BTreeMap<String, String>,
}
