#![doc = include_str!("d104_screen_asked.md")]

use crate::domain::ids::FlagId;
use crate::domain::verdict::{Asked, Question, RuleId};
use crate::engine::case::Case;
use crate::engine::gate::{self, Sign};
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D104"),
    name: "screen-asked",
    stage: Stage::Gate,
    since: "0.1",
    summary: "Asks for every red flag of the day that nobody asked about.",
    sources: &["practice"],
    doc: include_str!("d104_screen_asked.md"),
};

/// Lists the flags without an answer.
pub(crate) fn unasked(case: &Case<'_>) -> Vec<FlagId> {
    case.procedure()
        .red_flags
        .iter()
        .filter(|flag| gate::sign(case, flag) == Sign::Unasked)
        .map(|flag| flag.id.clone())
        .collect()
}

/// Asks for them.
pub(crate) fn ask(case: &Case<'_>, log: &mut Log) {
    let flags = unasked(case);
    if !flags.is_empty() {
        log.ask(&RULE, Question::Screen { flags }, Asked::Patient);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::recorded::Recorded;
    use crate::engine::sample;

    #[test]
    fn a_blank_screen_is_asked() {
        let mut record = sample::record(9);
        record.visits[0].screen = Recorded::NotRecorded;
        let asked = sample::questions(&sample::library(), &record);
        assert!(
            asked
                .iter()
                .any(|q| matches!(q, Question::Screen { flags } if flags.len() == 4))
        );
    }

    #[test]
    fn one_blank_flag_is_asked_alone() {
        let mut record = sample::record(9);
        if let Recorded::Yes(screen) = &mut record.visits[0].screen {
            screen.remove(&sample::id("clot"));
        }
        let flags = vec![sample::id("clot")];
        assert_eq!(
            sample::questions(&sample::library(), &record),
            [Question::Screen { flags }]
        );
    }

    #[test]
    fn a_full_screen_is_silent() {
        assert!(sample::questions(&sample::library(), &sample::record(9)).is_empty());
    }
}
