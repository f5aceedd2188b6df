#![doc = include_str!("d412_kept_by_review.md")]

use std::collections::BTreeSet;

use crate::domain::exercise::{Exercise, Rung};
use crate::domain::ids::TagId;
use crate::domain::verdict::{RuleId, WhyNot};
use crate::domain::word::{Fact, Row};
use crate::engine::allow::Bar;
use crate::engine::case::Case;
use crate::engine::place::Place;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D412"),
    name: "kept-by-review",
    stage: Stage::Allow,
    since: "0.1",
    summary: "Holds some work at the last sheet's rung while a review line is crossed.",
    sources: &["practice"],
    doc: include_str!("d412_kept_by_review.md"),
};

/// Lists the lines crossed at which some work keeps.
pub(crate) fn keeps(place: &Place<'_>) -> Vec<(Fact, BTreeSet<TagId>)> {
    let crossed = place.reviews.iter().filter(|due| !due.keeps.is_empty());
    crossed.map(|due| (due.fact, due.keeps.clone())).collect()
}

/// Returns the bar of a rung above the last sheet's, when its work keeps.
pub(crate) fn bar(case: &Case<'_>, exercise: &Exercise, index: usize, rung: &Rung) -> Option<Bar> {
    if exercise.row != Row::Exercise {
        return None;
    }
    let demanded = exercise.demands.iter().flat_map(|demand| &demand.tags);
    let tags: BTreeSet<&TagId> = demanded.chain(&rung.tags).collect();
    let mut lines = case.keeps.iter();
    let (fact, _) = lines.find(|(_, keeps)| keeps.iter().any(|tag| tags.contains(tag)))?;
    let last = case.last_item(&exercise.id);
    let at = last.and_then(|item| exercise.rung(&item.rung));
    at.is_none_or(|(at, _)| index > at).then_some(Bar {
        reason: WhyNot::KeptByReview { fact: *fact },
        rule: RULE.id,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::procedure::ReviewLine;
    use crate::domain::verdict::Program;
    use crate::domain::word::AdjustAction;
    use crate::engine::sample;

    /// Somebody whose bend fell, and a library in which lifting work keeps then.
    fn run(before: i64, now: i64, lines: &[(&str, &str)], word: bool) -> Program {
        let mut library = sample::library();
        let review = &mut library.procedure.reviews[0];
        review.line = ReviewLine::Fell(15);
        review.keeps = BTreeSet::from([sample::id("held")]);
        for rung in &mut sample::exercise(&mut library, "lift").rungs {
            rung.tags.insert(sample::id("held"));
        }
        let mut record = sample::record(20);
        sample::earlier(&mut record, 10, lines);
        record.visits[0].measured.flexion = sample::degrees(Some(before));
        record.visits[1].measured.flexion = sample::degrees(Some(now));
        record.visits[1].measured.lag = sample::degrees(Some(0));
        if word {
            sample::adjust(&mut record, "lift", AdjustAction::Add, None);
        }
        sample::program(&library, &record)
    }

    const BOTH: [(&str, &str); 2] = [("lift", "l1"), ("bend", "b1")];

    fn rung(program: &Program, exercise: &str) -> String {
        sample::item(program, exercise).rung.to_string()
    }

    #[test]
    fn what_keeps_stays_and_the_rest_goes_on() {
        let steady = run(110, 100, &BOTH, false);
        assert_eq!([rung(&steady, "lift"), rung(&steady, "bend")], ["l2", "b2"]);
        let fell = run(110, 95, &BOTH, false);
        assert_eq!([rung(&fell, "lift"), rung(&fell, "bend")], ["l1", "b2"]);
        assert!(sample::item(&fell, "lift").next.is_empty(), "nothing ahead");
        assert!(!sample::item(&fell, "bend").next.is_empty());
    }

    #[test]
    fn none_of_it_is_new_but_by_the_clinicians_word() {
        let fact = Fact::Flexion;
        let bend = [("bend", "b1")];
        let left = |program: &Program| sample::left_out(program, "lift");
        let fell = run(110, 95, &bend, false);
        assert_eq!(left(&fell), Some(WhyNot::KeptByReview { fact }));
        assert_ne!(left(&run(110, 96, &bend, false)), left(&fell));
        assert!(sample::has(&run(110, 95, &bend, true), "lift"));
    }
}
