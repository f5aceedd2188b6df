//! Stage 4: which exercises are allowed, and how far up their ladders.
//!
//! Must not weigh one exercise against another.

use std::collections::BTreeMap;

use crate::domain::asked::{Against, Asked};
use crate::domain::exercise::{Exercise, Rung};
use crate::domain::fact::{FactValue, Test};
use crate::domain::ids::{ExerciseId, LimitId, RungId};
use crate::domain::limit::{LimitRule, MotionOf};
use crate::domain::procedure::Phase;
use crate::domain::quantity::Degrees;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{LimitInForce, RuleId, WhyNot};
use crate::domain::word::{Fact, LimitLevel, Row};

use super::case::Case;
use super::limit::level;
use super::log::Log;
use super::place::Place;
use super::rules::{
    d401_forbidden_work, d402_motion_limit, d403_demand_unknown, d404_position, d405_equipment,
    d406_done_with, d407_entry_test, d409_taught, d410_phase_top, d411_surgeon_allowed,
    d412_kept_by_review, d413_as_reported,
};

/// Why something is not allowed, and the rule that says so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Bar {
    pub(crate) reason: WhyNot,
    pub(crate) rule: RuleId,
}

/// An entry test that fails today.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct NotYet {
    pub(crate) test: Test,
    /// Not recorded when a blank is what failed it.
    pub(crate) value: Recorded<FactValue>,
}

impl NotYet {
    /// Returns it as a reason to leave something out.
    pub(crate) fn bar(&self) -> Bar {
        Bar {
            reason: WhyNot::NotYet {
                test: self.test.clone(),
                value: self.value.clone(),
            },
            rule: d407_entry_test::RULE.id,
        }
    }
}

/// A motion that goes on, but stops at a limit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Clip {
    pub(crate) limit: LimitId,
    pub(crate) of: MotionOf,
    pub(crate) degrees: Degrees,
    pub(crate) margin: Degrees,
    pub(crate) stop_at: Degrees,
}

/// What one limit does to one rung.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Effect {
    /// Nothing.
    Free,
    /// The motion stops earlier.
    Clipped(Clip),
    /// Not allowed.
    Barred(Bar),
}

/// What stands against one rung.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct RungCheck {
    /// A hard limit; nobody sets it aside.
    pub(crate) hard: Option<Bar>,
    /// A soft limit, equipment or teaching; the clinician may set it aside.
    pub(crate) soft: Option<Bar>,
    /// Its own entry test.
    pub(crate) entry: Option<NotYet>,
    /// Where its motion stops.
    pub(crate) clip: Option<Clip>,
}

/// One exercise with what stands against each rung.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Ladder<'a> {
    pub(crate) exercise: &'a Exercise,
    /// The rung at which the phase starts it; none when the phase does not name it.
    pub(crate) start: Option<usize>,
    /// A blank that lets it start at its first rung only.
    pub(crate) first_only: Option<Fact>,
    /// What stands against the exercise as a whole.
    pub(crate) bar: Option<Bar>,
    pub(crate) rungs: Vec<RungCheck>,
}

impl RungCheck {
    /// Returns what bars the rung: a limit, equipment or teaching.
    pub(crate) fn barred(&self) -> Option<&Bar> {
        self.hard.as_ref().or(self.soft.as_ref())
    }
}

impl Ladder<'_> {
    /// Returns the first bar at or below a rung: everything above it is out of reach.
    pub(crate) fn barred_to(&self, rung: usize) -> Option<&Bar> {
        self.checks_to(rung).find_map(RungCheck::barred)
    }

    /// Returns the first hard limit at a rung itself.
    pub(crate) fn hard_at(&self, rung: usize) -> Option<&Bar> {
        self.rungs.get(rung).and_then(|check| check.hard.as_ref())
    }

    fn checks_to(&self, rung: usize) -> impl Iterator<Item = &RungCheck> {
        self.rungs.iter().take(rung.saturating_add(1))
    }
}

/// Checks every exercise the phase, the last sheet or the clinician brings up.
pub(crate) fn ladders<'a>(
    case: &Case<'a>,
    place: &Place<'a>,
    limits: &[LimitInForce],
    log: &mut Log,
) -> Vec<Ladder<'a>> {
    considered(case, place)
        .into_iter()
        .filter_map(|(id, start)| {
            let exercise = case.library.exercises.get(&id)?;
            Some(check(case, place.phase, exercise, start, limits, log))
        })
        .collect()
}

/// Lists the exercises brought up, with the rung the phase starts them at.
fn considered(case: &Case<'_>, place: &Place<'_>) -> BTreeMap<ExerciseId, Option<RungId>> {
    let mut found: BTreeMap<ExerciseId, Option<RungId>> = BTreeMap::new();
    for (id, exercise) in &case.library.exercises {
        if exercise.row != Row::Exercise && nowhere_named(case, id) {
            found.insert(
                id.clone(),
                exercise.rungs.first().map(|rung| rung.id.clone()),
            );
        }
    }
    if let Some(last) = case.last {
        for item in &last.issued.items {
            found.entry(item.exercise.clone()).or_insert(None);
        }
    }
    let spoken = case.visit.adjust.iter();
    for adjust in spoken.filter(|adjust| case.adjust(&adjust.exercise).is_some()) {
        found.entry(adjust.exercise.clone()).or_insert(None);
    }
    for candidate in &place.phase.candidates {
        found.insert(candidate.exercise.clone(), Some(candidate.rung.clone()));
    }
    found
}

fn nowhere_named(case: &Case<'_>, id: &ExerciseId) -> bool {
    let mut candidates = case
        .procedure()
        .phases
        .iter()
        .flat_map(|phase| &phase.candidates);
    case.procedure().exercises.contains(id)
        && !candidates.any(|candidate| candidate.exercise == *id)
}

/// Checks one exercise.
pub(crate) fn check<'a>(
    case: &Case<'a>,
    phase: &Phase,
    exercise: &'a Exercise,
    start: Option<RungId>,
    limits: &[LimitInForce],
    log: &mut Log,
) -> Ladder<'a> {
    let unordered = d411_surgeon_allowed::bar(case, exercise);
    let rungs: Vec<RungCheck> = exercise
        .rungs
        .iter()
        .enumerate()
        .map(|(index, rung)| {
            let mut found = check_rung(case, exercise, index, rung, limits, log);
            let top = || d410_phase_top::bar(case, phase, exercise, index);
            let kept = || d412_kept_by_review::bar(case, exercise, index, rung);
            let reported = || d413_as_reported::bar(case, exercise, index);
            found.soft = found.soft.or_else(top).or_else(kept).or_else(reported);
            found.hard = found.hard.or_else(|| unordered.clone());
            found
        })
        .collect();
    let start = start.and_then(|id| exercise.rung(&id)).map(|(at, _)| at);
    let first = rungs.first().and_then(RungCheck::barred).cloned();
    let bar = first
        .or_else(|| d404_position::bar(case, exercise, log))
        .or_else(|| d405_equipment::bar(case, &exercise.needs, log))
        .or_else(|| d406_done_with::bar(case, exercise))
        .or_else(|| d407_entry_test::failing(case, exercise, log).map(|test| test.bar()));
    Ladder {
        exercise,
        start,
        first_only: d407_entry_test::first_only(case, exercise),
        bar,
        rungs,
    }
}

fn check_rung(
    case: &Case<'_>,
    exercise: &Exercise,
    index: usize,
    rung: &Rung,
    limits: &[LimitInForce],
    log: &mut Log,
) -> RungCheck {
    let mut found = RungCheck {
        hard: None,
        soft: None,
        entry: d407_entry_test::failing_rung(case, exercise, index, log),
        clip: None,
    };
    for limit in limits {
        let bar = match apply(exercise, rung, limit) {
            Effect::Free => None,
            Effect::Clipped(clip) => clipped(&mut found.clip, clip),
            Effect::Barred(bar) => Some(bar),
        };
        match level(case, &limit.limit) {
            LimitLevel::Hard => found.hard = found.hard.or(bar),
            LimitLevel::Soft => found.soft = found.soft.or(bar),
        }
    }
    found.soft = found
        .soft
        .or_else(|| d405_equipment::bar(case, &rung.needs, log))
        .or_else(|| d409_taught::bar(case, exercise, index, rung));
    found
}

/// Says what one limit does to one rung.
fn apply(exercise: &Exercise, rung: &Rung, limit: &LimitInForce) -> Effect {
    let asked = Asked::by(exercise, rung);
    match asked.against(&limit.rule, limit.stop_at) {
        Against::Free => Effect::Free,
        Against::TooFar { floor } => d402_motion_limit::effect(limit, floor),
        Against::Unknown => Effect::Barred(d403_demand_unknown::bar(limit)),
        Against::Forbidden => Effect::Barred(match limit.rule {
            LimitRule::Motion { .. } => d402_motion_limit::bar(limit),
            LimitRule::Forbid(_) | LimitRule::AllOf(_) => d401_forbidden_work::bar(limit),
        }),
    }
}

/// Keeps the clip that stops first; a stop of a second motion is a bar.
fn clipped(kept: &mut Option<Clip>, clip: Clip) -> Option<Bar> {
    match kept {
        Some(first) if first.of != clip.of => Some(d402_motion_limit::second_stop(&clip)),
        Some(first) if first.stop_at <= clip.stop_at => None,
        Some(_) | None => {
            *kept = Some(clip);
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::domain::library::Library;
    use crate::engine::sample;

    /// Says whether somebody in the first phase has the row of walking on the sheet.
    fn walks(named_in: Option<usize>, of_the_procedure: bool) -> bool {
        let mut library: Library = sample::library();
        let stroll = sample::id("stroll");
        let named = sample::candidate(&mut library, 0, "stroll").clone();
        for phase in &mut library.procedure.phases {
            phase.candidates.retain(|own| own.exercise != stroll);
        }
        if let Some(phase) = named_in {
            library.procedure.phases[phase].candidates.push(named);
        }
        if !of_the_procedure {
            library.procedure.exercises.retain(|own| *own != stroll);
        }
        let program = sample::program(&library, &sample::record(10));
        program.daily.iter().any(|item| item.exercise == stroll)
    }

    #[test]
    fn a_row_of_every_day_that_no_phase_names_stands_in_all_of_them() {
        assert!(walks(Some(0), true));
        assert!(walks(None, true));
        assert!(!walks(Some(1), true), "another phase names it");
        assert!(!walks(None, false), "another procedure's");
    }
}
