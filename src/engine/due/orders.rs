//! Orders and clearances that end, have ended, or came after the sheet.
//!
//! Must not look at visits to come.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use crate::domain::due::{OrderState, Warning};
use crate::domain::ids::{FlagId, OrderKind};
use crate::domain::library::Library;
use crate::domain::quantity::Quantity;
use crate::domain::record::{Clearance, Order, Record, Until};
use crate::domain::time::VisitDate;
use crate::domain::word::ScreenAnswer;
use crate::engine::case::Case;
use crate::engine::dates::days_between;
use crate::engine::gate;
use crate::engine::orders::{Standing, counts_until, of_kind};

use super::sheet::Sheet;

/// Says which orders end or ended, are open, or are newer than the sheet.
///
/// `today` is the last visit's case with today's date.
pub(super) fn of_surgeons(today: &Case<'_>, sheet: Option<&Sheet>) -> Vec<Warning> {
    kinds(today)
        .into_iter()
        .flat_map(|kind| of_one_kind(today, sheet, kind))
        .collect()
}

/// Lists the orders of a kind that stand on a date, as the last visit knows the person.
pub fn standing<'a>(
    library: &'a Library,
    record: &'a Record,
    kind: &OrderKind,
    date: NaiveDate,
) -> Vec<&'a Order> {
    let last = record.latest();
    let case = last.and_then(|last| Case::open(library, record, VisitDate(last.date)));
    let Some(case) = case else {
        return Vec::new();
    };
    let on_date = Case {
        date,
        known: date,
        day: record.day(date),
        ..case
    };
    let found = of_kind(&on_date, kind, date).into_iter();
    found.map(|standing| standing.order).collect()
}

fn kinds<'a>(today: &Case<'a>) -> BTreeSet<&'a OrderKind> {
    let standing = today.library.clinic.standing_orders.iter();
    let standing = standing.flat_map(|set| &set.orders).map(|(_, order)| order);
    let own = today.record.orders.iter();
    own.chain(standing).map(|order| &order.what).collect()
}

fn of_one_kind(today: &Case<'_>, sheet: Option<&Sheet>, kind: &OrderKind) -> Vec<Warning> {
    let now = of_kind(today, kind, today.date);
    let mut states: Vec<OrderState> = Vec::new();
    states.extend(now.iter().filter_map(|standing| end(today, *standing)));
    if let Some(sheet) = sheet {
        let ended = ended_since(today, sheet, kind);
        states.extend(ended.into_iter().map(|until| OrderState::Ended {
            until,
            sheet: sheet.number,
        }));
    }
    let warning = |state| Warning::Order {
        what: kind.clone(),
        state,
    };
    states.into_iter().map(warning).collect()
}

fn end(today: &Case<'_>, standing: Standing<'_>) -> Option<OrderState> {
    match standing.until {
        Until::Open => None,
        Until::Asked => Some(OrderState::Asked {
            on: standing.order.on,
        }),
        Until::Date(until) => {
            let days = days_between(today.date, until);
            let soon = days <= today.settings().due.order.get();
            soon.then_some(OrderState::Ends { until, days })
        }
    }
}

/// Returns the last days of orders that stood when the sheet went out and are over.
fn ended_since(today: &Case<'_>, sheet: &Sheet, kind: &OrderKind) -> Vec<NaiveDate> {
    let then = Case {
        date: sheet.from,
        known: sheet.from,
        day: today.record.day(sheet.from),
        ..today.clone()
    };
    let stood = of_kind(&then, kind, sheet.from).into_iter();
    let ended = stood.filter_map(|standing| match standing.until {
        Until::Date(until) => (until < today.date).then_some(until),
        Until::Asked | Until::Open => None,
    });
    ended.collect()
}

/// Says which clearances end soon or have ended while the sign may still be there.
pub(super) fn clearances(today: &Case<'_>) -> Vec<Warning> {
    let flags: BTreeSet<&FlagId> = today
        .record
        .clearances
        .iter()
        .map(|clear| &clear.flag)
        .collect();
    let of_flag = |flag: &FlagId| {
        let all = today.record.clearances.iter();
        all.filter(|clear| clear.flag == *flag)
            .max_by_key(|clear| counts_until(today, clear))
    };
    flags
        .into_iter()
        .filter_map(of_flag)
        .filter(|clear| still_counts(today, clear))
        .filter_map(|clear| clearance(today, clear))
        .collect()
}

/// Says whether the last visit had the assessed sign, or it was assessed only after that visit.
fn still_counts(today: &Case<'_>, clear: &Clearance) -> bool {
    match today.visit.screened(&clear.flag) {
        Some(ScreenAnswer::Known) => true,
        Some(ScreenAnswer::Yes) => was_assessed(today, clear) || clear.follows(today.visit),
        Some(ScreenAnswer::No) | None => clear.follows(today.visit),
    }
}

/// Says whether the yes of the last visit was the assessed sign, as in records of earlier versions.
fn was_assessed(today: &Case<'_>, clear: &Clearance) -> bool {
    let date = today.visit.date;
    let then = Case {
        date,
        known: date,
        day: today.record.day(date),
        ..today.clone()
    };
    let flag = today.procedure().red_flag(&clear.flag);
    flag.is_some_and(|flag| gate::was_let_stand(&then, flag))
}

fn clearance(today: &Case<'_>, clear: &Clearance) -> Option<Warning> {
    let until = counts_until(today, clear);
    let days = days_between(today.date, until);
    let soon = days <= today.settings().due.clearance.get();
    soon.then(|| Warning::Clearance {
        flag: clear.flag.clone(),
        until,
        days,
    })
}
