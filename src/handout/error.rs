//! Why a verdict cannot be written down: words or ids that are missing.
//!
//! None of these is the patient's doing; nothing is printed when one occurs.

use crate::domain::phrase::PhraseError;

/// Says why no document was made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum HandoutError {
    /// A phrase or text that could not be filled in.
    #[error(transparent)]
    Phrase(#[from] PhraseError),
    /// Something of the library has no words in the sheet's language.
    #[error("{what} has no words in `{language}`")]
    NoWords {
        /// What: its kind and id.
        what: String,
        /// The language.
        language: String,
    },
    /// The verdict names something the library does not hold.
    #[error("the library has no {0}")]
    Unknown(String),
    /// The words at hand are not in the language of the record.
    #[error("the record asks for `{asked}`, but the words are in `{given}`")]
    Language {
        /// Language of the record.
        asked: String,
        /// Language of the phrases.
        given: String,
    },
    /// The library speaks of one operated side and the record of both, or the other way round.
    #[error("the operation is of one side and the record of both, or the other way round")]
    BothSides,
    /// More slots than the plan of the day can show.
    #[error("the day has {0} slots with exercises; a sheet shows 4 at the most")]
    TooManySlots(usize),
    /// A date without a month or week the words know.
    #[error("a date lies outside the calendar")]
    Calendar,
    /// Questions come first: there is nothing to print.
    #[error("there are questions to answer before anything can be printed")]
    Unanswered,
}
