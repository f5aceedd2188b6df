#![doc = include_str!("d907_orders_left_out.md")]

use std::collections::BTreeSet;

use crate::domain::ids::ConditionId;
use crate::domain::procedure::HomeCare;
use crate::domain::verdict::{Notice, RuleId};
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D907"),
    name: "orders-left-out",
    stage: Stage::Plan,
    since: "0.1",
    summary: "Tells of an order whose row of advice an illness takes off the sheet.",
    sources: &["practice"],
    doc: include_str!("d907_orders_left_out.md"),
};

/// Leaves the notice for a row that is not for this person, whose order stands.
pub(crate) fn note(row: &HomeCare, conditions: &BTreeSet<ConditionId>, log: &mut Log) {
    let because: BTreeSet<ConditionId> = row.unless.intersection(conditions).cloned().collect();
    if let Some(order) = row.when_order.clone().filter(|_| !because.is_empty()) {
        log.notice(
            &RULE,
            Notice::OrderLeftOut {
                rule: RULE.id,
                order,
                because,
            },
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::{Order, OrderValue, Until};
    use crate::engine::sample;

    fn told(ill: bool, ordered: bool) -> bool {
        let mut library = sample::library();
        library.procedure.home_care[2].unless = [sample::id("cold-skin")].into();
        let mut record = sample::record(50);
        if ill {
            sample::condition(&mut record, "cold-skin");
        }
        if ordered {
            record.orders.push(Order {
                what: sample::id("wrap"),
                value: OrderValue::Stands,
                ..sample::cap(1, 1, Until::Open)
            });
        }
        let program = sample::program(&library, &record);
        let notice = Notice::OrderLeftOut {
            rule: RULE.id,
            order: sample::id("wrap"),
            because: [sample::id("cold-skin")].into(),
        };
        assert_eq!(
            program.notices.contains(&notice),
            program.fired.contains(&RULE.id)
        );
        program.notices.contains(&notice)
    }

    #[test]
    fn an_order_that_an_illness_takes_away_is_told() {
        assert!(told(true, true));
    }

    #[test]
    fn without_the_illness_or_the_order_it_is_silent() {
        assert!(!told(false, true));
        assert!(!told(true, false));
    }
}
