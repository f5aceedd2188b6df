//! Checks that a procedure does not offer what its own hard limits always forbid.

use crate::domain::asked::{Against, Asked};
use crate::domain::exercise::{Exercise, Rung};
use crate::domain::fact::{Comparison, Test};
use crate::domain::ids::{ExerciseId, RungId};
use crate::domain::limit::{Limit, LimitDegrees, LimitRule, LimitSpan, When};
use crate::domain::procedure::Phase;
use crate::domain::quantity::{Degrees, Quantity};
use crate::domain::time::{Day, Window};
use crate::domain::word::{Fact, LimitLevel};

use super::super::codes::Code;
use super::super::problem::Problem;
use super::super::reading::Reading;
use super::super::source::Span;
use super::Files;

/// Tells of every candidate, and every swap of one, that a hard limit forbids from its first day.
pub(super) fn check(files: &Files<'_>, reading: &mut Reading) {
    let procedure = files.procedure;
    let always = |limit: &&Limit| {
        limit.when == When::Always && limit.profile.is_none() && limit.level == LimitLevel::Hard
    };
    for limit in procedure.limits.iter().filter(always) {
        for phase in &procedure.phases {
            for candidate in &phase.candidates {
                let Some(exercise) = files.exercises.get(&candidate.exercise) else {
                    continue;
                };
                let own = offers_forbidden(files, limit, phase, exercise, Some(&candidate.rung));
                let own = own.then(|| format!("`{}` in phase `{}`", exercise.id, phase.id));
                // A swap that is a candidate itself is told there.
                let named = |id: &ExerciseId| phase.candidates.iter().any(|c| c.exercise == *id);
                let others = exercise.swaps.iter().filter(|id| !named(id));
                let swaps = others.filter_map(|id| {
                    let swap = files.exercises.get(id)?;
                    offers_forbidden(files, limit, phase, swap, None).then(|| {
                        let (swap, of) = (&swap.id, &exercise.id);
                        format!("`{swap}`, a swap of `{of}` in phase `{}`,", phase.id)
                    })
                });
                for who in own.into_iter().chain(swaps) {
                    if let Some(at) = reading.candidate_at(&phase.id, &candidate.exercise) {
                        reading.tell(problem(limit, &who, at));
                    }
                }
            }
        }
    }
}

fn problem(limit: &Limit, who: &str, at: Span) -> Problem {
    let message = format!("{who} breaks the hard limit `{}`", limit.id);
    Problem::new(Code::OwnLimit, at, message, "not allowed on these days").help(format!(
        "take it out of the phase, give it an entry day, or change the limit at {}:{}",
        limit.origin.path, limit.origin.line
    ))
}

/// Says whether a limit forbids the rung someone first starts at; a swap starts at its first.
fn offers_forbidden(
    files: &Files<'_>,
    limit: &Limit,
    phase: &Phase,
    exercise: &Exercise,
    start: Option<&RungId>,
) -> bool {
    let rung = match start {
        Some(id) => exercise.rung(id).map(|(_, rung)| rung),
        None => exercise.rungs.first(),
    };
    let Some(rung) = rung else {
        return false;
    };
    let offered = offered(phase.window, exercise, rung);
    touches(limit, offered, files.procedure.settings.last_day) && breaks(limit, exercise, rung)
}

/// Returns the days a candidate may be offered: its phase, from its entry day on.
fn offered(phase: Window, exercise: &Exercise, rung: &Rung) -> Window {
    let entry = exercise
        .entry
        .iter()
        .chain(&rung.entry)
        .filter_map(entry_day)
        .max();
    Window {
        from: entry.map_or(phase.from, |day| day.max(phase.from)),
        before: phase.before,
    }
}

fn entry_day(test: &Test) -> Option<Day> {
    match (test.fact, &test.comparison) {
        (Fact::Day, Comparison::AtLeast(day)) => Some(Day::new(*day)),
        _ => None,
    }
}

fn touches(limit: &Limit, offered: Window, last_day: Day) -> bool {
    let last = offered.before.map_or(last_day, |before| before.plus(-1));
    match limit.span {
        LimitSpan::Days(window) => offered.from <= last && window.touches(offered.from, last),
        LimitSpan::Order => false,
    }
}

/// Says whether an exercise breaks a limit; a motion that can be clipped to it does not.
fn breaks(limit: &Limit, exercise: &Exercise, rung: &Rung) -> bool {
    let stop_at = match &limit.rule {
        LimitRule::Motion {
            degrees: LimitDegrees::Fixed(degrees),
            margin,
            ..
        } => Some(Degrees::nearest(degrees.get().saturating_sub(margin.get()))),
        LimitRule::Motion {
            degrees: LimitDegrees::FromOrder,
            ..
        } => return false,
        LimitRule::Forbid(_) | LimitRule::AllOf(_) => None,
    };
    match Asked::by(exercise, rung).against(&limit.rule, stop_at) {
        Against::Free => false,
        Against::TooFar { floor } => stop_at.is_some_and(|stop| stop < floor),
        Against::Forbidden | Against::Unknown => true,
    }
}
