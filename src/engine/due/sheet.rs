//! The last sheet, how long it still stands, and the first days at home.
//!
//! Must not look at flags or orders.

use chrono::NaiveDate;

use crate::domain::due::{SheetState, Warning};
use crate::domain::ids::PhaseId;
use crate::domain::library::Library;
use crate::domain::quantity::{Days, Quantity};
use crate::domain::record::{Issued, Record, Visit};
use crate::domain::time::VisitDate;
use crate::domain::verdict::Verdict;
use crate::engine::dates::{days_between, later};
use crate::engine::decide;

/// The sheet the patient holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Sheet {
    pub(super) number: i64,
    /// First day of use.
    pub(super) from: NaiveDate,
    /// Last day of use, included.
    until: NaiveDate,
    /// Last day if the visit slips, included.
    slip_until: NaiveDate,
}

/// Finds the sheets with a program, latest first, with the visit of each.
fn programs(record: &Record) -> impl Iterator<Item = (&Visit, &Issued)> {
    let visits = record.visits.iter().rev();
    visits
        .filter_map(|visit| visit.issued.as_ref().map(|issued| (visit, issued)))
        .filter(|(_, issued)| issued.phase.is_some())
}

/// Returns the phase of the last sheet with a program.
pub(super) fn phase(record: &Record) -> Option<PhaseId> {
    programs(record)
        .find(|(visit, _)| !record.is_corrected(visit))
        .and_then(|(_, issued)| issued.phase.clone())
}

impl Sheet {
    /// Finds the sheet that stands at the last visit; a page that withholds took it back.
    pub(super) fn standing(library: &Library, record: &Record, last: &Visit) -> Option<Self> {
        let withheld = |issued: &Issued| issued.phase.is_none();
        if last.issued.as_ref().is_some_and(withheld) {
            return None;
        }
        let (visit, issued) = programs(record).find(|(visit, _)| !record.is_corrected(visit))?;
        Some(Self {
            number: issued.sheet,
            from: issued.use_from,
            until: issued.use_until,
            slip_until: slip_until(library, record, visit, issued),
        })
    }

    /// Says when the sheet ends soon, or has ended.
    pub(super) fn warning(&self, library: &Library, date: NaiveDate) -> Option<Warning> {
        let days = days_between(date, self.until);
        let state = if days > library.procedure.settings.due.sheet.get() {
            return None;
        } else if days >= 0 {
            let until = self.until;
            SheetState::Ends { until, days }
        } else if date <= self.slip_until {
            SheetState::Slips {
                ended: self.until,
                until: self.slip_until,
            }
        } else {
            let ended = self.slip_until;
            let days = days_between(ended, date);
            SheetState::Over { ended, days }
        };
        let sheet = self.number;
        Some(Warning::Sheet { sheet, state })
    }
}

/// Returns the day on which a sheet ends or ended.
pub(super) fn end(state: SheetState) -> NaiveDate {
    match state {
        SheetState::Ends { until, .. } => until,
        SheetState::Slips { ended, .. } | SheetState::Over { ended, .. } => ended,
    }
}

/// Returns the last day if the visit slips; the sheet's own last day when that cannot be told.
fn slip_until(library: &Library, record: &Record, visit: &Visit, issued: &Issued) -> NaiveDate {
    match decide(library, record, VisitDate(visit.date)) {
        Verdict::Program(program) if program.life.until == issued.use_until => {
            program.life.slip_until
        }
        Verdict::Program(_) | Verdict::Withheld(_) | Verdict::Unanswered(_) => issued.use_until,
    }
}

/// Says when the phone check after the first sheet is due and nobody has been in touch since.
///
/// A correction is not a contact; a visit that was corrected later is one.
pub(super) fn phone_check(record: &Record, days: [Days; 2], date: NaiveDate) -> Option<Warning> {
    let (visit, issued) = programs(record).last()?;
    let in_touch = |later: &Visit| later.date > visit.date && later.corrects.is_none();
    if record.visits.iter().any(in_touch) {
        return None;
    }
    let [first, last] = days.map(Quantity::get);
    let (from, until) = (later(issued.use_from, first), later(issued.use_from, last));
    (date >= from).then(|| Warning::PhoneCheck {
        from,
        until,
        overdue: days_between(until, date).max(0),
    })
}
