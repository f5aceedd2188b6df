#![doc = include_str!("d103_days_covered.md")]

use crate::domain::verdict::{Asked, Question, RuleId};
use crate::engine::case::Case;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D103"),
    name: "days-covered",
    stage: Stage::Gate,
    since: "0.1",
    summary: "Asks for another plan on days the library does not cover.",
    sources: &["practice"],
    doc: include_str!("d103_days_covered.md"),
};

/// Asks when the day is not covered.
pub(crate) fn ask(case: &Case<'_>, log: &mut Log) {
    let first_day = case.procedure().first_day();
    let last_day = case.settings().last_day;
    if case.day < first_day || case.day > last_day {
        log.ask(
            &RULE,
            Question::BeyondLibrary {
                first_day,
                last_day,
            },
            Asked::Clinician,
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::time::Day;
    use crate::engine::sample;

    fn asks(day: i64) -> bool {
        let library = sample::library();
        let question = Question::BeyondLibrary {
            first_day: Day::new(0),
            last_day: Day::new(180),
        };
        sample::questions(&library, &sample::record(day)).contains(&question)
    }

    #[test]
    fn days_outside_the_library_are_asked_about() {
        assert!(asks(-1));
        assert!(asks(181));
    }

    #[test]
    fn days_inside_are_not() {
        assert!(!asks(0));
        assert!(!asks(180));
    }
}
