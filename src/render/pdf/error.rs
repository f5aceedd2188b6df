//! Why a page could not be drawn.

/// Why a document could not be drawn.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RenderError {
    /// The font has no such character; a blank or a box in its place could mislead.
    #[error("the font cannot print {character:?} in \"{text}\"")]
    MissingGlyph {
        /// The character.
        character: char,
        /// Where it stands.
        text: String,
    },
    /// A word is wider than its column, and words are never cut.
    #[error("\"{word}\" is wider than its column: {width} of {column} hundredths of a millimetre")]
    WordTooWide {
        /// The word.
        word: String,
        /// Width in hundredths of a millimetre.
        width: u32,
        /// Width of the column in hundredths of a millimetre.
        column: u32,
    },
    /// Something that must stay in one piece is taller than a page.
    #[error("\"{what}\" does not fit on one page")]
    TooTall {
        /// What it is, in its own words.
        what: String,
    },
    /// The date of the document is not one.
    #[error("\"{0}\" is not a date YYYY-MM-DD")]
    Date(String),
    /// A font file that ships with the program cannot be read.
    #[error("the font cannot be read: {0}")]
    Font(String),
    /// The file could not be put together.
    #[error("the PDF cannot be put together: {0}")]
    Assemble(String),
}
