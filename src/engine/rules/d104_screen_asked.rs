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
    use crate::domain::verdict::Verdict;
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
    fn a_flag_of_some_illness_is_asked_of_those_who_have_it_or_were_not_asked() {
        let mut library = sample::library();
        library.procedure.red_flags[0].only_if = [sample::id("thin-bone")].into();
        let id = library.procedure.red_flags[0].id.clone();
        let asked = |conditions: Recorded<Vec<&str>>| {
            let mut record = sample::record(9);
            if let Recorded::Yes(screen) = &mut record.visits[0].screen {
                screen.remove(&id);
            }
            record.visits[0].patient.conditions =
                conditions.map(|all| all.into_iter().map(sample::id).collect());
            let asked = sample::verdict(&library, &record);
            let Verdict::Unanswered(unanswered) = asked else {
                return false;
            };
            let mut questions = unanswered.questions.iter();
            questions.any(|(question, _)| matches!(question, Question::Screen { .. }))
        };
        assert!(asked(Recorded::Yes(vec!["thin-bone"])));
        assert!(asked(Recorded::NotRecorded));
        assert!(!asked(Recorded::Yes(Vec::new())));
    }

    #[test]
    fn a_sign_newer_than_a_closed_visit_is_not_asked_of_it() {
        let asks = |closed: bool| {
            let mut record = sample::record(2);
            sample::earlier(&mut record, 9, &[("bend", "b1")]);
            record.visits.remove(0);
            let visit = &mut record.visits[0];
            if let Recorded::Yes(screen) = &mut visit.screen {
                screen.remove(&sample::id("clot"));
            }
            if !closed {
                visit.issued = None;
            }
            let verdict = sample::verdict(&sample::library(), &record);
            matches!(verdict, Verdict::Unanswered(_))
        };
        assert!(asks(false));
        assert!(!asks(true));
    }

    #[test]
    fn a_full_screen_is_silent() {
        assert!(sample::questions(&sample::library(), &sample::record(9)).is_empty());
    }
}
