//! Orders and clearances that stand on a date.
//!
//! The record's own orders come first; the clinic's standing orders fill in what it does not say.

use chrono::NaiveDate;

use crate::domain::ids::{FlagId, OrderKind};
use crate::domain::record::{Clearance, Order, OrderValue, Until};
use crate::domain::recorded::Recorded;
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

/// Says whether an order whose end was asked has its answer: a later one of its kind.
///
/// What was asked no longer stands then, also after the answer has ended.
fn is_answered(case: &Case<'_>, order: &Order) -> bool {
    let orders = case.record.orders.iter();
    let later = orders.skip_while(|other| *other != order).skip(1);
    order.until == Until::Asked
        && later
            .filter(|other| other.on <= case.known && other.on >= order.on)
            .any(|other| other.what == order.what)
}

/// Finds the order that counts on a date: the record's latest, else the surgeon's standing one.
fn governing<'a>(
    case: &Case<'a>,
    date: NaiveDate,
    picks: impl Fn(&Order) -> bool,
) -> Option<Standing<'a>> {
    match of_the_record(case, date, &picks) {
        Some(order) => Some(Standing {
            order,
            until: order.until,
        }),
        None => of_the_clinic(case, date, picks),
    }
}

fn of_the_record<'a>(
    case: &Case<'a>,
    date: NaiveDate,
    picks: impl Fn(&Order) -> bool,
) -> Option<&'a Order> {
    case.record
        .orders
        .iter()
        .filter(|order| picks(order) && order.on <= case.known && not_over(order, date))
        .filter(|order| !is_answered(case, order))
        .max_by_key(|order| order.on)
}

/// Says whether the record itself answers today to a kind of order; "not ordered" is an answer.
pub(crate) fn is_answered_by_the_record(case: &Case<'_>, kind: &OrderKind) -> bool {
    of_the_record(case, case.date, |order| order.what == *kind).is_some()
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

/// Finds the order of a kind that counts on a date; none when the last word is "not ordered".
pub(crate) fn of_kind<'a>(
    case: &Case<'a>,
    kind: &OrderKind,
    date: NaiveDate,
) -> Option<Standing<'a>> {
    governing(case, date, |order| order.what == *kind)
        .filter(|standing| standing.order.value != OrderValue::NotOrdered)
}

/// Lists the orders that count on a date where the latest of some kinds takes the place of the others:
/// the record's own, else the surgeon's standing ones; of one day each counts.
pub(crate) fn latest_of<'a>(
    case: &Case<'a>,
    kinds: &[&OrderKind],
    date: NaiveDate,
) -> Vec<Standing<'a>> {
    let stands = |standing: &Standing<'_>| standing.order.value != OrderValue::NotOrdered;
    let all = kinds.iter().filter_map(|kind| {
        let found = governing(case, date, |order| order.what == **kind)?;
        let own = of_the_record(case, date, |order| order.what == **kind).is_some();
        stands(&found).then_some((own, found))
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
        if let Some(standing) = of_kind(case, kind, date)
            && !found.contains(&standing)
        {
            found.push(standing);
        }
    }
    found
}

fn bearing(order: &Order) -> Option<WeightBearing> {
    match order.value {
        OrderValue::WeightBearing(bearing) => Some(bearing),
        OrderValue::Degrees(_) | OrderValue::Stands | OrderValue::NotOrdered => None,
    }
}

/// Finds the order that says what the leg may bear on one date.
fn bearing_order<'a>(case: &Case<'a>, date: NaiveDate) -> Option<Standing<'a>> {
    governing(case, date, |order| bearing(order).is_some())
}

/// Returns what the leg may bear by the order of one date.
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

/// Finds the latest clearance of a flag that counts today.
pub(crate) fn clearance<'a>(case: &Case<'a>, flag: &FlagId) -> Option<&'a Clearance> {
    case.record
        .clearances
        .iter()
        .filter(|clear| clear.flag == *flag && clear.on <= case.known && case.date <= clear.until)
        .max_by_key(|clear| clear.until)
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
    fn the_latest_order_counts() {
        let first = (WeightBearing::None, 1, Until::Open);
        let later = (WeightBearing::Partial, 8, Until::Open);
        assert_eq!(bears(&[later, first]), is("partial"));
    }

    #[test]
    fn the_strictest_day_of_the_sheet_counts() {
        let first = (WeightBearing::None, 1, Until::Open);
        let until = Until::Date(sample::on(12));
        let later = (WeightBearing::AsTolerated, 8, until);
        assert_eq!(bears(&[first, later]), is("none"));
    }

    #[test]
    fn an_answer_ends_what_was_asked() {
        let asked = (WeightBearing::Touch, 1, Until::Asked);
        let ended = Until::Date(sample::on(9));
        let answer = (WeightBearing::Partial, 5, ended);
        assert_eq!(bears(&[asked, answer]), is("as-tolerated"));
        assert_eq!(
            bears(&[asked, (WeightBearing::Partial, 12, ended)]),
            is("touch"),
            "an answer of tomorrow is none today"
        );
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
