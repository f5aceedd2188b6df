//! The one limit of a motion: of all that stop it, the strictest on any day of the sheet.
//!
//! One reading for every page and every list. Must not hold words.

use super::exercise::Exercise;
use super::limit::{LimitRule, MotionOf};
use super::quantity::Degrees;
use super::record::Until;
use super::verdict::{LimitInForce, Program};

/// Where a motion stops.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stop<'a> {
    /// Which motion.
    pub of: MotionOf,
    /// The least that anybody set: the number that is called the limit.
    pub degrees: Degrees,
    /// Where we stop, every margin taken off; never more than `degrees`.
    pub stop_at: Degrees,
    /// The limit whose number it is.
    pub set_by: &'a LimitInForce,
    /// Until when.
    pub until: StopUntil,
}

/// Until when a stop is said to hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StopUntil {
    /// As long as its owner set it.
    Set(Until),
    /// As long as the sheet is used: it ends within it, a milder limit goes on after it, and the
    /// sheet keeps to the strictest.
    SheetEnds,
}

impl Program {
    /// Finds the stop of a motion; none when nothing limits it.
    pub fn stop(&self, of: MotionOf) -> Option<Stop<'_>> {
        self.strictest(of, |limit| limits(&limit.rule, of))
    }

    /// Finds the stop of a motion as an exercise makes it, in what way and against what load.
    pub fn stop_in(&self, exercise: &Exercise, of: MotionOf) -> Option<Stop<'_>> {
        self.strictest(of, |limit| {
            limits(&limit.rule, of) && is_made(exercise, &limit.rule)
        })
    }

    /// Lists the stops of all motions of an exercise.
    pub fn stops_in<'a>(&'a self, exercise: &'a Exercise) -> impl Iterator<Item = Stop<'a>> {
        let mut motions: Vec<MotionOf> = Vec::new();
        for demand in &exercise.demands {
            let of = MotionOf {
                joint: demand.joint,
                motion: demand.motion,
            };
            if !motions.contains(&of) {
                motions.push(of);
            }
        }
        let stops = motions.into_iter();
        stops.filter_map(|of| self.stop_in(exercise, of))
    }

    fn strictest(&self, of: MotionOf, counts: impl Fn(&LimitInForce) -> bool) -> Option<Stop<'_>> {
        let all: Vec<&LimitInForce> = self.limits.iter().filter(|limit| counts(limit)).collect();
        let strictness = |limit: &&&LimitInForce| (limit.degrees, limit.order.is_none());
        let set_by = *all.iter().min_by_key(strictness)?;
        let within = match set_by.until {
            Until::Date(end) => end < self.life.slip_until,
            Until::Asked | Until::Open => false,
        };
        let ends = all.iter().map(|other| set_by.until.later(other.until));
        let outlasts = within && ends.into_iter().any(|end| end != set_by.until);
        Some(Stop {
            of,
            degrees: set_by.degrees?,
            stop_at: all.iter().filter_map(|limit| limit.stop_at).min()?,
            set_by,
            until: if outlasts {
                StopUntil::SheetEnds
            } else {
                StopUntil::Set(set_by.until)
            },
        })
    }
}

/// Says whether a rule limits a motion.
pub fn limits(rule: &LimitRule, motion: MotionOf) -> bool {
    match rule {
        LimitRule::Motion { of, .. } => *of == motion,
        LimitRule::Forbid(_) | LimitRule::AllOf(_) => false,
    }
}

/// Says whether an exercise makes a motion in a way that a rule looks at.
fn is_made(exercise: &Exercise, rule: &LimitRule) -> bool {
    let LimitRule::Motion { of, modes, .. } = rule else {
        return false;
    };
    let mut demands = exercise.demands.iter();
    demands.any(|demand| {
        let same = demand.joint == of.joint && demand.motion == of.motion;
        same && (modes.is_empty() || modes.contains(&demand.mode))
    })
}
