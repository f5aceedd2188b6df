//! `explain`: why the program, or one exercise of it, is what it is.

use std::path::Path;
use std::process::ExitCode;

use crate::domain::ids::{ExerciseId, Id};
use crate::domain::time::VisitDate;
use crate::domain::verdict::Verdict;
use crate::engine::decide;
use crate::handout::explain::{explain_exercise, explain_program};

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
    let verdict = decide(&opened.library, &opened.record, VisitDate(visit.date));
    let exercise = args
        .exercise
        .as_ref()
        .map(|text| known_exercise(&opened, text))
        .transpose()?;
    match args.form {
        ExplainForm::Json => {
            let json = serde_json::to_string_pretty(&verdict)
                .map_err(|error| CliError::Sheet(error.to_string()))?;
            say::result(format!("{json}\n").as_bytes())?;
        }
        ExplainForm::Text => {
            let words = match &exercise {
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
