#![doc = include_str!("d302_limits_in_force.md")]

use crate::domain::verdict::RuleId;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D302"),
    name: "limits-in-force",
    stage: Stage::Limit,
    since: "0.1",
    summary: "Puts every limit in force that touches any day of the sheet.",
    sources: &["practice"],
    doc: include_str!("d302_limits_in_force.md"),
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::limit::LimitSpan;
    use crate::domain::quantity::{Degrees, Quantity};
    use crate::domain::record::Until;
    use crate::domain::time::{Day, Window};
    use crate::engine::sample;

    #[test]
    fn an_order_stands_while_it_touches_the_sheet() {
        let mut record = sample::record(10);
        record
            .orders
            .push(sample::cap(90, 2, Until::Date(sample::on(10))));
        let program = sample::program(&sample::library(), &record);
        let limit = &program.limits[0];
        assert_eq!(limit.stop_at, Some(Degrees::nearest(85)));
        assert_eq!(limit.until, Until::Date(sample::on(10)));
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn an_order_that_has_ended_is_silent() {
        let mut record = sample::record(10);
        record
            .orders
            .push(sample::cap(90, 2, Until::Date(sample::on(9))));
        let program = sample::program(&sample::library(), &record);
        assert!(program.limits.is_empty());
        assert!(!program.fired.contains(&RULE.id));
    }

    #[test]
    fn both_orders_of_one_life_stand() {
        let mut record = sample::record(10);
        record
            .orders
            .push(sample::cap(90, 2, Until::Date(sample::on(30))));
        record
            .orders
            .push(sample::cap(60, 8, Until::Date(sample::on(12))));
        let program = sample::program(&sample::library(), &record);
        let stops: Vec<i64> = program
            .limits
            .iter()
            .filter_map(|limit| limit.stop_at)
            .map(Quantity::get)
            .collect();
        assert_eq!(stops, [85, 55]);
    }

    #[test]
    fn a_limit_of_days_touches_the_last_day_of_the_sheet() {
        let mut library = sample::library();
        let limit = library
            .procedure
            .limits
            .iter_mut()
            .find(|l| l.id == sample::id("thin-bone"));
        limit.unwrap().span = LimitSpan::Days(Window {
            from: Day::new(24),
            before: None,
        });
        let mut record = sample::record(10);
        sample::condition(&mut record, "thin-bone");
        assert_eq!(sample::program(&library, &record).limits.len(), 1);
        let mut record = sample::record(9);
        sample::condition(&mut record, "thin-bone");
        assert!(sample::program(&library, &record).limits.is_empty());
    }
}
