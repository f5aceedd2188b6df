//! A small made-up library and record for the engine's own tests. Its numbers mean nothing.

mod clinic;
mod exercises;
mod limits;
mod procedure;
mod record;

use chrono::{Days, NaiveDate};

use crate::domain::dose::Amount;
use crate::domain::exercise::Exercise;
use crate::domain::fact::{Comparison, Test};
use crate::domain::ids::{ExerciseId, Id};
use crate::domain::library::Library;
use crate::domain::procedure::Candidate;
use crate::domain::quantity::{Degrees, PainScore, Quantity};
use crate::domain::record::Record;
use crate::domain::recorded::Recorded;
use crate::domain::source::Origin;
use crate::domain::time::VisitDate;
use crate::domain::verdict::{Item, Program, Question, Verdict, WhyNot};
use crate::domain::word::{Fact, Joint, Word};

pub(crate) use limits::{kinds, limit};
pub(crate) use procedure::library;
pub(crate) use record::{
    adjust, answer, bears, cap, condition, day_put_right, done, earlier, issue_too, issued, record,
    side_put_right, silent, slots, stay,
};

/// Makes an id.
pub(crate) fn id<T: Id>(text: &str) -> T {
    T::new(text).unwrap()
}

/// Makes a number.
pub(crate) fn n<Q: Quantity>(value: i64) -> Q {
    Q::new(value).unwrap()
}

/// The date of a day since the made-up operation.
pub(crate) fn on(day: i64) -> NaiveDate {
    let operation = NaiveDate::from_ymd_opt(2026, 3, 2).unwrap();
    match u64::try_from(day) {
        Ok(days) => operation + Days::new(days),
        Err(_) => operation - Days::new(day.unsigned_abs()),
    }
}

pub(crate) fn origin() -> Origin {
    Origin {
        path: "sample".to_owned(),
        line: 1,
        column: 1,
    }
}

/// The operated joint.
pub(crate) fn joint() -> Joint {
    Joint::ALL[1]
}

pub(crate) fn angle(degrees: i64) -> Degrees {
    n(degrees)
}

pub(crate) fn degrees(value: Option<i64>) -> Recorded<Degrees> {
    Recorded::from(value.map(n))
}

pub(crate) fn pain(value: Option<i64>) -> Recorded<PainScore> {
    Recorded::from(value.map(n))
}

pub(crate) fn at_least(fact: Fact, least: i64) -> Test {
    Test {
        fact,
        comparison: Comparison::AtLeast(least),
    }
}

pub(crate) fn at_most(fact: Fact, most: i64) -> Test {
    Test {
        fact,
        comparison: Comparison::AtMost(most),
    }
}

pub(crate) fn is(fact: Fact, words: &[&str]) -> Test {
    Test {
        fact,
        comparison: Comparison::Is(words.iter().map(|word| (*word).to_owned()).collect()),
    }
}

pub(crate) fn counted(sets: i64, repetitions: i64, hold: i64) -> Amount {
    Amount::Counted {
        sets: n(sets),
        repetitions: n(repetitions),
        hold_s: n(hold),
        pause_s: n(3),
        rest_s: n(if sets > 1 { 60 } else { 0 }),
    }
}

/// Finds an exercise to change.
pub(crate) fn exercise<'a>(library: &'a mut Library, name: &str) -> &'a mut Exercise {
    library.exercises.get_mut(&id::<ExerciseId>(name)).unwrap()
}

/// Finds a candidate of a phase to change.
pub(crate) fn candidate<'a>(
    library: &'a mut Library,
    phase: usize,
    name: &str,
) -> &'a mut Candidate {
    let candidates = &mut library.procedure.phases[phase].candidates;
    candidates
        .iter_mut()
        .find(|candidate| candidate.exercise == id(name))
        .unwrap()
}

/// Decides for the last visit of a record.
pub(crate) fn verdict(library: &Library, record: &Record) -> Verdict {
    let date = record.visits.last().unwrap().date;
    super::decide(library, record, VisitDate(date))
}

/// Decides and expects a program.
pub(crate) fn program(library: &Library, record: &Record) -> Program {
    match verdict(library, record) {
        Verdict::Program(program) => *program,
        other @ (Verdict::Withheld(_) | Verdict::Unanswered(_)) => {
            panic!("a program was expected, not {other:?}")
        }
    }
}

/// Decides and returns the questions, none when there is a program.
pub(crate) fn questions(library: &Library, record: &Record) -> Vec<Question> {
    match verdict(library, record) {
        Verdict::Program(_) => Vec::new(),
        Verdict::Unanswered(page) => page.questions.into_iter().map(|(q, _)| q).collect(),
        Verdict::Withheld(page) => panic!("questions were expected, not {page:?}"),
    }
}

/// Finds an exercise among the numbered lines.
pub(crate) fn item<'a>(program: &'a Program, name: &str) -> &'a Item {
    let found = program.items.iter().find(|item| item.exercise == id(name));
    found.unwrap_or_else(|| panic!("{name} is not on the sheet: {:?}", program.left_out))
}

/// Says whether an exercise is among the numbered lines.
pub(crate) fn has(program: &Program, name: &str) -> bool {
    program.items.iter().any(|item| item.exercise == id(name))
}

/// Finds why an exercise was left out.
pub(crate) fn left_out(program: &Program, name: &str) -> Option<WhyNot> {
    let left = program
        .left_out
        .iter()
        .find(|left| left.exercise == id(name));
    left.map(|left| left.reason.clone())
}
