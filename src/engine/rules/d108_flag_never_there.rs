#![doc = include_str!("d108_flag_never_there.md")]

use crate::domain::procedure::RedFlag;
use crate::domain::quantity::Quantity;
use crate::domain::record::Visit;
use crate::domain::verdict::{Notice, RuleId};
use crate::engine::case::Case;
use crate::engine::dates::days_between;
use crate::engine::facts;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D108"),
    name: "flag-never-there",
    stage: Stage::Gate,
    since: "0.1",
    summary: "Does not count the loss of something that was never there.",
    sources: &["practice"],
    doc: include_str!("d108_flag_never_there.md"),
};

/// Says whether the visits before looked for what is lost, the last one not too long ago, and none
/// of them found it; a blank in any of them leaves the clinician's yes as it is.
pub(crate) fn applies(case: &Case<'_>, flag: &RedFlag) -> bool {
    let Some(test) = &flag.only_if_before else {
        return false;
    };
    let never = |visit: &&Visit| {
        let known = facts::at_visit(visit, &case.procedure().derives);
        known
            .get(&test.fact)
            .is_some_and(|value| !test.passes(value))
    };
    let oldest = case.settings().last_value_days.get();
    let looked = |visit: &&Visit| days_between(visit.date, case.date) <= oldest;
    case.history.first().is_some_and(looked) && case.history.iter().all(never)
}

/// Leaves the notice.
pub(crate) fn note(flag: &RedFlag, log: &mut Log) {
    let notice = Notice::FlagNotCounted {
        rule: RULE.id,
        flag: flag.id.clone(),
    };
    log.notice(&RULE, notice);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::recorded::Recorded;
    use crate::domain::verdict::Verdict;
    use crate::domain::word::{LegLift, ScreenAnswer};
    use crate::engine::sample;

    fn with_earlier(lift: Recorded<LegLift>) -> Verdict {
        let mut record = sample::record(9);
        sample::earlier(&mut record, 5, &[]);
        record.visits[0].measured.leg_lift = lift;
        sample::answer(&mut record, "lift-lost", ScreenAnswer::Yes);
        sample::verdict(&sample::library(), &record)
    }

    #[test]
    fn what_was_never_there_is_not_lost() {
        let Verdict::Program(program) = with_earlier(Recorded::Yes(LegLift::WithHelp)) else {
            panic!("program");
        };
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn a_blank_in_between_or_a_look_of_long_ago_sets_nothing_aside() {
        let withheld = |days: &[(i64, Recorded<LegLift>)]| {
            let mut record = sample::record(30);
            for (day, lift) in days {
                sample::earlier(&mut record, *day, &[]);
                let made = record
                    .visits
                    .iter_mut()
                    .find(|visit| visit.date == sample::on(*day));
                made.unwrap().measured.leg_lift = *lift;
            }
            sample::answer(&mut record, "lift-lost", ScreenAnswer::Yes);
            matches!(
                sample::verdict(&sample::library(), &record),
                Verdict::Withheld(_)
            )
        };
        let never = Recorded::Yes(LegLift::WithHelp);
        assert!(!withheld(&[(16, never)]));
        assert!(withheld(&[(15, never)]), "older than a measure may be");
        assert!(withheld(&[(16, never), (23, Recorded::NotRecorded)]));
        assert!(withheld(&[(9, Recorded::NotRecorded), (23, never)]));
    }

    #[test]
    fn what_was_there_is_lost() {
        let verdict = with_earlier(Recorded::Yes(LegLift::AloneStraight));
        assert!(matches!(verdict, Verdict::Withheld(_)));
    }

    #[test]
    fn when_nobody_looked_it_counts() {
        assert!(matches!(
            with_earlier(Recorded::NotRecorded),
            Verdict::Withheld(_)
        ));
    }
}
