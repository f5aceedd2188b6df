//! `adjust`: the clinician's word on one exercise of the open visit, and what becomes of it.

use std::path::Path;
use std::process::ExitCode;

use crate::domain::ids::ExerciseId;
use crate::domain::record::Adjust;
use crate::domain::time::VisitDate;
use crate::domain::verdict::Verdict;
use crate::domain::word::AdjustAction;
use crate::engine::decide;
use crate::handout::explain::explain_word;
use crate::store::adjust_block;

use super::append::write;
use super::args::AdjustArgs;
use super::error::CliError;
use super::open::open;
use super::say;
use super::typed::Typed;

/// Adds the clinician's word, and says at once what still stands against it.
pub fn run(args: &AdjustArgs, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    let opened = open(&args.record, clinic)?;
    let Some(visit) = opened.record.open_visit() else {
        return Err(CliError::Usage(
            "there is no open visit to adjust; add one with `visit`, or correct a closed one \
             with `visit --corrects`"
                .to_owned(),
        ));
    };
    let word = word(args)?;
    let record = write(&opened, &adjust_block(visit.n, &word))?;
    let shown = say::shown(&args.record);
    if word.action == AdjustAction::AsDecided {
        say::talk(&format!(
            "{shown}: visit {}: the word on {} is taken back",
            visit.n, word.exercise
        ));
    } else {
        say::talk(&format!("{shown}: visit {} adjusted", visit.n));
    }
    if let Verdict::Program(program) = decide(&opened.library, &record, VisitDate(visit.date)) {
        for line in explain_word(&program, &opened.library, &word.exercise) {
            say::talk(&format!("{}: {line}", word.exercise));
        }
    }
    Ok(ExitCode::SUCCESS)
}

fn word(args: &AdjustArgs) -> Result<Adjust, CliError> {
    let action = action(args)?;
    let mut typed = Typed::new();
    let exercise: Option<ExerciseId> = typed.id("exercise", &args.exercise);
    let rung = args.set.as_ref().and_then(|rung| typed.id("set", rung));
    let because = typed.line("because", &args.because);
    let by = typed.line("by", &args.by);
    typed.finish()?;
    let (Some(exercise), Some(because), Some(by)) = (exercise, because, by) else {
        return Err(CliError::Usage(
            "the exercise was not understood".to_owned(),
        ));
    };
    Ok(Adjust {
        exercise,
        action,
        rung: rung.into(),
        because,
        by,
    })
}

fn action(args: &AdjustArgs) -> Result<AdjustAction, CliError> {
    let said = [
        (args.set.is_some(), AdjustAction::Set),
        (args.add, AdjustAction::Add),
        (args.leave_out, AdjustAction::LeaveOut),
        (args.as_decided, AdjustAction::AsDecided),
    ];
    let mut said = said.into_iter().filter(|(given, _)| *given);
    match (said.next(), said.next()) {
        (Some((_, action)), None) => Ok(action),
        (Some(_) | None, _) => Err(CliError::Usage(
            "say one of --set RUNG, --add, --leave-out, --as-decided".to_owned(),
        )),
    }
}
