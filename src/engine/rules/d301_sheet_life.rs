#![doc = include_str!("d301_sheet_life.md")]

use crate::domain::verdict::RuleId;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D301"),
    name: "sheet-life",
    stage: Stage::Limit,
    since: "0.1",
    summary: "Lets a sheet live to the next visit, or the clinic's usual days without one.",
    sources: &["practice"],
    doc: include_str!("d301_sheet_life.md"),
};

#[cfg(test)]
mod tests {
    use crate::domain::record::NextVisit;
    use crate::domain::recorded::Recorded;
    use crate::engine::sample;

    fn days(next: Recorded<NextVisit>) -> i64 {
        let mut record = sample::record(10);
        record.visits[0].next_visit = next;
        let life = sample::program(&sample::library(), &record).life;
        life.until.signed_duration_since(life.from).num_days()
    }

    #[test]
    fn it_lives_to_the_next_visit() {
        assert_eq!(days(Recorded::Yes(NextVisit::Date(sample::on(17)))), 7);
        assert_eq!(days(Recorded::Yes(NextVisit::Date(sample::on(38)))), 28);
        assert_eq!(days(Recorded::Yes(NextVisit::Date(sample::on(39)))), 28);
    }

    #[test]
    fn without_a_next_visit_the_clinics_days_count() {
        for next in [
            Recorded::NotRecorded,
            Recorded::Yes(NextVisit::Unknown),
            Recorded::Yes(NextVisit::Date(sample::on(10))),
        ] {
            assert_eq!(days(next), 14);
        }
    }
}
