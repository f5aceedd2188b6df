//! Stage 5: what the person needs most.
//!
//! The weights below only put domains in order; they are no clinical numbers.

use std::collections::{BTreeMap, BTreeSet};

use crate::domain::fact::FactValue;
use crate::domain::ids::DomainId;
use crate::domain::procedure::Course;
use crate::domain::quantity::Quantity;
use crate::domain::recorded::Recorded;
use crate::domain::word::{Better, Fact};

use super::case::Case;
use super::log::Log;
use super::place::Place;
use super::rules::{d501_core_domains, d502_behind};

/// Every domain counts for something.
pub(crate) const BASE: i64 = 1;
/// A core domain of the phase counts for this more.
pub(crate) const CORE: i64 = 3;
/// A measure behind its usual course, or a target missed, counts for this more.
pub(crate) const BEHIND: i64 = 2;
/// An exercise stands for a domain when it weighs it at least so much, of 1 to 3.
pub(crate) const STANDS_FOR: i64 = 2;

/// How a measure compares with its usual course on the day it was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Standing {
    /// As usual or better, or nothing to compare with.
    Usual,
    /// Behind the usual value, as half of all people are.
    Behind,
    /// Past the review line too.
    PastReview {
        /// The measure.
        value: i64,
        /// The review line of the day.
        review: i64,
    },
}

/// How much each domain is needed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Needs {
    pub(crate) domains: BTreeMap<DomainId, i64>,
    /// The core domains of the phase, the most important first.
    pub(crate) core: Vec<DomainId>,
}

/// Compares a measure with its usual course.
pub(crate) fn standing(case: &Case<'_>, fact: Fact) -> Standing {
    let Some(course) = case.procedure().course(fact) else {
        return Standing::Usual;
    };
    let Recorded::Yes(dated) = case.facts.get(fact) else {
        return Standing::Usual;
    };
    let (FactValue::Number(value), Some((usual, review))) = (&dated.value, course.at(dated.on))
    else {
        return Standing::Usual;
    };
    let value = *value;
    if worse(course, value, review) {
        Standing::PastReview { value, review }
    } else if worse(course, value, usual) {
        Standing::Behind
    } else {
        Standing::Usual
    }
}

fn worse(course: &Course, value: i64, line: i64) -> bool {
    match course.better {
        Better::Higher => value < line,
        Better::Lower => value > line,
    }
}

/// Weighs every domain that any exercise serves.
pub(crate) fn weigh(case: &Case<'_>, place: &Place<'_>, log: &mut Log) -> Needs {
    let mut needs = Needs {
        domains: BTreeMap::new(),
        core: place.phase.core.clone(),
    };
    let served = case
        .library
        .exercises
        .values()
        .flat_map(|e| e.domains.keys());
    for domain in served.chain(&place.phase.core) {
        needs.domains.entry(domain.clone()).or_insert(BASE);
    }
    for (domain, need) in &mut needs.domains {
        let more = d501_core_domains::more(&needs.core, domain, log)
            .saturating_add(d502_behind::more(case, place, domain, log));
        *need = need.saturating_add(more);
    }
    needs
}

/// Lists the facts that tell of a domain: those of exercises that stand for it.
pub(crate) fn facts_of(case: &Case<'_>, domain: &DomainId) -> BTreeSet<Fact> {
    case.library
        .exercises
        .values()
        .filter(|exercise| {
            let weight = exercise.domains.get(domain);
            weight.is_some_and(|weight| weight.get() >= STANDS_FOR)
        })
        .filter_map(|exercise| exercise.behind.as_ref().map(|behind| behind.fact))
        .collect()
}
