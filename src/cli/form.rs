//! `form`: blank paper forms, to be filled in with a pen and typed in later.

use std::path::Path;
use std::process::ExitCode;

use crate::domain::ids::ProcedureId;
use crate::domain::time::VisitDate;
use crate::engine::decide;
use crate::handout::form::{Slip, VisitForm, slip, visit};

use super::args::{FormCommand, OrdersFormArgs, VisitFormArgs};
use super::error::CliError;
use super::open::{library_for, open, refuse_broken_seal, visit_of};
use super::output::{draw, hand_over, refuse};
use super::say;
use super::typed::Typed;

/// Runs `form`.
pub fn run(command: &FormCommand, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    match command {
        FormCommand::Visit(args) => blank_visit(args, clinic),
        FormCommand::Orders(args) => orders(args, clinic),
    }
}

/// Makes the blank form of a visit.
fn blank_visit(args: &VisitFormArgs, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    refuse(&args.to, None)?;
    let mut typed = Typed::new();
    let procedure: Option<ProcedureId> = typed.id("procedure", &args.procedure);
    typed.finish()?;
    let Some(procedure) = procedure else {
        return Err(CliError::Usage(
            "the operation was not understood".to_owned(),
        ));
    };
    let kit = library_for(&procedure, Path::new("."), clinic)?;
    let which = if args.first {
        VisitForm::First
    } else {
        VisitForm::FollowUp
    };
    let bytes = draw(&visit(&kit.library, which), args.to.form, &kit.page)?;
    hand_over(&args.to, &bytes)?;
    Ok(ExitCode::SUCCESS)
}

/// Makes the question slip of a record, when anything is open.
fn orders(args: &OrdersFormArgs, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    let opened = open(&args.record, clinic)?;
    refuse_broken_seal(&opened)?;
    let visit = visit_of(&opened.record, None).ok();
    let verdict = visit.map(|visit| decide(&opened.library, &opened.record, VisitDate(visit.date)));
    let found = slip(&opened.library, &opened.record, visit.zip(verdict.as_ref()));
    let Slip::Open(document) = found else {
        say::talk(match visit {
            Some(_) => "nothing is open for the surgical team; no slip was made",
            None => "the record has no visit yet and no order is open; no slip was made",
        });
        return Ok(ExitCode::SUCCESS);
    };
    refuse(&args.to, Some(&args.record))?;
    hand_over(&args.to, &draw(&document, args.to.form, &opened.page)?)?;
    Ok(ExitCode::SUCCESS)
}
