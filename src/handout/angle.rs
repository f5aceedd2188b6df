//! The bend aim and the limit of an exercise: a goal and a stop must never look alike.

use super::dates;
use super::entry::Entry;
use super::error::HandoutError;
use super::model::Led;
use super::numbers::{DEGREES, count};
use super::wording::Wording;
use crate::domain::ids::Id;
use crate::domain::limit::When;
use crate::domain::phrase::Phrase;
use crate::domain::quantity::Quantity;
use crate::domain::record::Until;
use crate::domain::stop::{Stop, StopUntil};
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
    let phrase = if entry.limited {
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

/// Finds the limit that stops the motion of a line, when its dose stops there.
pub(super) fn stop<'a>(entry: &'a Entry<'_>, program: &'a Program) -> Option<Stop<'a>> {
    entry.item.dose.limit?;
    let stops = program.stops_in(entry.exercise);
    stops.min_by_key(|stop| stop.stop_at)
}

/// Says the limit with the number its owner set, until when, and who set it.
pub(super) fn limit(
    words: &Wording<'_>,
    entry: &Entry<'_>,
    program: &Program,
) -> Result<Option<Led>, HandoutError> {
    let Some(stop) = stop(entry, program) else {
        return Ok(None);
    };
    let until = match stop.until {
        StopUntil::Set(Until::Date(date)) => {
            words.say(Phrase::LimitUntil, &[("date", &dates::short(words, date)?)])?
        }
        StopUntil::Set(Until::Asked) => words.plain(Phrase::LimitUntilAsked)?,
        StopUntil::Set(Until::Open) => words.plain(Phrase::LimitUntilOpen)?,
        StopUntil::SheetEnds => words.plain(Phrase::LimitUntilSheet)?,
    };
    let lead = count(words, DEGREES, stop.degrees.get())?;
    let text = match set_by(words, stop.set_by)? {
        SetBy::Surgeon => words.say(Phrase::LimitSurgeon, &[("until", &until)])?,
        SetBy::Therapist => words.say(Phrase::LimitTherapist, &[("until", &until)])?,
        SetBy::Sign(why) => words.say(Phrase::LimitSign, &[("until", &until), ("why", &why)])?,
    };
    Ok(Some(Led {
        lead: Some(words.say(Phrase::LimitLead, &[("degrees", &lead)])?),
        text,
    }))
}

/// Who set a limit.
pub(super) enum SetBy {
    /// The surgeon, by an order.
    Surgeon,
    /// The operation or an illness: the therapist keeps to it.
    Therapist,
    /// A red flag; why it limits, in the limit's own words.
    Sign(String),
}

/// Says who set a limit.
pub(super) fn set_by(words: &Wording<'_>, limit: &LimitInForce) -> Result<SetBy, HandoutError> {
    let id = &limit.limit;
    let known = words.limit(id)?;
    if limit.order.is_some() {
        return Ok(SetBy::Surgeon);
    }
    match known.when {
        When::Flag(_) | When::Raised(_) if !known.words.is_empty() => {
            let texts = words.of(&known.words, "limit", id.as_str())?;
            words.tell(&texts.why, &[]).map(SetBy::Sign)
        }
        When::Always
        | When::Order(_)
        | When::Condition(_)
        | When::Fact(_)
        | When::Flag(_)
        | When::Raised(_) => Ok(SetBy::Therapist),
    }
}
