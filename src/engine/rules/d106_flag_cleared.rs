#![doc = include_str!("d106_flag_cleared.md")]

use chrono::NaiveDate;

use crate::domain::procedure::RedFlag;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{FlagStood, RuleId};
use crate::domain::word::KnownFlag;
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
        limits_stand: match flag.known {
            KnownFlag::KeepLimits => true,
            KnownFlag::KeepUntilAssessed | KnownFlag::Lift => false,
        },
    })
}

/// Returns who assessed a flag and until when that counts.
///
/// On days before a flag is asked, whoever cleared the person for home has assessed it.
pub(crate) fn assessed(case: &Case<'_>, flag: &RedFlag) -> Option<(String, NaiveDate)> {
    if let Some(clear) = orders::clearance(case, &flag.id) {
        return Some((clear.by.clone(), orders::counts_until(case, clear)));
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

    fn scan(flag: &str, until: i64) -> Clearance {
        Clearance {
            flag: sample::id(flag),
            by: "scan".to_owned(),
            on: sample::on(10),
            until: sample::on(until),
            visits: 0,
        }
    }

    fn on_day(day: i64, answer: ScreenAnswer, until: i64) -> Verdict {
        let mut record = sample::record(day);
        sample::answer(&mut record, "clot", answer);
        record.clearances.push(scan("clot", until));
        sample::verdict(&sample::library(), &record)
    }

    #[test]
    fn an_assessed_flag_stands_on_its_first_and_last_day() {
        for day in [10, 17] {
            let Verdict::Program(program) = on_day(day, ScreenAnswer::Known, 17) else {
                panic!("program on day {day}")
            };
            assert!(program.fired.contains(&RULE.id));
            assert_eq!(program.stood.len(), 1);
        }
    }

    #[test]
    fn it_does_not_stand_before_or_after() {
        for day in [9, 18] {
            let verdict = on_day(day, ScreenAnswer::Known, 17);
            assert!(matches!(verdict, Verdict::Withheld(_)), "day {day}");
        }
    }

    #[test]
    fn an_end_that_is_too_far_away_counts_no_longer_than_the_procedure_lets_it() {
        let Verdict::Program(program) = on_day(24, ScreenAnswer::Known, 400) else {
            panic!("a program")
        };
        let (_, until) = program.stood[0].cleared.clone().unwrap();
        assert_eq!(until, sample::on(24));
        let after = on_day(25, ScreenAnswer::Known, 400);
        assert!(matches!(after, Verdict::Withheld(_)));
    }

    #[test]
    fn a_sign_that_is_new_or_worse_is_none_of_the_assessed_one() {
        for day in [10, 11, 17] {
            let verdict = on_day(day, ScreenAnswer::Yes, 17);
            assert!(matches!(verdict, Verdict::Withheld(_)), "day {day}");
        }
    }

    #[test]
    fn before_a_flag_is_asked_whoever_cleared_for_home_assessed_it() {
        use crate::domain::time::Day;

        let mut library = sample::library();
        let flags = &mut library.procedure.red_flags;
        let clot = flags.iter_mut().find(|flag| flag.id == sample::id("clot"));
        clot.unwrap().window.from = Day::new(4);
        let (known, yes) = (ScreenAnswer::Known, ScreenAnswer::Yes);
        let on = |day: i64, answer: ScreenAnswer, by: Recorded<String>| {
            let mut record = sample::record(day);
            sample::answer(&mut record, "clot", answer);
            record.visits[0].cleared_for_home_by = by;
            sample::verdict(&library, &record)
        };
        let ward = || Recorded::Yes("ward doctor".to_owned());
        let Verdict::Program(program) = on(3, known, ward()) else {
            panic!("a program")
        };
        assert_eq!(program.stood[0].cleared.as_ref().unwrap().0, "ward doctor");
        for verdict in [
            on(4, known, ward()),
            on(3, known, Recorded::NotRecorded),
            on(3, yes, ward()),
        ] {
            assert!(matches!(verdict, Verdict::Withheld(_)));
        }
    }

    #[test]
    fn an_assessed_sign_that_is_there_keeps_its_limits_where_the_flag_says_so() {
        use crate::domain::word::KnownFlag;

        let limits = |kept: KnownFlag, answer: ScreenAnswer| {
            let mut library = sample::library();
            let flags = &mut library.procedure.red_flags;
            let wound = flags.iter_mut().find(|flag| flag.id == sample::id("wound"));
            wound.unwrap().known = kept;
            let mut record = sample::record(12);
            sample::answer(&mut record, "wound", answer);
            let alone = sample::program(&library, &record).limits.len();
            record.clearances.push(scan("wound", 17));
            [alone, sample::program(&library, &record).limits.len()]
        };
        let known = ScreenAnswer::Known;
        assert_eq!(limits(KnownFlag::KeepLimits, known), [1, 1]);
        assert_eq!(limits(KnownFlag::KeepUntilAssessed, known), [1, 0]);
        assert_eq!(limits(KnownFlag::Lift, known), [0, 0]);
        assert_eq!(limits(KnownFlag::Lift, ScreenAnswer::Yes), [1, 1]);
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
                visits: 1,
            });
            sample::verdict(&sample::library(), &record)
        };
        assert!(matches!(later(Some("early")), Verdict::Program(_)));
        assert!(matches!(later(None), Verdict::Withheld(_)));
    }
}
