//! Days since the operation and the windows made of them.
//!
//! The day of the operation is day 0; days before it are negative.
//! Printed week = floor(day / 7) + 1. Must not read a clock.

use chrono::NaiveDate;

/// The calendar date of the operation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(transparent)]
pub struct OperationDate(pub NaiveDate);

/// The calendar date a program is decided for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(transparent)]
pub struct VisitDate(pub NaiveDate);

/// Elapsed whole days since the operation; negative before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(transparent)]
pub struct Day(i64);

impl Day {
    /// Counts the days from the operation to a date.
    pub fn of(operation: OperationDate, date: NaiveDate) -> Self {
        Self(date.signed_duration_since(operation.0).num_days())
    }

    /// Makes a day from a plain count.
    pub const fn new(days: i64) -> Self {
        Self(days)
    }

    /// Returns the plain count of days.
    pub const fn get(self) -> i64 {
        self.0
    }

    /// Returns the printed week, from 1; before the operation there is none.
    pub fn week(self) -> Option<i64> {
        (self.0 >= 0).then(|| self.0.div_euclid(7).saturating_add(1))
    }

    /// Says whether the day lies before the operation.
    pub const fn is_before_operation(self) -> bool {
        self.0 < 0
    }

    /// Returns the day a number of days later; saturates at the ends of the integer.
    #[must_use]
    pub fn plus(self, days: i64) -> Self {
        Self(self.0.saturating_add(days))
    }
}

/// Days from `from` (included) to `before` (not included; none is no end).
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct Window {
    /// First day in the window.
    pub from: Day,
    /// First day after the window; none is no end.
    pub before: Option<Day>,
}

impl Window {
    /// A window without either end.
    pub const ALWAYS: Self = Self {
        from: Day(i64::MIN),
        before: None,
    };

    /// Says whether a day lies in the window.
    pub fn holds(self, day: Day) -> bool {
        self.from <= day && self.before.is_none_or(|before| day < before)
    }

    /// Says whether any day from `first` to `last`, both included, lies in the window.
    pub fn touches(self, first: Day, last: Day) -> bool {
        self.from <= last && self.before.is_none_or(|before| first < before)
    }
}
