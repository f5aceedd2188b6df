//! The English phrases: complete, filled in everywhere, and easy to read.

use std::collections::BTreeSet;

use banister::domain::phrase::{Phrase, placeholders};
use banister::domain::word::Word;

use super::sample::phrases;

/// Words of a sentence at the most.
const LONGEST: usize = 15;

#[test]
fn every_phrase_has_words_and_no_word_is_left_over() {
    let phrases = phrases();
    let known: BTreeSet<Phrase> = Phrase::ALL.iter().copied().collect();
    let given: BTreeSet<Phrase> = phrases.texts.keys().copied().collect();
    assert_eq!(known, given);
    for (phrase, text) in &phrases.texts {
        assert!(placeholders(text).is_ok(), "{phrase}");
        assert_eq!(text.trim(), text, "{phrase}");
        assert!(!text.is_empty(), "{phrase}");
    }
}

#[test]
fn sentences_are_short_and_free_of_jargon() {
    for (phrase, text) in &phrases().texts {
        for sentence in text.split(['.', '?', ':']) {
            let words = sentence.split_whitespace().count();
            assert!(words <= LONGEST, "{phrase} has {words} words: {sentence}");
        }
        let lower = text.to_lowercase();
        let jargon = [
            "patient",
            "%",
            "repetition",
            " reps",
            " sets",
            "e.g.",
            "i.e.",
            "b.d.",
            "flexion",
        ];
        for word in jargon {
            assert!(!lower.contains(word), "{phrase} says {word}");
        }
    }
}
