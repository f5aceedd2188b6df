//! Orders and clearances that stand on a date.
//!
//! The record's own orders come first; the clinic's standing orders fill in what it does not say.
//! Orders of one kind stand beside each other, and the strictest holds, until one replaces another.

use chrono::NaiveDate;

use crate::domain::ids::{FlagId, Id, OrderKind};
use crate::domain::record::{Clearance, Order, OrderValue, Until};
use crate::domain::recorded::Recorded;
use crate::domain::verdict::OrderInForce;
use crate::domain::word::WeightBearing;

use super::case::Case;
use super::dates::{date_of, each};

/// An order that stands, and its last day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Standing<'a> {
    pub(crate) order: &'a Order,
    pub(crate) until: Until,
}

fn not_over(order: &Order, date: NaiveDate) -> bool {
    match order.until {
        Until::Date(last) => date <= last,
        Until::Asked | Until::Open => true,
    }
}

/// Says whether an order has begun on a date and is not over.
fn runs(order: &Order, date: NaiveDate) -> bool {
    order.begins() <= date && not_over(order, date)
}

/// Says whether another order takes the place of one on a date.
///
/// An order that another one names as replaced is gone: for good, also after the other has ended.
/// What lifts a limit for some days gives it back after them, but an order whose end was asked of
/// the surgeon has its answer in a lift. Another order of the kind is no answer: both stand.
fn is_over_taken(case: &Case<'_>, at: usize, order: &Order, date: NaiveDate) -> bool {
    let others = case.record.orders.iter().enumerate();
    let mut others = others.filter(|(place, other)| {
        *place != at && other.what == order.what && other.on <= case.known
    });
    others.any(|(place, other)| {
        let later = (other.on, place) > (order.on, at);
        let meant = other.replaces.is_none() || names(other, order);
        let answers = order.until == Until::Asked && later && place > at && meant;
        let lifts = later && meant && runs(other, date);
        other.begins() <= date
            && match other.value {
                OrderValue::NotOrdered => lifts || answers,
                OrderValue::WeightBearing(_) | OrderValue::Degrees(_) | OrderValue::Stands => {
                    names(other, order)
                }
            }
    })
}

/// Says whether an order names another one as replaced.
fn names(other: &Order, order: &Order) -> bool {
    order.id.is_some() && other.replaces == order.id
}

/// What the record itself says of a kind of order on a date.
enum Own<'a> {
    /// Nothing: the clinic's standing orders fill in.
    Silent,
    /// These stand; none when what was ordered is lifted.
    Says(Vec<&'a Order>),
}

fn of_the_record<'a>(case: &Case<'a>, date: NaiveDate, picks: impl Fn(&Order) -> bool) -> Own<'a> {
    let orders = case.record.orders.iter().enumerate();
    let stand = orders
        .filter(|(_, order)| picks(order) && order.on <= case.known && runs(order, date))
        .filter(|(at, order)| !is_over_taken(case, *at, order, date));
    let (lifted, ordered): (Vec<&Order>, Vec<&Order>) = stand
        .map(|(_, order)| order)
        .partition(|order| order.value == OrderValue::NotOrdered);
    if lifted.is_empty() && ordered.is_empty() {
        Own::Silent
    } else {
        Own::Says(ordered)
    }
}

/// Says whether the record itself answers today to a kind of order; "not ordered" is an answer.
pub(crate) fn is_answered_by_the_record(case: &Case<'_>, kind: &OrderKind) -> bool {
    is_answered_on(case, kind, case.date)
}

fn is_answered_on(case: &Case<'_>, kind: &OrderKind, date: NaiveDate) -> bool {
    match of_the_record(case, date, |order| order.what == *kind) {
        Own::Says(_) => true,
        Own::Silent => false,
    }
}

/// Lists the orders that count on a date: all of the record's, else the surgeon's standing one.
fn governing<'a>(
    case: &Case<'a>,
    date: NaiveDate,
    picks: impl Fn(&Order) -> bool,
) -> Vec<Standing<'a>> {
    let own = |order: &'a Order| Standing {
        order,
        until: order.until,
    };
    match of_the_record(case, date, &picks) {
        Own::Says(orders) => orders.into_iter().map(own).collect(),
        Own::Silent => of_the_clinic(case, date, picks).into_iter().collect(),
    }
}

fn of_the_clinic<'a>(
    case: &Case<'a>,
    date: NaiveDate,
    picks: impl Fn(&Order) -> bool,
) -> Option<Standing<'a>> {
    let Recorded::Yes(surgeon) = &case.visit.patient.surgeon else {
        return None;
    };
    let day = case.day_of(date);
    case.library
        .clinic
        .standing_orders
        .iter()
        .filter(|set| set.surgeon == *surgeon && set.procedure == case.procedure().id)
        .flat_map(|set| &set.orders)
        .filter(|(window, order)| window.holds(day) && picks(order) && not_over(order, date))
        .max_by_key(|(window, _)| window.from)
        .map(|(window, order)| Standing {
            order,
            until: window.before.map_or(order.until, |before| {
                Until::Date(date_of(case.record.episode.operation, before.plus(-1)))
            }),
        })
}

/// Lists the orders of a kind that stand on a date beside each other.
pub(crate) fn of_kind<'a>(case: &Case<'a>, kind: &OrderKind, date: NaiveDate) -> Vec<Standing<'a>> {
    let mut found = governing(case, date, |order| order.what == *kind);
    found.retain(|standing| standing.order.value != OrderValue::NotOrdered);
    found
}

/// Lists the orders that count on a date where the latest of some kinds takes the place of the others:
/// the record's own, else the surgeon's standing ones; of one day each counts.
pub(crate) fn latest_of<'a>(
    case: &Case<'a>,
    kinds: &[&OrderKind],
    date: NaiveDate,
) -> Vec<Standing<'a>> {
    let all = kinds.iter().filter_map(|kind| {
        let latest = of_kind(case, kind, date);
        let latest = latest
            .into_iter()
            .max_by_key(|standing| standing.order.on)?;
        Some((is_answered_on(case, kind, date), latest))
    });
    let all: Vec<(bool, Standing<'a>)> = all.collect();
    // Whose word it is comes first, then how late it was given.
    let rank = |(own, found): &(bool, Standing<'_>)| (*own, own.then_some(found.order.on));
    let Some(latest) = all.iter().map(rank).max() else {
        return Vec::new();
    };
    let kept = all.into_iter().filter(|each| rank(each) == latest);
    kept.map(|(_, found)| found).collect()
}

/// Lists the different orders of a kind that count on any day of the sheet's life.
pub(crate) fn during_life<'a>(case: &Case<'a>, kind: &OrderKind) -> Vec<Standing<'a>> {
    let mut found: Vec<Standing<'a>> = Vec::new();
    for date in each(case.life.from, case.life.until) {
        for standing in of_kind(case, kind, date) {
            if !found.contains(&standing) {
                found.push(standing);
            }
        }
    }
    found
}

/// Lists every order that stands on any day of the sheet's life, by kind.
pub(crate) fn in_force(case: &Case<'_>) -> Vec<OrderInForce> {
    let kinds = case.procedure().order_kinds();
    let kinds = kinds
        .into_iter()
        .filter_map(|kind| OrderKind::new(kind).ok());
    let of = |kind: OrderKind| during_life(case, &kind);
    let all = kinds.flat_map(of).map(|standing| OrderInForce {
        order: standing.order.clone(),
        until: standing.until,
    });
    all.collect()
}

fn bearing(order: &Order) -> Option<WeightBearing> {
    match order.value {
        OrderValue::WeightBearing(bearing) => Some(bearing),
        OrderValue::Degrees(_) | OrderValue::Stands | OrderValue::NotOrdered => None,
    }
}

/// Finds the strictest order on one date of what the leg may bear.
fn bearing_order<'a>(case: &Case<'a>, date: NaiveDate) -> Option<Standing<'a>> {
    let all = governing(case, date, |order| bearing(order).is_some());
    all.into_iter()
        .max_by_key(|standing| bearing(standing.order))
}

/// Returns what the leg may bear by the orders of one date.
pub(crate) fn weight_bearing_on(case: &Case<'_>, date: NaiveDate) -> Option<WeightBearing> {
    bearing_order(case, date).and_then(|standing| bearing(standing.order))
}

/// Finds the strictest weight-bearing order on any day of the sheet's life.
pub(crate) fn strictest_bearing<'a>(case: &Case<'a>) -> Option<Standing<'a>> {
    each(case.life.from, case.life.until)
        .filter_map(|date| bearing_order(case, date))
        .max_by_key(|standing| bearing(standing.order))
}

/// Returns the least the leg may bear on any day of the sheet's life; none without an order today.
pub(crate) fn weight_bearing(case: &Case<'_>) -> Option<WeightBearing> {
    weight_bearing_on(case, case.date)?;
    strictest_bearing(case).and_then(|standing| bearing(standing.order))
}

/// Returns the last day on which an assessment counts.
pub(crate) fn counts_until(case: &Case<'_>, clear: &Clearance) -> NaiveDate {
    clear.last_day(case.settings().bounds.clearance_days_most)
}

/// Finds the assessment of a flag that counts longest, over or not.
pub(crate) fn longest_assessment<'a>(case: &Case<'a>, flag: &FlagId) -> Option<&'a Clearance> {
    let known = case.record.assessments(flag, case.known);
    known.max_by_key(|clear| counts_until(case, clear))
}

/// Finds the assessment of a flag that counts today.
pub(crate) fn clearance<'a>(case: &Case<'a>, flag: &FlagId) -> Option<&'a Clearance> {
    longest_assessment(case, flag).filter(|clear| case.date <= counts_until(case, clear))
}

#[cfg(test)]
mod tests {
    use crate::domain::fact::FactValue;
    use crate::domain::record::{Order, OrderValue, Until};
    use crate::domain::word::{Fact, WeightBearing};
    use crate::engine::sample;

    fn bears(orders: &[(WeightBearing, i64, Until)]) -> FactValue {
        let mut record = sample::record(10);
        for (bearing, from, until) in orders {
            record.orders.push(sample::bears(*bearing, *from, *until));
        }
        let program = sample::program(&sample::library(), &record);
        program.facts.0[&Fact::WeightBearing].value.clone()
    }

    fn is(word: &str) -> FactValue {
        FactValue::Word(word.to_owned())
    }

    #[test]
    fn the_records_order_comes_before_the_standing_one() {
        assert_eq!(bears(&[]), is("as-tolerated"));
        assert_eq!(
            bears(&[(WeightBearing::Touch, 1, Until::Asked)]),
            is("touch")
        );
    }

    #[test]
    fn orders_of_one_kind_stand_beside_each_other_and_the_strictest_counts() {
        let strict = |on| (WeightBearing::Touch, on, Until::Open);
        let mild = |on| (WeightBearing::Partial, on, Until::Open);
        assert_eq!(bears(&[strict(1), mild(8)]), is("touch"));
        assert_eq!(bears(&[mild(8), strict(1)]), is("touch"));
        assert_eq!(bears(&[mild(1), strict(8)]), is("touch"));
    }

    /// Caps of 60 from day 2 and of 90, the second one changed; where the limits stop.
    fn stops(change: impl Fn(&mut Order)) -> Vec<i64> {
        let mut record = sample::record(10);
        let named = |name: &str, order| Order {
            id: Some(name.to_owned()),
            ..order
        };
        let first = sample::cap(60, 2, Until::Open);
        let mut second = named("O2", sample::cap(90, 8, Until::Open));
        change(&mut second);
        record.orders.extend([named("O1", first), second]);
        let program = sample::program(&sample::library(), &record);
        let limits = program.limits.iter();
        limits
            .filter_map(|limit| limit.degrees)
            .map(crate::domain::quantity::Quantity::get)
            .collect()
    }

    fn in_place_of(name: &'static str) -> impl Fn(&mut Order) {
        move |second| second.replaces = Some(name.to_owned())
    }

    #[test]
    fn an_order_is_gone_for_good_once_another_one_replaces_it() {
        assert_eq!(stops(|_| ()), [60, 90]);
        assert_eq!(stops(in_place_of("O1")), [90]);
        let other = stops(in_place_of("O9"));
        assert_eq!(other, [60, 90]);
        let over = stops(|second| {
            in_place_of("O1")(second);
            second.until = Until::Date(sample::on(9));
        });
        assert_eq!(
            over, [0_i64; 0],
            "its place is empty when the other one has ended"
        );
        let ahead = stops(|second| {
            in_place_of("O1")(second);
            second.from = Some(sample::on(15));
        });
        assert_eq!(ahead, [60, 90], "until then the old one stands");
    }

    #[test]
    fn an_order_that_begins_within_the_sheet_counts_for_all_of_it() {
        let from = |day| stops(move |second| second.from = Some(sample::on(day)));
        assert_eq!([from(24), from(25)], [vec![60, 90], vec![60]]);
        let known_later = stops(|second| second.on = sample::on(11));
        assert_eq!(known_later, [60], "nobody knows it yet");
    }

    #[test]
    fn a_lift_ends_all_orders_of_its_kind_or_the_one_it_names() {
        let lift = |name: Option<&str>, until| {
            stops(move |second| {
                second.value = OrderValue::NotOrdered;
                second.replaces = name.map(ToOwned::to_owned);
                second.until = until;
            })
        };
        assert_eq!(lift(None, Until::Open), [0_i64; 0]);
        assert_eq!(lift(Some("O1"), Until::Open), [0_i64; 0]);
        assert_eq!(lift(Some("O9"), Until::Open), [60]);
        let for_some_days = Until::Date(sample::on(12));
        assert_eq!(
            lift(None, for_some_days),
            [60],
            "it stands again after them"
        );
    }

    #[test]
    fn the_strictest_day_of_the_sheet_counts() {
        let until = |day| Until::Date(sample::on(day));
        let first = (WeightBearing::None, 1, until(12));
        let later = (WeightBearing::Partial, 8, until(30));
        assert_eq!(bears(&[first, later]), is("none"));
        let first = (WeightBearing::None, 1, until(9));
        assert_eq!(bears(&[first, later]), is("partial"));
    }

    #[test]
    fn a_milder_order_does_not_end_one_whose_end_was_asked() {
        let asked = (WeightBearing::Touch, 1, Until::Asked);
        for until in [Until::Date(sample::on(9)), Until::Open, Until::Asked] {
            let milder = (WeightBearing::Partial, 5, until);
            assert_eq!(bears(&[asked, milder]), is("touch"), "{until:?}");
        }
    }

    #[test]
    fn a_lift_ends_for_good_what_was_asked() {
        let limits = |asked_until, lifted_until: i64| {
            let mut record = sample::record(10);
            record.orders.push(sample::cap(90, 3, asked_until));
            let lifted = Order {
                value: OrderValue::NotOrdered,
                ..sample::cap(90, 4, Until::Date(sample::on(lifted_until)))
            };
            record.orders.push(lifted);
            sample::program(&sample::library(), &record).limits.len()
        };
        assert_eq!(limits(Until::Asked, 6), 0);
        assert_eq!(limits(Until::Open, 6), 1, "it stands again after the lift");
    }

    #[test]
    fn an_order_is_lifted_by_a_newer_one_of_its_kind_and_by_no_older_one() {
        let limits = |lifted_on: i64| {
            let mut record = sample::record(10);
            record.orders.push(sample::cap(90, 3, Until::Open));
            let lifted = Order {
                value: OrderValue::NotOrdered,
                ..sample::cap(90, lifted_on, Until::Open)
            };
            record.orders.push(lifted);
            sample::program(&sample::library(), &record).limits.len()
        };
        assert_eq!([2, 3, 10, 11].map(limits), [1, 0, 0, 1]);
    }

    #[test]
    fn an_order_given_after_the_visit_does_not_count() {
        assert_eq!(
            bears(&[(WeightBearing::None, 11, Until::Open)]),
            is("as-tolerated")
        );
    }

    #[test]
    fn a_standing_order_counts_on_its_days_only() {
        let mut library = sample::library();
        let set = &mut library.clinic.standing_orders[0];
        set.orders[0].0.before = Some(crate::domain::time::Day::new(10));
        let asked = sample::questions(&library, &sample::record(10));
        assert_eq!(asked, [crate::domain::verdict::Question::WeightBearing]);
        assert!(sample::questions(&library, &sample::record(9)).is_empty());
    }
}
