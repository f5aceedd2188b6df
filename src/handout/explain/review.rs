//! The program on one screen, before it is printed: numbered, with what is new and what to heed.
//!
//! Short on purpose; `program` gives every reason.

use super::head::flags;
use super::program::{actions, limit};
use super::questions::notice;
use super::trade;
use super::why_not::why_not;
use crate::domain::dose::{Amount, Often};
use crate::domain::exercise::Rung;
use crate::domain::ids::{ExerciseId, Id};
use crate::domain::library::Library;
use crate::domain::quantity::Quantity;
use crate::domain::record::{NextVisit, Record};
use crate::domain::verdict::{Item, LeftOut, Mark, Notice, Program, Why};
use crate::domain::word::Word;

/// Columns of a terminal.
const COLUMNS: usize = 80;

/// One screen, and the exercise behind each of its numbers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Review {
    /// Whom and when, and what to act on; lines of at most 80 columns, as all here.
    pub head: Vec<String>,
    /// The numbered exercises.
    pub rows: Vec<String>,
    /// What is gone, blank or left out.
    pub foot: Vec<String>,
    /// Exercises in the order numbered, from 1.
    pub numbered: Vec<ExerciseId>,
    /// Everything considered and not given, one line each.
    pub left_out: Vec<String>,
}

/// Puts a program on one screen.
pub fn review(program: &Program, library: &Library, record: &Record) -> Review {
    let mut top = head(program, library, record);
    part(
        &mut top,
        "Act on this first",
        flags(&program.flags, library),
    );
    let mut to_do = actions(program);
    to_do.extend(needs(record));
    part(&mut top, "To do", to_do);
    let limits = program.limits.iter().map(limit).collect();
    part(&mut top, "Limits in force", limits);
    let parts = [
        ("Exercises", &program.items),
        ("Every day", &program.daily),
        ("In the background", &program.background),
    ];
    let mut rows = Vec::new();
    let mut numbered = Vec::new();
    for (title, items) in parts {
        let mut shown = Vec::new();
        for item in items {
            numbered.push(item.exercise.clone());
            shown.extend(item_lines(item, numbered.len(), library));
        }
        part(&mut rows, title, shown);
    }
    let mut foot = Vec::new();
    part(
        &mut foot,
        "Gone from the last sheet",
        gone(program, library),
    );
    part(&mut foot, "Not recorded or assumed", unknown(program));
    let considered: Vec<&str> = program
        .left_out
        .iter()
        .filter(|left| !left.was_issued)
        .map(|left| left.exercise.as_str())
        .collect();
    if !considered.is_empty() {
        foot.push(String::new());
        foot.extend(wrap(
            &format!("Left out (l says why): {}", considered.join(", ")),
            2,
        ));
    }
    Review {
        head: top,
        rows,
        foot,
        numbered,
        left_out: program
            .left_out
            .iter()
            .flat_map(|left| wrap(&left_line(left, library), 4))
            .collect(),
    }
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
    let mut lines = wrap(
        &format!(
            "{}: {}, {} {}. Day {}{week}. Phase: {phase}.",
            episode.token,
            episode.procedure,
            episode.side.as_str().to_uppercase(),
            episode.joint,
            program.day.get()
        ),
        2,
    );
    lines.extend(wrap(
        &format!(
            "In use {} to {}; {next}.",
            trade::date(program.life.from),
            trade::date(program.life.until)
        ),
        2,
    ));
    lines.push(format!(
        "Minutes a day: exercises {}, walks {}; longest session {}.",
        load.exercises, load.walks, load.session
    ));
    if program.response.is_recorded() {
        lines.push(format!(
            "Answer to the last dose: {}.",
            trade::or_blank(&program.response)
        ));
    }
    lines
}

fn part(lines: &mut Vec<String>, title: &str, inner: Vec<String>) {
    if inner.is_empty() {
        return;
    }
    lines.push(String::new());
    lines.push(title.to_owned());
    for line in inner {
        lines.extend(wrap(&line, 6));
    }
}

/// Writes an exercise in two lines: number, name and mark; rung and dose.
fn item_lines(item: &Item, n: usize, library: &Library) -> Vec<String> {
    let known = library.exercises.get(&item.exercise);
    let name = known.map_or_else(
        || item.exercise.to_string(),
        |known| known.trade_name.clone(),
    );
    let mark = match &item.mark {
        Mark::First => "",
        Mark::New => "NEW",
        Mark::Changed { .. } => "changed",
        Mark::Same => "same",
    };
    let own = item
        .steps
        .iter()
        .any(|step| matches!(step.why, Why::Clinician { .. }));
    let own = if own { "your word" } else { "" };
    let marks = [mark, own]
        .into_iter()
        .filter(|mark| !mark.is_empty())
        .collect::<Vec<_>>()
        .join(", ");
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
    let blank = |each: &&Notice| !matches!(each, Notice::TellTeam { .. });
    let lines = program.notices.iter().filter(blank).map(notice);
    // The rule's number stands in front of each; on this screen it is left to `explain`.
    let short = lines.map(|line| match line.split_once(' ') {
        Some((rule, rest)) if rule.starts_with('D') => rest.trim_start().to_owned(),
        Some(_) | None => line,
    });
    short.collect()
}

/// Breaks a line at 80 columns; what follows stands further in.
fn wrap(text: &str, indent: usize) -> Vec<String> {
    let start = text.len().saturating_sub(text.trim_start().len());
    let mut lines = vec![" ".repeat(start)];
    let mut fresh = true;
    for word in text.trim_start().split(' ') {
        let full = lines
            .last()
            .is_some_and(|line| line.chars().count() + word.chars().count() + 1 > COLUMNS);
        if full && !fresh {
            lines.push(" ".repeat(indent));
            fresh = true;
        }
        if let Some(line) = lines.last_mut() {
            if !fresh {
                line.push(' ');
            }
            line.push_str(word);
            fresh = false;
        }
    }
    lines
}

/// Writes the ladder of one exercise: each rung with its dose.
pub fn ladder(library: &Library, exercise: &ExerciseId) -> Vec<String> {
    let Some(known) = library.exercises.get(exercise) else {
        return Vec::new();
    };
    let rungs = known.rungs.iter();
    rungs
        .flat_map(|rung| wrap(&format!("  {:<4} {}", rung.id, rung_words(rung)), 7))
        .collect()
}

fn rung_words(rung: &Rung) -> String {
    let amount = match rung.amount {
        Amount::Timed { minutes } => format!("{} min", minutes.get()),
        Amount::Counted {
            sets,
            repetitions,
            hold_s,
            ..
        } => format!(
            "{} x {}, hold {} s",
            sets.get(),
            repetitions.get(),
            hold_s.get()
        ),
    };
    let more = [
        rung.load_g.map(|load| format!("{} g", load.get())),
        rung.band.map(|band| format!("{band} band")),
        rung.support.map(|support| format!("support {support}")),
        rung.height_cm
            .map(|height| format!("step {} cm", height.get())),
        rung.seat_cm.map(|seat| format!("seat {} cm", seat.get())),
        Some(match rung.often {
            Often::Times(times) => format!("{}/day", times.get()),
            Often::Hourly => "each waking hour".to_owned(),
        }),
        rung.how.as_ref().map(ToString::to_string),
        rung.lever.map(|lever| format!("raises {lever}")),
    ];
    let more: Vec<String> = more.into_iter().flatten().collect();
    if more.is_empty() {
        amount
    } else {
        format!("{amount}; {}", more.join("; "))
    }
}
