//! What can be typed under the review screen.

use crate::domain::ids::{ExerciseId, Id, RungId};
use crate::domain::library::Library;

use super::super::super::typed::nearest;

/// One thing to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Key {
    /// Issue the sheet.
    Print,
    /// Leave the sheet at home as it is.
    Keep,
    /// Ask again what a sheet hangs on.
    Again,
    /// An empty line: nothing is done.
    Nothing,
    /// Change the sheet.
    Change(Wanted),
    /// Show the ladder of an exercise.
    Ladder(ExerciseId),
    /// Say why an exercise is what it is.
    Why(ExerciseId),
    /// List what was left out and why.
    LeftOut,
    /// Write the visit and leave it open.
    Save,
    /// Back to the answers.
    Back,
    /// Go on with the questions that wait.
    More,
    /// Leave without writing.
    Leave,
    /// Show the keys.
    Help,
}

/// A change of the sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wanted {
    /// Leave an exercise out.
    LeaveOut(ExerciseId),
    /// Add an exercise.
    Add(ExerciseId),
    /// Give an exercise at a rung.
    Set(ExerciseId, RungId),
    /// Take a change back.
    AsDecided(ExerciseId),
    /// Give the clinic's usual set.
    Usual,
}

/// Understands a line; `numbered` are the exercises of the screen, from 1.
pub fn read(line: &str, numbered: &[ExerciseId], library: &Library) -> Result<Key, String> {
    let line = line.trim();
    let (first, rest) = match line.split_once(char::is_whitespace) {
        Some((first, rest)) => (first, rest.trim()),
        None => (line, ""),
    };
    let one = |wanted: fn(ExerciseId) -> Wanted| {
        exercise(rest, numbered, library).map(|exercise| Key::Change(wanted(exercise)))
    };
    match (first, rest.is_empty()) {
        ("", _) => Ok(Key::Nothing),
        ("p" | "print", true) => Ok(Key::Print),
        ("k" | "keep", true) => Ok(Key::Keep),
        ("a", true) => Ok(Key::Again),
        ("<", true) => Ok(Key::Back),
        ("?", true) => Ok(Key::Help),
        ("quit", true) => Ok(Key::Leave),
        ("s", true) => Ok(Key::Save),
        ("l", true) => Ok(Key::LeftOut),
        ("u", true) => Ok(Key::Change(Wanted::Usual)),
        ("m", true) => Ok(Key::More),
        ("x", false) => one(Wanted::LeaveOut),
        ("w" | "why", false) => exercise(rest, numbered, library).map(Key::Why),
        ("d", false) => one(Wanted::AsDecided),
        ("+", false) => one(Wanted::Add),
        ("x" | "w" | "d", true) => Err(format!("`{first}` needs a number: {first} 4")),
        ("+", true) => Err("`+` needs a name: + sit-to-stand".to_owned()),
        (_, true) if line.starts_with('+') => {
            exercise(line.trim_start_matches('+'), numbered, library)
                .map(|exercise| Key::Change(Wanted::Add(exercise)))
        }
        (_, true) => exercise(first, numbered, library)
            .map(Key::Ladder)
            .map_err(|error| format!("{error}; ? lists the keys")),
        (_, false) => {
            let exercise = exercise(first, numbered, library)?;
            let rung = rung(rest, &exercise, library)?;
            Ok(Key::Change(Wanted::Set(exercise, rung)))
        }
    }
}

/// Finds an exercise by its number on the screen, its id, or the beginning of a word of its name.
fn exercise(text: &str, numbered: &[ExerciseId], library: &Library) -> Result<ExerciseId, String> {
    let text = text.trim().to_lowercase();
    if let Ok(n) = text.parse::<usize>() {
        let found = n.checked_sub(1).and_then(|at| numbered.get(at));
        return found
            .cloned()
            .ok_or_else(|| format!("there are numbers 1 to {} on this sheet", numbered.len()));
    }
    let all: Vec<&ExerciseId> = library.procedure.exercises.iter().collect();
    if let Some(exact) = all.iter().find(|id| id.as_str() == text) {
        return Ok((*exact).clone());
    }
    let fits: Vec<&&ExerciseId> = all
        .iter()
        .filter(|id| {
            let name = library
                .exercises
                .get(**id)
                .map(|known| known.trade_name.to_lowercase());
            id.as_str().starts_with(&text) || name.is_some_and(|name| name.contains(&text))
        })
        .collect();
    match fits.as_slice() {
        [only] if !text.is_empty() => Ok((**only).clone()),
        [] => {
            let ids: Vec<&str> = all.iter().map(|id| id.as_str()).collect();
            let near = nearest(&text, &ids);
            let near = near.map_or(String::new(), |near| format!("; did you mean `{near}`?"));
            Err(format!("no exercise is called `{text}`{near}"))
        }
        several => {
            let names: Vec<&str> = several.iter().map(|id| id.as_str()).collect();
            Err(format!("`{text}` could be {}", names.join(", ")))
        }
    }
}

fn rung(text: &str, exercise: &ExerciseId, library: &Library) -> Result<RungId, String> {
    let rungs = library.exercises.get(exercise).map(|known| &known.rungs);
    let ids: Vec<&RungId> = rungs.into_iter().flatten().map(|rung| &rung.id).collect();
    let found = ids.iter().find(|id| id.as_str() == text.to_lowercase());
    found.map(|id| (*id).clone()).ok_or_else(|| {
        let names: Vec<&str> = ids.iter().map(|id| id.as_str()).collect();
        format!(
            "{exercise} has no rung `{text}`: it has {}",
            names.join(", ")
        )
    })
}

/// The keys, for a program.
pub const PROGRAM: &[&str] = &[
    "p print   x 4 leave out   + name add   4 ladder of 4   4 RUNG change the dose",
    "w 4 why   l left out, why   d 4 as decided   u usual set   s save, print later",
    "< back to the answers   quit leave, nothing is written",
];

/// The keys, for a page that withholds.
pub const WITHHELD: &[&str] = &[
    "p print the page   m go on with the other questions",
    "s save, print later   < back to the answers   quit leave, nothing is written",
];

/// The keys, when there is no program yet.
pub const UNANSWERED: &[&str] = &[
    "a ask these again   s save, answer later",
    "< back to the answers   quit leave, nothing is written",
];
