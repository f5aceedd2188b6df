//! Where a sheet or form goes: a file that is never written over unasked, or standard output.

use std::io::IsTerminal;
use std::path::Path;

use crate::domain::page::PageDesign;
use crate::handout::model::Document;
use crate::render::{pdf, text};
use crate::store::{Existing, sheets_folder, write_output};

use super::args::{OutputArgs, SheetForm};
use super::error::CliError;
use super::say;

/// Draws a document.
pub fn draw(document: &Document, form: SheetForm, page: &PageDesign) -> Result<Vec<u8>, CliError> {
    match form {
        SheetForm::Pdf => {
            pdf::pdf(document, page).map_err(|error| CliError::Sheet(error.to_string()))
        }
        SheetForm::Text => Ok(text::text(document).into_bytes()),
    }
}

/// Says no before anything is made, not after; `record` is the record it is made from.
pub fn refuse(to: &OutputArgs, record: Option<&Path>) -> Result<(), CliError> {
    refuse_our_own(to, record)?;
    match file(to) {
        None if to.form == SheetForm::Pdf && std::io::stdout().is_terminal() => {
            Err(CliError::Usage(
                "a PDF does not belong on a terminal: say where, with -o FILE".to_owned(),
            ))
        }
        Some(path) if path.exists() && !to.force => Err(CliError::Usage(format!(
            "{}: exists already; nothing was written. Choose another name, or add --force",
            say::shown(path)
        ))),
        Some(_) | None => Ok(()),
    }
}

/// A record, a clinic's file and a kept sheet are never written over, whatever was asked for.
fn refuse_our_own(to: &OutputArgs, record: Option<&Path>) -> Result<(), CliError> {
    let Some(path) = file(to).and_then(|path| path.canonicalize().ok()) else {
        return Ok(());
    };
    let same = record.and_then(|record| record.canonicalize().ok());
    let sheets = record.and_then(|record| sheets_folder(record).canonicalize().ok());
    let kept = sheets.is_some_and(|folder| path.starts_with(folder));
    let toml = path.extension().is_some_and(|end| end == "toml");
    if same.as_ref() == Some(&path) || kept || toml {
        return Err(CliError::Usage(format!(
            "{}: is a record, a clinic's file or a kept sheet, and is never written over",
            say::shown(&path)
        )));
    }
    Ok(())
}

/// Returns the file to write; none is standard output, and so is the name `-`.
fn file(to: &OutputArgs) -> Option<&Path> {
    to.output.as_deref().filter(|path| path.as_os_str() != "-")
}

/// Writes the bytes where they were asked for.
pub fn hand_over(to: &OutputArgs, bytes: &[u8]) -> Result<(), CliError> {
    let Some(path) = file(to) else {
        return match (to.form, std::str::from_utf8(bytes)) {
            (SheetForm::Text, Ok(text)) => say::laid_out(text),
            (SheetForm::Text | SheetForm::Pdf, _) => say::result(bytes),
        };
    };
    let existing = if to.force {
        Existing::Replace
    } else {
        Existing::Refuse
    };
    write_output(path, bytes, existing)?;
    say::talk(&format!("written: {}", say::shown(path)));
    Ok(())
}
