#![doc = include_str!("d106_flag_cleared.md")]

use crate::domain::procedure::RedFlag;
use crate::domain::verdict::{FlagStood, RuleId};
use crate::engine::case::Case;
use crate::engine::log::Log;
use crate::engine::orders;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D106"),
    name: "flag-cleared",
    stage: Stage::Gate,
    since: "0.1",
    summary: "Lets a red flag stand that somebody has assessed, until the assessment ends.",
    sources: &["practice"],
    doc: include_str!("d106_flag_cleared.md"),
};

/// Lets an assessed flag stand.
pub(crate) fn stand(case: &Case<'_>, flag: &RedFlag, log: &mut Log) -> Option<FlagStood> {
    let clear = orders::clearance(case, &flag.id)?;
    log.fire(&RULE);
    Some(FlagStood {
        flag: flag.id.clone(),
        cleared: Some((clear.by.clone(), clear.until)),
        limits_stand: false,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::Clearance;
    use crate::domain::verdict::Verdict;
    use crate::domain::word::ScreenAnswer;
    use crate::engine::sample;

    fn on_day(day: i64) -> Verdict {
        let mut record = sample::record(day);
        sample::answer(&mut record, "clot", ScreenAnswer::Yes);
        record.clearances.push(Clearance {
            flag: sample::id("clot"),
            by: "scan".to_owned(),
            on: sample::on(10),
            until: sample::on(17),
        });
        sample::verdict(&sample::library(), &record)
    }

    #[test]
    fn an_assessed_flag_stands_on_its_first_and_last_day() {
        for day in [10, 17] {
            let Verdict::Program(program) = on_day(day) else {
                panic!("program on day {day}")
            };
            assert!(program.fired.contains(&RULE.id));
            assert_eq!(program.stood.len(), 1);
        }
    }

    #[test]
    fn it_does_not_stand_before_or_after() {
        for day in [9, 18] {
            assert!(matches!(on_day(day), Verdict::Withheld(_)), "day {day}");
        }
    }

    #[test]
    fn an_assessed_sign_is_a_known_one() {
        use crate::domain::fact::FactValue;
        use crate::domain::word::Fact;

        let mut record = sample::record(12);
        sample::answer(&mut record, "wound", ScreenAnswer::Yes);
        record.clearances.push(Clearance {
            flag: sample::id("wound"),
            by: "nurse".to_owned(),
            on: sample::on(12),
            until: sample::on(19),
        });
        let program = sample::program(&sample::library(), &record);
        let value = &program.facts.0[&Fact::Wound].value;
        assert_eq!(*value, FactValue::Word("known".to_owned()));
        assert!(program.limits.is_empty());
    }
}
