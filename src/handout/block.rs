//! One exercise on the page: dose, aim or limit, steps, the usual error, what may follow.

use std::collections::BTreeSet;

use super::angle;
use super::change::differences;
use super::dates;
use super::dose_words::{dose_words, how};
use super::entry::Entry;
use super::error::HandoutError;
use super::model::{Block, BlockMark, Led};
use super::picture;
use super::ring;
use super::wording::{Wording, keyed, unknown};
use crate::domain::dose::Dose;
use crate::domain::ids::{Id, StopSignId};
use crate::domain::limit::LimitRule;
use crate::domain::phrase::Phrase;
use crate::domain::quantity::Quantity;
use crate::domain::verdict::{Mark, NextRung, Program};
use crate::domain::word::YesNo;

/// Writes one block.
pub(super) fn block(
    words: &Wording<'_>,
    entry: &Entry<'_>,
    program: &Program,
) -> Result<Block, HandoutError> {
    let texts = &entry.words;
    let tell = |text: &str| words.tell(text, &[]);
    let stopped = is_stopped(entry, program);
    let errors = in_force(&texts.errors, &texts.errors_if_stopped, stopped);
    let error = errors.first();
    let error = error.ok_or_else(|| unknown("usual error of", entry.item.exercise.as_str()))?;
    let limited = entry.limited;
    let usual = in_force(&texts.steps, &texts.steps_if_limited, limited);
    let steps = in_force(usual, &texts.steps_if_stopped, stopped);
    let feel = texts.feel_if_limited.as_ref().filter(|_| limited);
    let steps: Result<Vec<_>, _> = steps.iter().map(|step| tell(step)).collect();
    Ok(Block {
        number: entry.number,
        name: tell(&texts.name)?,
        mark: mark(words, &entry.item.mark)?,
        pictures: picture::pictures(words, entry, program)?,
        dose: dose_words(words, entry, program.life)?,
        why: why(words, entry, program)?,
        how: how(words, entry, &entry.item.dose)?,
        aim: angle::aim(words, entry)?,
        limit: angle::limit(words, entry, program)?,
        rest_first: rest_first(words, entry, program)?,
        caution: caution(words, entry, program)?,
        set_up: tell(&texts.set_up)?,
        make_do: make_do(words, entry)?,
        steps: steps?,
        error: Led {
            lead: Some(words.plain(Phrase::NotLikeThis)?),
            text: tell(error)?,
        },
        feel: tell(feel.unwrap_or(&texts.feel))?,
        next: next(words, entry)?,
    })
}

/// Says whether a limit allows a joint of the exercise no motion at all.
fn is_stopped(entry: &Entry<'_>, program: &Program) -> bool {
    let of_exercise = |joint| {
        let mut demands = entry.exercise.demands.iter();
        demands.any(|demand| demand.joint == joint)
    };
    program.limits.iter().any(|limit| match &limit.rule {
        LimitRule::Motion { of, .. } => {
            limit.stop_at.is_some_and(|stop| stop.get() <= 0) && of_exercise(of.joint)
        }
        LimitRule::Forbid(_) | LimitRule::AllOf(_) => false,
    })
}

/// Returns the lines said while a limit stands, where there are any.
fn in_force<'a>(usual: &'a [String], under_it: &'a [String], stands: bool) -> &'a [String] {
    if stands && !under_it.is_empty() {
        under_it
    } else {
        usual
    }
}

fn mark(words: &Wording<'_>, mark: &Mark) -> Result<BlockMark, HandoutError> {
    Ok(match mark {
        Mark::First => BlockMark::None,
        Mark::New => BlockMark::New(words.plain(Phrase::MarkNew)?),
        Mark::Changed { .. } => BlockMark::Changed(words.plain(Phrase::MarkChanged)?),
        Mark::Same => BlockMark::Same(words.plain(Phrase::MarkSame)?),
    })
}

/// Says why; and why even so, when hardly anything hurts.
fn why(words: &Wording<'_>, entry: &Entry<'_>, program: &Program) -> Result<String, HandoutError> {
    let why = words.tell(&entry.words.why, &[])?;
    let visit = words.visit(program.date.0);
    let pain = visit.and_then(|visit| visit.pain.exercise.known());
    let little = words.library.procedure.settings.bounds.little_pain;
    if pain.is_some_and(|pain| pain <= little) {
        return Ok(format!(
            "{why} {}",
            words.tell(&entry.words.why_if_no_pain, &[])?
        ));
    }
    Ok(why)
}

fn rest_first(
    words: &Wording<'_>,
    entry: &Entry<'_>,
    program: &Program,
) -> Result<Option<String>, HandoutError> {
    if entry.item.rests_until.is_none() {
        return Ok(None);
    }
    let Some(date) = entry.first_day(program.life) else {
        return words.plain(Phrase::RestFirstWholeSheet).map(Some);
    };
    let date = dates::full(words, date)?;
    words.say(Phrase::RestFirst, &[("date", &date)]).map(Some)
}

/// Says the stop signs that the three boxes do not cover: those are pain and sharp pain.
///
/// A sign that cannot come up in the phase is not said, nor one that is there already: the red flag
/// that claims it says what to do.
fn caution(
    words: &Wording<'_>,
    entry: &Entry<'_>,
    program: &Program,
) -> Result<Option<String>, HandoutError> {
    let phase = words.library.procedure.phase(&program.phase);
    let covered = |sign: &&StopSignId| {
        sign.as_str() == "sharp-pain"
            || sign.as_str().starts_with("pain-over-")
            || phase.is_some_and(|(_, phase)| phase.no_signs.contains(*sign))
            || is_there(words, program, sign)
    };
    let special = entry.exercise.stop.iter().filter(|sign| !covered(sign));
    let mut lines = Vec::new();
    for sign in special {
        lines.push(words.plain(keyed("stop", sign.as_str())?)?);
        lines.extend(ring::of_stop(words, sign)?);
    }
    Ok((!lines.is_empty()).then(|| lines.join(" ")))
}

/// Says whether a lasting sign that claims a stop sign is there already.
fn is_there(words: &Wording<'_>, program: &Program, sign: &StopSignId) -> bool {
    let mut flags = words.library.procedure.red_flags.iter();
    flags.any(|flag| {
        flag.lasts == YesNo::Yes && flag.stops.contains(sign) && program.stands(&flag.id)
    })
}

fn make_do(words: &Wording<'_>, entry: &Entry<'_>) -> Result<Vec<String>, HandoutError> {
    let mut needs: BTreeSet<_> = entry.exercise.needs.iter().collect();
    if let Some((_, rung)) = entry.exercise.rung(&entry.item.rung) {
        needs.extend(&rung.needs);
    }
    let mut lines = Vec::new();
    for need in needs {
        if let Some(instead) = entry.words.make_do.get(need) {
            let thing = words.plain(keyed("kit", need.as_str())?)?;
            let instead = words.tell(instead, &[])?;
            lines.push(words.say(Phrase::MakeDo, &[("thing", &thing), ("instead", &instead)])?);
        }
    }
    Ok(lines)
}

/// Says what may follow, each rung against the one before it.
fn next(words: &Wording<'_>, entry: &Entry<'_>) -> Result<Vec<String>, HandoutError> {
    let mut before = &entry.item.dose;
    let mut lines = Vec::new();
    for rung in &entry.item.next {
        lines.push(next_line(words, entry, before, rung)?);
        before = &rung.dose;
    }
    Ok(lines)
}

fn next_line(
    words: &Wording<'_>,
    entry: &Entry<'_>,
    before: &Dose,
    next: &NextRung,
) -> Result<String, HandoutError> {
    let (_, rung) = entry
        .exercise
        .rung(&next.rung)
        .ok_or_else(|| unknown("rung", next.rung.as_str()))?;
    let phrase = match rung.loaded {
        YesNo::Yes => Phrase::NextRungLoaded,
        YesNo::No => Phrase::NextRung,
    };
    let what = differences(words, entry, before, &next.dose)?.join(" ");
    words.say(
        phrase,
        &[("date", &dates::full(words, next.from)?), ("what", &what)],
    )
}
