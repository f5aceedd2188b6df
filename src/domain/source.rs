//! Where a number comes from: its file and line, and the work or judgement behind it.

use chrono::NaiveDate;

use super::ids::SourceKey;
use super::word::SeenAs;

/// A place in a file, as people read it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
pub struct Origin {
    /// Path as given, or the path inside the built-in library.
    pub path: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// What vouches for a number.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Source {
    /// A work in the bibliography, and the place in it when given.
    Work {
        /// Key in `sources.toml`.
        key: SourceKey,
        /// Page, table or section.
        at: Option<String>,
    },
    /// Common practice; no published source.
    Practice,
    /// The clinic's own decision.
    Clinic,
    /// The clinic's named decision on some values, which replaces what vouched for them.
    Decided {
        /// Each value it replaces, by its key, and the decision.
        values: Vec<(String, Decision)>,
        /// What vouches for the values beside them.
        rest: Option<Box<Source>>,
    },
}

/// A decision of the clinic to have another value than the library's.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
pub struct Decision {
    /// Why.
    pub because: String,
    /// Who decided.
    pub by: String,
    /// When.
    pub on: NaiveDate,
}

/// One work of the bibliography.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Work {
    /// Key other files use.
    pub key: SourceKey,
    /// Title, or a plain description.
    pub title: String,
    /// Year, when known.
    pub year: Option<i64>,
    /// Guideline, trial, cohort and so on.
    pub kind: String,
    /// Identifier or publisher.
    pub at: String,
    /// How much of it was seen when the library was written.
    pub seen: SeenAs,
}
