//! Says that the sheet given last is void: what was wrong, what is right, what to do with it.
//!
//! Said on the next sheet alone. Must not know who found the mistake; the record does.

use chrono::NaiveDate;

use super::error::HandoutError;
use super::model::VoidNote;
use super::wording::Wording;
use super::{Issue, dates};
use crate::domain::correction::{Correction, PutRight};
use crate::domain::phrase::Phrase;
use crate::domain::word::Joint;

/// What the page under the note is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Under {
    /// Exercises.
    Program,
    /// No exercises today.
    Withheld,
}

/// Writes the note; none when the sheet given last still holds.
pub(super) fn note(
    words: &Wording<'_>,
    now: NaiveDate,
    issue: Issue,
    under: Under,
) -> Result<Option<VoidNote>, HandoutError> {
    let Some(old) = issue.replaces else {
        return Ok(None);
    };
    let corrections = since(words, now, old);
    if corrections.is_empty() {
        return Ok(None);
    }
    let mut lines = Vec::new();
    let episode = &words.record.episode;
    if corrections.iter().any(|each| each.is_of_side()) {
        let joint = words.plain(joint(episode.joint))?;
        let phrase = match under {
            Under::Program => Phrase::VoidSide,
            Under::Withheld => Phrase::VoidSideWithheld,
        };
        lines.push(words.say_with_side(phrase, &[("joint", &joint)])?);
    }
    let of_day = |each: &&Correction| matches!(each.what, PutRight::Operation { .. });
    if corrections.iter().any(of_day) {
        let date = dates::short(words, episode.operation.0)?;
        let phrase = if words.record.day(now).is_before_operation() {
            Phrase::VoidOperationAhead
        } else {
            Phrase::VoidOperation
        };
        lines.push(words.say(phrase, &[("date", &date)])?);
    }
    let (title, away) = if old > 1 {
        (Phrase::VoidMany, Phrase::VoidAwayMany)
    } else {
        (Phrase::VoidOne, Phrase::VoidAwayOne)
    };
    lines.push(words.plain(away)?);
    Ok(Some(VoidNote {
        title: words.say(title, &[("old", &old.to_string())])?,
        lines,
    }))
}

/// Lists the corrections between the visit of the sheet given last and the one of this sheet.
fn since<'a>(words: &Wording<'a>, date: NaiveDate, old: i64) -> Vec<&'a Correction> {
    let record = words.record;
    let given = record.visits.iter().find(|visit| {
        let issued = visit.issued.as_ref();
        issued.is_some_and(|issued| issued.sheet == old)
    });
    match (given, words.visit(date)) {
        (Some(given), Some(now)) => record.between(given, now).collect(),
        (Some(_) | None, _) => Vec::new(),
    }
}

fn joint(joint: Joint) -> Phrase {
    match joint {
        Joint::Hip => Phrase::JointHip,
        Joint::Knee => Phrase::JointKnee,
        Joint::Ankle => Phrase::JointAnkle,
        Joint::Spine => Phrase::JointSpine,
        Joint::Shoulder => Phrase::JointShoulder,
    }
}
