//! `intake`: a new record, with its first visit when the screen was answered.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use chrono::NaiveDate;

use crate::domain::ids::OrderKind;
use crate::domain::record::{Episode, Patient, Record, Until};
use crate::domain::time::OperationDate;
use crate::domain::word::Side;
use crate::store::{
    Changes, NewOrder, NewRecord, NewVisit, compose, create_record, new_record, visit_block,
};

use super::append::{order_value, until};
use super::args::IntakeArgs;
use super::error::CliError;
use super::file_name::refused;
use super::new_visit::new_visit;
use super::open::{Kit, Opened, library_for, read_as_it_would_be};
use super::person;
use super::say;
use super::typed::Typed;

/// What is never defaulted.
struct Must {
    token: String,
    side: Side,
    operation: NaiveDate,
}

/// Runs `intake` on flags alone.
pub fn run(args: &IntakeArgs, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    let mut typed = Typed::new();
    let Some(procedure) = typed.id("procedure", &args.procedure) else {
        return Err(unfinished(typed));
    };
    let kit = library_for(&procedure, &args.record, clinic)?;
    let (opened, visit) = prepare(args, kit)?;
    let bytes = match &visit {
        Some(visit) => compose(&opened.bytes, &visit_block(visit))
            .map_err(|fault| CliError::Usage(fault.to_string()))?,
        None => opened.bytes.clone(),
    };
    read_as_it_would_be(&opened, &bytes)?;
    create_record(&opened.path, &bytes)?;
    say::talk(&format!("{}: record made", say::shown(&opened.path)));
    Ok(ExitCode::SUCCESS)
}

/// Makes the record's head and its first visit, if anything of one was typed; writes nothing.
pub fn prepare(args: &IntakeArgs, kit: Kit) -> Result<(Opened, Option<NewVisit>), CliError> {
    let mut typed = Typed::new();
    let must = must(&mut typed, args);
    let patient = person::patient(&mut typed, &args.patient);
    let named = patient.conditions.as_ref();
    if let Some(slip) = person::frailty_unnamed(&kit.library, patient.frailty, named) {
        typed.slip(slip);
    }
    let language = typed.line("language", &args.language).unwrap_or_default();
    let needs = typed.word_list("needs", args.needs.as_ref());
    let orders = orders(&mut typed, args);
    let Some(must) = must else {
        return Err(unfinished(typed));
    };
    let path = file_for(&args.record, &must.token);
    refuse_name(&path)?;
    if path.exists() {
        return Err(CliError::Usage(format!(
            "{}: exists already; a record is only ever added to, with `visit`",
            say::shown(&path)
        )));
    }
    let episode = Episode {
        token: must.token,
        clinic: kit.library.clinic.id.clone(),
        procedure: kit.library.procedure.id.clone(),
        joint: kit.library.procedure.joint,
        side: must.side,
        operation: OperationDate(must.operation),
        language,
        needs,
    };
    let head = new_record(&NewRecord {
        episode: episode.clone(),
        patient: patient.clone(),
        orders,
    });
    let opened = Opened {
        path,
        bytes: head.into_bytes(),
        record: empty(episode, patient),
        library: kit.library,
        phrases: kit.phrases,
        page: kit.page,
    };
    let visit = first_visit(typed, &opened, args)?;
    Ok((opened, visit))
}

/// Takes what has no default, and says all of it that is missing.
fn must(typed: &mut Typed, args: &IntakeArgs) -> Option<Must> {
    if args.token.is_none() {
        typed.slip("--token is needed: a random or counted number, such as AR-0001-E1".to_owned());
    }
    if args.operation.is_none() {
        typed.slip("--operation is needed: its date, such as 2026-03-02".to_owned());
    }
    let side = typed.maybe_word::<Side>("side", args.side.as_ref()).known();
    if args.side.is_none() {
        typed.slip("--side is needed: left or right".to_owned());
    }
    let token = args.token.as_ref().map(|token| typed.line("token", token));
    Some(Must {
        token: token??,
        side: side?,
        operation: args.operation?,
    })
}

/// Refuses a name that some system cannot keep; a folder is no name yet.
pub fn refuse_name(path: &Path) -> Result<(), CliError> {
    let why = if path.is_dir() { None } else { refused(path) };
    why.map_or(Ok(()), |why| {
        Err(CliError::Usage(format!("{}: {why}", say::shown(path))))
    })
}

/// Returns the file of a new record: the one named, or one named after its token in that folder.
pub fn file_for(record: &Path, token: &str) -> PathBuf {
    if record == Path::new(".") {
        PathBuf::from(format!("{token}.toml"))
    } else if record.is_dir() {
        record.join(format!("{token}.toml"))
    } else {
        record.to_owned()
    }
}

/// Takes the orders that stand from the start, in the form `flexion-cap=90@2026-03-29`.
fn orders(typed: &mut Typed, args: &IntakeArgs) -> Vec<NewOrder> {
    let (Some(texts), Some(by), Some(document), Some(on)) = (
        &args.order,
        &args.order_by,
        &args.order_document,
        args.operation,
    ) else {
        return Vec::new();
    };
    if on > args.visit.date.unwrap_or_else(say::today) {
        typed.slip(
            "--order is for the time after the operation, which is ahead: add it with `order` then"
                .to_owned(),
        );
        return Vec::new();
    }
    let by = typed.line("order-by", by).unwrap_or_default();
    let document = typed.line("order-document", document).unwrap_or_default();
    let mut orders = Vec::new();
    for text in texts {
        let (text, end) = match text.split_once('@') {
            Some((text, end)) => (text, Some(end)),
            None => (text.as_str(), None),
        };
        let (what, value) = match text.split_once('=') {
            Some((what, value)) => (what, Some(value)),
            None => (text, None),
        };
        let kind: Option<OrderKind> = typed.id("order", what);
        let value = order_value(typed, what, value);
        let until: Until = until(typed, end.filter(|end| *end != "open"));
        if let (Some(what), Some(value)) = (kind, value) {
            orders.push(NewOrder {
                id: format!("O{}", orders.len().saturating_add(1)),
                what,
                value,
                by: by.clone(),
                on,
                from: None,
                document: document.clone(),
                until,
                replaces: None,
            });
        }
    }
    orders
}

fn first_visit(
    mut typed: Typed,
    opened: &Opened,
    args: &IntakeArgs,
) -> Result<Option<NewVisit>, CliError> {
    if args.visit.screen.is_none() && args.visit.by.is_none() && args.visit.date.is_none() {
        typed.finish()?;
        return Ok(None);
    }
    let visit = new_visit(&mut typed, opened, &args.visit, Changes::none(), None);
    typed.finish()?;
    match visit {
        Some(visit) => Ok(Some(visit)),
        None => Err(CliError::Usage("the visit was not understood".to_owned())),
    }
}

fn empty(episode: Episode, patient: Patient) -> Record {
    Record {
        episode,
        patient,
        orders: Vec::new(),
        clearances: Vec::new(),
        overrides: Vec::new(),
        corrections: Vec::new(),
        visits: Vec::new(),
    }
}

fn unfinished(typed: Typed) -> CliError {
    typed
        .finish()
        .err()
        .unwrap_or_else(|| CliError::Usage("the record was not understood".to_owned()))
}
