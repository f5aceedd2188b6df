//! What a sheet says beside the exercises: red flags, home care by day, what is usual and what not.
//!
//! Must not know a patient. Next: `procedure` holds them.

use std::collections::{BTreeMap, BTreeSet};

use super::exercise::Demand;
use super::fact::Test;
use super::ids::{CareId, ConditionId, EquipmentId, FlagId, OrderKind};
use super::quantity::{Minutes, TimesADay};
use super::source::Source;
use super::time::Window;
use super::word::{CareRow, FlagEffect, KnownFlag, Level, Position};
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
    /// Words by language.
    pub words: BTreeMap<String, FlagWords>,
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
    /// Only while an order of this kind stands.
    pub when_order: Option<OrderKind>,
    /// What it asks; a row that asks too much is left out.
    pub asks: Asks,
    /// Only in the place of this row, when that one asks too much.
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
    /// Once this holds the line is no longer said.
    pub met: Option<Test>,
    /// The line by language.
    pub words: BTreeMap<String, String>,
}
