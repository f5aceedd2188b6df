//! The bend aim and the limit of an exercise: a goal and a stop must never look alike.

use super::dates;
use super::entry::Entry;
use super::error::HandoutError;
use super::model::Led;
use super::numbers::{DEGREES, count};
use super::wording::Wording;
use crate::domain::limit::LimitRule;
use crate::domain::phrase::Phrase;
use crate::domain::quantity::{Degrees, Quantity};
use crate::domain::record::Until;
use crate::domain::verdict::{LimitInForce, Program};
use crate::domain::word::{Joint, Position};

/// Says the aim in marks people can see; nobody has a protractor at home.
pub(super) fn aim(words: &Wording<'_>, entry: &Entry<'_>) -> Result<Option<String>, HandoutError> {
    let Some(aim) = entry.item.dose.aim else {
        return Ok(None);
    };
    let knee = words.library.procedure.joint == Joint::Knee;
    let sitting = entry.exercise.position == Position::Sitting;
    let [upright, past] = words.library.procedure.settings.bounds.shin_upright;
    let phrase = if entry.item.dose.limit.is_some() {
        Phrase::AimUnderLimit
    } else if !(knee && sitting) {
        Phrase::AimAny
    } else if aim < upright {
        Phrase::AimKneeSittingBefore
    } else if aim < past {
        Phrase::AimKneeSittingUpright
    } else {
        Phrase::AimKneeSittingPast
    };
    words.plain(phrase).map(Some)
}

/// Says the limit with the number its owner set, until when, and who set it.
pub(super) fn limit(
    words: &Wording<'_>,
    entry: &Entry<'_>,
    program: &Program,
) -> Result<Option<Led>, HandoutError> {
    let Some(stop_at) = entry.item.dose.limit else {
        return Ok(None);
    };
    let behind = limit_behind(entry, program, stop_at);
    let degrees = behind.and_then(|limit| limit.degrees).unwrap_or(stop_at);
    let until = match behind.map_or(Until::Open, |limit| limit.until) {
        Until::Date(date) => {
            words.say(Phrase::LimitUntil, &[("date", &dates::short(words, date)?)])?
        }
        Until::Asked => words.plain(Phrase::LimitUntilAsked)?,
        Until::Open => words.plain(Phrase::LimitUntilOpen)?,
    };
    let who = match behind.and_then(|limit| limit.order.as_ref()) {
        Some(_) => Phrase::LimitSurgeon,
        None => Phrase::LimitTherapist,
    };
    let lead = count(words, DEGREES, degrees.get())?;
    Ok(Some(Led {
        lead: Some(words.say(Phrase::LimitLead, &[("degrees", &lead)])?),
        text: words.say(who, &[("until", &until)])?,
    }))
}

/// Finds the limit that made the stop; a surgeon's before any other.
pub(super) fn limit_behind<'a>(
    entry: &Entry<'_>,
    program: &'a Program,
    stop_at: Degrees,
) -> Option<&'a LimitInForce> {
    program
        .limits
        .iter()
        .filter(|limit| limit.stop_at == Some(stop_at) && asks_of(entry, &limit.rule))
        .max_by_key(|limit| limit.order.is_some())
}

fn asks_of(entry: &Entry<'_>, rule: &LimitRule) -> bool {
    match rule {
        LimitRule::Motion { of, .. } => entry
            .exercise
            .demands
            .iter()
            .any(|demand| demand.joint == of.joint && demand.motion == of.motion),
        LimitRule::Forbid(_) | LimitRule::AllOf(_) => false,
    }
}
