//! A dose in words: number, unit, hold, rest, how often, when, the day's total and the ceiling.
//!
//! Every sentence stands by itself, so that a person, or a test, can read the dose back.

use super::dates;
use super::entry::Entry;
use super::error::HandoutError;
use super::model::DoseWords;
use super::numbers::{DEGREES, HOLD, LOWER, MINUTES, PAUSE, TIMES, count, duration};
use super::wording::Wording;
use crate::domain::dose::{Amount, Dose, Often};
use crate::domain::exercise::Exercise;
use crate::domain::ids::Id;
use crate::domain::phrase::Phrase;
use crate::domain::quantity::{Grams, Quantity};
use crate::domain::verdict::Life;
use crate::domain::word::{Band, Row, Sides, Support};

/// A shorter pause is part of the movement and is not printed.
const SHORTEST_PAUSE_SAID: i64 = 5;

/// Says how much: "10 times", "2 rounds of 8", "5 minutes".
pub(super) fn how_much(words: &Wording<'_>, dose: &Dose) -> Result<String, HandoutError> {
    match dose.amount {
        Amount::Timed { minutes } => count(words, MINUTES, minutes.get()),
        Amount::Counted {
            sets, repetitions, ..
        } if sets.get() > 1 => words.say(
            Phrase::Rounds,
            &[
                ("sets", &sets.get().to_string()),
                ("n", &repetitions.get().to_string()),
            ],
        ),
        Amount::Counted { repetitions, .. } => count(words, TIMES, repetitions.get()),
    }
}

/// Says the whole dose of one block.
pub(super) fn dose_words(
    words: &Wording<'_>,
    entry: &Entry<'_>,
    life: Life,
) -> Result<DoseWords, HandoutError> {
    let dose = &entry.item.dose;
    let (number, unit) = number_and_unit(words, dose)?;
    let mut lines = effort_lines(words, dose)?;
    lines.extend(round_lines(words, dose)?);
    lines.extend(words.each_leg(entry.exercise)?);
    lines.extend(day_lines(words, entry, life)?);
    let when = match dose.often {
        Often::Times(_) => dates::slots_inline(words, &entry.item.slots)?,
        Often::Hourly => words.plain(Phrase::HourlyWhen)?,
    };
    Ok(DoseWords {
        number,
        unit,
        lines,
        often: often(words, dose)?,
        when,
        total: total(words, entry.exercise, dose)?,
    })
}

fn number_and_unit(words: &Wording<'_>, dose: &Dose) -> Result<(String, String), HandoutError> {
    let (number, one, many) = match dose.amount {
        Amount::Counted { repetitions, .. } => (
            repetitions.get(),
            Phrase::TimesUnitOne,
            Phrase::TimesUnitMany,
        ),
        Amount::Timed { minutes } => (
            minutes.get(),
            Phrase::MinutesUnitOne,
            Phrase::MinutesUnitMany,
        ),
    };
    let unit = words.plain(if number == 1 { one } else { many })?;
    Ok((number.to_string(), unit))
}

/// Says hold, lowering, pause, weight, band, hands, heights and range, each that applies.
pub(super) fn effort_lines(words: &Wording<'_>, dose: &Dose) -> Result<Vec<String>, HandoutError> {
    let mut lines = Vec::new();
    if let Amount::Counted {
        hold_s, pause_s, ..
    } = dose.amount
    {
        if hold_s.get() > 0 {
            lines.push(count(words, HOLD, hold_s.get())?);
        }
        if let Some(lower) = dose.lower_s.filter(|lower| lower.get() > 0) {
            lines.push(count(words, LOWER, lower.get())?);
        }
        if pause_s.get() >= SHORTEST_PAUSE_SAID {
            lines.push(count(words, PAUSE, pause_s.get())?);
        }
    }
    if let Some(load) = dose.load_g {
        lines.push(weight(words, load)?);
    }
    if let Some(band) = dose.band {
        lines.push(words.plain(match band {
            Band::Light => Phrase::BandLight,
            Band::Medium => Phrase::BandMedium,
            Band::Firm => Phrase::BandFirm,
        })?);
    }
    if let Some(support) = dose.support {
        lines.push(words.plain(match support {
            Support::TwoHands => Phrase::SupportTwoHands,
            Support::OneHand => Phrase::SupportOneHand,
            Support::Fingertips => Phrase::SupportFingertips,
            Support::None => Phrase::SupportNone,
        })?);
    }
    for (phrase, centimetres) in [
        (Phrase::StepHeight, dose.height_cm),
        (Phrase::SeatHeight, dose.seat_cm),
    ] {
        if let Some(centimetres) = centimetres {
            lines.push(words.say(phrase, &[("n", &centimetres.get().to_string())])?);
        }
    }
    if let Some(range) = dose.range_degrees {
        let degrees = count(words, DEGREES, range.get())?;
        lines.push(words.say(Phrase::RangeShown, &[("degrees", &degrees)])?);
    }
    Ok(lines)
}

fn weight(words: &Wording<'_>, load: Grams) -> Result<String, HandoutError> {
    let grams = load.get();
    let (phrase, n) = match (grams % 1000, grams / 1000) {
        (0, 1) => (Phrase::LoadKilogram, 1),
        (0, kilograms) => (Phrase::LoadKilograms, kilograms),
        _ => (Phrase::LoadGrams, grams),
    };
    words.say(phrase, &[("n", &n.to_string())])
}

/// Says what comes after the first round.
fn round_lines(words: &Wording<'_>, dose: &Dose) -> Result<Option<String>, HandoutError> {
    let Amount::Counted {
        sets,
        repetitions,
        rest_s,
        ..
    } = dose.amount
    else {
        return Ok(None);
    };
    let times = count(words, TIMES, repetitions.get())?;
    let rounds = sets.get().to_string();
    let rest = if rest_s.get() > 0 {
        Some(duration(words, rest_s.get())?)
    } else {
        None
    };
    let line = match (sets.get(), rest) {
        (1, _) => return Ok(None),
        (2, None) => words.say(Phrase::Again, &[("times", &times)]),
        (2, Some(rest)) => words.say(Phrase::AgainRest, &[("rest", &rest), ("times", &times)]),
        (_, None) => words.say(Phrase::RoundsDo, &[("sets", &rounds)]),
        (_, Some(rest)) => words.say(Phrase::RoundsRest, &[("sets", &rounds), ("rest", &rest)]),
    };
    line.map(Some)
}

/// Says the named days of the week, and the first of them by date.
fn day_lines(
    words: &Wording<'_>,
    entry: &Entry<'_>,
    life: Life,
) -> Result<Vec<String>, HandoutError> {
    let mut lines = Vec::new();
    if let Some(days) = entry.weekdays(words)? {
        lines.push(words.say(Phrase::OnlyOn, &[("days", &days)])?);
        if let Some(first) = entry.first_day(life) {
            lines.push(words.say(Phrase::FirstOn, &[("date", &dates::full(words, first)?)])?);
        }
    }
    Ok(lines)
}

/// Says how often: "3 times a day", "Once a day, 3 days a week", "Each hour".
pub(super) fn often(words: &Wording<'_>, dose: &Dose) -> Result<String, HandoutError> {
    let daily = match dose.often {
        Often::Hourly => words.plain(Phrase::OftenHourly)?,
        Often::Times(times) if times.get() == 1 => words.plain(Phrase::OftenOne)?,
        Often::Times(times) => words.say(Phrase::OftenMany, &[("n", &times.get().to_string())])?,
    };
    let phrase = match dose.days_a_week.get() {
        7 => return Ok(daily),
        1 => Phrase::OftenWeekOne,
        _ => Phrase::OftenWeekMany,
    };
    words.say(
        phrase,
        &[
            ("often", &daily),
            ("n", &dose.days_a_week.get().to_string()),
        ],
    )
}

/// Says the day's total with its ceiling; walking and the like have no ceiling.
fn total(
    words: &Wording<'_>,
    exercise: &Exercise,
    dose: &Dose,
) -> Result<Option<String>, HandoutError> {
    let amount = match (dose.amount, dose.times_a_day()) {
        (_, None) => return Ok(None),
        (Amount::Timed { minutes }, Some(times)) => {
            count(words, MINUTES, minutes.get().saturating_mul(times.get()))?
        }
        (Amount::Counted { .. }, Some(_)) => {
            count(words, TIMES, dose.daily_repetitions().unwrap_or_default())?
        }
    };
    let phrase = match (exercise.row, exercise.sides) {
        (Row::Daily | Row::Advice | Row::Background, _)
            if dose.times_a_day().is_some_and(|t| t.get() == 1) =>
        {
            return Ok(None);
        }
        (Row::Daily | Row::Advice | Row::Background, _) => Phrase::TotalOpen,
        (Row::Exercise, Sides::Either) => Phrase::TotalEachLeg,
        (Row::Exercise, Sides::Operated | Sides::Both) => Phrase::Total,
    };
    words.say(phrase, &[("amount", &amount)]).map(Some)
}

/// Says which way this rung is done, when it says so.
pub(super) fn how(
    words: &Wording<'_>,
    entry: &Entry<'_>,
    dose: &Dose,
) -> Result<Option<String>, HandoutError> {
    let Some(key) = &dose.how else {
        return Ok(None);
    };
    let under_limit = entry.words.how_if_limited.get(key);
    let under_limit = under_limit.filter(|_| entry.limited);
    let text = under_limit.or(entry.words.how.get(key));
    let text = text.ok_or_else(|| super::wording::unknown("way of doing it", key.as_str()))?;
    words.tell(text, &[]).map(Some)
}
