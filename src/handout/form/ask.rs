//! Makes single questions: what is asked, what takes the answer, where to write.
//!
//! Words of closed lists are printed as they are typed. Must not know the order of a form.

use crate::domain::library::Library;
use crate::domain::word::{Fact, MissingRule, Word};
use crate::handout::model::form::{Answer, FormField, Part};

/// The mark of what is asked by phone.
pub(super) const PHONE: &str = "phone";

/// The mark of what must be answered.
pub(super) const MUST: &str = "must";

impl FormField {
    /// Adds a mark.
    #[must_use]
    pub(super) fn marked(mut self, mark: impl Into<String>) -> Self {
        self.marks.push(mark.into());
        self
    }

    /// Marks it as asked by phone too.
    #[must_use]
    pub(super) fn by_phone(self) -> Self {
        self.marked(PHONE)
    }

    /// Marks it as one that must be answered.
    #[must_use]
    pub(super) fn must(self) -> Self {
        self.marked(MUST)
    }

    /// Marks the days on which the library asks for a fact before it makes a program.
    #[must_use]
    pub(super) fn must_on_its_days(self, library: &Library, fact: Fact) -> Self {
        match must_days(library, fact) {
            Some(mark) => self.marked(mark),
            None => self,
        }
    }
}

/// Makes a question with boxes or lines beside it; flags stand in one text, spaces between.
pub(super) fn ask(question: &str, typed: &str, parts: Vec<Part>) -> FormField {
    answered(question, typed, Answer::Beside(parts))
}

/// Makes a question with any kind of answer.
pub(super) fn answered(question: &str, typed: &str, answer: Answer) -> FormField {
    FormField {
        number: None,
        question: question.to_owned(),
        marks: Vec::new(),
        typed: (!typed.is_empty())
            .then(|| typed.to_owned())
            .into_iter()
            .collect(),
        answer,
    }
}

/// Makes boxes to tick.
pub(super) fn ticks<T: AsRef<str>>(words: impl IntoIterator<Item = T>) -> Vec<Part> {
    let tick = |word: T| Part::Tick(word.as_ref().to_owned());
    words.into_iter().map(tick).collect()
}

/// Makes a box for every word of a closed list.
pub(super) fn words<W: Word>() -> Vec<Part> {
    ticks(W::ALL.iter().map(|word| word.as_str()))
}

/// Makes boxes for figures and their unit.
pub(super) fn figures(count: usize, unit: &str) -> Vec<Part> {
    vec![Part::Figures {
        count,
        after: unit.to_owned(),
    }]
}

/// Makes boxes for a date, in the order it is typed.
pub(super) fn date() -> Vec<Part> {
    [(4, "-"), (2, "-"), (2, "")]
        .into_iter()
        .flat_map(|(count, after)| figures(count, after))
        .collect()
}

/// Makes a line to write on.
pub(super) fn line() -> Vec<Part> {
    vec![Part::Line]
}

/// Makes words between things to write on.
pub(super) fn say(words: &str) -> Vec<Part> {
    vec![Part::Words(words.to_owned())]
}

/// Puts parts one after the other.
pub(super) fn then<const N: usize>(parts: [Vec<Part>; N]) -> Vec<Part> {
    parts.into_iter().flatten().collect()
}

/// Says on which days a fact must be known, as the library has it; none when it need not be.
fn must_days(library: &Library, fact: Fact) -> Option<String> {
    let asked = library
        .procedure
        .missing
        .iter()
        .find(|missing| missing.fact == fact && missing.then == MissingRule::Ask)?;
    let from = asked.window.from.get().max(0);
    Some(match asked.window.before {
        Some(before) => format!("{MUST} days {from}\u{2013}{}", before.plus(-1).get()),
        None if from > 0 => format!("{MUST} from day {from}"),
        None => MUST.to_owned(),
    })
}
