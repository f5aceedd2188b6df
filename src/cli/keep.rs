//! A call that leaves the sheet at home as it is: the visit is closed, and nothing goes out.

use std::process::ExitCode;

use crate::domain::keep::{AtHome, NotKept};
use crate::domain::library::Library;
use crate::domain::record::{NextVisit, Record, Visit};
use crate::domain::recorded::Recorded;
use crate::engine::keep::keep;
use crate::handout::explain::not_kept;
use crate::store::kept_block;

use super::append::write;
use super::error::CliError;
use super::open::Opened;
use super::{say, void};

/// Closes the open call; refuses with every reason why the sheet at home does not stay.
pub fn run(opened: &Opened, visit: &Visit) -> Result<ExitCode, CliError> {
    if !visit.is_open() {
        return Err(CliError::Usage(format!(
            "visit {} of {} is closed already; nothing was written",
            visit.n, visit.date
        )));
    }
    void::refuse_overtaken(&opened.record, visit)?;
    let home = close(opened, visit)?;
    for line in left(&opened.record, visit, home) {
        say::talk(&line);
    }
    Ok(ExitCode::SUCCESS)
}

/// Says how a call that was just added may end: the sheet at home stays, or what speaks against it.
pub fn offered(library: &Library, record: &Record, call: &Visit) -> Vec<String> {
    match keep(library, record, call) {
        Ok(_) => vec![
            "if the sheet at home stays as it is: `handout --keep`, and nothing is printed"
                .to_owned(),
        ],
        Err(against) => does_not_stay(&against, library),
    }
}

fn does_not_stay(against: &[NotKept], library: &Library) -> Vec<String> {
    let told = against.iter();
    std::iter::once("the sheet at home does not stay as it is:".to_owned())
        .chain(told.map(|why| format!("  {}", not_kept(why, library))))
        .collect()
}

/// Writes that the sheet at home stays, and the seal.
pub fn close(opened: &Opened, visit: &Visit) -> Result<AtHome, CliError> {
    let home = keep(&opened.library, &opened.record, visit).map_err(|against| {
        let mut lines = does_not_stay(&against, &opened.library);
        lines.push("Nothing was written. `handout` without --keep makes a new sheet.".to_owned());
        CliError::Usage(lines.join("\n"))
    })?;
    write(opened, &kept_block(visit.n, home.sheet))?;
    Ok(home)
}

/// Says what stays, until when, and when the person comes.
pub fn left(record: &Record, visit: &Visit, home: AtHome) -> Vec<String> {
    let next = match record.next_visit(visit) {
        Recorded::Yes(NextVisit::Date(on)) => format!("the next visit is on {on}"),
        Recorded::Yes(NextVisit::None) => "no next visit is planned".to_owned(),
        Recorded::Yes(NextVisit::Unknown) | Recorded::NotRecorded => {
            "no next visit is on record: agree on one".to_owned()
        }
    };
    vec![
        format!("visit {} is closed: no new sheet goes out", visit.n),
        format!(
            "sheet {} stays at home as it is, until {}; {next}",
            home.sheet, home.until
        ),
    ]
}
