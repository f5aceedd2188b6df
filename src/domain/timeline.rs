//! The visits of a record in time: which count, in what order, and which sheet was given at each.
//!
//! A correcting visit stands in the place of the one it corrects, whenever it was written.
//! Must not decide anything.

use chrono::NaiveDate;

use super::correction::Correction;
use super::record::{Issued, NextVisit, Order, Record, Until, Visit};
use super::recorded::Recorded;
use super::word::How;

/// A sheet the person was given, and the visits around it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SheetGiven<'a> {
    /// The visit that counts in its place.
    pub visit: &'a Visit,
    /// The visit it was issued at: the same one, or one that was corrected later.
    pub issued_at: &'a Visit,
    /// What was issued.
    pub issued: &'a Issued,
}

/// Finds the next visit that stands on a day, among the visits before it, the latest first.
///
/// Calls that named none are passed over; a day that has come stands no more.
pub fn named_before<'a>(
    before: impl IntoIterator<Item = &'a Visit>,
    date: NaiveDate,
) -> Recorded<NextVisit> {
    let speaks = |earlier: &&Visit| earlier.how == How::Seen || earlier.next_visit.is_recorded();
    let named = before.into_iter().find(speaks);
    match named.map(|earlier| earlier.next_visit) {
        Some(Recorded::Yes(NextVisit::Date(on))) if on <= date => Recorded::NotRecorded,
        Some(named) => named,
        None => Recorded::NotRecorded,
    }
}

impl SheetGiven<'_> {
    /// Says whether the sheet was made with an order: one that stands below it, or is dated after
    /// the day decided for, is newer. A letter may come late, and a sheet may be issued late.
    pub fn knows(&self, order: &Order) -> bool {
        order.origin.line <= self.issued.origin.line && order.on <= self.issued_at.date
    }
}

impl Record {
    /// Lists the orders that a sheet does not know and that are not over on a day.
    pub fn newer_orders<'a>(
        &'a self,
        given: SheetGiven<'a>,
        today: NaiveDate,
    ) -> impl Iterator<Item = &'a Order> {
        let over = move |order: &&Order| matches!(order.until, Until::Date(end) if end < today);
        let orders = self.orders.iter();
        orders.filter(move |order| !given.knows(order) && !over(order))
    }

    /// Says whether a later visit corrects this one.
    pub fn is_corrected(&self, visit: &Visit) -> bool {
        self.corrected_by(visit).is_some()
    }

    /// Finds the visit that corrects this one.
    pub fn corrected_by(&self, visit: &Visit) -> Option<&Visit> {
        self.visits
            .iter()
            .find(|later| later.corrects == Some(visit.n))
    }

    /// Finds the visit this one corrects.
    pub fn corrected(&self, visit: &Visit) -> Option<&Visit> {
        self.visits
            .iter()
            .find(|earlier| Some(earlier.n) == visit.corrects && earlier.n < visit.n)
    }

    /// Lists the visits that nobody corrected, in order of time.
    pub fn effective(&self) -> Vec<&Visit> {
        let mut found: Vec<&Visit> = self
            .visits
            .iter()
            .filter(|visit| !self.is_corrected(visit))
            .collect();
        found.sort_by_key(|visit| self.in_time(visit));
        found
    }

    /// Finds the latest visit in time that nobody corrected.
    pub fn latest(&self) -> Option<&Visit> {
        self.effective().last().copied()
    }

    /// Lists the effective visits before one, the latest first.
    pub fn before(&self, visit: &Visit) -> Vec<&Visit> {
        let mut found = self.effective();
        found.retain(|other| self.in_time(other) < self.in_time(visit));
        found.reverse();
        found
    }

    /// Lists the effective visits after one, in order of time.
    pub fn after(&self, visit: &Visit) -> Vec<&Visit> {
        let mut found = self.effective();
        found.retain(|other| self.in_time(other) > self.in_time(visit));
        found
    }

    /// Finds the visit that waits for its sheet: only the last one written may.
    pub fn open_visit(&self) -> Option<&Visit> {
        self.visits.last().filter(|visit| visit.is_open())
    }

    /// Finds the sheet the person was given at a visit.
    ///
    /// A correction closed without a sheet changed what is known, not what the person took home;
    /// at a call that left a sheet at home none was given.
    pub fn given_at<'a>(&'a self, visit: &'a Visit) -> Option<SheetGiven<'a>> {
        let mut issued_at = visit;
        while issued_at.issued.is_none() && issued_at.closed.is_some() {
            issued_at = self.corrected(issued_at)?;
        }
        issued_at.issued.as_ref().map(|issued| SheetGiven {
            visit,
            issued_at,
            issued,
        })
    }

    /// Finds the visit a sheet was issued at, and what was issued.
    pub fn sheet(&self, number: i64) -> Option<(&Visit, &Issued)> {
        let issued = |visit| Some((visit, Visit::issued_as(visit, number)?));
        self.visits.iter().find_map(issued)
    }

    /// Returns when the next visit is, as known at a visit.
    ///
    /// A call moves no appointment: one that names none leaves the one named before, unless that
    /// day has come.
    pub fn next_visit(&self, visit: &Visit) -> Recorded<NextVisit> {
        if visit.how == How::Seen || visit.next_visit.is_recorded() {
            return visit.next_visit;
        }
        named_before(self.before(visit), visit.date)
    }

    /// Lists the corrections that make the sheet of a visit void, as known now.
    pub fn voided_by(&self, visit: &Visit) -> impl Iterator<Item = &Correction> {
        self.corrections
            .iter()
            .filter(|correction| correction.voids(visit))
    }

    /// Lists the corrections between two visits.
    pub fn between(&self, earlier: &Visit, later: &Visit) -> impl Iterator<Item = &Correction> {
        self.corrections
            .iter()
            .filter(move |correction| correction.parts(earlier, later))
    }

    /// Returns what orders a visit in time: its date, then the number its place was first given.
    fn in_time(&self, visit: &Visit) -> (NaiveDate, i64) {
        let mut first = visit;
        while let Some(earlier) = self.corrected(first) {
            first = earlier;
        }
        (visit.date, first.n)
    }
}

impl Visit {
    /// Says whether neither a sheet nor anything else has closed the visit.
    pub fn is_open(&self) -> bool {
        self.issued.is_none() && self.closed.is_none() && self.kept.is_none()
    }

    /// Returns what was issued, if it was the sheet of this number.
    fn issued_as(&self, number: i64) -> Option<&Issued> {
        self.issued.as_ref().filter(|issued| issued.sheet == number)
    }
}
