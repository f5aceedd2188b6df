//! The main message of page 1, and in short what matters today.

use super::change::differences;
use super::dates;
use super::entry::{Entries, Entry};
use super::error::HandoutError;
use super::model::{Led, Message};
use super::numbers::{EXERCISES, MINUTES, count};
use super::pain::PainLines;
use super::rules;
use super::wording::Wording;
use crate::domain::dose::Dose;
use crate::domain::ids::ExerciseId;
use crate::domain::phrase::Phrase;
use crate::domain::record::NextVisit;
use crate::domain::verdict::{Mark, Notice, Program, WhyNot};
use crate::domain::word::Row;

/// Lines in short at the most; more of them go under the plan of the day.
const MOST_BULLETS: usize = 5;
/// With more changed exercises than this, only their names are said.
const MOST_CHANGES_TOLD: usize = 2;

/// The message, and the lines that found no room in it.
pub(super) struct MessageAndRest {
    /// The message.
    pub(super) message: Message,
    /// Lines for the notes under the plan.
    pub(super) left_over: Vec<String>,
}

/// Writes the message.
pub(super) fn message(
    words: &Wording<'_>,
    program: &Program,
    entries: &Entries<'_>,
    pain: PainLines,
) -> Result<MessageAndRest, HandoutError> {
    let mut bullets = Vec::new();
    bullets.extend(before_operation(words, program)?);
    bullets.extend(how_many(words, program)?);
    bullets.extend(no_visit(words, program)?);
    bullets.extend(since_last(words, program)?);
    bullets.extend(rules::today(words, program)?);
    bullets.extend(stairs(words, program)?);
    bullets.push(pain_bullet(words, pain)?);
    bullets.extend(rests(words, program, entries)?);
    bullets.extend(gone(words, program, Leaving::NotNow)?);
    bullets.extend(new(words, entries)?);
    bullets.extend(changed(words, entries)?);
    bullets.extend(gone(words, program, Leaving::Done)?);
    if first_sheet(entries) {
        bullets.extend(next_visit(words, program)?);
    }
    let left_over = bullets.split_off(bullets.len().min(MOST_BULLETS));
    Ok(MessageAndRest {
        message: Message {
            headline: headline(words, program, entries)?,
            bullets,
        },
        left_over: left_over.into_iter().map(told_in_full).collect(),
    })
}

fn told_in_full(led: Led) -> String {
    led.lead
        .into_iter()
        .chain([led.text])
        .collect::<Vec<_>>()
        .join(" ")
}

/// Says how many times a day; only a number that is true on every day of the sheet.
fn headline(
    words: &Wording<'_>,
    program: &Program,
    entries: &Entries<'_>,
) -> Result<String, HandoutError> {
    let date = dates::full(words, program.life.until)?;
    let used = |every_day: bool| {
        let at = |slot| {
            entries
                .numbered
                .iter()
                .any(|entry| entry.item.slots.contains(slot) && (!every_day || entry.every_day()))
        };
        program.slots.iter().filter(|slot| at(slot)).count()
    };
    match (used(true), used(false)) {
        (1, 1) => words.say(Phrase::HeadlineOne, &[("date", &date)]),
        (n, any) if n == any && n > 0 => words.say(
            Phrase::HeadlineMany,
            &[("n", &n.to_string()), ("date", &date)],
        ),
        _ => words.say(Phrase::HeadlineMixed, &[("date", &date)]),
    }
}

/// Says when the operation is, and why the exercises are learnt before it.
fn before_operation(words: &Wording<'_>, program: &Program) -> Result<Option<Led>, HandoutError> {
    if !program.day.is_before_operation() {
        return Ok(None);
    }
    let date = dates::full(words, words.record.episode.operation.0)?;
    let text = words.say(Phrase::BulletBefore, &[("date", &date)])?;
    Ok(Some(Led { lead: None, text }))
}

fn how_many(words: &Wording<'_>, program: &Program) -> Result<Option<Led>, HandoutError> {
    let exercises = i64::try_from(program.items.len()).unwrap_or(i64::MAX);
    if exercises == 0 {
        return Ok(None);
    }
    let text = words.say(
        Phrase::BulletCount,
        &[
            ("count", &count(words, EXERCISES, exercises)?),
            ("minutes", &count(words, MINUTES, program.load.session)?),
        ],
    )?;
    Ok(Some(Led { lead: None, text }))
}

/// Says what matters of the time since the last sheet: it ran out, or far more was done.
fn since_last(words: &Wording<'_>, program: &Program) -> Result<Vec<Led>, HandoutError> {
    let said = |is: fn(&Notice) -> bool| program.notices.iter().any(is);
    let lines = [
        (
            said(|notice| matches!(notice, Notice::SheetRanOut { .. })),
            Phrase::BulletRanOut,
        ),
        (
            said(|notice| matches!(notice, Notice::FarMoreDone { .. })),
            Phrase::BulletFarMore,
        ),
    ];
    let lines = lines.into_iter().filter(|(said, _)| *said);
    lines
        .map(|(_, phrase)| {
            let text = words.plain(phrase)?;
            Ok(Led { lead: None, text })
        })
        .collect()
}

fn pain_bullet(words: &Wording<'_>, pain: PainLines) -> Result<Led, HandoutError> {
    let between = pain.stop > pain.fine.saturating_add(1);
    let phrase = if between {
        Phrase::BulletPain
    } else {
        Phrase::BulletPainShort
    };
    let text = words.say(phrase, &[("fine", &pain.fine.to_string())])?;
    Ok(Led { lead: None, text })
}

fn next_visit(words: &Wording<'_>, program: &Program) -> Result<Option<Led>, HandoutError> {
    let NextVisit::Date(date) = program.life.next_visit else {
        return Ok(None);
    };
    let date = dates::full(words, date)?;
    let text = words.say(Phrase::BulletNextVisit, &[("date", &date)])?;
    Ok(Some(Led { lead: None, text }))
}

/// Says that no visit is booked, whom to ring by when, and that the sheet goes on in stages.
fn no_visit(words: &Wording<'_>, program: &Program) -> Result<Option<Led>, HandoutError> {
    if program.life.next_visit != NextVisit::None {
        return Ok(None);
    }
    let date = dates::full(words, program.life.until)?;
    let phone = &words.library.clinic.phones.same_day;
    let mut text = words.say(Phrase::BulletNoVisit, &[("date", &date), ("phone", phone)])?;
    if !program.stages.is_empty() {
        let title = words.plain(Phrase::StagesTitle)?;
        let stages = words.say(Phrase::BulletStages, &[("title", &title)])?;
        text = format!("{text} {stages}");
    }
    led(words, Phrase::LeadNoVisit, &text)
}

/// Warns of stairs that nobody has seen practised, or that a limit forbids.
fn stairs(words: &Wording<'_>, program: &Program) -> Result<Option<Led>, HandoutError> {
    let stairs = |notice: &Notice| {
        matches!(
            notice,
            Notice::StairsNotPractised { .. } | Notice::StairsForbidden { .. }
        )
    };
    let warns = program.notices.iter().any(stairs);
    let text = warns
        .then(|| words.plain(Phrase::BulletStairs))
        .transpose()?;
    Ok(text.map(|text| Led { lead: None, text }))
}

fn first_sheet(entries: &Entries<'_>) -> bool {
    all(entries).all(|entry| entry.item.mark == Mark::First)
}

fn all<'e>(entries: &'e Entries<'_>) -> impl Iterator<Item = &'e Entry<'e>> {
    entries
        .numbered
        .iter()
        .chain(&entries.daily)
        .chain(&entries.background)
}

fn rests(
    words: &Wording<'_>,
    program: &Program,
    entries: &Entries<'_>,
) -> Result<Option<Led>, HandoutError> {
    let mut lines = Vec::new();
    for entry in all(entries).filter(|entry| entry.item.rests_until.is_some()) {
        let name = entry.short_name(words)?;
        lines.push(match entry.first_day(program.life) {
            Some(date) => {
                let date = dates::full(words, date)?;
                words.say(Phrase::RestUntil, &[("name", &name), ("date", &date)])?
            }
            None => words.say(Phrase::RestWholeSheet, &[("name", &name)])?,
        });
    }
    led(words, Phrase::LeadRest, &lines.join(" "))
}

fn new(words: &Wording<'_>, entries: &Entries<'_>) -> Result<Option<Led>, HandoutError> {
    let added = all(entries).filter(|entry| entry.item.mark == Mark::New);
    let names: Result<Vec<_>, _> = added.map(|entry| entry.short_name(words)).collect();
    led_list(words, Phrase::LeadNew, &names?)
}

fn changed(words: &Wording<'_>, entries: &Entries<'_>) -> Result<Option<Led>, HandoutError> {
    let changes: Vec<_> = all(entries)
        .filter_map(|entry| match &entry.item.mark {
            Mark::Changed { from } => Some((entry, from.as_ref())),
            Mark::First | Mark::New | Mark::Same => None,
        })
        .collect();
    if changes.len() > MOST_CHANGES_TOLD {
        let names: Result<Vec<_>, _> = changes
            .iter()
            .map(|(entry, _)| entry.short_name(words))
            .collect();
        return led_list(words, Phrase::LeadChanged, &names?);
    }
    let told: Result<Vec<_>, _> = changes
        .iter()
        .map(|(entry, from)| change(words, entry, from))
        .collect();
    led(words, Phrase::LeadChanged, &told?.join(" "))
}

fn change(words: &Wording<'_>, entry: &Entry<'_>, from: &Dose) -> Result<String, HandoutError> {
    let to = &entry.item.dose;
    let name = entry.short_name(words)?;
    let mut what = differences(words, entry, from, to)?;
    if what.is_empty() && from.aim != to.aim {
        what.push(words.plain(Phrase::ChangedAim)?);
    }
    if from.limit != to.limit && to.limit.is_some() {
        what.push(words.plain(Phrase::ChangedLimit)?);
    }
    if what.is_empty() {
        return words.say(Phrase::Sentence, &[("text", &name)]);
    }
    words.say(
        Phrase::LedDose,
        &[("name", &name), ("dose", &what.join(" "))],
    )
}

/// How an exercise of the last sheet leaves this one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Leaving {
    /// No longer needed.
    Done,
    /// It must not be done for now.
    NotNow,
}

fn gone(
    words: &Wording<'_>,
    program: &Program,
    leaving: Leaving,
) -> Result<Option<Led>, HandoutError> {
    let mut names = Vec::new();
    for id in program
        .gone
        .iter()
        .filter(|id| how_it_leaves(program, id) == leaving)
    {
        let (exercise, texts) = words.exercise(id)?;
        // A row of advice is no exercise: nobody is told to leave their walking aid.
        if exercise.row != Row::Advice {
            names.push(words.tell(&texts.short, &[])?);
        }
    }
    let phrase = match leaving {
        Leaving::Done => Phrase::LeadStop,
        Leaving::NotNow => Phrase::LeadNotNow,
    };
    led_list(words, phrase, &names)
}

/// An exercise that goes without a known reason must not be done.
fn how_it_leaves(program: &Program, id: &ExerciseId) -> Leaving {
    let left_out = program.left_out.iter().find(|left| left.exercise == *id);
    left_out.map_or(Leaving::NotNow, |left| match left.reason {
        WhyNot::DoneWith { .. }
        | WhyNot::SameFamily { .. }
        | WhyNot::NoRoom { .. }
        | WhyNot::NoMinutes { .. }
        | WhyNot::LessNeeded => Leaving::Done,
        WhyNot::Forbidden { .. }
        | WhyNot::DemandUnknown { .. }
        | WhyNot::ClippedAway { .. }
        | WhyNot::NotYet { .. }
        | WhyNot::NoEquipment { .. }
        | WhyNot::Position { .. }
        | WhyNot::NothingNew { .. }
        | WhyNot::KeptByReview { .. }
        | WhyNot::FlagNarrows { .. }
        | WhyNot::NothingDone
        | WhyNot::AboveReported { .. }
        | WhyNot::Clinician { .. }
        | WhyNot::VoidSheet { .. }
        | WhyNot::NotTaught
        | WhyNot::NotOrdered { .. } => Leaving::NotNow,
    })
}

fn led_list(
    words: &Wording<'_>,
    lead: Phrase,
    names: &[String],
) -> Result<Option<Led>, HandoutError> {
    if names.is_empty() {
        return Ok(None);
    }
    let text = words.say(Phrase::Sentence, &[("text", &names.join(", "))])?;
    led(words, lead, &text)
}

fn led(words: &Wording<'_>, lead: Phrase, text: &str) -> Result<Option<Led>, HandoutError> {
    if text.is_empty() {
        return Ok(None);
    }
    Ok(Some(Led {
        lead: Some(words.plain(lead)?),
        text: text.to_owned(),
    }))
}
