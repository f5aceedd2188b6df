#![doc = include_str!("d106_flag_cleared.md")]

use chrono::NaiveDate;

use crate::domain::procedure::RedFlag;
use crate::domain::recorded::Recorded;
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
    let cleared = assessed(case, flag)?;
    log.fire(&RULE);
    Some(FlagStood {
        flag: flag.id.clone(),
        cleared: Some(cleared),
        limits_stand: false,
    })
}

/// Returns who assessed a flag and until when that counts.
///
/// On days before a flag is asked, whoever cleared the person for home has assessed it.
pub(crate) fn assessed(case: &Case<'_>, flag: &RedFlag) -> Option<(String, NaiveDate)> {
    if let Some(clear) = orders::clearance(case, &flag.id) {
        return Some((clear.by.clone(), clear.until));
    }
    match &case.visit.cleared_for_home_by {
        Recorded::Yes(by) if case.day < flag.window.from => Some((by.clone(), case.date)),
        Recorded::Yes(_) | Recorded::NotRecorded => None,
    }
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
    fn before_a_flag_is_asked_whoever_cleared_for_home_assessed_it() {
        use crate::domain::time::Day;

        let mut library = sample::library();
        let flags = &mut library.procedure.red_flags;
        let clot = flags.iter_mut().find(|flag| flag.id == sample::id("clot"));
        clot.unwrap().window.from = Day::new(4);
        let on = |day: i64, by: Recorded<String>| {
            let mut record = sample::record(day);
            sample::answer(&mut record, "clot", ScreenAnswer::Yes);
            record.visits[0].cleared_for_home_by = by;
            sample::verdict(&library, &record)
        };
        let ward = || Recorded::Yes("ward doctor".to_owned());
        let Verdict::Program(program) = on(3, ward()) else {
            panic!("a program")
        };
        assert_eq!(program.stood[0].cleared.as_ref().unwrap().0, "ward doctor");
        for verdict in [on(4, ward()), on(3, Recorded::NotRecorded)] {
            assert!(matches!(verdict, Verdict::Withheld(_)));
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

    #[test]
    fn a_sign_that_withheld_nothing_is_over_when_it_is_gone() {
        // Assessed the day before somebody said yes to it: a program went out all the same.
        let later = |phase: Option<&str>| {
            let mut record = sample::record(24);
            sample::earlier(&mut record, 11, &[("bend", "b1")]);
            sample::issued(&mut record, 0).phase = phase.map(sample::id);
            let screen = &mut record.visits[0].screen;
            if let Recorded::Yes(screen) = screen {
                screen.insert(sample::id("clot"), ScreenAnswer::Yes);
            }
            record.clearances.push(Clearance {
                flag: sample::id("clot"),
                by: "scan".to_owned(),
                on: sample::on(10),
                until: sample::on(17),
            });
            sample::verdict(&sample::library(), &record)
        };
        assert!(matches!(later(Some("early")), Verdict::Program(_)));
        assert!(matches!(later(None), Verdict::Withheld(_)));
    }
}
