//! What the clinic's own papers ask for, told once on top of the list.

use super::quoted;
use crate::domain::due::ClinicWarning;
use crate::domain::word::Word;

/// Says one warning about the clinic's papers and what to do about it.
pub fn papers(warning: &ClinicWarning) -> String {
    match warning {
        ClinicWarning::NotAdopted => {
            "The clinic has adopted no library: every sheet says that it is a draft. Read it, \
             and enter its digest in the clinic's file."
                .to_owned()
        }
        ClinicWarning::LibraryChanged { by, on } => format!(
            "The library is not the one {by} adopted on {on}: every sheet says that it is a \
             draft. Read what changed, and adopt the new digest."
        ),
        ClinicWarning::LibraryReviewPast { due } => {
            format!("The adopted library was to be read again by {due}. Read it again.")
        }
        ClinicWarning::Document { state } => format!(
            "The clinic's file is marked as {}. Read it again, and enter its new state.",
            state.as_str()
        ),
        ClinicWarning::DocumentReviewPast { due } => {
            format!("The clinic's file was to be read again by {due}. Read it again.")
        }
        ClinicWarning::StandingReviewPast { surgeon, due } => format!(
            "The standing orders of {surgeon} were to be read again by {due}. Ask the surgeon."
        ),
    }
}

/// Writes the command for a warning about the clinic's file at a path.
pub fn papers_command(warning: &ClinicWarning, path: &str) -> String {
    match warning {
        ClinicWarning::NotAdopted
        | ClinicWarning::LibraryChanged { .. }
        | ClinicWarning::LibraryReviewPast { .. } => {
            format!("banister protocol check --clinic {}", quoted(path))
        }
        ClinicWarning::Document { .. }
        | ClinicWarning::DocumentReviewPast { .. }
        | ClinicWarning::StandingReviewPast { .. } => format!("banister check {}", quoted(path)),
    }
}
