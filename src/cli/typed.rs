//! Typed words into domain values; every slip is kept, and all are told at once.
//!
//! Must not decide anything. Next: `visit`, `intake`, `append`.

use std::collections::BTreeSet;

use crate::domain::ids::Id;
use crate::domain::line;
use crate::domain::quantity::Quantity;
use crate::domain::recorded::Recorded;
use crate::domain::word::Word;

use super::error::CliError;

/// Collects what was typed wrongly.
#[derive(Debug)]
pub struct Typed {
    slips: Vec<String>,
}

impl Typed {
    /// Starts with nothing wrong.
    pub const fn new() -> Self {
        Self { slips: Vec::new() }
    }

    /// Notes a slip in words.
    pub fn slip(&mut self, text: String) {
        self.slips.push(text);
    }

    /// Gives every slip, or nothing when there was none.
    pub fn finish(self) -> Result<(), CliError> {
        if self.slips.is_empty() {
            Ok(())
        } else {
            Err(CliError::Typed(self.slips))
        }
    }

    /// Takes free text: one line, as a file's reader takes it.
    pub fn line(&mut self, flag: &str, text: &str) -> Option<String> {
        match line::check(text) {
            Ok(()) => Some(text.to_owned()),
            Err(why) => {
                self.slip(format!("--{flag} {why}"));
                None
            }
        }
    }

    /// Takes free text if it was typed.
    pub fn maybe_line(&mut self, flag: &str, text: Option<&String>) -> Recorded<String> {
        text.and_then(|text| self.line(flag, text)).into()
    }

    /// Takes one word of a closed list.
    pub fn word<W: Word>(&mut self, flag: &str, text: &str) -> Recorded<W> {
        if let Some(word) = W::find(text) {
            return Recorded::Yes(word);
        }
        let known: Vec<&str> = W::ALL.iter().map(|word| word.as_str()).collect();
        self.unknown(flag, text, &known);
        Recorded::NotRecorded
    }

    /// Takes one word if it was typed.
    pub fn maybe_word<W: Word>(&mut self, flag: &str, text: Option<&String>) -> Recorded<W> {
        text.map_or(Recorded::NotRecorded, |text| self.word(flag, text))
    }

    /// Takes a number of its own range if it was typed.
    pub fn number<Q: Quantity>(&mut self, flag: &str, value: Option<i64>) -> Recorded<Q> {
        let Some(value) = value else {
            return Recorded::NotRecorded;
        };
        match Q::new(value) {
            Ok(number) => Recorded::Yes(number),
            Err(error) => {
                self.slip(format!("--{flag} {error}"));
                Recorded::NotRecorded
            }
        }
    }

    /// Takes an id.
    pub fn id<I: Id>(&mut self, flag: &str, text: &str) -> Option<I> {
        match I::new(text) {
            Ok(id) => Some(id),
            Err(error) => {
                self.slip(format!("--{flag}: {error}"));
                None
            }
        }
    }

    /// Takes a list of words; the single word `none` is the empty list, which is not "not recorded".
    pub fn word_list<W: Word + Ord>(
        &mut self,
        flag: &str,
        texts: Option<&Vec<String>>,
    ) -> Recorded<BTreeSet<W>> {
        let Some(texts) = texts else {
            return Recorded::NotRecorded;
        };
        let mut found = BTreeSet::new();
        for text in listed(texts) {
            if let Recorded::Yes(word) = self.word(flag, text) {
                found.insert(word);
            }
        }
        Recorded::Yes(found)
    }

    /// Takes a list of ids; the single word `none` is the empty list, which is not "not recorded".
    pub fn id_list<I: Id>(
        &mut self,
        flag: &str,
        texts: Option<&Vec<String>>,
    ) -> Recorded<BTreeSet<I>> {
        let Some(texts) = texts else {
            return Recorded::NotRecorded;
        };
        Recorded::Yes(
            listed(texts)
                .filter_map(|text| self.id(flag, text))
                .collect(),
        )
    }

    /// Splits `name=value`, or notes that it is not one.
    pub fn pair<'a>(
        &mut self,
        flag: &str,
        text: &'a str,
        shape: &str,
    ) -> Option<(&'a str, &'a str)> {
        let pair = text
            .split_once('=')
            .filter(|(name, value)| !name.is_empty() && !value.is_empty());
        if pair.is_none() {
            self.slip(format!("--{flag} takes {shape}, not `{text}`"));
        }
        pair
    }

    /// Notes an unknown word with the nearest one and all that are known.
    pub fn unknown(&mut self, flag: &str, text: &str, known: &[&str]) {
        let near = nearest(text, known);
        let did_you_mean = near.map_or(String::new(), |word| format!("; did you mean `{word}`?"));
        self.slip(format!(
            "--{flag} does not know `{text}`{did_you_mean} Known: {}",
            known.join(", ")
        ));
    }
}

/// Finds the word that was probably meant, if one is near enough to be a slip.
pub fn nearest<'a>(text: &str, known: &[&'a str]) -> Option<&'a str> {
    known
        .iter()
        .map(|word| (strsim::damerau_levenshtein(text, word), *word))
        .min()
        .filter(|(distance, word)| *distance <= 1.max(word.len() / 3))
        .map(|(_, word)| word)
}

/// The words of a list; `none` alone is no word at all.
pub fn listed(texts: &[String]) -> impl Iterator<Item = &str> {
    let none = texts.len() == 1 && texts.iter().all(|text| text == "none");
    texts
        .iter()
        .map(|text| text.trim())
        .filter(move |text| !none && !text.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::quantity::PainScore;
    use crate::domain::word::{LegLift, Position};

    #[test]
    fn every_slip_is_told_with_what_is_known() {
        let mut typed = Typed::new();
        let _: Recorded<LegLift> = typed.word("leg-lift", "alone-strait");
        let _: Recorded<PainScore> = typed.number("pain", Some(11));
        let Err(CliError::Typed(slips)) = typed.finish() else {
            panic!("two slips")
        };
        assert_eq!(slips.len(), 2);
        assert!(
            slips[0].contains("did you mean `alone-straight`?"),
            "{}",
            slips[0]
        );
        assert_eq!(slips[1], "--pain must be from 0 to 10, not 11");
    }

    #[test]
    fn free_text_stands_on_one_line() {
        let mut typed = Typed::new();
        let goal = "Zoë’s “own” goal – soon…";
        assert_eq!(typed.line("goal", goal).as_deref(), Some(goal));
        assert_eq!(typed.line("by", "a\tb"), None);
        assert_eq!(typed.line("document", " "), None);
        let Err(CliError::Typed(slips)) = typed.finish() else {
            panic!("two slips")
        };
        assert_eq!(
            slips,
            [
                "--by must stand on one line, without tabs or control characters",
                "--document must not be empty"
            ]
        );
    }

    #[test]
    fn none_is_an_answer_and_nothing_typed_is_not() {
        let mut typed = Typed::new();
        let asked: Recorded<BTreeSet<Position>> =
            typed.word_list("positions-no", Some(&vec!["none".to_owned()]));
        assert_eq!(asked, Recorded::Yes(BTreeSet::new()));
        let blank: Recorded<BTreeSet<Position>> = typed.word_list("positions-no", None);
        assert_eq!(blank, Recorded::NotRecorded);
    }
}
