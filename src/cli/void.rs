//! What is said of a sheet that a correction has made void.

use crate::domain::record::{Record, Visit};
use crate::handout::explain::explain_void;

use super::error::CliError;

/// Lists every void sheet of a record, and why.
pub fn remarks(record: &Record) -> Vec<String> {
    record
        .visits
        .iter()
        .flat_map(|visit| remarks_on(record, visit))
        .collect()
}

fn remarks_on(record: &Record, visit: &Visit) -> Vec<String> {
    let Some(issued) = &visit.issued else {
        return Vec::new();
    };
    explain_void(record, visit)
        .into_iter()
        .map(|why| format!("sheet {} is void and must not be used: {why}", issued.sheet))
        .collect()
}

/// Refuses a sheet for a visit that was entered before a correction.
pub fn refuse_overtaken(record: &Record, visit: &Visit) -> Result<(), CliError> {
    match explain_void(record, visit).first() {
        Some(why) if visit.is_open() => Err(CliError::Usage(format!(
            "visit {n} of {} was entered before the record was put right ({why}); give it again \
             with `visit --corrects {n}`",
            visit.date,
            n = visit.n
        ))),
        Some(_) | None => Ok(()),
    }
}
