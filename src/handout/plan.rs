//! Your day: which exercise at which slot, then walks, cold with the leg up, and hourly work.

use super::care::care_rows;
use super::dates;
use super::dose_words::how_much;
use super::entry::{Entries, Entry};
use super::error::HandoutError;
use super::model::{Labelled, Plan, PlanCell, PlanRow};
use super::numbers::span;
use super::pain::takes_medicine;
use super::wording::Wording;
use crate::domain::dose::Often;
use crate::domain::phrase::Phrase;
use crate::domain::procedure::{CareWords, HomeCare};
use crate::domain::quantity::Quantity;
use crate::domain::verdict::Program;
use crate::domain::word::{CareRow, Slot};

/// Slots a plan can show.
const MOST_SLOTS: usize = 4;
/// With so many slots there is only room for a clock under each name.
const SLOTS_WITH_CLOCK: usize = 4;

/// Writes the plan; `left_over` are lines of the message that go under it.
pub(super) fn plan(
    words: &Wording<'_>,
    program: &Program,
    entries: &Entries<'_>,
    left_over: Vec<String>,
) -> Result<Plan, HandoutError> {
    let slots = shown_slots(program)?;
    let mut rows = Vec::new();
    for entry in entries.numbered.iter().chain(&entries.daily) {
        rows.push(row(words, entry, &slots)?);
    }
    for (care, texts) in care_rows(words, program)? {
        if care.row == CareRow::Day {
            rows.push(care_row(words, care, &texts, &slots)?);
        }
    }
    for entry in &entries.background {
        rows.push(row(words, entry, &slots)?);
    }
    Ok(Plan {
        title: words.plain(Phrase::PlanTitle)?,
        slots: heads(words, &slots)?,
        rows,
        notes: notes(words, program, entries, left_over)?,
    })
}

/// Lists the slots of the day at which anything is done, in order.
pub(super) fn shown_slots(program: &Program) -> Result<Vec<Slot>, HandoutError> {
    let items = || {
        program
            .items
            .iter()
            .chain(&program.daily)
            .chain(&program.background)
    };
    let mut slots = program.slots.clone();
    slots.retain(|slot| items().any(|item| item.slots.contains(slot)));
    if slots.len() > MOST_SLOTS {
        return Err(HandoutError::TooManySlots(slots.len()));
    }
    Ok(slots)
}

fn heads(words: &Wording<'_>, slots: &[Slot]) -> Result<Vec<Labelled>, HandoutError> {
    let clock = slots.len() >= SLOTS_WITH_CLOCK;
    let head = |slot: &Slot| {
        let phrases = dates::slot(*slot);
        let hint = if clock { phrases.clock } else { phrases.hint };
        Ok(Labelled {
            label: words.plain(phrases.name)?,
            value: words.plain(hint)?,
        })
    };
    slots.iter().map(head).collect()
}

fn row(words: &Wording<'_>, entry: &Entry<'_>, slots: &[Slot]) -> Result<PlanRow, HandoutError> {
    let at = |slot: &Slot| {
        if entry.item.slots.contains(slot) {
            PlanCell::Due
        } else {
            PlanCell::Free
        }
    };
    let (cells, across) = match entry.item.dose.often {
        Often::Hourly => (Vec::new(), Some(words.plain(Phrase::PlanAwake)?)),
        Often::Times(_) => (slots.iter().map(at).collect(), None),
    };
    Ok(PlanRow {
        number: entry.number,
        name: words.tell(&entry.words.short, &[])?,
        how_much: how_much(words, &entry.item.dose)?,
        cells,
        across,
    })
}

/// Writes a care row: at the last slots of the day, so that cold follows exercise.
fn care_row(
    words: &Wording<'_>,
    care: &HomeCare,
    texts: &CareWords,
    slots: &[Slot],
) -> Result<PlanRow, HandoutError> {
    let name = texts.short.as_ref().unwrap_or(&texts.title);
    // The plan has room for one number, the least; the row of home care tells the span.
    let how_much = match care.minutes {
        Some([least, _]) => words.say(Phrase::MinutesMany, &[("n", &least.get().to_string())])?,
        None => String::new(),
    };
    let times = care
        .times_a_day
        .and_then(|times| usize::try_from(times.get()).ok());
    let (cells, across) = match (times, care.every_hours) {
        (Some(times), _) if times <= slots.len() => {
            let free = slots.len().saturating_sub(times);
            let cell = |(at, _)| {
                if at < free {
                    PlanCell::Free
                } else {
                    PlanCell::Due
                }
            };
            (slots.iter().enumerate().map(cell).collect(), None)
        }
        (Some(times), _) => {
            let across = words.say(Phrase::PlanCareTimes, &[("n", &times.to_string())])?;
            (Vec::new(), Some(across))
        }
        (None, Some([from, to])) => {
            let hours = span(words, from, to)?;
            (
                Vec::new(),
                Some(words.say(Phrase::PlanCareGap, &[("hours", &hours)])?),
            )
        }
        (None, None) => (Vec::new(), Some(words.plain(Phrase::PlanCareAny)?)),
    };
    Ok(PlanRow {
        number: None,
        name: words.tell(name, &[])?,
        how_much,
        cells,
        across,
    })
}

fn notes(
    words: &Wording<'_>,
    program: &Program,
    entries: &Entries<'_>,
    left_over: Vec<String>,
) -> Result<Vec<String>, HandoutError> {
    let mut notes = left_over;
    for entry in entries.numbered.iter().chain(&entries.daily) {
        notes.extend(days_note(words, program, entry)?);
    }
    if takes_medicine(program) {
        notes.push(words.plain(Phrase::PlanMedicine)?);
    }
    Ok(notes)
}

/// Says on which days of the week, for work that is not done daily.
fn days_note(
    words: &Wording<'_>,
    program: &Program,
    entry: &Entry<'_>,
) -> Result<Option<String>, HandoutError> {
    let name = entry.short_name(words)?;
    if let Some(days) = entry.weekdays(words)? {
        let only = words.say(Phrase::PlanWeekdays, &[("name", &name), ("days", &days)])?;
        let Some(first) = entry.first_day(program.life) else {
            return Ok(Some(only));
        };
        let first = words.say(Phrase::FirstOn, &[("date", &dates::full(words, first)?)])?;
        return Ok(Some(format!("{only} {first}")));
    }
    let week = entry.item.dose.days_a_week.get();
    if week == 7 {
        return rest_note(words, program, entry, &name);
    }
    let n = week.to_string();
    words
        .say(Phrase::PlanPerWeek, &[("name", &name), ("n", &n)])
        .map(Some)
}

/// Says of daily work that rests first from when it is due: the grid shows a usual day.
fn rest_note(
    words: &Wording<'_>,
    program: &Program,
    entry: &Entry<'_>,
    name: &str,
) -> Result<Option<String>, HandoutError> {
    if entry.item.rests_until.is_none() {
        return Ok(None);
    }
    let Some(date) = entry.first_day(program.life) else {
        return words
            .say(Phrase::RestWholeSheet, &[("name", name)])
            .map(Some);
    };
    let date = dates::full(words, date)?;
    words
        .say(Phrase::PlanRest, &[("name", name), ("date", &date)])
        .map(Some)
}
