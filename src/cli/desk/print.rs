//! The end of a conversation: the visit is written, and its sheet issued.

use std::path::Path;
use std::process::ExitCode;

use crate::domain::time::VisitDate;
use crate::domain::verdict::Verdict;
use crate::engine::decide;
use crate::store::{Existing, SheetKind, sheets_folder, write_output};

use super::super::error::{CliError, NO_PROGRAM};
use super::super::handout::{Issued, issue_open};
use super::super::open::{Opened, visit_of};
use super::super::{keep, say};
use super::terminal::Desk;

/// What happens at the end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Finished {
    /// The sheet goes out, the visit is closed.
    Issue,
    /// The sheet at home stays as it is, the visit is closed.
    Keep,
    /// The visit stays open.
    Save,
    /// The visit is closed already: others follow the one it corrects.
    Late,
}

/// Says what was written, and issues the sheet unless the visit stays open or is closed.
pub fn finish(
    desk: &mut dyn Desk,
    opened: &Opened,
    how: Finished,
    output: Option<&Path>,
) -> Result<ExitCode, CliError> {
    let path = say::shown(&opened.path);
    let n = opened.record.visits.last().map_or(0, |visit| visit.n);
    match how {
        Finished::Issue => issue(desk, opened, output),
        Finished::Keep => {
            let visit = visit_of(&opened.record, None)?;
            let home = keep::close(opened, visit)?;
            for line in keep::left(&opened.record, visit, home) {
                desk.tell(&format!("{path}: {line}"));
            }
            Ok(ExitCode::SUCCESS)
        }
        Finished::Late => {
            desk.tell(&format!(
                "{path}: visit {n} written and closed, without a sheet."
            ));
            desk.tell("If the later sheet hangs on it, add a visit or correct the last one.");
            Ok(ExitCode::SUCCESS)
        }
        Finished::Save => {
            desk.tell(&format!("{path}: visit {n} written; it is open."));
            desk.tell(&format!(
                "Look at it again and print: banister visit {path}"
            ));
            Ok(has_program(opened))
        }
    }
}

/// Returns the exit code of an open visit: without a program it is 3.
fn has_program(opened: &Opened) -> ExitCode {
    let visit = opened.record.open_visit();
    let verdict = visit.map(|visit| decide(&opened.library, &opened.record, VisitDate(visit.date)));
    match verdict {
        Some(Verdict::Program(_)) | None => ExitCode::SUCCESS,
        Some(Verdict::Withheld(_) | Verdict::Unanswered(_)) => ExitCode::from(NO_PROGRAM),
    }
}

fn issue(
    desk: &mut dyn Desk,
    opened: &Opened,
    output: Option<&Path>,
) -> Result<ExitCode, CliError> {
    let path = say::shown(&opened.path);
    let n = opened.record.visits.last().map_or(0, |visit| visit.n);
    let issued = issue_open(opened)?;
    desk.tell(&format!(
        "{path}: visit {n} written and closed, sheet {} issued.",
        issued.sheet
    ));
    for file in &issued.files {
        let kept = sheets_folder(&opened.path).join(&file.name);
        desk.tell(&format!("  {}", say::shown(&kept)));
    }
    copy(desk, &issued, output)?;
    if issued.withheld {
        desk.tell("No program: exercises are withheld, and the page says whom to ring.");
        return Ok(ExitCode::from(NO_PROGRAM));
    }
    Ok(ExitCode::SUCCESS)
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
