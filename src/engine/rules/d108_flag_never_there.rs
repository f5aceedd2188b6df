#![doc = include_str!("d108_flag_never_there.md")]

use crate::domain::procedure::RedFlag;
use crate::domain::verdict::{Notice, RuleId};
use crate::engine::case::Case;
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

/// Says whether earlier visits looked for what is lost and never found it.
pub(crate) fn applies(case: &Case<'_>, flag: &RedFlag) -> bool {
    let Some(test) = &flag.only_if_before else {
        return false;
    };
    let mut seen = case
        .history
        .iter()
        .filter_map(|visit| facts::at_visit(visit, &case.procedure().derives).remove(&test.fact))
        .peekable();
    seen.peek().is_some() && !seen.any(|value| test.passes(&value))
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
