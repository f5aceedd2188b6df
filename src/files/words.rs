//! Reads the sentences of a sheet in one language: one text for each phrase of a closed list.
//!
//! Must not know what a phrase says. Next: `handout` fills the phrases in.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::domain::phrase::{Phrase, Phrases};
use crate::domain::word::Word;

use super::codes::Code;
use super::head::{self, KIND_KEY, SCHEMA_KEY};
use super::kind::{Keys, Kind, Kinded, need, need_as};
use super::language;
use super::nearest;
use super::node::{self, Node};
use super::problem::{Problem, Problems};
use super::reader::{TableReader, in_table};
use super::reading::{Reading, Vouching};
use super::shelf::Shelf;
use super::source::SourceFile;
use super::values::Readable;

static WORDS: Keys = Keys {
    what: "a words file",
    keys: &[
        SCHEMA_KEY,
        KIND_KEY,
        need::<String>("language", "The language of its texts."),
        need_as(
            "phrases",
            Kind::Map(&String::KIND),
            "A text for each phrase.",
        ),
    ],
};

/// Reads the built-in phrases of a language; `en-GB` falls back on `en`.
pub fn load(language: &str) -> Result<Phrases, Problems> {
    let shelf = Shelf::built_in();
    let path = |tag: &str| format!("templates/words.{tag}.toml");
    let main = language.split('-').next().unwrap_or(language);
    let exact = path(language);
    let path = if shelf.has(&exact) { exact } else { path(main) };
    let (language, texts) = read::<Phrase>(&shelf.source(&path)?)?;
    Ok(Phrases { language, texts })
}

/// Reads a words file: its language and a text for every word of a list.
pub fn read<P: Word + Ord>(
    file: &Arc<SourceFile>,
) -> Result<(String, BTreeMap<P, String>), Problems> {
    let tree = node::parse(file)?;
    let mut reading = Reading::new(Vouching::NotAsked);
    let words = in_table(&tree, &WORDS, &mut reading, words::<P>);
    reading.settle(file, words.flatten())
}

fn words<P: Word + Ord>(table: &mut TableReader<'_>) -> Option<(String, BTreeMap<P, String>)> {
    head::check(table, "words");
    let language = language::need(table);
    let phrases = table.need_any("phrases")?;
    let texts = texts::<P>(&phrases, table.reading());
    Some((language?, texts))
}

fn texts<P: Word + Ord>(phrases: &Node, reading: &mut Reading) -> BTreeMap<P, String> {
    let mut texts = BTreeMap::new();
    for entry in phrases.entries() {
        let Some(phrase) = P::find(&entry.key) else {
            reading.tell(unknown::<P>(entry));
            continue;
        };
        reading.key.clone_from(&entry.key);
        if let Some(text) = String::read(&entry.node, reading) {
            texts.insert(phrase, text);
        }
    }
    for phrase in P::ALL
        .iter()
        .filter(|phrase| phrases.get(phrase.as_str()).is_none())
    {
        let message = format!("the phrase `{}` has no text", phrase.as_str());
        let at = phrases.at.clone();
        reading.tell(Problem::new(Code::MissingKey, at, message, "missing here"));
    }
    texts
}

fn unknown<P: Word>(entry: &node::Entry) -> Problem {
    let known: Vec<&str> = P::ALL.iter().map(|phrase| phrase.as_str()).collect();
    let message = format!("there is no phrase `{}`", entry.key);
    let problem = Problem::new(
        Code::UnknownKey,
        entry.key_at.clone(),
        message,
        "not a phrase",
    );
    match nearest::nearest(&entry.key, known) {
        Some(near) => problem.help(format!("did you mean `{near}`?")),
        None => problem,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A toy list.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
    enum Greeting {
        Hello,
        Goodbye,
    }

    impl Word for Greeting {
        const ALL: &'static [Self] = &[Self::Hello, Self::Goodbye];

        fn as_str(self) -> &'static str {
            match self {
                Self::Hello => "hello",
                Self::Goodbye => "goodbye",
            }
        }
    }

    fn told(phrases: &str) -> Vec<String> {
        let text = format!("schema = 1\nkind = \"words\"\nlanguage = \"en\"\n[phrases]\n{phrases}");
        match read::<Greeting>(&SourceFile::new("w", &text)) {
            Ok((language, texts)) => {
                assert_eq!((language.as_str(), texts.len()), ("en", 2));
                Vec::new()
            }
            Err(problems) => problems
                .iter()
                .map(|problem| problem.message.clone())
                .collect(),
        }
    }

    #[test]
    fn every_phrase_has_a_text_and_nothing_else_does() {
        assert!(told("hello = \"Hi\"\ngoodbye = \"Bye\"\n").is_empty());
        assert_eq!(
            told("hello = \"Hi\"\n"),
            ["the phrase `goodbye` has no text"]
        );
        let extra = "hello = \"Hi\"\ngoodbye = \"Bye\"\nhallo = \"x\"\n";
        assert_eq!(told(extra), ["there is no phrase `hallo`"]);
        assert_eq!(told("hello = 1\ngoodbye = \"Bye\"\n").len(), 1);
    }

    #[test]
    fn the_shipped_words_read_clean() {
        for tag in ["en", "en-GB"] {
            if let Err(problems) = load(tag) {
                panic!("{problems}");
            }
        }
        assert!(load("xx").is_err());
    }
}
