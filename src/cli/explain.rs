//! `explain`: why the program, or one exercise of it, is what it is.
//!
//! Of a closed visit the reasons kept with its sheet are given back; only what is open, or asked
//! for afresh, is decided.

use std::path::Path;
use std::process::ExitCode;

use crate::domain::ids::{ExerciseId, Id};
use crate::domain::record::{Issued, IssuedFile, Visit};
use crate::domain::time::VisitDate;
use crate::domain::verdict::Verdict;
use crate::engine::decide;
use crate::handout::explain::{Reasons, explain_corrections, explain_exercise, explain_program};
use crate::store::{SheetKind, give_back};

use super::args::{ExplainArgs, ExplainForm};
use super::error::{CliError, NO_PROGRAM};
use super::open::{Opened, open, refuse_broken_seal, visit_of};
use super::say;
use super::typed::Typed;

/// Runs `explain`.
pub fn run(args: &ExplainArgs, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    let opened = open(&args.record, clinic)?;
    refuse_broken_seal(&opened)?;
    let visit = visit_of(&opened.record, args.date)?;
    let exercise = args
        .exercise
        .as_ref()
        .map(|text| known_exercise(&opened, text))
        .transpose()?;
    if args.fresh || visit.is_open() {
        if !visit.is_open() {
            say::talk("decided afresh with what is known and installed today; not what was issued");
        }
        return afresh(&opened, visit, exercise.as_ref(), args.form);
    }
    let Some(issued) = speaks_of(&opened, visit) else {
        let words = format!(
            "No sheet went out for visit {} of {}, so there are no reasons to give back. {}\n",
            visit.n,
            visit.date,
            fresh(&opened, visit)
        );
        return nothing_kept(&words, args.form);
    };
    if let Some(file) = issued.file(SheetKind::Reasons.extension()) {
        return kept(&opened, visit, (issued, file), exercise.as_ref(), args.form);
    }
    let words = format!(
        "Reasons were not kept with sheet {} of {}. {}\n{}",
        issued.sheet,
        issued.use_from,
        fresh(&opened, visit),
        put_right_since(&opened, issued, "")
    );
    nothing_kept(&words, args.form)?;
    Ok(exit_code(issued))
}

/// Decides on the visit now.
fn afresh(
    opened: &Opened,
    visit: &Visit,
    exercise: Option<&ExerciseId>,
    form: ExplainForm,
) -> Result<ExitCode, CliError> {
    let verdict = decide(&opened.library, &opened.record, VisitDate(visit.date));
    match form {
        ExplainForm::Json => {
            let json = serde_json::to_string_pretty(&verdict)
                .map_err(|error| CliError::Sheet(error.to_string()))?;
            say::result(format!("{json}\n").as_bytes())?;
        }
        ExplainForm::Text => {
            let words = match exercise {
                Some(id) => explain_exercise(&verdict, &opened.library, &opened.record, id)
                    .unwrap_or_default(),
                None => explain_program(&verdict, &opened.library, &opened.record),
            };
            say::words(&words)?;
        }
    }
    Ok(match verdict {
        Verdict::Program(_) => ExitCode::SUCCESS,
        Verdict::Withheld(_) | Verdict::Unanswered(_) => ExitCode::from(NO_PROGRAM),
    })
}

/// Finds the sheet a closed visit speaks of, and says so when it is not its own.
fn speaks_of<'a>(opened: &'a Opened, visit: &'a Visit) -> Option<&'a Issued> {
    let record = &opened.record;
    if let Some(sheet) = visit.kept {
        let (given, issued) = record.sheet(sheet)?;
        say::talk(&format!(
            "visit {} (a call) left sheet {sheet} at home: these are the reasons of that sheet, \
             of {}",
            visit.n, given.date
        ));
        return Some(issued);
    }
    let given = record.given_at(visit)?;
    if given.issued_at.n != visit.n {
        say::talk(&format!(
            "visit {} corrects visit {} and has no sheet: these are the reasons of sheet {}, \
             decided with what visit {} said. {}",
            visit.n,
            given.issued_at.n,
            given.issued.sheet,
            given.issued_at.n,
            fresh(opened, visit)
        ));
    }
    Some(given.issued)
}

/// Gives back the reasons kept with a sheet, and what was put right since.
fn kept(
    opened: &Opened,
    visit: &Visit,
    (issued, file): (&Issued, &IssuedFile),
    exercise: Option<&ExerciseId>,
    form: ExplainForm,
) -> Result<ExitCode, CliError> {
    let bytes = give_back(&opened.path, file)?;
    let reasons = Reasons::read(&bytes).map_err(|error| {
        CliError::Files(format!(
            "{}: {}: {error}",
            say::shown(&opened.path),
            file.name
        ))
    })?;
    match (form, exercise) {
        (ExplainForm::Json, _) => say::result(&bytes)?,
        (ExplainForm::Text, None) => {
            let since = put_right_since(opened, issued, reasons.whole());
            say::words(&format!("{}{since}", reasons.whole()))?;
        }
        (ExplainForm::Text, Some(id)) => {
            let words = reasons.exercise(id).ok_or_else(|| {
                CliError::Usage(format!(
                    "{id} stood in no file when sheet {} was made. {}",
                    issued.sheet,
                    fresh(opened, visit)
                ))
            })?;
            say::words(words)?;
        }
    }
    Ok(exit_code(issued))
}

/// Says why there are no reasons; a program that asked for JSON gets `null`.
fn nothing_kept(words: &str, form: ExplainForm) -> Result<ExitCode, CliError> {
    match form {
        ExplainForm::Json => {
            say::talk(words);
            say::result(b"null\n")?;
        }
        ExplainForm::Text => say::words(words)?,
    }
    Ok(ExitCode::SUCCESS)
}

/// Says how to have a visit decided afresh.
fn fresh(opened: &Opened, visit: &Visit) -> String {
    let latest = opened.record.latest().map(|latest| latest.n);
    let date = if latest == Some(visit.n) {
        String::new()
    } else {
        format!(" --date {}", visit.date)
    };
    format!(
        "`banister explain {}{date} --fresh` decides afresh, with what is known and installed \
         today.",
        say::shown(&opened.path)
    )
}

/// Lists what was put right after a sheet was made, or nothing.
fn put_right_since(opened: &Opened, issued: &Issued, said: &str) -> String {
    let lines = explain_corrections(&opened.record);
    let new: Vec<String> = lines
        .into_iter()
        .filter(|line| !said.contains(line.trim()))
        .map(|line| format!("  {line}\n"))
        .collect();
    if new.is_empty() {
        return String::new();
    }
    format!(
        "\nPut right since sheet {} was made\n{}",
        issued.sheet,
        new.concat()
    )
}

fn exit_code(issued: &Issued) -> ExitCode {
    match issued.phase {
        Some(_) => ExitCode::SUCCESS,
        None => ExitCode::from(NO_PROGRAM),
    }
}

fn known_exercise(opened: &Opened, text: &str) -> Result<ExerciseId, CliError> {
    let known: Vec<&str> = opened
        .library
        .exercises
        .keys()
        .map(ExerciseId::as_str)
        .collect();
    let mut typed = Typed::new();
    if !known.contains(&text) {
        typed.unknown("exercise", text, &known);
    }
    let id = typed.id("exercise", text);
    typed.finish()?;
    id.ok_or_else(|| CliError::Usage("the exercise was not understood".to_owned()))
}
