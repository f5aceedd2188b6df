//! What is known of a person on one day, and the tests that look at it.
//!
//! Must not know where a fact came from. Next: `record` holds what was measured.

use std::collections::BTreeMap;

use super::recorded::Recorded;
use super::time::Day;
use super::word::Fact;

/// The value of a fact: a whole number in the fact's own unit, or a word of its list.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(untagged)]
pub enum FactValue {
    /// A whole number; degrees, seconds, minutes or days by the fact.
    Number(i64),
    /// A word, as files write it.
    Word(String),
}

/// The comparison a test makes.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Comparison {
    /// The number is this or more.
    AtLeast(i64),
    /// The number is this or less.
    AtMost(i64),
    /// The word is one of these.
    Is(Vec<String>),
}

/// A test on one fact.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Test {
    /// The fact looked at.
    pub fact: Fact,
    /// How it is compared.
    #[serde(flatten)]
    pub comparison: Comparison,
}

impl Test {
    /// Says whether a known value passes; a value of the other kind never does.
    pub fn passes(&self, value: &FactValue) -> bool {
        match (&self.comparison, value) {
            (Comparison::AtLeast(least), FactValue::Number(n)) => n >= least,
            (Comparison::AtMost(most), FactValue::Number(n)) => n <= most,
            (Comparison::Is(words), FactValue::Word(word)) => words.contains(word),
            (Comparison::AtLeast(_) | Comparison::AtMost(_), FactValue::Word(_))
            | (Comparison::Is(_), FactValue::Number(_)) => false,
        }
    }
}

/// A known fact and the day it was seen.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Dated {
    /// What was seen.
    pub value: FactValue,
    /// When it was seen.
    pub on: Day,
}

/// Every fact known on one day.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[serde(transparent)]
pub struct Facts(pub BTreeMap<Fact, Dated>);

impl Facts {
    /// Looks a fact up; absent is not recorded.
    pub fn get(&self, fact: Fact) -> Recorded<&Dated> {
        Recorded::from(self.0.get(&fact))
    }
}
