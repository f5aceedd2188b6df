#![doc = include_str!("d410_phase_top.md")]

use crate::domain::exercise::Exercise;
use crate::domain::fact::{Comparison, FactValue, Test};
use crate::domain::procedure::Phase;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{RuleId, WhyNot};
use crate::domain::word::Fact;
use crate::engine::allow::Bar;
use crate::engine::case::Case;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D410"),
    name: "phase-top",
    stage: Stage::Allow,
    since: "0.1",
    summary: "Holds an exercise at the highest rung its phase names.",
    sources: &["practice"],
    doc: include_str!("d410_phase_top.md"),
};

/// Returns the bar of a rung above the highest one of the phase.
pub(crate) fn bar(case: &Case<'_>, phase: &Phase, exercise: &Exercise, at: usize) -> Option<Bar> {
    let end = phase.window.before?;
    (at > top(phase, exercise)?).then(|| Bar {
        reason: WhyNot::NotYet {
            test: Test {
                fact: Fact::Day,
                comparison: Comparison::AtLeast(end.get()),
            },
            value: Recorded::Yes(FactValue::Number(case.day.get())),
        },
        rule: RULE.id,
    })
}

/// Returns the place of the highest rung; none when the phase sets none.
fn top(phase: &Phase, exercise: &Exercise) -> Option<usize> {
    let named = phase
        .candidates
        .iter()
        .find(|named| named.exercise == exercise.id);
    match named {
        Some(named) => exercise.rung(named.most.as_ref()?).map(|(at, _)| at),
        None => phase.is_before_operation().then_some(0),
    }
}

#[cfg(test)]
mod tests {
    use crate::domain::library::Library;
    use crate::engine::sample;

    fn library(most: Option<&str>) -> Library {
        let mut library = sample::library();
        sample::candidate(&mut library, 0, "bend").most = most.map(sample::id);
        library
    }

    fn given(library: &Library) -> (String, bool) {
        let mut record = sample::record(12);
        sample::earlier(&mut record, 5, &[("bend", "b1")]);
        let program = sample::program(library, &record);
        let item = sample::item(&program, "bend");
        let kept = item
            .steps
            .iter()
            .any(|step| matches!(step.why, crate::domain::verdict::Why::KeptNotAllowed { .. }));
        (item.rung.to_string(), kept)
    }

    #[test]
    fn a_settled_answer_does_not_climb_past_the_highest_rung_of_the_phase() {
        assert_eq!(given(&library(Some("b1"))), ("b1".to_owned(), true));
        let ahead = sample::program(&library(Some("b1")), &sample::record(2));
        assert!(sample::item(&ahead, "bend").next.is_empty());
    }

    #[test]
    fn below_it_and_without_one_the_dose_climbs() {
        assert_eq!(given(&library(Some("b2"))), ("b2".to_owned(), false));
        assert_eq!(given(&library(None)), ("b2".to_owned(), false));
    }
}
