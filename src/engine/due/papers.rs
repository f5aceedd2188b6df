//! What a clinic's own papers ask for.
//!
//! Must not look at a record.

use chrono::NaiveDate;

use crate::domain::due::ClinicWarning;
use crate::domain::library::Library;
use crate::domain::word::DocumentState;

/// Says what a clinic's own papers ask for on a day.
pub fn clinic_due(library: &Library, date: NaiveDate) -> Vec<ClinicWarning> {
    let clinic = &library.clinic;
    let mut warnings = Vec::new();
    match &clinic.adopted {
        None => warnings.push(ClinicWarning::NotAdopted),
        Some(known) if known.library != library.digests.built_in => {
            warnings.push(ClinicWarning::LibraryChanged {
                by: known.by.clone(),
                on: known.on,
            });
        }
        Some(known) if known.review_due < date => {
            let due = known.review_due;
            warnings.push(ClinicWarning::LibraryReviewPast { due });
        }
        Some(_) => {}
    }
    match clinic.status.state {
        state @ (DocumentState::Due | DocumentState::Expired) => {
            warnings.push(ClinicWarning::Document { state });
        }
        DocumentState::Draft | DocumentState::Approved => {}
    }
    if clinic.status.review_due < date {
        let due = clinic.status.review_due;
        warnings.push(ClinicWarning::DocumentReviewPast { due });
    }
    let standing = clinic.standing_orders.iter();
    for orders in standing.filter(|orders| orders.review_due < date) {
        let warning = ClinicWarning::StandingReviewPast {
            surgeon: orders.surgeon.clone(),
            due: orders.review_due,
        };
        // A surgeon's orders for several operations are read again at once.
        if !warnings.contains(&warning) {
            warnings.push(warning);
        }
    }
    warnings
}
