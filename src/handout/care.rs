//! Home care, what is usual and what is not, hope, and what is known and not known.

use chrono::Days;

use super::dates;
use super::dose_words::how;
use super::entry::Entry;
use super::error::HandoutError;
use super::model::{Led, Section};
use super::numbers::span;
use super::ring::ring;
use super::tiers::{self, hazards};
use super::wording::{Wording, unknown};
use crate::domain::ids::{CareId, Id};
use crate::domain::phrase::Phrase;
use crate::domain::procedure::{CareWords, HomeCare, TimedLine};
use crate::domain::quantity::Quantity;
use crate::domain::time::Day;
use crate::domain::verdict::Program;
use crate::domain::word::Level;

/// Finds the care rows in force with their words for this person, in the program's order.
pub(super) fn care_rows<'a>(
    words: &Wording<'a>,
    program: &Program,
) -> Result<Vec<(&'a HomeCare, CareWords)>, HandoutError> {
    let library = words.library;
    let person = words.person(program);
    let row = |id: &CareId| {
        let care = library
            .procedure
            .home_care
            .iter()
            .find(|care| care.id == *id);
        let care = care.ok_or_else(|| unknown("home care", id.as_str()))?;
        let of_all = words.of(&care.words, "home care", id.as_str())?;
        Ok((care, of_all.fitted_to(&person)))
    };
    program.care.iter().map(row).collect()
}

/// Says the minutes of a care row: "15 to 20".
pub(super) fn minutes_of(
    words: &Wording<'_>,
    care: &HomeCare,
) -> Result<Option<String>, HandoutError> {
    let minutes = care
        .minutes
        .map(|[from, to]| span(words, from.get(), to.get()));
    minutes.transpose()
}

/// Writes home care.
///
/// Rows of advice come first; a row that does not hold on every day of the sheet says when.
pub(super) fn care(
    words: &Wording<'_>,
    program: &Program,
    advice: &[Entry<'_>],
) -> Result<Section, HandoutError> {
    let told: Result<Vec<_>, _> = advice.iter().map(|entry| advised(words, entry)).collect();
    let mut rows = told?;
    for (care, texts) in care_rows(words, program)? {
        let minutes = minutes_of(words, care)?;
        let hours = care
            .every_hours
            .map(|[from, to]| span(words, from, to))
            .transpose()?;
        let times = care.times_a_day.map(|times| times.get().to_string());
        let named = [
            ("minutes", &minutes),
            ("every_hours", &hours),
            ("times", &times),
        ];
        let values: Vec<_> = named
            .iter()
            .filter_map(|(name, value)| value.as_deref().map(|value| (*name, value)))
            .collect();
        rows.push(Led {
            lead: Some(words.tell(&texts.title, &values)?),
            text: dated(words, program, care, words.tell(&texts.text, &values)?)?,
        });
    }
    let title = if program.day.is_before_operation() {
        Phrase::CareTitleBefore
    } else {
        Phrase::CareTitle
    };
    Ok(Section {
        title: words.plain(title)?,
        rows,
    })
}

/// Writes a row of advice: which way now, how, and what not to do.
fn advised(words: &Wording<'_>, entry: &Entry<'_>) -> Result<Led, HandoutError> {
    let mut parts: Vec<String> = how(words, entry, &entry.item.dose)?.into_iter().collect();
    for text in entry.words.steps.iter().chain([&entry.words.set_up]) {
        parts.push(words.tell(text, &[])?);
    }
    if let Some(error) = entry.words.errors.first() {
        let (lead, error) = (words.plain(Phrase::NotLikeThis)?, words.tell(error, &[])?);
        parts.push(format!("{lead} {error}"));
    }
    Ok(Led {
        lead: Some(words.tell(&entry.words.name, &[])?),
        text: parts.join(" "),
    })
}

/// Says from when or until when a row counts, if its days begin or end within the sheet's.
fn dated(
    words: &Wording<'_>,
    program: &Program,
    care: &HomeCare,
    text: String,
) -> Result<String, HandoutError> {
    let operation = words.record.episode.operation;
    let [first, last] =
        [program.life.from, program.life.until].map(|date| Day::of(operation, date));
    let date = |day: Day| {
        let days = u64::try_from(day.get().saturating_sub(first.get())).unwrap_or(0);
        dates::full(
            words,
            program
                .life
                .from
                .checked_add_days(Days::new(days))
                .unwrap_or(program.life.from),
        )
    };
    if care.window.from > first {
        return words.say(
            Phrase::CareFrom,
            &[("date", &date(care.window.from)?), ("text", &text)],
        );
    }
    match care.window.before {
        Some(before) if before <= last => {
            let until = date(before.plus(-1))?;
            words.say(Phrase::CareUntil, &[("date", &until), ("text", &text)])
        }
        Some(_) | None => Ok(text),
    }
}

/// Writes what is usual on these days.
pub(super) fn usual(words: &Wording<'_>, program: &Program) -> Result<Section, HandoutError> {
    let known = &words.library.procedure.usual;
    let rows = lines(words, known, &program.usual)?;
    Ok(Section {
        title: words.plain(Phrase::UsualTitle)?,
        rows,
    })
}

/// Writes what is not usual, and the signs that may wait a day or two.
pub(super) fn not_usual(words: &Wording<'_>, program: &Program) -> Result<Section, HandoutError> {
    let known = &words.library.procedure.not_usual;
    let mut rows = lines(words, known, &program.not_usual)?;
    let days = tiers::Days::of(words, program);
    for level in [Level::Within48Hours, Level::NextVisit] {
        if let Some(text) = hazards(words, level, days)? {
            let lead = Some(format!("{}:", ring(words, level)?));
            rows.push(Led { lead, text });
        }
    }
    Ok(Section {
        title: words.plain(Phrase::NotUsualTitle)?,
        rows,
    })
}

/// Writes the goals in force and the person's own goal as they said it.
pub(super) fn hope(words: &Wording<'_>, program: &Program) -> Result<Section, HandoutError> {
    let known = &words.library.procedure.milestones;
    let mut rows = lines(words, known, &program.milestones)?;
    if let Some(goal) = words.patient(program.date.0).goal.as_ref().known() {
        rows.push(Led {
            lead: Some(words.plain(Phrase::HopeGoal)?),
            text: goal.clone(),
        });
    }
    let date = dates::full(words, program.life.until)?;
    Ok(Section {
        title: words.say(Phrase::HopeTitle, &[("date", &date)])?,
        rows,
    })
}

fn lines(
    words: &Wording<'_>,
    known: &[TimedLine],
    ids: &[CareId],
) -> Result<Vec<Led>, HandoutError> {
    let line = |id: &CareId| {
        let found = known.iter().find(|line| line.id == *id);
        let found = found.ok_or_else(|| unknown("line", id.as_str()))?;
        let text = words.of(&found.words, "line", id.as_str())?;
        Ok(Led {
            lead: None,
            text: words.tell(text, &[])?,
        })
    };
    ids.iter().map(line).collect()
}

/// Writes the two boxes of what is known and what is not.
pub(super) fn know(words: &Wording<'_>) -> Result<[Section; 2], HandoutError> {
    let section = |title, phrases: &[Phrase]| -> Result<Section, HandoutError> {
        let row = |phrase: &Phrase| {
            Ok(Led {
                lead: None,
                text: words.plain(*phrase)?,
            })
        };
        let rows: Result<Vec<_>, HandoutError> = phrases.iter().map(row).collect();
        Ok(Section {
            title: words.plain(title)?,
            rows: rows?,
        })
    };
    Ok([
        section(Phrase::KnowYesTitle, &[Phrase::KnowYes])?,
        section(Phrase::KnowNoTitle, &[Phrase::KnowNo, Phrase::KnowNoMore])?,
    ])
}
