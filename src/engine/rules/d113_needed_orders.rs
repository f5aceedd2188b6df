#![doc = include_str!("d113_needed_orders.md")]

use crate::domain::ids::Id;
use crate::domain::order_kind::WEIGHT_BEARING;
use crate::domain::verdict::{Asked, Question, RuleId};
use crate::engine::case::Case;
use crate::engine::log::Log;
use crate::engine::orders;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D113"),
    name: "needed-orders",
    stage: Stage::Gate,
    since: "0.1",
    summary: "Asks for each order an operation hangs on that the record does not answer.",
    sources: &["practice"],
    doc: include_str!("d113_needed_orders.md"),
};

/// Asks for each needed order that nobody has answered in the record.
///
/// What the leg may bear is asked by D110 when no order at all says so.
pub(crate) fn ask(case: &Case<'_>, log: &mut Log) {
    for kind in &case.procedure().needs_orders {
        let asked_already =
            kind.as_str() == WEIGHT_BEARING && orders::weight_bearing_on(case, case.date).is_none();
        if !asked_already && !orders::is_answered_by_the_record(case, kind) {
            let question = Question::OpenOrder { what: kind.clone() };
            log.ask(&RULE, question, Asked::Surgeon);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::{OrderValue, Until};
    use crate::domain::word::WeightBearing;
    use crate::engine::sample;

    fn asked(value: Option<OrderValue>, until: Until) -> Vec<Question> {
        let mut library = sample::library();
        library.procedure.needs_orders = vec![sample::id("bend-cap")];
        let mut record = sample::record(9);
        let mut order = sample::cap(90, 0, until);
        if let Some(value) = value {
            order.value = value;
            record.orders.push(order);
        }
        sample::questions(&library, &record)
    }

    #[test]
    fn silence_is_asked_about_and_every_answer_is_one() {
        let open = Question::OpenOrder {
            what: sample::id("bend-cap"),
        };
        assert_eq!(asked(None, Until::Open), std::slice::from_ref(&open));
        assert_eq!(asked(Some(OrderValue::NotOrdered), Until::Open), []);
        let cap = sample::cap(90, 0, Until::Open).value;
        assert_eq!(asked(Some(cap.clone()), Until::Open), []);
        assert_eq!(asked(Some(cap.clone()), Until::Date(sample::on(9))), []);
        assert_eq!(asked(Some(cap), Until::Date(sample::on(8))), [open]);
    }

    #[test]
    fn a_standing_order_is_no_answer() {
        let mut library = sample::library();
        library.procedure.needs_orders = vec![sample::id("weight-bearing")];
        let mut record = sample::record(9);
        assert_eq!(sample::questions(&library, &record).len(), 1);
        let bears = sample::bears(WeightBearing::AsTolerated, 0, Until::Open);
        record.orders.push(bears);
        assert!(sample::questions(&library, &record).is_empty());
    }

    #[test]
    fn an_operation_that_hangs_on_no_order_is_silent() {
        assert!(sample::questions(&sample::library(), &sample::record(9)).is_empty());
    }
}
