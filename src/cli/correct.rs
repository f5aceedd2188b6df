//! `correct`: puts a wrong side or day of the operation right, or moves an operation still to
//! come, and says what that makes void.

use std::path::Path;
use std::process::ExitCode;

use chrono::NaiveDate;

use crate::domain::correction::PutRight;
use crate::domain::record::{Issued, Record};
use crate::domain::time::OperationDate;
use crate::domain::word::{CorrectWhat, Side};
use crate::engine::due::sheet_at_home;
use crate::store::{NewCorrection, correction_block};

use super::append::write;
use super::args::CorrectArgs;
use super::error::CliError;
use super::open::open;
use super::say;
use super::typed::Typed;

/// Runs `correct`.
pub fn run(args: &CorrectArgs, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    let opened = open(&args.record, clinic)?;
    let mut typed = Typed::new();
    let what = typed.word::<CorrectWhat>("what", &args.what).known();
    let what = what.and_then(|what| put_right(&mut typed, &opened.record, what, &args.value));
    let because = typed.line("because", &args.because);
    let by = typed.line("by", &args.by);
    typed.finish()?;
    let visits = i64::try_from(opened.record.visits.len());
    let (Some(what), Some(because), Some(by), Ok(visits)) = (what, because, by, visits) else {
        return Err(CliError::Usage(
            "the correction was not understood".to_owned(),
        ));
    };
    let new = NewCorrection {
        what,
        because,
        by,
        on: args
            .on
            .unwrap_or_else(|| say::today_said("date of the correction")),
        visits,
    };
    let record = write(&opened, &correction_block(&new))?;
    say::talk(&format!("{}: {}", say::shown(&args.record), done(what)));
    for line in what_next(&record, what) {
        say::talk(&line);
    }
    Ok(ExitCode::SUCCESS)
}

fn put_right(
    typed: &mut Typed,
    record: &Record,
    what: CorrectWhat,
    value: &str,
) -> Option<PutRight> {
    let episode = &record.episode;
    match what {
        CorrectWhat::Side => Some(PutRight::Side {
            was: episode.side,
            now: typed.word::<Side>("value", value).known()?,
        }),
        CorrectWhat::Operation | CorrectWhat::Moved => {
            let Ok(now) = value.parse::<NaiveDate>() else {
                typed.slip(format!(
                    "{what} takes a date such as 2026-03-02, not `{value}`"
                ));
                return None;
            };
            let (was, now) = (episode.operation, OperationDate(now));
            Some(match what {
                CorrectWhat::Moved => PutRight::Moved { was, now },
                CorrectWhat::Operation | CorrectWhat::Side => PutRight::Operation { was, now },
            })
        }
    }
}

fn done(what: PutRight) -> String {
    match what {
        PutRight::Side { was, now } => format!("the side is {now}, and no longer {was}"),
        PutRight::Operation { was, now } => {
            format!("the operation was on {}, and not on {}", now.0, was.0)
        }
        PutRight::Moved { was, now } => {
            format!("the operation is on {}, and no longer on {}", now.0, was.0)
        }
    }
}

/// Says which sheet holds when an operation was moved; none is void.
fn after_move(record: &Record) -> Vec<String> {
    let given = record
        .effective()
        .into_iter()
        .rev()
        .find_map(|visit| record.given_at(visit));
    let mut lines = vec!["no sheet is void: nobody was wrong".to_owned()];
    if let Some(given) = given {
        lines.push(format!(
            "sheet {} ends on {}; add a visit for the days from then on",
            given.issued.sheet, given.issued.use_until
        ));
    }
    lines
}

/// Names every line of a sheet that is void now.
fn held(issued: &Issued) -> Option<String> {
    let items = issued.items.iter();
    let names: Vec<String> = items.map(|item| item.exercise.to_string()).collect();
    (!names.is_empty()).then(|| {
        format!(
            "nothing on sheet {} may be done any more: {}",
            issued.sheet,
            names.join(", ")
        )
    })
}

/// Says which sheets are void and what must be done about it.
fn what_next(record: &Record, what: PutRight) -> Vec<String> {
    let mut lines = Vec::new();
    let sheets: Vec<i64> = record
        .visits
        .iter()
        .filter_map(|visit| visit.issued.as_ref())
        .map(|issued| issued.sheet)
        .collect();
    if record.visits.is_empty() {
        return vec!["no visit stands before it; nothing is void".to_owned()];
    }
    if let PutRight::Moved { .. } = what {
        return after_move(record);
    }
    lines.push(
        match what {
            PutRight::Side { .. } => {
                "what was found until now is of the wrong side and counts no more: measure again"
            }
            PutRight::Operation { .. } | PutRight::Moved { .. } => {
                "what was measured keeps its day, counted anew; no dose is gone on from"
            }
        }
        .to_owned(),
    );
    if let Some(last) = sheets.last() {
        let all: Vec<String> = sheets.iter().map(ToString::to_string).collect();
        lines.push(format!("void now: sheet {}", all.join(", ")));
        lines.push(format!(
            "throw away sheet {last}, and tell the person not to use it"
        ));
        lines.extend(sheet_at_home(record).and_then(held));
    }
    lines.push(match record.open_visit() {
        Some(open) => format!(
            "visit {n} is open and was entered before this: give it again with \
             `visit --corrects {n}`",
            n = open.n
        ),
        None => "add a visit: its sheet says so".to_owned(),
    });
    lines
}
