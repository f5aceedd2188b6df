//! A sheet given back as it went out, with what has changed since said first.
//!
//! The bytes never change; a terminal is asked before it gets them.

use std::process::ExitCode;

use crate::domain::reprint::Outdated;
use crate::engine::reprint::outdated;
use crate::handout::explain;
use crate::store::give_back;

use super::args::OutputArgs;
use super::desk::{Terminal, agreed, somebody_is_there};
use super::error::{CliError, NO_PROGRAM, USAGE};
use super::handout::kind_of;
use super::open::Opened;
use super::output::hand_over;
use super::say;

/// Gives back a sheet; a page that withholds, a void sheet and one that must not be used now end
/// with their own exit code.
pub fn give_back_sheet(opened: &Opened, to: &OutputArgs, sheet: i64) -> Result<ExitCode, CliError> {
    let (_, issued) = opened.record.sheet(sheet).ok_or_else(|| {
        CliError::Usage(format!("sheet {sheet} was never issued for this record"))
    })?;
    let file = issued
        .file(kind_of(to.form).extension())
        .ok_or_else(|| CliError::Usage(format!("sheet {sheet} was not issued in that form")))?;
    let bytes = give_back(&opened.path, file)?;
    let found = outdated(&opened.library, &opened.record, sheet, say::today());
    for line in explain::outdated(sheet, &found) {
        say::talk(&format!("warning: {line}"));
    }
    if !found.is_empty() && somebody_is_there() {
        let prompt = format!("Give sheet {sheet} back all the same? y, or Enter for no: ");
        if !agreed(&mut Terminal::open()?, &prompt)? {
            say::talk("Nothing was given back.");
            return Ok(ExitCode::from(USAGE));
        }
    }
    hand_over(to, &bytes)?;
    say::talk(&format!("sheet {sheet}, exactly as it was issued"));
    Ok(
        if issued.phase.is_none() || found.iter().any(Outdated::stops) {
            ExitCode::from(NO_PROGRAM)
        } else {
            ExitCode::SUCCESS
        },
    )
}
