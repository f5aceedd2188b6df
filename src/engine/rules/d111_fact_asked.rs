#![doc = include_str!("d111_fact_asked.md")]

use std::collections::BTreeSet;

use crate::domain::fact::Test;
use crate::domain::limit::When;
use crate::domain::verdict::{Asked, Question, RuleId};
use crate::domain::word::{Fact, MissingRule};
use crate::engine::case::Case;
use crate::engine::log::Log;

use super::{Rule, Stage, d104_screen_asked};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D111"),
    name: "fact-asked",
    stage: Stage::Gate,
    since: "0.1",
    summary: "Asks for a fact that must be known on this day.",
    sources: &["practice"],
    doc: include_str!("d111_fact_asked.md"),
};

/// Asks for each fact that must be known today and is not.
pub(crate) fn ask(case: &Case<'_>, log: &mut Log) {
    let used = used(case);
    let screen_open = !d104_screen_asked::unasked(case).is_empty();
    for missing in &case.procedure().missing {
        let asked_elsewhere = match missing.fact {
            Fact::WeightBearing => true,
            Fact::Wound | Fact::GivingWay => screen_open,
            Fact::Day
            | Fact::Flexion
            | Fact::ExtensionDeficit
            | Fact::Lag
            | Fact::Stance
            | Fact::WalkMinutes
            | Fact::LegLift
            | Fact::WalkingAid
            | Fact::Swelling
            | Fact::Morning
            | Fact::Limp
            | Fact::StairsPractised
            | Fact::BlockGone
            | Fact::Response
            | Fact::How
            | Fact::FloorSafe
            | Fact::PainMedicine
            | Fact::RestPain => false,
        };
        if missing.then == MissingRule::Ask
            && missing.window.holds(case.day)
            && used.contains(&missing.fact)
            && !case.facts.get(missing.fact).is_recorded()
            && !asked_elsewhere
        {
            log.ask(
                &RULE,
                Question::Fact { fact: missing.fact },
                Asked::Clinician,
            );
        }
    }
}

/// Lists the facts that entry tests and limits look at.
fn used(case: &Case<'_>) -> BTreeSet<Fact> {
    let exercises = case.library.exercises.values();
    let tests = exercises.flat_map(|exercise| {
        exercise
            .entry
            .iter()
            .chain(exercise.rungs.iter().flat_map(|rung| &rung.entry))
    });
    let limits = case
        .procedure()
        .limits
        .iter()
        .filter_map(|limit| limit_test(&limit.when));
    tests.chain(limits).map(|test| test.fact).collect()
}

fn limit_test(when: &When) -> Option<&Test> {
    match when {
        When::Fact(test) => Some(test),
        When::Always | When::Order(_) | When::Condition(_) | When::Flag(_) | When::Raised(_) => {
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::recorded::Recorded;
    use crate::engine::sample;

    fn asks(day: i64) -> bool {
        let mut record = sample::record(day);
        record.visits[0].block_gone = Recorded::NotRecorded;
        let question = Question::Fact {
            fact: Fact::BlockGone,
        };
        sample::questions(&sample::library(), &record).contains(&question)
    }

    #[test]
    fn a_fact_that_must_be_known_is_asked() {
        assert!(asks(0));
        assert!(asks(3));
    }

    #[test]
    fn it_is_not_asked_on_later_days() {
        assert!(!asks(4));
    }
}
