//! Two doses compared in words, and the half dose of a bad day.

use super::dose_words::{effort_lines, how, how_much, often};
use super::entry::Entry;
use super::error::HandoutError;
use super::numbers::{MINUTES, TIMES, count, duration};
use super::wording::Wording;
use crate::domain::dose::{Amount, Dose};
use crate::domain::phrase::Phrase;
use crate::domain::quantity::Quantity;

/// Says, in whole sentences, what of a dose differs from another one.
pub(super) fn differences(
    words: &Wording<'_>,
    entry: &Entry<'_>,
    from: &Dose,
    to: &Dose,
) -> Result<Vec<String>, HandoutError> {
    let before = sentences(words, entry, from)?;
    let mut after = sentences(words, entry, to)?;
    after.retain(|sentence| !before.contains(sentence));
    Ok(after)
}

fn sentences(
    words: &Wording<'_>,
    entry: &Entry<'_>,
    dose: &Dose,
) -> Result<Vec<String>, HandoutError> {
    let mut amount = how_much(words, dose)?;
    if let Amount::Counted { sets, rest_s, .. } = dose.amount
        && sets.get() > 1
        && rest_s.get() > 0
    {
        let rest = duration(words, rest_s.get())?;
        amount = words.say(
            Phrase::RoundsWithRest,
            &[("rounds", &amount), ("rest", &rest)],
        )?;
    }
    let mut all = vec![words.say(Phrase::Sentence, &[("text", &amount)])?];
    all.extend(effort_lines(words, dose)?);
    all.push(words.say(Phrase::Sentence, &[("text", &often(words, dose)?)])?);
    if let Some(how) = how(words, entry, dose)? {
        all.push(how);
    }
    Ok(all)
}

/// Says half of a session for a bad day, rounded down and never nothing.
///
/// Rounds are dropped before repetitions.
pub(super) fn bad_day(words: &Wording<'_>, dose: &Dose) -> Result<String, HandoutError> {
    let half = |n: i64| (n / 2).max(1);
    match dose.amount {
        Amount::Timed { minutes } => count(words, MINUTES, half(minutes.get())),
        Amount::Counted {
            sets, repetitions, ..
        } => match half(sets.get()) {
            _ if sets.get() == 1 => count(words, TIMES, half(repetitions.get())),
            1 => count(words, TIMES, repetitions.get()),
            rounds => words.say(
                Phrase::Rounds,
                &[
                    ("sets", &rounds.to_string()),
                    ("n", &repetitions.get().to_string()),
                ],
            ),
        },
    }
}
