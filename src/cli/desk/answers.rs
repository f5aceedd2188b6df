//! What has been answered so far: flags and their values, as they could have been typed.
//!
//! Must not know a question. Next: `ask` fills it, `draft` keeps it.

use std::collections::{BTreeMap, BTreeSet};
use std::ffi::OsString;

/// The name of a flag without its hyphens, such as `leg-lift`.
pub type Flag = String;

/// Answers by flag.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Answers {
    given: BTreeMap<Flag, String>,
    typed: BTreeMap<Flag, String>,
    passed: BTreeSet<Flag>,
}

impl Answers {
    /// Takes what stood on the command line; it is never asked again.
    pub fn given(given: BTreeMap<Flag, String>) -> Self {
        Self {
            given,
            ..Self::default()
        }
    }

    /// Returns the value of a flag, wherever it came from.
    pub fn get(&self, flag: &str) -> Option<&str> {
        let found = self.given.get(flag).or_else(|| self.typed.get(flag));
        found.map(String::as_str)
    }

    /// Says whether a flag stood on the command line.
    pub fn was_given(&self, flag: &str) -> bool {
        self.given.contains_key(flag)
    }

    /// Says whether a question about a flag has been answered, "not asked" included.
    pub fn is_answered(&self, flag: &str) -> bool {
        self.passed.contains(flag)
    }

    /// Puts the answers of one question in the place of its earlier ones.
    pub fn put(&mut self, flags: &[&str], values: Vec<(Flag, String)>) {
        self.take_back(flags);
        self.passed
            .extend(flags.iter().map(|&flag| flag.to_owned()));
        self.typed.extend(values);
    }

    /// Takes the answers of one question back.
    pub fn take_back(&mut self, flags: &[&str]) {
        for flag in flags {
            self.typed.remove(*flag);
            self.passed.remove(*flag);
        }
    }

    /// Adds a flag that several answers make together.
    pub fn add(&mut self, flag: &str, value: String) {
        self.typed.insert(flag.to_owned(), value);
    }

    /// Returns what was typed, as command-line arguments; names with a dot are not flags.
    pub fn arguments(&self) -> Vec<OsString> {
        self.typed
            .iter()
            .filter(|(flag, _)| !flag.starts_with('.') && !self.was_given(flag))
            .map(|(flag, value)| OsString::from(format!("--{flag}={value}")))
            .collect()
    }

    /// Returns what was typed, flag by flag, for a draft.
    pub fn typed(&self) -> &BTreeMap<Flag, String> {
        &self.typed
    }

    /// Returns the flags whose questions were answered, for a draft.
    pub fn passed(&self) -> &BTreeSet<Flag> {
        &self.passed
    }

    /// Goes on from a draft.
    pub fn resume(&mut self, typed: BTreeMap<Flag, String>, passed: BTreeSet<Flag>) {
        self.typed = typed;
        self.passed = passed;
    }
}
