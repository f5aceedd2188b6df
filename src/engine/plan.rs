//! Stage 9: the day: order, slots, named days and what it all adds up to.
//!
//! Must not change a dose.

use std::collections::BTreeMap;

use chrono::{NaiveDate, Weekday};

use crate::domain::procedure::HomeCare;
use crate::domain::quantity::Quantity;
use crate::domain::verdict::DayLoad;
use crate::domain::word::{CareRow, Row, Slot};

use super::amount;
use super::case::Case;
use super::choose::{seconds, seconds_a_day};
use super::dose::{Dosed, rests_until};
use super::log::Log;
use super::rules::{d901_order, d902_slots, d903_weekdays, d904_rows_beside};

/// A dosed exercise with its place in the day and the week.
#[derive(Debug, Clone)]
pub(crate) struct Planned<'a> {
    pub(crate) dosed: Dosed<'a>,
    pub(crate) slots: Vec<Slot>,
    pub(crate) weekdays: Vec<Weekday>,
    pub(crate) rests_until: Option<NaiveDate>,
}

/// The day as planned.
#[derive(Debug, Clone)]
pub(crate) struct Day<'a> {
    pub(crate) items: Vec<Planned<'a>>,
    pub(crate) background: Vec<Planned<'a>>,
    pub(crate) daily: Vec<Planned<'a>>,
    pub(crate) slots: Vec<Slot>,
}

/// Plans the day.
pub(crate) fn plan<'a>(
    case: &Case<'_>,
    chosen: &[Dosed<'a>],
    beside: Vec<Dosed<'a>>,
    log: &mut Log,
) -> Day<'a> {
    let ordered = d901_order::order(chosen, log);
    let (background, daily) = d904_rows_beside::split(beside, log);
    let own = case.own_slots();
    let most = ordered
        .iter()
        .chain(&daily)
        .map(|item| amount::times(&item.given.dose))
        .max()
        .unwrap_or(0);
    let slots = d902_slots::open(&own, most);
    let mut filled: BTreeMap<Slot, i64> = slots.iter().map(|slot| (*slot, 0)).collect();
    let items = place(case, ordered, &own, &slots, &mut filled, log);
    let mut apart = filled.clone();
    Day {
        background: place(case, background, &own, &slots, &mut apart, log),
        daily: place(case, daily, &own, &slots, &mut apart, log),
        items,
        slots,
    }
}

/// Gives each line its slots and days, the most frequent lines first.
fn place<'a>(
    case: &Case<'_>,
    lines: Vec<Dosed<'a>>,
    own: &[Slot],
    slots: &[Slot],
    filled: &mut BTreeMap<Slot, i64>,
    log: &mut Log,
) -> Vec<Planned<'a>> {
    let mut order: Vec<usize> = (0..lines.len()).collect();
    let times = |at: &usize| {
        lines
            .get(*at)
            .map_or(0, |line| amount::times(&line.given.dose))
    };
    order.sort_by_key(|at| (std::cmp::Reverse(times(at)), *at));
    let mut found: BTreeMap<usize, Vec<Slot>> = BTreeMap::new();
    for at in order {
        let Some(line) = lines.get(at) else { continue };
        let spread = d902_slots::spread(own, slots, times(&at), filled, log);
        for slot in &spread {
            let sum = filled.entry(*slot).or_insert(0);
            *sum = sum.saturating_add(seconds(line.dosing.exercise(), &line.given.dose));
        }
        found.insert(at, spread);
    }
    lines
        .into_iter()
        .enumerate()
        .map(|(at, dosed)| {
            let rests = rests_until(&dosed.steps);
            Planned {
                weekdays: d903_weekdays::name(case, &dosed.given.dose, rests, log),
                rests_until: rests,
                slots: found.remove(&at).unwrap_or_default(),
                dosed,
            }
        })
        .collect()
}

/// Returns whole minutes, rounded up.
fn minutes(seconds: i64) -> i64 {
    seconds.saturating_add(59).div_euclid(60)
}

/// Adds up the day.
pub(crate) fn load(day: &Day<'_>, care: &[&HomeCare]) -> DayLoad {
    let sum = |lines: &[Planned<'_>]| {
        lines
            .iter()
            .map(|line| seconds_a_day(line.dosed.dosing.exercise(), &line.dosed.given.dose))
            .fold(0, i64::saturating_add)
    };
    let session = |slot: &Slot| {
        day.items
            .iter()
            .filter(|line| line.slots.contains(slot))
            .map(|line| seconds(line.dosed.dosing.exercise(), &line.dosed.given.dose))
            .fold(0, i64::saturating_add)
    };
    let timed: Vec<Planned<'_>> = day
        .daily
        .iter()
        .filter(|line| line.dosed.dosing.exercise().row == Row::Daily)
        .cloned()
        .collect();
    DayLoad {
        exercises: minutes(sum(&day.items)),
        walks: minutes(sum(&timed)),
        care: care.iter().map(|row| care_minutes(row)).max().unwrap_or(0),
        session: minutes(day.slots.iter().map(session).max().unwrap_or(0)),
    }
}

/// Returns the minutes a care row takes in a day; rows of care that are not of the day take none.
fn care_minutes(row: &HomeCare) -> i64 {
    match (row.row, row.minutes, row.times_a_day) {
        (CareRow::Day, Some([_, longest]), Some(times)) => {
            longest.get().saturating_mul(times.get())
        }
        (CareRow::Day | CareRow::Care, _, _) => 0,
    }
}
