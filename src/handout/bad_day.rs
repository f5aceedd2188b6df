//! What to do on a bad day, and when the visit moves.
//!
//! The bad-day numbers are printed, so that nobody has to work out a half.

use super::care::care_rows;
use super::change::bad_day;
use super::dates;
use super::entry::{Entries, Entry};
use super::error::HandoutError;
use super::model::{Led, Section};
use super::pain::takes_medicine;
use super::wording::Wording;
use crate::domain::limit::LimitRule;
use crate::domain::phrase::Phrase;
use crate::domain::record::NextVisit;
use crate::domain::verdict::Program;
use crate::domain::word::FlagEffect;

/// Writes the section for a bad day.
pub(super) fn section(
    words: &Wording<'_>,
    program: &Program,
    entries: &Entries<'_>,
) -> Result<Section, HandoutError> {
    let part = words.tell(&words.operation()?.part, &[])?;
    let phone = &words.library.clinic.phones.same_day;
    let mut rows = vec![
        led(words, Phrase::BadOneLead, words.plain(Phrase::BadOne)?)?,
        Led {
            lead: Some(words.say(Phrase::BadAllLead, &[("part", &part)])?),
            text: all_worse(words, program)?,
        },
    ];
    if takes_medicine(program) {
        rows.push(led(
            words,
            Phrase::BadMedicineLead,
            words.plain(Phrase::BadMedicine)?,
        )?);
    }
    rows.extend([
        led(
            words,
            Phrase::BadMissedLead,
            words.plain(Phrase::BadMissed)?,
        )?,
        led(
            words,
            Phrase::BadRingLead,
            words.say(Phrase::BadRing, &[("phone", phone)])?,
        )?,
    ]);
    if !entries.numbered.is_empty() {
        rows.push(led(
            words,
            Phrase::BadNumbersLead,
            words.plain(Phrase::BadNumbers)?,
        )?);
    }
    for entry in entries.numbered.iter().chain(&entries.daily) {
        rows.push(number(words, entry)?);
    }
    Ok(Section {
        title: words.plain(Phrase::BadTitle)?,
        rows,
    })
}

/// Says what to do when the whole part is worse; rest comes with what home care has for such a day.
fn all_worse(words: &Wording<'_>, program: &Program) -> Result<String, HandoutError> {
    let mut parts = vec![words.plain(Phrase::BadAllRest)?];
    for (_, of_row) in care_rows(words, program)? {
        if let Some(text) = &of_row.bad_day {
            // A row and its successor may say the same.
            let text = words.tell(text, &[])?;
            if !parts.contains(&text) {
                parts.push(text);
            }
        }
    }
    parts.push(words.plain(if is_narrowed(program) {
        Phrase::BadAllLimited
    } else {
        Phrase::BadAll
    })?);
    Ok(parts.join(" "))
}

/// Says whether a limit stops a motion or a red flag narrows the program: the page then never asks
/// to keep on bending and straightening.
fn is_narrowed(program: &Program) -> bool {
    let mut limits = program.limits.iter();
    let mut flags = program.flags.iter();
    limits.any(|limit| matches!(limit.rule, LimitRule::Motion { .. }))
        || flags.any(|flag| flag.effect == FlagEffect::Restrict)
}

fn led(words: &Wording<'_>, lead: Phrase, text: String) -> Result<Led, HandoutError> {
    Ok(Led {
        lead: Some(words.plain(lead)?),
        text,
    })
}

/// Says one bad-day number; loaded work is left out on a bad day.
fn number(words: &Wording<'_>, entry: &Entry<'_>) -> Result<Led, HandoutError> {
    let text = if entry.loaded()? {
        words.plain(Phrase::BadNumberLeave)?
    } else {
        bad_day(words, &entry.item.dose)?
    };
    Ok(Led {
        lead: Some(entry.short_name(words)?),
        text,
    })
}

/// Writes what to do until the operation, after it, and when it is put off.
fn until_operation(words: &Wording<'_>, program: &Program) -> Result<Section, HandoutError> {
    let life = program.life;
    let slip = [("date", dates::full(words, life.slip_until)?)];
    let slip: Vec<_> = slip
        .iter()
        .map(|(name, date)| (*name, date.as_str()))
        .collect();
    let phone = [("phone", words.library.clinic.phones.same_day.as_str())];
    let mut texts = Vec::new();
    if life.until < life.slip_until {
        texts.push(words.plain(Phrase::MovesCarryOn)?);
        texts.push(words.say(Phrase::MovesUntilAtMost, &slip)?);
    }
    texts.push(words.plain(Phrase::MovesAfterOperation)?);
    texts.push(words.say(Phrase::MovesPutOff, &phone)?);
    let rows = texts.into_iter().map(|text| Led { lead: None, text });
    Ok(Section {
        title: words.plain(Phrase::MovesTitleBefore)?,
        rows: rows.collect(),
    })
}

/// Writes what to do when the visit moves, or when none is booked.
///
/// With stages that stands at their end, and nowhere else.
pub(super) fn visit_moves(words: &Wording<'_>, program: &Program) -> Result<Section, HandoutError> {
    if program.day.is_before_operation() {
        return until_operation(words, program);
    }
    if !program.stages.is_empty() {
        return Ok(Section {
            title: words.plain(Phrase::MovesTitleNone)?,
            rows: Vec::new(),
        });
    }
    let title = match program.life.next_visit {
        NextVisit::Date(_) => Phrase::MovesTitle,
        NextVisit::None | NextVisit::Unknown => Phrase::MovesTitleNone,
    };
    let until = words.say(
        Phrase::MovesUntil,
        &[
            ("date", &dates::full(words, program.life.slip_until)?),
            ("phone", &words.library.clinic.phones.same_day),
        ],
    )?;
    let rows = [words.plain(Phrase::MovesCarryOn)?, until];
    Ok(Section {
        title: words.plain(title)?,
        rows: rows
            .into_iter()
            .map(|text| Led { lead: None, text })
            .collect(),
    })
}
