#![doc = include_str!("d605_tell_team.md")]

use crate::domain::quantity::Quantity;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Notice, RuleId};
use crate::domain::word::Response;
use crate::engine::answer::{Answers, earlier, within};
use crate::engine::case::Case;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D605"),
    name: "tell-team",
    stage: Stage::Answer,
    since: "0.1",
    summary: "Tells the team after two overdone answers within seven days.",
    sources: &["practice"],
    doc: include_str!("d605_tell_team.md"),
};

/// Leaves the notice when it is due.
pub(crate) fn note(case: &Case<'_>, answers: &Answers, log: &mut Log) {
    let overdone = Recorded::Yes(Response::Overdone);
    let days = case.settings().bounds.flare_days.get();
    let before = case
        .history
        .iter()
        .filter(|visit| within(days, visit.date, case.date))
        .any(|visit| earlier(case, visit) == overdone);
    if answers.overall == overdone && before {
        log.notice(&RULE, Notice::TellTeam { rule: RULE.id });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn fires(first: i64, pain: i64) -> bool {
        let mut record = sample::record(17);
        sample::earlier(&mut record, first, &[("bend", "b2")]);
        sample::earlier(&mut record, 5, &[("bend", "b2")]);
        record.visits[1].pain.exercise = sample::pain(Some(pain));
        record.visits[2].pain.exercise = sample::pain(Some(9));
        record.visits[2].phase = Some(sample::stay("early"));
        sample::program(&sample::library(), &record)
            .fired
            .contains(&RULE.id)
    }

    #[test]
    fn two_within_seven_days_are_told() {
        assert!(fires(10, 9));
    }

    #[test]
    fn farther_apart_or_once_is_silent() {
        assert!(!fires(9, 9));
        assert!(!fires(10, 4));
    }
}
