#![doc = include_str!("d411_surgeon_allowed.md")]

use crate::domain::exercise::Exercise;
use crate::domain::record::Until;
use crate::domain::verdict::{RuleId, WhyNot};
use crate::engine::allow::Bar;
use crate::engine::case::Case;
use crate::engine::dates::each;
use crate::engine::orders;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D411"),
    name: "surgeon-allowed",
    stage: Stage::Allow,
    since: "0.1",
    summary: "Leaves out what needs the surgeon's word until the surgeon has given it.",
    sources: &["practice"],
    doc: include_str!("d411_surgeon_allowed.md"),
};

/// Returns the bar when an order is missing on any day of the sheet; one that was asked is missing.
pub(crate) fn bar(case: &Case<'_>, exercise: &Exercise) -> Option<Bar> {
    let stands = |kind| {
        each(case.life.from, case.life.until).all(|date| {
            let given = orders::of_kind(case, kind, date);
            !given.is_empty() && given.iter().all(|given| given.until != Until::Asked)
        })
    };
    let missing = exercise.needs_orders.iter().find(|kind| !stands(*kind))?;
    Some(Bar {
        reason: WhyNot::NotOrdered {
            order: missing.clone(),
        },
        rule: RULE.id,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::{Order, OrderValue};
    use crate::domain::word::{AdjustAction, WeightBearing};
    use crate::engine::sample;

    fn left_out(until: Option<Until>, wanted: bool) -> bool {
        let mut library = sample::library();
        let needs = &mut sample::exercise(&mut library, "bend").needs_orders;
        needs.insert(sample::id("bend-allowed"));
        let mut record = sample::record(10);
        if let Some(until) = until {
            record.orders.push(Order {
                what: sample::id("bend-allowed"),
                value: OrderValue::Stands,
                ..sample::bears(WeightBearing::AsTolerated, 1, until)
            });
        }
        if wanted {
            sample::adjust(&mut record, "bend", AdjustAction::Add, None);
        }
        let program = sample::program(&library, &record);
        let reason = sample::left_out(&program, "bend");
        let here = program
            .items
            .iter()
            .any(|item| item.exercise == sample::id("bend"));
        assert_eq!(reason.is_none(), here);
        matches!(reason, Some(WhyNot::NotOrdered { .. }))
    }

    #[test]
    fn without_the_surgeons_word_on_every_day_it_is_left_out() {
        assert!(left_out(None, false));
        assert!(left_out(Some(Until::Asked), false));
        assert!(left_out(Some(Until::Date(sample::on(12))), false));
        assert!(left_out(None, true), "nor by the clinician's word alone");
    }

    #[test]
    fn with_it_nothing_is_barred() {
        assert!(!left_out(Some(Until::Open), false));
        assert!(!left_out(Some(Until::Date(sample::on(60))), false));
    }
}
