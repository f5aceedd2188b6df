#![doc = include_str!("d603_next_morning.md")]

use crate::domain::recorded::Recorded;
use crate::domain::verdict::{BadSign, RuleId};
use crate::domain::word::{Fact, Morning, Response};
use crate::engine::answer::{Heard, Judged, blank, meaning};
use crate::engine::case::Case;
use crate::engine::facts::word;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D603"),
    name: "next-morning",
    stage: Stage::Answer,
    since: "0.1",
    summary: "Judges the next morning, and two bad mornings of the last three.",
    sources: &["practice"],
    doc: include_str!("d603_next_morning.md"),
};

/// Returns the morning after one exercise: its own, else that of the visit.
pub(crate) fn of(heard: &Heard<'_>) -> Recorded<Morning> {
    match heard.done.map(|done| done.morning) {
        Some(Recorded::Yes(own)) => Recorded::Yes(own),
        Some(Recorded::NotRecorded) | None => heard.visit.pain.morning,
    }
}

/// Judges the morning.
pub(crate) fn judge(heard: &Heard<'_>) -> Judged {
    if let Recorded::Yes(bad) = heard.visit.pain.bad_mornings
        && bad >= heard.library.procedure.settings.bounds.bad_mornings
    {
        return Some((Response::Overdone, Some(BadSign::Mornings { bad })));
    }
    let morning = of(heard).known()?;
    let means = meaning(heard.library, Fact::Morning, &word(morning))?;
    let sign = (means > Response::Settled).then_some(BadSign::Morning { word: morning });
    Some((means, sign))
}

/// Notes that the morning was judged, or was not recorded.
pub(crate) fn note(case: &Case<'_>, log: &mut Log) {
    let own = case
        .visit
        .done
        .iter()
        .any(|done| done.morning.is_recorded());
    let pain = &case.visit.pain;
    if own || pain.morning.is_recorded() || pain.bad_mornings.is_recorded() {
        log.fire(&RULE);
    } else {
        blank(&RULE, Fact::Morning, log);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn response(morning: Morning, bad: Recorded<i64>) -> Recorded<Response> {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("bend", "b2")]);
        record.visits[1].pain.morning = Recorded::Yes(morning);
        record.visits[1].pain.bad_mornings = bad;
        let program = sample::program(&sample::library(), &record);
        assert!(program.fired.contains(&RULE.id));
        program.response
    }

    #[test]
    fn a_bad_morning_outweighs_little_pain() {
        assert_eq!(
            response(Morning::More, Recorded::NotRecorded),
            Recorded::Yes(Response::Tolerable)
        );
        assert_eq!(
            response(Morning::MuchMore, Recorded::NotRecorded),
            Recorded::Yes(Response::Overdone)
        );
    }

    #[test]
    fn two_bad_mornings_of_three_are_too_many() {
        assert_eq!(
            response(Morning::Same, Recorded::Yes(1)),
            Recorded::Yes(Response::Settled)
        );
        assert_eq!(
            response(Morning::Same, Recorded::Yes(2)),
            Recorded::Yes(Response::Overdone)
        );
    }

    #[test]
    fn without_a_sheet_it_is_silent() {
        let program = sample::program(&sample::library(), &sample::record(10));
        assert!(!program.fired.contains(&RULE.id));
    }
}
