//! Checks that a procedure does not offer what its own hard limits always forbid.

use crate::domain::exercise::{Demand, Exercise, Peak, Rung};
use crate::domain::fact::{Comparison, Test};
use crate::domain::limit::{Limit, LimitDegrees, LimitRule, LimitSpan, When};
use crate::domain::procedure::{Candidate, Phase};
use crate::domain::quantity::Quantity;
use crate::domain::time::{Day, Window};
use crate::domain::word::{Fact, LimitLevel};

use super::super::codes::Code;
use super::super::problem::Problem;
use super::super::reading::Reading;
use super::super::source::Span;
use super::Files;

/// Tells of every candidate that begins on days on which a hard limit forbids it.
pub(super) fn check(files: &Files<'_>, reading: &mut Reading) {
    let procedure = files.procedure;
    let always = |limit: &&Limit| limit.when == When::Always && limit.level == LimitLevel::Hard;
    for limit in procedure.limits.iter().filter(always) {
        for phase in &procedure.phases {
            for candidate in &phase.candidates {
                if offers_forbidden(files, limit, phase, candidate)
                    && let Some(at) = reading.candidate_at(&phase.id, &candidate.exercise)
                {
                    reading.tell(problem(limit, phase, candidate, at));
                }
            }
        }
    }
}

fn problem(limit: &Limit, phase: &Phase, candidate: &Candidate, at: Span) -> Problem {
    let message = format!(
        "`{}` in phase `{}` breaks the hard limit `{}`",
        candidate.exercise, phase.id, limit.id
    );
    Problem::new(Code::OwnLimit, at, message, "not allowed on these days").help(format!(
        "take it out of the phase, give it an entry day, or change the limit at {}:{}",
        limit.origin.path, limit.origin.line
    ))
}

fn offers_forbidden(
    files: &Files<'_>,
    limit: &Limit,
    phase: &Phase,
    candidate: &Candidate,
) -> bool {
    let Some(exercise) = files.exercises.get(&candidate.exercise) else {
        return false;
    };
    let Some((_, rung)) = exercise.rung(&candidate.rung) else {
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

fn breaks(limit: &Limit, exercise: &Exercise, rung: &Rung) -> bool {
    match &limit.rule {
        LimitRule::Motion {
            joint,
            motion,
            degrees: LimitDegrees::Fixed(degrees),
            margin,
        } => {
            let most = degrees.get().saturating_sub(margin.get());
            let mut asked = exercise
                .demands
                .iter()
                .filter(|demand| demand.joint == *joint && demand.motion == *motion);
            asked.any(|demand| goes_beyond(demand, rung, most))
        }
        LimitRule::Motion {
            degrees: LimitDegrees::FromOrder,
            ..
        } => false,
        LimitRule::Forbid {
            weight_bearing,
            tags,
            modes,
            positions,
        } => {
            let mut loads = exercise
                .demands
                .iter()
                .map(|demand| rung.weight_bearing.unwrap_or(demand.weight_bearing));
            let mut all_tags = exercise.demands.iter().flat_map(|demand| &demand.tags);
            positions.contains(&exercise.position)
                || exercise
                    .demands
                    .iter()
                    .any(|demand| modes.contains(&demand.mode))
                || loads.any(|load| weight_bearing.contains(&load))
                || all_tags.any(|tag| tags.contains(tag))
                || rung.tags.iter().any(|tag| tags.contains(tag))
        }
    }
}

/// A motion that can be clipped to the limit does not break it.
fn goes_beyond(demand: &Demand, rung: &Rung, most: i64) -> bool {
    let peak = match demand.peak {
        Peak::Fixed(degrees) => Some(degrees.get()),
        Peak::OfRung => rung.range_degrees.map(Quantity::get),
    };
    let clipped = demand.clip_floor.is_some_and(|floor| floor.get() <= most);
    !clipped && peak.is_none_or(|peak| peak > most)
}
