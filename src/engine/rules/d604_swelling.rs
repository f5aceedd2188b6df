#![doc = include_str!("d604_swelling.md")]

use crate::domain::verdict::{BadSign, RuleId};
use crate::domain::word::{Fact, Response};
use crate::engine::answer::{Heard, Judged, blank, meaning};
use crate::engine::case::Case;
use crate::engine::facts::word;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D604"),
    name: "swelling",
    stage: Stage::Answer,
    since: "0.1",
    summary: "Judges swelling against last time.",
    sources: &["practice"],
    doc: include_str!("d604_swelling.md"),
};

/// Judges the swelling.
pub(crate) fn judge(heard: &Heard<'_>) -> Judged {
    let swelling = heard.visit.swelling.known()?;
    let means = meaning(heard.library, Fact::Swelling, &word(swelling))?;
    let sign = (means > Response::Settled).then_some(BadSign::Swelling);
    Some((means, sign))
}

/// Notes that it was judged, or was not recorded.
pub(crate) fn note(case: &Case<'_>, log: &mut Log) {
    if case.visit.swelling.is_recorded() {
        log.fire(&RULE);
    } else {
        blank(&RULE, Fact::Swelling, log);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::recorded::Recorded;
    use crate::domain::word::Swelling;
    use crate::engine::sample;

    fn response(swelling: Recorded<Swelling>) -> Recorded<Response> {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("bend", "b2")]);
        record.visits[1].swelling = swelling;
        let program = sample::program(&sample::library(), &record);
        assert!(program.fired.contains(&RULE.id));
        program.response
    }

    #[test]
    fn more_swelling_is_not_settled() {
        assert_eq!(
            response(Recorded::Yes(Swelling::More)),
            Recorded::Yes(Response::Tolerable)
        );
    }

    #[test]
    fn the_same_or_a_blank_leaves_it_to_pain() {
        assert_eq!(
            response(Recorded::Yes(Swelling::Same)),
            Recorded::Yes(Response::Settled)
        );
        assert_eq!(
            response(Recorded::NotRecorded),
            Recorded::Yes(Response::Settled)
        );
    }

    #[test]
    fn without_a_sheet_it_is_silent() {
        let program = sample::program(&sample::library(), &sample::record(10));
        assert!(!program.fired.contains(&RULE.id));
    }
}
