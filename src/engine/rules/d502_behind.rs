#![doc = include_str!("d502_behind.md")]

use crate::domain::ids::DomainId;
use crate::domain::verdict::RuleId;
use crate::domain::word::Fact;
use crate::engine::case::Case;
use crate::engine::log::Log;
use crate::engine::need::{BEHIND, Standing, facts_of, standing};
use crate::engine::place::Place;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D502"),
    name: "behind",
    stage: Stage::Need,
    since: "0.1",
    summary: "Weighs a domain more when its measure is behind or its target is missed.",
    sources: &["practice"],
    doc: include_str!("d502_behind.md"),
};

/// Returns how much more a domain is needed for being behind.
pub(crate) fn more(case: &Case<'_>, place: &Place<'_>, domain: &DomainId, log: &mut Log) -> i64 {
    let facts = facts_of(case, domain);
    let most = facts
        .iter()
        .map(|fact| of_fact(case, place, *fact))
        .max()
        .unwrap_or(0);
    if most > 0 {
        log.fire(&RULE);
    }
    most
}

fn of_fact(case: &Case<'_>, place: &Place<'_>, fact: Fact) -> i64 {
    let behind = match standing(case, fact) {
        Standing::Usual => 0,
        Standing::Behind => BEHIND,
        Standing::PastReview { .. } => BEHIND.saturating_mul(2),
    };
    let behind = if place.reviews.iter().any(|due| due.fact == fact) {
        BEHIND.saturating_mul(2)
    } else {
        behind
    };
    let missed = place.targets_unmet.iter().any(|test| test.fact == fact);
    behind.saturating_add(if missed { BEHIND } else { 0 })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::time::VisitDate;
    use crate::engine::{facts, place, sample};

    fn fires(flexion: Option<i64>) -> bool {
        let mut record = sample::record(14);
        record.visits[0].measured.flexion = sample::degrees(flexion);
        sample::program(&sample::library(), &record)
            .fired
            .contains(&RULE.id)
    }

    #[test]
    fn a_measure_behind_its_course_counts_more() {
        assert!(fires(Some(90)));
    }

    #[test]
    fn a_measure_past_a_review_line_counts_more_without_a_course() {
        let need = |flexion: i64| {
            let mut library = sample::library();
            library.procedure.courses.clear();
            let mut record = sample::record(14);
            record.visits[0].measured.flexion = sample::degrees(Some(flexion));
            let date = VisitDate(record.visits[0].date);
            let mut case = Case::open(&library, &record, date).unwrap();
            case.facts = facts::gather(&case, &mut Log::new());
            let place = place::place(&case, &mut Log::new()).unwrap();
            of_fact(&case, &place, Fact::Flexion)
        };
        assert_eq!(need(79) - need(80), BEHIND * 2);
    }

    #[test]
    fn a_usual_or_unknown_measure_is_silent() {
        assert!(!fires(Some(105)));
        assert!(!fires(None));
    }
}
