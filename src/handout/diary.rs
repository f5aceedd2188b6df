//! The diary: one row a day, one box for each exercise due at each slot.

use chrono::{Datelike, NaiveDate};

use super::dates;
use super::entry::{Entries, Entry};
use super::error::HandoutError;
use super::model::{BoxState, Diary, DiaryBox, DiaryRow, Labelled, Led};
use super::plan::shown_slots;
use super::wording::Wording;
use crate::domain::phrase::Phrase;
use crate::domain::record::NextVisit;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::Program;
use crate::domain::word::{Seen, Slot};

/// Writes the diary.
pub(super) fn diary(
    words: &Wording<'_>,
    program: &Program,
    entries: &Entries<'_>,
) -> Result<Diary, HandoutError> {
    let slots = shown_slots(program)?;
    let names: Result<Vec<_>, _> = slots
        .iter()
        .map(|slot| words.plain(dates::slot(*slot).name))
        .collect();
    let life = program.life;
    let rows: Result<Vec<_>, _> = dates::days(life.from, life.until)
        .map(|date| row(words, program, entries, &slots, date))
        .collect();
    let rows = rows?;
    Ok(Diary {
        title: words.plain(Phrase::DiaryTitle)?,
        how_to: how_to(words, program, &rows)?,
        slots: names?,
        day_head: words.plain(Phrase::DiaryDay)?,
        pain_head: Labelled {
            label: words.plain(Phrase::DiaryPain)?,
            value: words.plain(Phrase::DiaryPainScale)?,
        },
        rows,
        notes: Led {
            lead: Some(words.plain(Phrase::DiaryNotesLead)?),
            text: words.plain(Phrase::DiaryNotes)?,
        },
        questions_title: words.plain(Phrase::DiaryQuestions)?,
    })
}

fn how_to(
    words: &Wording<'_>,
    program: &Program,
    rows: &[DiaryRow],
) -> Result<String, HandoutError> {
    let ticked = rows.iter().flat_map(|row| row.slots.iter().flatten());
    let mut lines = vec![words.plain(Phrase::DiaryHow)?];
    if ticked.clone().any(|each| each.state == BoxState::Ticked) {
        lines.push(words.plain(Phrase::DiaryTicked)?);
    }
    lines.push(match program.life.next_visit {
        NextVisit::Date(date) => {
            words.say(Phrase::DiaryBring, &[("date", &dates::full(words, date)?)])?
        }
        NextVisit::None | NextVisit::Unknown => words.plain(Phrase::DiaryKeep)?,
    });
    Ok(lines.join(" "))
}

fn row(
    words: &Wording<'_>,
    program: &Program,
    entries: &Entries<'_>,
    slots: &[Slot],
    date: NaiveDate,
) -> Result<DiaryRow, HandoutError> {
    let visit = program.life.next_visit == NextVisit::Date(date);
    let today = date == program.date.0;
    let boxes = slots.iter().zip(0_usize..).map(|(slot, at)| match at {
        0 if today => boxes_at(entries, *slot, date, |entry| {
            seen_today(words, program, entry)
        }),
        1.. if visit => Vec::new(),
        _ => boxes_at(entries, *slot, date, |_| BoxState::Empty),
    });
    Ok(DiaryRow {
        day: dates::weekday(words, date.weekday())?,
        date: dates::short(words, date)?,
        slots: boxes.collect(),
        words: if visit {
            Some(words.plain(Phrase::DiaryVisit)?)
        } else {
            None
        },
    })
}

fn boxes_at(
    entries: &Entries<'_>,
    slot: Slot,
    date: NaiveDate,
    state: impl Fn(&Entry<'_>) -> BoxState,
) -> Vec<DiaryBox> {
    let due = |entry: &&Entry<'_>| entry.item.slots.contains(&slot) && entry.due(date);
    let numbered = entries.numbered.iter().filter(due);
    let one = |entry: &Entry<'_>| {
        entry.number.map(|number| DiaryBox {
            number,
            state: state(entry),
        })
    };
    numbered.filter_map(one).collect()
}

/// Ticks what the clinician saw done today; nothing else is ticked beforehand.
fn seen_today(words: &Wording<'_>, program: &Program, entry: &Entry<'_>) -> BoxState {
    let visit = words.visit(program.date.0);
    let mut done = visit.iter().flat_map(|visit| &visit.done);
    let seen = done
        .find(|done| done.exercise == entry.item.exercise)
        .map(|done| done.seen);
    match seen {
        Some(Recorded::Yes(Seen::Yes | Seen::Corrected)) => BoxState::Ticked,
        Some(Recorded::Yes(Seen::No) | Recorded::NotRecorded) | None => BoxState::Empty,
    }
}
