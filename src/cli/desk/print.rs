//! The end of a conversation: the visit is written, and its sheet issued.

use std::path::Path;
use std::process::ExitCode;

use crate::store::{Existing, SheetKind, sheets_folder, write_output};

use super::super::error::{CliError, NO_PROGRAM};
use super::super::handout::{Issued, issue_open};
use super::super::pending::Pending;
use super::super::say;
use super::terminal::Desk;

/// What happens at the end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Finished {
    /// The sheet goes out, the visit is closed.
    Issue,
    /// The visit stays open.
    Save,
}

/// Writes the visit, then issues its sheet unless it stays open.
pub fn finish(
    desk: &mut dyn Desk,
    pending: Pending,
    how: Finished,
    output: Option<&Path>,
) -> Result<ExitCode, CliError> {
    if let Some(path) = output.filter(|path| path.exists()) {
        return Err(CliError::Usage(format!(
            "{}: exists already; nothing was written. Choose another name",
            say::shown(path)
        )));
    }
    let late = !pending.later().is_empty();
    let opened = pending.write()?;
    let path = say::shown(&opened.path);
    let n = opened.record.visits.last().map_or(0, |visit| visit.n);
    if late {
        desk.tell(&format!(
            "{path}: visit {n} written and closed, without a sheet."
        ));
        desk.tell("If the later sheet hangs on it, add a visit or correct the last one.");
        return Ok(ExitCode::SUCCESS);
    }
    if how == Finished::Save {
        desk.tell(&format!("{path}: visit {n} written; it is open."));
        desk.tell(&format!(
            "Print it with `banister visit {path}` or `banister handout {path} -o sheet.pdf`."
        ));
        return Ok(ExitCode::SUCCESS);
    }
    let issued = issue_open(&opened)?;
    desk.tell(&format!(
        "{path}: visit {n} written and closed, sheet {} issued.",
        issued.sheet
    ));
    for file in &issued.files {
        let kept = sheets_folder(&opened.path).join(&file.name);
        desk.tell(&format!("  {}", say::shown(&kept)));
    }
    copy(desk, &issued, output)?;
    Ok(if issued.withheld {
        desk.tell("No program: exercises are withheld, and the page says whom to ring.");
        ExitCode::from(NO_PROGRAM)
    } else {
        ExitCode::SUCCESS
    })
}

fn copy(desk: &mut dyn Desk, issued: &Issued, output: Option<&Path>) -> Result<(), CliError> {
    let pdf = issued
        .sheets
        .iter()
        .find(|sheet| sheet.kind == SheetKind::Pdf);
    if let (Some(path), Some(pdf)) = (output, pdf) {
        write_output(path, &pdf.bytes, Existing::Refuse)?;
        desk.tell(&format!("  {} (a copy to print)", say::shown(path)));
    }
    Ok(())
}
