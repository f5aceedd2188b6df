//! What comes first: warnings of one record, and records of the list.
//!
//! Must not look at a library.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::domain::due::{Listed, Warning};
use crate::domain::record::{NextVisit, Record};
use crate::domain::recorded::Recorded;

use super::sheet;

/// Most files of one token that a row names; the others have rows of their own.
const TWINS_NAMED: usize = 3;

/// Puts the list in order, soonest first, and names tokens that stand in more than one file.
///
/// Records without a known day come last; equal days go by token and path.
pub fn in_order(mut list: Vec<Listed>) -> Vec<Listed> {
    let mut files: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for one in &list {
        let of_token = files.entry(one.token.clone()).or_default();
        of_token.push(one.path.clone());
    }
    for one in &mut list {
        let all = files.get(&one.token).map_or(&[][..], Vec::as_slice);
        let others = all.iter().filter(|path| **path != one.path);
        let also: Vec<String> = others.take(TWINS_NAMED).cloned().collect();
        if !also.is_empty() {
            let more = all.len().saturating_sub(1).saturating_sub(also.len());
            one.due.warnings.push(Warning::SameToken { also, more });
        }
        one.due.warnings.sort_by_key(rank);
    }
    list.sort_by(|a, b| key(a).cmp(&key(b)));
    list
}

fn key(one: &Listed) -> (NaiveDate, &str, &str) {
    let soonest = one.due.soonest.unwrap_or(NaiveDate::MAX);
    (soonest, &one.token, &one.path)
}

/// The order in which warnings are read: what may harm first, papers last.
pub(super) fn rank(warning: &Warning) -> u8 {
    match warning {
        Warning::Withheld { .. } => 0,
        Warning::Void { .. } => 1,
        Warning::Overtaken(new) if new.is_stricter() => 1,
        Warning::Restricted { .. } => 2,
        Warning::SameToken { .. } | Warning::NotInRecord { .. } => 3,
        Warning::NeverSeen | Warning::VisitOpen { .. } | Warning::VisitOvertaken { .. } => 4,
        Warning::ScreenUnanswered { .. } => 5,
        Warning::NextVisitPast { .. } => 6,
        Warning::PhoneCheck { .. } => 7,
        Warning::Sheet { .. } => 8,
        Warning::Overtaken(_) | Warning::Order { .. } => 9,
        Warning::Clearance { .. } => 10,
        Warning::Review { .. } => 11,
        Warning::BeyondLibrary { .. } => 12,
    }
}

/// Returns the first day on which somebody has something to do.
///
/// The end of a sheet counts only while nobody knows when the next visit is.
pub(super) fn soonest(
    record: &Record,
    next: Recorded<NextVisit>,
    warnings: &[Warning],
    today: NaiveDate,
) -> Option<NaiveDate> {
    let operation = record.episode.operation.0;
    let ahead = record.visits.is_empty().then_some(operation);
    let (known, visit) = match next {
        Recorded::Yes(NextVisit::Date(on)) => (true, Some(on)),
        Recorded::Yes(NextVisit::None) => (true, None),
        Recorded::Yes(NextVisit::Unknown) | Recorded::NotRecorded => (false, None),
    };
    let of = |warning: &Warning| match warning {
        Warning::Withheld { since, .. } | Warning::Restricted { since, .. } => Some(*since),
        Warning::Void { corrections, .. } => corrections.iter().map(|each| each.on).min(),
        Warning::VisitOpen { date, .. } | Warning::VisitOvertaken { date, .. } => Some(*date),
        Warning::Overtaken(new) => new.is_stricter().then_some(today),
        Warning::PhoneCheck { until, .. } => Some(*until),
        Warning::Sheet { state, .. } => (!known).then(|| sheet::end(*state)),
        Warning::SameToken { .. }
        | Warning::NotInRecord { .. }
        | Warning::NeverSeen
        | Warning::NextVisitPast { .. }
        | Warning::ScreenUnanswered { .. }
        | Warning::Order { .. }
        | Warning::Clearance { .. }
        | Warning::Review { .. }
        | Warning::BeyondLibrary { .. } => None,
    };
    warnings
        .iter()
        .filter_map(of)
        .chain(visit)
        .chain(ahead)
        .min()
}
