//! The program on one screen, before it is printed: numbered, with what is new and what to heed.
//!
//! Short on purpose; `program` gives every reason.

use super::exercise::rung;
use super::head::{flags, section};
use super::limit;
use super::program::actions;
use super::questions::notice;
use super::trade;
use super::why_not::why_not;
use crate::domain::ids::ExerciseId;
use crate::domain::library::Library;
use crate::domain::record::{NextVisit, Record};
use crate::domain::verdict::{Item, LeftOut, Mark, Notice, Program, Why};
use crate::domain::word::Word;

/// Columns of a terminal, less the indent of a section.
const COLUMNS: usize = 78;

/// One screen, and the exercise behind each of its numbers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Review {
    /// What is shown, one thought a line.
    pub lines: Vec<String>,
    /// Exercises in the order numbered, from 1.
    pub numbered: Vec<ExerciseId>,
    /// Everything considered and not given, one line each.
    pub left_out: Vec<String>,
}

/// Puts a program on one screen.
pub fn review(program: &Program, library: &Library, record: &Record) -> Review {
    let mut lines = head(program, library, record);
    let acts = flags(&program.flags, library);
    section(&mut lines, "Act on this first", acts);
    let mut to_do = actions(program, library);
    to_do.extend(needs(record));
    section(&mut lines, "To do", to_do);
    let beside = limit::beside(program);
    section(&mut lines, "Orders beside each other", beside);
    section(
        &mut lines,
        "Limits in force",
        limit::lines(program, library),
    );
    let numbered = rows(&mut lines, program, library);
    section(
        &mut lines,
        "Gone from the last sheet",
        gone(program, library),
    );
    section(&mut lines, "Not recorded or assumed", unknown(program));
    let considered = program.left_out.iter().filter(|left| !left.was_issued);
    lines.push(String::new());
    lines.push(format!(
        "{} others were looked at and left out: l says why",
        considered.count()
    ));
    let left_out = program.left_out.iter();
    Review {
        lines,
        numbered,
        left_out: left_out.map(|left| left_line(left, library)).collect(),
    }
}

/// Writes the exercises, counted through, and returns them in the order numbered.
fn rows(lines: &mut Vec<String>, program: &Program, library: &Library) -> Vec<ExerciseId> {
    let mut numbered = Vec::new();
    for (title, items) in [
        ("Exercises", &program.items),
        ("Every day", &program.daily),
        ("In the background", &program.background),
    ] {
        let mut shown = Vec::new();
        for item in items {
            numbered.push(item.exercise.clone());
            shown.extend(item_lines(item, numbered.len(), library));
        }
        section(lines, title, shown);
    }
    numbered
}

/// Says which needs of the page this version cannot meet.
fn needs(record: &Record) -> Vec<String> {
    let needs = record.episode.needs.as_ref().known();
    let words = trade::words(needs.into_iter().flatten());
    if words.is_empty() {
        return Vec::new();
    }
    vec![format!(
        "print needs {words}: recorded, but there is no such page yet; give help by hand"
    )]
}

fn head(program: &Program, library: &Library, record: &Record) -> Vec<String> {
    let episode = &record.episode;
    let phase = library.procedure.phase(&program.phase);
    let phase = phase.map_or("", |(_, phase)| phase.name.as_str());
    let week = program
        .day
        .week()
        .map_or(String::new(), |week| format!(", week {week}"));
    let next = match program.life.next_visit {
        NextVisit::Date(date) => format!("next visit {}", trade::date(date)),
        NextVisit::None => "no next visit".to_owned(),
        NextVisit::Unknown => "next visit not known".to_owned(),
    };
    let load = program.load;
    let mut lines = vec![
        format!(
            "{}: {}, {} {}. Day {}{week}. Phase: {phase}.",
            episode.token,
            episode.procedure,
            episode.side.as_str().to_uppercase(),
            episode.joint,
            program.day.get()
        ),
        format!(
            "In use {} to {}; {next}.",
            trade::date(program.life.from),
            trade::date(program.life.until)
        ),
        format!(
            "Minutes a day: exercises {}, walks {}; longest session {}.",
            load.exercises, load.walks, load.session
        ),
    ];
    if program.response.is_recorded() {
        lines.push(format!(
            "Answer to the last dose: {}.",
            trade::or_blank(&program.response)
        ));
    }
    lines
}

/// Writes an exercise in two lines: number, name and mark; rung and dose.
fn item_lines(item: &Item, n: usize, library: &Library) -> Vec<String> {
    let known = library.exercises.get(&item.exercise);
    let name = known.map_or_else(
        || item.exercise.to_string(),
        |known| known.trade_name.clone(),
    );
    let marks = marks(item);
    let first = format!("{n:>2} {name}");
    let gap = COLUMNS
        .saturating_sub(first.chars().count())
        .saturating_sub(marks.chars().count())
        .max(2);
    let first = if marks.is_empty() {
        first
    } else {
        format!("{first}{}{marks}", " ".repeat(gap))
    };
    let dose = trade::dose(&item.dose);
    let rest = item.rests_until.map_or(String::new(), |until| {
        format!("; rests until {}", trade::date(until))
    });
    let was = match &item.mark {
        Mark::Changed { from } => format!("; was {}", trade::dose(from)),
        Mark::First | Mark::New | Mark::Same => String::new(),
    };
    vec![first, format!("   {} {dose}{rest}{was}", item.rung)]
}

/// Says how it differs from the last sheet, and whether it is the clinician's own word.
fn marks(item: &Item) -> String {
    let mark = match &item.mark {
        Mark::First => "",
        Mark::New => "NEW",
        Mark::Changed { .. } => "changed",
        Mark::Same => "same",
    };
    let mut steps = item.steps.iter();
    let own = steps.any(|step| matches!(step.why, Why::Clinician { .. }));
    match (mark, own) {
        ("", true) => "your word".to_owned(),
        (mark, true) => format!("{mark}, your word"),
        (mark, false) => mark.to_owned(),
    }
}

fn gone(program: &Program, library: &Library) -> Vec<String> {
    let gone = program.left_out.iter().filter(|left| left.was_issued);
    gone.map(|left| left_line(left, library)).collect()
}

fn left_line(left: &LeftOut, library: &Library) -> String {
    let known = library.exercises.get(&left.exercise);
    let name = known.map_or("", |known| known.trade_name.as_str());
    format!("{} ({name}): {}", left.exercise, why_not(&left.reason))
}

fn unknown(program: &Program) -> Vec<String> {
    let blank = |each: &&Notice| !each.is_to_act_on();
    let lines = program.notices.iter().filter(blank).map(notice);
    // The rule's number stands in front of each; on this screen it is left to `explain`.
    let short = lines.map(|line| match line.split_once(' ') {
        Some((rule, rest)) if rule.starts_with('D') => rest.trim_start().to_owned(),
        Some(_) | None => line,
    });
    short.collect()
}

/// Writes the ladder of one exercise: each rung with its dose.
pub fn ladder(library: &Library, exercise: &ExerciseId) -> Vec<String> {
    let Some(known) = library.exercises.get(exercise) else {
        return Vec::new();
    };
    let rungs = known.rungs.iter();
    rungs.map(|each| rung(each, None)).collect()
}
