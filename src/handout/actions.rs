//! What must be done before any exercise: a flag that narrows the program or must be told.

use super::dates;
use super::error::HandoutError;
use super::model::Action;
use super::ring;
use super::wording::Wording;
use crate::domain::phrase::Phrase;
use crate::domain::time::Day;
use crate::domain::verdict::{FlagRaised, Program};
use crate::domain::word::{FlagEffect, How, Level};

/// Writes one action a flag, in the engine's order.
pub(super) fn actions(words: &Wording<'_>, program: &Program) -> Result<Vec<Action>, HandoutError> {
    let visit = words.visit(program.date.0);
    let how = visit.map_or(How::Phone, |visit| visit.how);
    program
        .flags
        .iter()
        .map(|flag| action(words, program.day, how, flag))
        .collect()
}

fn action(
    words: &Wording<'_>,
    day: Day,
    how: How,
    raised: &FlagRaised,
) -> Result<Action, HandoutError> {
    let (_, texts) = words.flag(&raised.flag)?;
    let restrict = match raised.effect {
        FlagEffect::Restrict | FlagEffect::Withhold => texts.restrict.as_ref(),
        FlagEffect::Tell => None,
    };
    let until: Result<Vec<_>, _> = texts
        .until
        .iter()
        .map(|text| words.tell(text, &[]))
        .collect();
    let mut until = until?;
    let say = words.tell(&texts.say, &[])?;
    let (doing, say) = match how {
        How::Seen => {
            let place = place_to_go(words, raised.level)?;
            let say = match place {
                Some(_) => script(words, day, Spoken::There, &say)?,
                None => String::new(),
            };
            until.extend(place);
            (words.plain(Phrase::ActionTold)?, say)
        }
        How::Phone => (
            whom_to_ring(words, raised.level)?,
            script(words, day, Spoken::Phone, &say)?,
        ),
    };
    Ok(Action {
        level: raised.level,
        action: doing,
        finding: words.tell(&texts.finding, &[])?,
        consequence: words.tell(&texts.consequence, &[])?,
        restrict: restrict.map(|text| words.tell(text, &[])).transpose()?,
        until,
        say,
    })
}

/// Leaves room at a visit for the place they are sent on to; the clinic knows already.
fn place_to_go(words: &Wording<'_>, level: Level) -> Result<Option<String>, HandoutError> {
    let phrase = match level {
        Level::Emergency | Level::SameDay => Phrase::ActionGoToday,
        Level::Within48Hours => Phrase::ActionGo48,
        Level::NextVisit => return Ok(None),
    };
    words.plain(phrase).map(Some)
}

fn whom_to_ring(words: &Wording<'_>, level: Level) -> Result<String, HandoutError> {
    let phone = &words.library.clinic.phones.same_day;
    match level {
        Level::SameDay | Level::Within48Hours => {
            let ring = ring::ring(words, level)?;
            words.say(Phrase::ActionRing, &[("ring", &ring), ("phone", phone)])
        }
        Level::Emergency | Level::NextVisit => ring::sentence(words, level),
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
