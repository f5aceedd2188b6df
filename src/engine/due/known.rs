//! The record as it was known on a day: what was written later is taken away, and undone.
//!
//! A record is only ever appended to, so nothing in it is older than what stands above it; a late
//! correction carries the date of the visit it corrects and was written long after it.
//! Must not decide anything.

use chrono::NaiveDate;

use crate::domain::correction::{Correction, PutRight};
use crate::domain::record::{Record, Visit};

/// Takes away what was written after the day, as far as the dates tell.
///
/// Where they do not tell, a visit or a correction stays: what is known rather shows than hides.
pub(super) fn as_of(record: &Record, day: NaiveDate) -> Record {
    let known = |visit: &Visit| is_known(record, visit, day);
    let mut then = record.clone();
    then.visits.retain(known);
    then.orders.retain(|order| order.on <= day);
    then.clearances.retain(|clear| clear.on <= day);
    then.overrides.retain(|said| said.on <= day);
    let corrections = record.corrections.iter();
    let kept = corrections
        .take_while(|correction| is_made(record, correction, day))
        .count();
    for later in then.corrections.split_off(kept).iter().rev() {
        match later.what {
            PutRight::Side { was, .. } => then.episode.side = was,
            PutRight::Operation { was, .. } | PutRight::Moved { was, .. } => {
                then.episode.operation = was;
            }
        }
    }
    then
}

/// Says whether a visit was written by the day; one that a known visit corrects was.
fn is_known(record: &Record, visit: &Visit, day: NaiveDate) -> bool {
    let above = record.visits.iter().filter(|other| other.n < visit.n);
    let written = above
        .map(|other| earliest(record, other))
        .fold(visit.date, NaiveDate::max);
    let corrected = corrected_by(record, visit);
    written <= day || corrected.is_some_and(|later| is_known(record, later, day))
}

/// Returns the earliest date a visit was ever given; a date mistyped as later counts no more.
fn earliest(record: &Record, visit: &Visit) -> NaiveDate {
    match corrected_by(record, visit) {
        Some(later) => earliest(record, later).min(visit.date),
        None => visit.date,
    }
}

/// Finds the visit that corrects this one; always one written after it.
fn corrected_by<'a>(record: &'a Record, visit: &Visit) -> Option<&'a Visit> {
    let corrected = record.corrected_by(visit);
    corrected.filter(|later| later.n > visit.n)
}

/// Says whether a correction was made by the day; one above a visit that was known was.
fn is_made(record: &Record, correction: &Correction, day: NaiveDate) -> bool {
    let known = |visit: &Visit| is_known(record, visit, day);
    let (above, below): (Vec<&Visit>, Vec<&Visit>) = record
        .visits
        .iter()
        .partition(|visit| correction.follows(visit));
    let dated = correction.on <= day && above.into_iter().all(known);
    dated || below.into_iter().any(known)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::time::OperationDate;
    use crate::domain::word::{ClosedWith, Side};
    use crate::engine::sample;

    /// Adds a copy of the first visit, as the correction of another one when that is named.
    fn add(record: &mut Record, day: i64, corrects: Option<i64>) {
        let mut visit = record.visits[0].clone();
        visit.n = i64::try_from(record.visits.len()).unwrap() + 1;
        (visit.date, visit.corrects) = (sample::on(day), corrects);
        record.visits.push(visit);
    }

    fn visits(record: &Record, day: i64) -> Vec<i64> {
        let then = as_of(record, sample::on(day));
        then.visits.iter().map(|visit| visit.n).collect()
    }

    #[test]
    fn a_late_correction_is_not_known_before_the_visit_above_it() {
        let mut record = sample::record(5);
        add(&mut record, 16, None);
        add(&mut record, 5, Some(1));
        record.visits[2].closed = Some(ClosedWith::None);
        assert!(visits(&record, 4).is_empty());
        assert_eq!(visits(&record, 15), [1]);
        assert_eq!(visits(&record, 16), [1, 2, 3]);
        add(&mut record, 16, Some(2));
        assert_eq!(visits(&record, 15), [1], "nor when that one is corrected");
    }

    #[test]
    fn a_date_mistyped_as_later_hides_nothing_that_was_written_after_it() {
        let mut record = sample::record(5);
        add(&mut record, 26, None);
        add(&mut record, 16, Some(2));
        add(&mut record, 18, None);
        assert_eq!(visits(&record, 15), [1]);
        assert_eq!(visits(&record, 17), [1, 2, 3]);
        assert_eq!(visits(&record, 18), [1, 2, 3, 4]);
    }

    #[test]
    fn a_correction_of_the_episode_is_undone_before_its_day() {
        let mut record = sample::record(5);
        record.corrections = vec![sample::side_put_right(1), sample::day_put_right(3, 1)];
        let then = as_of(&record, sample::on(29));
        assert_eq!(then.corrections, []);
        assert_eq!(then.episode.side, Side::Right);
        assert_eq!(then.episode.operation, OperationDate(sample::on(3)));
        assert_eq!(as_of(&record, sample::on(30)), record);
    }

    #[test]
    fn a_correction_of_the_episode_lies_between_the_visits_around_it() {
        let mut record = sample::record(5);
        add(&mut record, 35, None);
        record.corrections = vec![sample::side_put_right(2)];
        let made = |record: &Record, day| as_of(record, sample::on(day)).corrections.len();
        assert_eq!(made(&record, 34), 0, "dated back, but below a later visit");
        assert_eq!(made(&record, 35), 1);
        record.corrections = vec![sample::side_put_right(1)];
        record.visits[1].date = sample::on(20);
        assert_eq!(made(&record, 19), 0);
        assert_eq!(made(&record, 20), 1, "the visit below it was known");
    }
}
