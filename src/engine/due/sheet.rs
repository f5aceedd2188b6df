//! The sheet at home, how long it still stands or what made it void, and the first days at home.
//!
//! Must not look at flags or orders.

use chrono::NaiveDate;

use crate::domain::correction::Correction;
use crate::domain::due::{SheetState, Warning};
use crate::domain::ids::PhaseId;
use crate::domain::library::Library;
use crate::domain::quantity::{Days, Quantity};
use crate::domain::record::{Issued, Record, Visit};
use crate::domain::time::VisitDate;
use crate::domain::timeline::SheetGiven;
use crate::domain::verdict::Verdict;
use crate::engine::dates::{days_between, later};
use crate::engine::decide;

/// The sheet the patient holds, while it stands.
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

/// Lists the sheets that were taken home and not replaced by a correction, in order of time.
///
/// A page that withholds is one too. A correction that is still open replaces nothing yet.
fn taken_home(record: &Record) -> impl DoubleEndedIterator<Item = SheetGiven<'_>> {
    let visits = record.effective().into_iter();
    visits.filter_map(|visit| {
        let given = given_for(record, visit)?;
        Some(SheetGiven { visit, ..given })
    })
}

fn given_for<'a>(record: &'a Record, visit: &'a Visit) -> Option<SheetGiven<'a>> {
    let given = record.given_at(visit);
    given.or_else(|| given_for(record, record.corrected(visit)?))
}

/// Finds what the patient was given last: a sheet with a program, or a page that withholds.
pub(in crate::engine) fn at_home(record: &Record) -> Option<SheetGiven<'_>> {
    taken_home(record).next_back()
}

/// Says whether a sheet holds a program.
pub(super) fn has_program(given: &SheetGiven<'_>) -> bool {
    given.issued.phase.is_some()
}

/// Returns the phase of the last sheet with a program.
pub(super) fn phase(record: &Record) -> Option<PhaseId> {
    taken_home(record)
        .filter_map(|given| given.issued.phase.clone())
        .next_back()
}

/// Says that the program at home is void, and what made it so.
pub(super) fn void(record: &Record, home: SheetGiven<'_>) -> Option<Warning> {
    let corrections: Vec<Correction> = record.voided_by(home.issued_at).cloned().collect();
    let sheet = home.issued.sheet;
    (has_program(&home) && !corrections.is_empty()).then_some(Warning::Void { sheet, corrections })
}

impl Sheet {
    /// Returns the last day it is used, seen from a day; none when that is over.
    pub(super) fn last_on(&self, date: NaiveDate) -> Option<NaiveDate> {
        let lasts = [self.until, self.slip_until];
        lasts.into_iter().find(|last| date <= *last)
    }

    /// Reads the sheet at home; a page that withholds is none, and a void one does not stand.
    pub(super) fn standing(
        library: &Library,
        record: &Record,
        home: SheetGiven<'_>,
    ) -> Option<Self> {
        if !has_program(&home) || void(record, home).is_some() {
            return None;
        }
        let issued = home.issued;
        Some(Self {
            number: issued.sheet,
            from: issued.use_from,
            until: issued.use_until,
            slip_until: slip_until(library, record, home.visit, issued),
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
pub(in crate::engine) fn slip_until(
    library: &Library,
    record: &Record,
    visit: &Visit,
    issued: &Issued,
) -> NaiveDate {
    match decide(library, record, VisitDate(visit.date)) {
        Verdict::Program(program) if program.life.until == issued.use_until => {
            program.life.slip_until
        }
        Verdict::Program(_) | Verdict::Withheld(_) | Verdict::Unanswered(_) => issued.use_until,
    }
}

/// Says when the phone check after the first sheet is due and nobody has been in touch since.
///
/// A correction is no contact of its own: it stands in the place of the visit it corrects.
pub(super) fn phone_check(record: &Record, days: [Days; 2], date: NaiveDate) -> Option<Warning> {
    let given = taken_home(record).find(has_program)?;
    let in_touch = |later: &&Visit| later.date > given.visit.date;
    if record.after(given.visit).iter().any(in_touch) {
        return None;
    }
    let [first, last] = days.map(Quantity::get);
    let from = later(given.issued.use_from, first);
    let until = later(given.issued.use_from, last);
    (date >= from).then(|| Warning::PhoneCheck {
        from,
        until,
        overdue: days_between(until, date).max(0),
    })
}
