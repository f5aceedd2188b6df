//! Orders and clearances that end, have ended, or came after the sheet.
//!
//! Must not look at visits to come.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use crate::domain::due::{OrderState, Warning};
use crate::domain::ids::{FlagId, OrderKind};
use crate::domain::quantity::Quantity;
use crate::domain::record::{Clearance, Until};
use crate::domain::recorded::Recorded;
use crate::domain::word::ScreenAnswer;
use crate::engine::case::Case;
use crate::engine::dates::days_between;
use crate::engine::orders::{Standing, of_kind};

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

fn kinds<'a>(today: &Case<'a>) -> BTreeSet<&'a OrderKind> {
    let standing = today.library.clinic.standing_orders.iter();
    let standing = standing.flat_map(|set| &set.orders).map(|(_, order)| order);
    let own = today.record.orders.iter();
    own.chain(standing).map(|order| &order.what).collect()
}

fn of_one_kind(today: &Case<'_>, sheet: Option<&Sheet>, kind: &OrderKind) -> Vec<Warning> {
    let now = of_kind(today, kind, today.date);
    let mut states: Vec<OrderState> = Vec::new();
    states.extend(now.and_then(|standing| end(today, standing)));
    if let Some(sheet) = sheet {
        let newer = now.filter(|standing| standing.order.on > sheet.from);
        states.extend(newer.map(|standing| OrderState::New {
            on: standing.order.on,
            sheet: sheet.number,
        }));
        let ended = ended_since(today, sheet, kind);
        states.extend(ended.map(|until| OrderState::Ended {
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

/// Returns the last day of an order that stood when the sheet went out and is over.
fn ended_since(today: &Case<'_>, sheet: &Sheet, kind: &OrderKind) -> Option<NaiveDate> {
    let then = Case {
        date: sheet.from,
        known: sheet.from,
        day: today.record.day(sheet.from),
        ..today.clone()
    };
    match of_kind(&then, kind, sheet.from)?.until {
        Until::Date(until) => (until < today.date).then_some(until),
        Until::Asked | Until::Open => None,
    }
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
            .max_by_key(|clear| clear.until)
    };
    flags
        .into_iter()
        .filter_map(of_flag)
        .filter(|clear| still_counts(today, clear))
        .filter_map(|clear| clearance(today, clear))
        .collect()
}

/// Says whether the last visit had the sign, or the sign was assessed only after it.
fn still_counts(today: &Case<'_>, clear: &Clearance) -> bool {
    let answer = match &today.visit.screen {
        Recorded::Yes(screen) => screen.get(&clear.flag).copied(),
        Recorded::NotRecorded => None,
    };
    match answer {
        Some(ScreenAnswer::Yes) => true,
        Some(ScreenAnswer::No | ScreenAnswer::Known) | None => clear.on > today.visit.date,
    }
}

fn clearance(today: &Case<'_>, clear: &Clearance) -> Option<Warning> {
    let days = days_between(today.date, clear.until);
    let soon = days <= today.settings().due.clearance.get();
    soon.then(|| Warning::Clearance {
        flag: clear.flag.clone(),
        until: clear.until,
        days,
    })
}
