#![doc = include_str!("d110_weight_bearing_ordered.md")]

use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Asked, Question, RuleId};
use crate::domain::word::{Fact, MissingRule};
use crate::engine::case::Case;
use crate::engine::log::Log;
use crate::engine::orders;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D110"),
    name: "weight-bearing-ordered",
    stage: Stage::Gate,
    since: "0.1",
    summary: "Asks what the leg may bear when no order says so.",
    sources: &["practice"],
    doc: include_str!("d110_weight_bearing_ordered.md"),
};

/// Asks when no order stands today, on days on which the procedure needs one.
pub(crate) fn ask(case: &Case<'_>, log: &mut Log) {
    let blank = case.procedure().when_blank(Fact::WeightBearing, case.day);
    if blank == Some(MissingRule::Pass) || orders::weight_bearing_on(case, case.date).is_some() {
        return;
    }
    let question = match &case.patient().surgeon {
        Recorded::Yes(surgeon) if !has_orders(case, surgeon) => Question::StandingOrders,
        Recorded::Yes(_) | Recorded::NotRecorded => Question::WeightBearing,
    };
    log.ask(&RULE, question, Asked::Surgeon);
}

fn has_orders(case: &Case<'_>, surgeon: &crate::domain::ids::SurgeonId) -> bool {
    case.library
        .clinic
        .standing_orders
        .iter()
        .any(|set| set.surgeon == *surgeon && set.procedure == case.procedure().id)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::Until;
    use crate::domain::word::WeightBearing;
    use crate::engine::sample;

    #[test]
    fn without_any_order_it_asks() {
        let mut record = sample::record(9);
        record.visits[0].patient.surgeon = Recorded::NotRecorded;
        let asked = sample::questions(&sample::library(), &record);
        assert_eq!(asked, [Question::WeightBearing]);
    }

    #[test]
    fn a_surgeon_without_standing_orders_is_asked() {
        let mut library = sample::library();
        library.clinic.standing_orders.clear();
        let asked = sample::questions(&library, &sample::record(9));
        assert_eq!(asked, [Question::StandingOrders]);
    }

    #[test]
    fn an_order_stands_on_its_last_day_and_not_after() {
        let mut record = sample::record(9);
        record.visits[0].patient.surgeon = Recorded::NotRecorded;
        let until = Until::Date(sample::on(9));
        record
            .orders
            .push(sample::bears(WeightBearing::Partial, 0, until));
        assert!(sample::questions(&sample::library(), &record).is_empty());
        record.orders[0].until = Until::Date(sample::on(8));
        assert!(!sample::questions(&sample::library(), &record).is_empty());
        record.orders[0].until = Until::Asked;
        assert!(sample::questions(&sample::library(), &record).is_empty());
    }
}
