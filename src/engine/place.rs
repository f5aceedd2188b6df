//! Stage 2: the phase.
//!
//! Safety criteria hold a person; targets never do.

use crate::domain::fact::Test;
use crate::domain::ids::CriterionId;
use crate::domain::procedure::Phase;
use crate::domain::verdict::ReviewDue;

use super::case::Case;
use super::log::Log;
use super::rules::{
    d201_floor_day, d202_safety_criteria, d203_clinicians_phase, d204_targets, d205_review_lines,
};

/// Where the person stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Place<'a> {
    pub(crate) phase: &'a Phase,
    /// Its place among the phases, from 0.
    pub(crate) index: usize,
    pub(crate) held_by: Vec<CriterionId>,
    pub(crate) targets_unmet: Vec<Test>,
    pub(crate) reviews: Vec<ReviewDue>,
}

/// Places the person, or asks; a procedure without phases has no place.
pub(crate) fn place<'a>(case: &Case<'a>, log: &mut Log) -> Option<Place<'a>> {
    let (index, phase, held_by) = match d203_clinicians_phase::set(case, log) {
        Some((index, phase)) => (index, phase, Vec::new()),
        None => walk(case, log)?,
    };
    Some(Place {
        phase,
        index,
        held_by,
        targets_unmet: d204_targets::unmet(case, phase, log),
        reviews: d205_review_lines::due(case, log),
    })
}

/// Walks on phase by phase while the floor day is reached and nothing holds the person.
fn walk<'a>(case: &Case<'a>, log: &mut Log) -> Option<(usize, &'a Phase, Vec<CriterionId>)> {
    let phases = &case.procedure().phases;
    let (start, mut here) = d201_floor_day::start(case)?;
    let mut index = start;
    for (next, phase) in phases.iter().enumerate().skip(start.saturating_add(1)) {
        if !d201_floor_day::reached(case, phase, log) {
            break;
        }
        let held_by = d202_safety_criteria::held_by(case, here, log);
        if !held_by.is_empty() {
            return Some((index, here, held_by));
        }
        index = next;
        here = phase;
    }
    Some((index, here, Vec::new()))
}
