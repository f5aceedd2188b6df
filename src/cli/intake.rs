//! `intake`: a new record, with its first visit when the screen was answered.

use std::path::Path;
use std::process::ExitCode;

use crate::domain::record::{Episode, Patient, Record};
use crate::domain::time::OperationDate;
use crate::domain::word::Side;
use crate::store::{Changes, NewRecord, compose, create_record, new_record, visit_block};

use super::append::new_visit;
use super::args::IntakeArgs;
use super::error::CliError;
use super::open::{Opened, library_for, read_as_it_would_be};
use super::person;
use super::say;
use super::typed::Typed;

/// Runs `intake`.
pub fn run(args: &IntakeArgs, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    if args.record.exists() {
        return Err(CliError::Usage(format!(
            "{}: exists already; a record is only ever added to, with `visit`",
            say::shown(&args.record)
        )));
    }
    let mut typed = Typed::new();
    let procedure = typed.id("procedure", &args.procedure);
    let Some(procedure) = procedure else {
        return Err(unfinished(typed));
    };
    let kit = library_for(&procedure, &args.record, clinic)?;
    let patient = person::patient(&mut typed, &args.patient);
    let Some(side) = typed.word::<Side>("side", &args.side).known() else {
        return Err(unfinished(typed));
    };
    let episode = Episode {
        token: args.token.clone(),
        clinic: kit.library.clinic.id.clone(),
        procedure,
        joint: kit.library.procedure.joint,
        side,
        operation: OperationDate(args.operation),
        language: args.language.clone(),
        needs: typed.word_list("needs", args.needs.as_ref()),
    };
    let head = new_record(&NewRecord {
        episode: episode.clone(),
        patient: patient.clone(),
        orders: Vec::new(),
    });
    let opened = Opened {
        path: args.record.clone(),
        bytes: head.into_bytes(),
        record: empty(episode, patient),
        library: kit.library,
        phrases: kit.phrases,
        page: kit.page,
    };
    let bytes = first_visit(typed, &opened, args)?;
    read_as_it_would_be(&opened, &bytes)?;
    create_record(&args.record, &bytes)?;
    say::talk(&format!("{}: record made", say::shown(&args.record)));
    Ok(ExitCode::SUCCESS)
}

/// Returns the record's bytes: with a visit when anything of one was typed.
fn first_visit(mut typed: Typed, opened: &Opened, args: &IntakeArgs) -> Result<Vec<u8>, CliError> {
    if args.visit.screen.is_none() && args.visit.by.is_none() && args.visit.date.is_none() {
        typed.finish()?;
        return Ok(opened.bytes.clone());
    }
    let visit = new_visit(&mut typed, opened, &args.visit, Changes::none(), None);
    typed.finish()?;
    let Some(visit) = visit else {
        return Err(CliError::Usage("the visit was not understood".to_owned()));
    };
    compose(&opened.bytes, &visit_block(&visit)).map_err(|fault| CliError::Usage(fault.to_string()))
}

fn empty(episode: Episode, patient: Patient) -> Record {
    Record {
        episode,
        patient,
        orders: Vec::new(),
        clearances: Vec::new(),
        visits: Vec::new(),
    }
}

fn unfinished(typed: Typed) -> CliError {
    typed
        .finish()
        .err()
        .unwrap_or_else(|| CliError::Usage("the record was not understood".to_owned()))
}
