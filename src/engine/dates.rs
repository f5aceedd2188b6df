//! Calendar steps that cannot overflow.
//!
//! Must not read a clock.

use chrono::{NaiveDate, TimeDelta};

use crate::domain::time::{Day, OperationDate};

/// Returns the date so many days later, or earlier when negative; stays put at the calendar's end.
pub(crate) fn later(date: NaiveDate, days: i64) -> NaiveDate {
    TimeDelta::try_days(days)
        .and_then(|step| date.checked_add_signed(step))
        .unwrap_or(date)
}

/// Counts the days from one date to another.
pub(crate) fn days_between(first: NaiveDate, last: NaiveDate) -> i64 {
    last.signed_duration_since(first).num_days()
}

/// Returns the calendar date of a day since the operation.
pub(crate) fn date_of(operation: OperationDate, day: Day) -> NaiveDate {
    later(operation.0, day.get())
}

/// Lists the dates from the first to the last, both included.
pub(crate) fn each(first: NaiveDate, last: NaiveDate) -> impl Iterator<Item = NaiveDate> {
    (0..=days_between(first, last)).map(move |days| later(first, days))
}
