//! Numbers and lists in a sentence: what must stay on one line, plurals, halves.
//!
//! Must not know a dose. Next: `dose_words` puts numbers to nouns.

use super::error::HandoutError;
use super::wording::Wording;
use crate::domain::phrase::Phrase;

/// A number's noun, in its two forms.
#[derive(Debug, Clone, Copy)]
pub(super) struct Plural {
    /// The phrase for one, with `{n}`.
    pub(super) one: Phrase,
    /// The phrase for any other number, with `{n}`.
    pub(super) many: Phrase,
}

macro_rules! plurals {
    ($($name:ident = $one:ident, $many:ident;)*) => {$(
        pub(super) const $name: Plural = Plural { one: Phrase::$one, many: Phrase::$many };
    )*};
}

plurals! {
    TIMES = TimesOne, TimesMany;
    MINUTES = MinutesOne, MinutesMany;
    SECONDS = SecondsOne, SecondsMany;
    DEGREES = DegreesOne, DegreesMany;
    EXERCISES = ExercisesOne, ExercisesMany;
    BEFORE = MetaBeforeOne, MetaBeforeMany;
    HOLD = HoldOne, HoldMany;
    LOWER = LowerOne, LowerMany;
    PAUSE = PauseOne, PauseMany;
}

/// Keeps a number and the word after it on one line, and an article with its noun.
pub(super) fn join(text: &str) -> String {
    let mut joined = String::with_capacity(text.len());
    let mut word = String::new();
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        if letter == ' ' {
            let next_is_word = letters.peek().is_some_and(|next| next.is_alphanumeric());
            let number = word
                .chars()
                .last()
                .is_some_and(|last| last.is_ascii_digit());
            let article = word.eq_ignore_ascii_case("a");
            joined.push(if next_is_word && (number || article) {
                '\u{a0}'
            } else {
                ' '
            });
            word.clear();
        } else {
            joined.push(letter);
            word.push(letter);
        }
    }
    joined
}

/// Says a number with its noun.
pub(super) fn count(words: &Wording<'_>, noun: Plural, n: i64) -> Result<String, HandoutError> {
    let phrase = if n == 1 { noun.one } else { noun.many };
    words.say(phrase, &[("n", &n.to_string())])
}

/// Says a length of time in the unit people use for it: whole minutes, else seconds.
pub(super) fn duration(words: &Wording<'_>, seconds: i64) -> Result<String, HandoutError> {
    if seconds >= 60 && seconds % 60 == 0 {
        count(words, MINUTES, seconds / 60)
    } else {
        count(words, SECONDS, seconds)
    }
}

/// Says a span such as "15 to 20", or one number when both ends are the same.
pub(super) fn span(words: &Wording<'_>, from: i64, to: i64) -> Result<String, HandoutError> {
    if from == to {
        return Ok(from.to_string());
    }
    words.say(
        Phrase::FromTo,
        &[("from", &from.to_string()), ("to", &to.to_string())],
    )
}

/// Lists words: "morning, midday and evening".
pub(super) fn list(words: &Wording<'_>, parts: &[String]) -> Result<String, HandoutError> {
    match parts {
        [] => Ok(String::new()),
        [only] => Ok(only.clone()),
        [first @ .., last] => words.say(
            Phrase::ListAnd,
            &[("first", &first.join(", ")), ("last", last)],
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::join;

    #[test]
    fn numbers_keep_their_nouns_and_phones_stay_whole() {
        let joined = join("Ring 01632 960 210. Do 3 times, a rest, 1 December. 5, stand");
        let hard = "Ring 01632_960_210. Do 3_times, a_rest, 1_December. 5, stand";
        assert_eq!(joined, hard.replace('_', "\u{a0}"));
    }

    #[test]
    fn joining_twice_changes_nothing() {
        let once = join("A fall. 2 rounds of 8 times");
        assert_eq!(join(&once), once);
    }
}
