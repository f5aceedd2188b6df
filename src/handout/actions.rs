//! What must be done before any exercise: a flag that narrows the program or must be told.

use super::dates;
use super::error::HandoutError;
use super::model::Action;
use super::wording::Wording;
use crate::domain::phrase::Phrase;
use crate::domain::time::Day;
use crate::domain::verdict::{FlagRaised, Program};
use crate::domain::word::{FlagEffect, Level};

/// Writes one action a flag, in the engine's order.
pub(super) fn actions(words: &Wording<'_>, program: &Program) -> Result<Vec<Action>, HandoutError> {
    program
        .flags
        .iter()
        .map(|flag| action(words, program.day, flag))
        .collect()
}

fn action(words: &Wording<'_>, day: Day, raised: &FlagRaised) -> Result<Action, HandoutError> {
    let (_, texts) = words.flag(&raised.flag)?;
    let restrict = match raised.effect {
        FlagEffect::Restrict | FlagEffect::Withhold => texts.restrict.as_ref(),
        FlagEffect::Tell => None,
    };
    Ok(Action {
        level: raised.level,
        action: what_to_do(words, raised.level)?,
        finding: words.tell(&texts.finding, &[])?,
        consequence: words.tell(&texts.consequence, &[])?,
        restrict: restrict.map(|text| words.tell(text, &[])).transpose()?,
        say: script(words, day, Spoken::Phone, &words.tell(&texts.say, &[])?)?,
    })
}

fn what_to_do(words: &Wording<'_>, level: Level) -> Result<String, HandoutError> {
    let phone = &words.library.clinic.phones.same_day;
    match level {
        Level::Emergency => words.say(
            Phrase::ActionEmergency,
            &[("emergency", &emergency_number(words)?)],
        ),
        Level::SameDay => words.say(Phrase::ActionSameDay, &[("phone", phone)]),
        Level::Within48Hours => words.say(Phrase::ActionWithin48Hours, &[("phone", phone)]),
        Level::NextVisit => words.plain(Phrase::ActionNextVisit),
    }
}

/// Says the clinic's emergency number, or that it is the reader's own.
fn emergency_number(words: &Wording<'_>) -> Result<String, HandoutError> {
    match &words.library.clinic.emergency {
        Some(number) => Ok(number.clone()),
        None => words.plain(Phrase::EmergencyLocal),
    }
}

/// Whom the patient will speak to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Spoken {
    /// Somebody on the phone.
    Phone,
    /// Somebody they were sent to.
    There,
}

/// Writes what to say, in the patient's own voice.
pub(super) fn script(
    words: &Wording<'_>,
    day: Day,
    spoken: Spoken,
    say: &str,
) -> Result<String, HandoutError> {
    let phrase = match (day.week(), spoken) {
        (None, _) => Phrase::SayScriptBefore,
        (Some(_), Spoken::Phone) => Phrase::SayScript,
        (Some(_), Spoken::There) => Phrase::SayScriptGo,
    };
    words.say_with_side(
        phrase,
        &[
            (
                "operation",
                &words.tell(&words.operation()?.operation, &[])?,
            ),
            (
                "date",
                &dates::with_year(words, words.record.episode.operation.0)?,
            ),
            ("say", say),
        ],
    )
}
