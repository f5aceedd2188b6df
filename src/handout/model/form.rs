//! A blank form to be filled in with a pen and typed in later.
//!
//! Clinician's words, final; no layout. Every question names the flag that takes its answer.
//! Next: `render` draws boxes and lines for them.

use super::{Frame, Labelled};

/// A form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Form {
    /// Head and foot.
    pub frame: Frame,
    /// Title.
    pub title: String,
    /// What it is about, beside the title.
    pub subtitle: String,
    /// Words in the box for a name or sticker.
    pub name_box: String,
    /// The command that takes flags without a command of their own, such as `visit`.
    pub command: String,
    /// Facts already known, such as token and operation.
    pub facts: Vec<Labelled>,
    /// Who, when and how, beside the box for a name; not numbered.
    pub head: Vec<FormField>,
    /// Whose it is, once more on top of every further page; text has no pages.
    pub again: FormField,
    /// How to fill it in.
    pub how_to: Vec<String>,
    /// The questions.
    pub sections: Vec<FormSection>,
}

/// A heading with questions under it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormSection {
    /// Heading.
    pub title: String,
    /// What to know before asking.
    pub note: Option<String>,
    /// Questions, in the order asked.
    pub fields: Vec<FormField>,
    /// The command to type once all of it is answered.
    pub entered: Option<Labelled>,
}

/// One question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormField {
    /// Its number on the form; fields of the head have none.
    pub number: Option<usize>,
    /// The question.
    pub question: String,
    /// What is to know at a glance: that it must be answered, that it is asked by phone.
    pub marks: Vec<String>,
    /// What takes the answer, such as `--flexion`, or `order --until` for another command.
    pub typed: Vec<String>,
    /// Where to write.
    pub answer: Answer,
}

/// Where an answer is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Answer {
    /// Boxes and lines beside the question, left to right.
    Beside(Vec<Part>),
    /// Boxes to tick, each with what its word means.
    List(Vec<Choice>),
    /// Boxes to tick, row by row.
    Table(FormTable),
}

/// One thing to write on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Part {
    /// A box to tick and its word, as it is typed.
    Tick(String),
    /// Boxes for figures and the words after them, such as a unit.
    Figures {
        /// How many figures.
        count: usize,
        /// The words after them.
        after: String,
    },
    /// A line to write on.
    Line,
    /// Words between two things to write on.
    Words(String),
}

/// A word to tick and what it means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// The word, as it is typed.
    pub word: String,
    /// What it means; empty when the word says it all.
    pub means: String,
}

/// Boxes to tick, row by row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormTable {
    /// Heads of the columns of words; the first names what is typed.
    pub words: Vec<String>,
    /// Heads of the columns of boxes.
    pub boxes: Vec<String>,
    /// Words of each row, as many as there are heads.
    pub rows: Vec<Vec<String>>,
}
