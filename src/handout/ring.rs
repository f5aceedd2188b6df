//! How soon somebody must act on a sign, in words: one phrase a level, wherever the sign is named.
//!
//! Must not know where it is printed. Next: the boxes of signs, the blocks, the rows of advice.

use super::error::HandoutError;
use super::wording::{Wording, unknown};
use crate::domain::ids::{FlagId, Id, StopSignId};
use crate::domain::phrase::{Phrase, placeholders};
use crate::domain::procedure::RING;
use crate::domain::word::Level;

/// Says whom to ring and how soon, without a full stop.
pub(super) fn ring(words: &Wording<'_>, level: Level) -> Result<String, HandoutError> {
    let phrase = match level {
        Level::Emergency => match &words.library.clinic.emergency {
            Some(number) => return words.say(Phrase::RingEmergency, &[("emergency", number)]),
            None => Phrase::RingEmergencyLocal,
        },
        Level::SameDay => Phrase::RingSameDay,
        Level::Within48Hours => Phrase::RingWithin48Hours,
        Level::NextVisit => Phrase::RingNextVisit,
    };
    words.plain(phrase)
}

/// Says it as a sentence.
pub(super) fn sentence(words: &Wording<'_>, level: Level) -> Result<String, HandoutError> {
    words.say(Phrase::Sentence, &[("text", &ring(words, level)?)])
}

/// Fills in the places of a text that name red flags: each with the words of its level.
pub(super) fn places(
    words: &Wording<'_>,
    text: &str,
) -> Result<Vec<(String, String)>, HandoutError> {
    let named = placeholders(text)?;
    let flags = named
        .into_iter()
        .filter_map(|place| Some((place, place.strip_prefix(RING)?)));
    let filled = flags.map(|(place, flag)| {
        let flag = FlagId::new(flag).map_err(|_| unknown("red flag", flag))?;
        let (flag, _) = words.flag(&flag)?;
        Ok((place.to_owned(), ring(words, flag.level)?))
    });
    filled.collect()
}

/// Says whom to ring for a stop sign, when it is a red flag's.
pub(super) fn of_stop(
    words: &Wording<'_>,
    sign: &StopSignId,
) -> Result<Option<String>, HandoutError> {
    let mut flags = words.library.procedure.red_flags.iter();
    let flag = flags.find(|flag| flag.stops.contains(sign));
    flag.map(|flag| sentence(words, flag.level)).transpose()
}
