//! Dates as people type them at a desk.
//!
//! Read back with the weekday; a form that could be read in two ways is refused.

use chrono::{Datelike, Days, Months, NaiveDate};

/// Which way a date without a year leans.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lean {
    /// The next one from today on.
    Future,
    /// The one that is nearest to today, past or ahead.
    Nearest,
}

/// What is said when a date cannot be read.
const FORMS: &str = "a date is typed as 2026-03-02, 2 mar, today, -2 (two days ago) or +14";

/// Reads a date: `2026-03-02`, `2 mar`, `2 mar 2026`, `today`, `-2`, `+14`.
pub fn read(typed: &str, today: NaiveDate, lean: Lean) -> Result<NaiveDate, String> {
    let text = typed.trim().to_lowercase();
    let refused = || format!("`{}` is not a date here: {FORMS}", typed.trim());
    if text == "today" {
        return Ok(today);
    }
    if let Ok(date) = text.parse::<NaiveDate>() {
        return in_century(date).ok_or_else(refused);
    }
    if let Some(days) = text.strip_prefix('+').and_then(|days| days.parse().ok()) {
        let date = today.checked_add_days(Days::new(days));
        return date.and_then(in_century).ok_or_else(refused);
    }
    if let Some(days) = text.strip_prefix('-').and_then(|days| days.parse().ok()) {
        let date = today.checked_sub_days(Days::new(days));
        return date.and_then(in_century).ok_or_else(refused);
    }
    day_and_month(&text, today, lean).ok_or_else(refused)
}

/// Keeps to the years a record may hold.
fn in_century(date: NaiveDate) -> Option<NaiveDate> {
    (1990..=2099).contains(&date.year()).then_some(date)
}

fn day_and_month(text: &str, today: NaiveDate, lean: Lean) -> Option<NaiveDate> {
    let digits = text.find(|c: char| !c.is_ascii_digit())?;
    let (day, rest) = text.split_at_checked(digits)?;
    let day: u32 = day.parse().ok()?;
    let mut words = rest.split_whitespace();
    let month = month(words.next()?)?;
    match (words.next(), words.next()) {
        (Some(year), None) => {
            let year = year.parse().ok().filter(|_| year.len() == 4)?;
            in_century(NaiveDate::from_ymd_opt(year, month, day)?)
        }
        (None, _) => leaning(day, month, today, lean),
        (Some(_), Some(_)) => None,
    }
}

fn leaning(day: u32, month: u32, today: NaiveDate, lean: Lean) -> Option<NaiveDate> {
    let year = today.year();
    let years = [year - 1, year, year + 1].into_iter();
    let dates = years.filter_map(|year| NaiveDate::from_ymd_opt(year, month, day));
    let far = |date: &NaiveDate| date.signed_duration_since(today).num_days().abs();
    dates
        .filter(|date| match lean {
            Lean::Future => *date >= today,
            Lean::Nearest => true,
        })
        .min_by_key(far)
}

fn month(word: &str) -> Option<u32> {
    let names = [
        "january",
        "february",
        "march",
        "april",
        "may",
        "june",
        "july",
        "august",
        "september",
        "october",
        "november",
        "december",
    ];
    let mut fits = (1_u32..)
        .zip(names)
        .filter(|(_, name)| word.len() >= 3 && name.starts_with(word));
    fits.next().map(|(n, _)| n)
}

/// Writes a date with its weekday and how far it is from today.
pub fn shown(date: NaiveDate, today: NaiveDate) -> String {
    let days = date.signed_duration_since(today).num_days();
    let far = match days {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        -1 => "yesterday".to_owned(),
        2.. => format!("in {days} days"),
        _ => format!("{} days ago", days.saturating_abs()),
    };
    let written = date.format("%A %-d %B %Y");
    let year = Months::new(12);
    let odd = today
        .checked_sub_months(year)
        .is_some_and(|then| date < then)
        || today
            .checked_add_months(year)
            .is_some_and(|then| date > then);
    let odd = if odd { "; is the year right?" } else { "" };
    format!("{written}, {far}{odd}")
}

/// Writes a date short: `4 Mar`.
pub fn short(date: NaiveDate) -> String {
    date.format("%-d %b").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn people_type_dates_in_many_ways() {
        let today = day("2026-03-04");
        for (typed, lean, is) in [
            ("2026-03-02", Lean::Nearest, "2026-03-02"),
            ("2 mar", Lean::Nearest, "2026-03-02"),
            ("2mar", Lean::Nearest, "2026-03-02"),
            ("28 December", Lean::Nearest, "2025-12-28"),
            ("28 dec", Lean::Future, "2026-12-28"),
            ("2 mar", Lean::Future, "2027-03-02"),
            ("2 mar 2025", Lean::Nearest, "2025-03-02"),
            ("today", Lean::Nearest, "2026-03-04"),
            ("-2", Lean::Nearest, "2026-03-02"),
            ("+14", Lean::Future, "2026-03-18"),
            ("1 apr", Lean::Nearest, "2026-04-01"),
        ] {
            assert_eq!(read(typed, today, lean), Ok(day(is)), "{typed}");
        }
    }

    #[test]
    fn what_could_be_read_in_two_ways_is_refused() {
        let today = day("2026-03-04");
        for typed in [
            "2/3/2026",
            "02.03.26",
            "3-2",
            "30 feb",
            "2 ma",
            "2 mar 26",
            "2 mars",
            "+",
            "-",
            "",
            "1889-01-01",
            "+999999999999",
            "-999999999",
            "2 mar 2026 x",
            "mar 2",
            "2é",
        ] {
            let refused = read(typed, today, Lean::Nearest);
            assert!(refused.is_err(), "{typed}: {refused:?}");
        }
    }

    #[test]
    fn a_date_is_read_back_with_its_weekday() {
        let today = day("2026-03-04");
        assert_eq!(
            shown(day("2026-03-02"), today),
            "Monday 2 March 2026, 2 days ago"
        );
        assert_eq!(
            shown(day("2025-03-02"), today),
            "Sunday 2 March 2025, 367 days ago; is the year right?"
        );
    }
}
