//! Who is due, and what is missing: one record looked at on any day, visit or not.
//!
//! Reads the record as it stood on that day. Must not decide a dose or write a sentence.
//! Next: `handout::due` puts it into words.

mod known;
mod orders;
mod overtaken;
mod papers;
mod ranking;
mod sheet;

use chrono::NaiveDate;

use crate::domain::correction::Correction;
use crate::domain::due::{Due, LastVisit, Warning};
use crate::domain::ids::FlagId;
use crate::domain::library::Library;
use crate::domain::record::{NextVisit, Record, Visit};
use crate::domain::recorded::Recorded;
use crate::domain::time::VisitDate;
use crate::domain::timeline::SheetGiven;
use crate::domain::verdict::Verdict;
use crate::domain::word::FlagEffect;

use super::case::Case;
use super::dates::{days_between, later};
use super::gate::Gate;
use super::log::Log;
use super::rules::{d104_screen_asked, d205_review_lines};
use super::{decide, facts, gate};

pub use orders::standing;
pub(super) use overtaken::told_at;
pub use overtaken::{put_right_at, sheet_at_home, stands};
pub use papers::clinic_due;
pub use ranking::in_order;
use ranking::{rank, soonest};
use sheet::Sheet;
pub(super) use sheet::{at_home, slip_until};

/// One record on one day: what the parts of this module look at.
#[derive(Debug, Clone, Copy)]
struct Looked<'a> {
    library: &'a Library,
    /// The record as it stood on the day.
    record: &'a Record,
    date: NaiveDate,
}

/// Says what a record asks for on a day.
pub fn due(library: &Library, record: &Record, date: NaiveDate) -> Due {
    let record = known::as_of(record, date);
    let looked = Looked {
        library,
        record: &record,
        date,
    };
    let last = record.latest();
    let mut warnings = match last {
        Some(visit) => looked.visit(visit),
        None if date < record.episode.operation.0 => Vec::new(),
        None => vec![Warning::NeverSeen],
    };
    let next = next_visit(&record, last);
    looked.add_dates(next, &mut warnings);
    let last_day = library.procedure.settings.last_day;
    let day = record.day(date);
    if looked.beyond() {
        warnings.push(Warning::BeyondLibrary { last_day });
    }
    warnings.sort_by_key(rank);
    Due {
        date,
        side: record.episode.side,
        day,
        phase: sheet::phase(&record),
        last: last.map(|visit| LastVisit {
            date: visit.date,
            days_ago: days_between(visit.date, date),
            how: visit.how,
        }),
        soonest: soonest(&record, next, &warnings, date),
        next,
        warnings,
    }
}

/// Finds the visit to come: a phone call that names none leaves the one named before.
///
/// A date that a later visit has reached is used up.
fn next_visit(record: &Record, last: Option<&Visit>) -> Recorded<NextVisit> {
    let mut visits = record.effective().into_iter().rev();
    let named = visits.find_map(|visit| visit.next_visit.known());
    match (named, last) {
        (Some(NextVisit::Date(on)), Some(last)) if on <= last.date => Recorded::NotRecorded,
        (named, _) => Recorded::from(named),
    }
}

impl Looked<'_> {
    /// Says whether the day lies beyond the library, where no new sheet can be made.
    fn beyond(&self) -> bool {
        self.record.day(self.date) > self.library.procedure.settings.last_day
    }

    /// Says what the last visit asks for.
    fn visit(&self, visit: &Visit) -> Vec<Warning> {
        let mut warnings = Vec::new();
        let Some(mut case) = Case::open(self.library, self.record, VisitDate(visit.date)) else {
            return warnings;
        };
        let mut log = Log::new();
        case.facts = facts::gather(&case, &mut log);
        let gate = gate::check(&case, &mut log);
        let home = sheet::at_home(self.record);
        let withheld = self.add_flags(visit, home, &gate, &mut warnings);
        warnings.extend(home.and_then(|home| sheet::void(self.record, home)));
        if visit.is_open() {
            self.add_open(&case, &mut warnings);
        }
        let sheet = home.and_then(|home| Sheet::standing(self.library, self.record, home));
        if let (Some(sheet), false) = (&sheet, withheld || self.beyond()) {
            warnings.extend(sheet.warning(self.library, self.date));
        }
        let today = Case {
            date: self.date,
            known: self.date,
            day: self.record.day(self.date),
            ..case.clone()
        };
        if !self.beyond() {
            let new = overtaken::since_sheet(self.library, self.record, self.date);
            warnings.extend(new.map(Warning::Overtaken));
        }
        warnings.extend(orders::of_surgeons(&today, sheet.as_ref()));
        warnings.extend(orders::clearances(&today));
        self.add_reviews(&case, &mut warnings);
        warnings
    }

    /// Adds measures past a review line; those of the wrong side tell nothing.
    fn add_reviews(&self, case: &Case<'_>, warnings: &mut Vec<Warning>) {
        let mut corrections = self.record.voided_by(case.visit);
        if corrections.any(Correction::is_of_side) {
            return;
        }
        let reviews = d205_review_lines::due(case, &mut Log::new());
        warnings.extend(reviews.into_iter().map(|due| {
            // After a call the measure is mostly that of the visit before it.
            let measured = case.facts.get(due.fact).map(|dated| dated.on.get());
            let on = match measured {
                Recorded::Yes(day) => later(self.record.episode.operation.0, day),
                Recorded::NotRecorded => case.visit.date,
            };
            Warning::Review { on, due }
        }));
    }

    /// Adds flags that withhold or narrow; says whether no exercises stand.
    fn add_flags(
        &self,
        visit: &Visit,
        home: Option<SheetGiven<'_>>,
        gate: &Gate,
        warnings: &mut Vec<Warning>,
    ) -> bool {
        let waiting = |effect: FlagEffect| -> Vec<FlagId> {
            let raised = gate.raised.iter().filter(|flag| flag.effect == effect);
            raised
                .map(|flag| flag.flag.clone())
                .filter(|flag| !self.assessed(flag, visit))
                .collect()
        };
        let program = home.filter(sheet::has_program);
        let page = home.filter(|given| !sheet::has_program(given));
        let flags = waiting(FlagEffect::Withhold);
        let withheld = page.is_some() || !flags.is_empty();
        if withheld {
            warnings.push(Warning::Withheld {
                since: page.map_or(visit.date, |page| page.visit.date),
                flags,
                still: program.map(|given| given.issued.sheet),
            });
        }
        let narrows = waiting(FlagEffect::Restrict);
        if narrows.len() > 1 {
            warnings.push(Warning::Restricted {
                since: visit.date,
                flags: narrows,
            });
        }
        withheld
    }

    /// Says whether somebody has assessed a flag since a visit.
    fn assessed(&self, flag: &FlagId, visit: &Visit) -> bool {
        let mut all = self.record.clearances.iter();
        all.any(|clear| clear.flag == *flag && clear.follows(visit))
    }

    /// Adds what an open visit waits for; one entered before a correction is given again.
    fn add_open(&self, case: &Case<'_>, warnings: &mut Vec<Warning>) {
        if self.record.voided_by(case.visit).next().is_some() {
            let (date, n) = (case.date, case.visit.n);
            warnings.push(Warning::VisitOvertaken { date, n });
            return;
        }
        let questions = match decide(self.library, self.record, VisitDate(case.date)) {
            Verdict::Unanswered(page) => page.questions.len(),
            Verdict::Program(_) | Verdict::Withheld(_) => 0,
        };
        let date = case.date;
        warnings.push(Warning::VisitOpen { date, questions });
        let flags = d104_screen_asked::unasked(case);
        if !flags.is_empty() {
            warnings.push(Warning::ScreenUnanswered { flags });
        }
    }

    /// Adds a visit that did not happen and a phone check that is due.
    fn add_dates(&self, next: Recorded<NextVisit>, warnings: &mut Vec<Warning>) {
        if let Recorded::Yes(NextVisit::Date(on)) = next
            && on < self.date
        {
            let days = days_between(on, self.date);
            warnings.push(Warning::NextVisitPast { on, days });
        }
        if !self.beyond() {
            let days = self.library.procedure.settings.due.phone_check;
            warnings.extend(sheet::phone_check(self.record, days, self.date));
        }
    }
}

#[cfg(test)]
mod corrected_tests;
#[cfg(test)]
mod tests;
