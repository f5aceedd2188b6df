//! What an exercise asks of the body, and what the rule of a limit does to it.
//!
//! One reading for the engine, which leaves out, and for the library's checks, which tell.
//! What is not known counts as asked. Must not know a patient.

use std::collections::BTreeSet;

use super::exercise::{Demand, Exercise, Peak, Rung};
use super::limit::{Condition, Kinds, LimitRule, MotionOf};
use super::procedure::Asks;
use super::quantity::{Degrees, Grams};
use super::word::{Joint, LegLoad, Mode, Position};

/// What is asked of the body.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// What is asked of each joint; none when nobody said.
    demands: Option<&'a [Demand]>,
    /// Positions it is done in.
    positions: Positions<'a>,
    /// The rung; advice has none.
    rung: Option<&'a Rung>,
}

/// Positions of an exercise, or of a row of advice.
#[derive(Debug, Clone, Copy)]
enum Positions<'a> {
    One(Position),
    Any(&'a BTreeSet<Position>),
}

/// What a rule does to what is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Against {
    /// Nothing.
    Free,
    /// A motion goes too far and may stop earlier, but not below this angle to be of use.
    TooFar {
        /// The largest of such angles.
        floor: Degrees,
    },
    /// It is not allowed.
    Forbidden,
    /// Nobody said what the rule looks at, so it is not allowed.
    Unknown,
}

/// Whether one thing is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Met {
    No,
    Unknown,
    Yes,
}

impl Met {
    const fn of(met: bool) -> Self {
        if met { Self::Yes } else { Self::No }
    }
}

impl<'a> Asked<'a> {
    /// Returns what one rung of an exercise asks.
    pub const fn by(exercise: &'a Exercise, rung: &'a Rung) -> Self {
        let demands = exercise.demands.as_slice();
        Self {
            demands: if demands.is_empty() {
                None
            } else {
                Some(demands)
            },
            positions: Positions::One(exercise.position),
            rung: Some(rung),
        }
    }

    /// Returns what a row of advice asks.
    pub fn by_advice(asks: &'a Asks) -> Self {
        Self {
            demands: asks.demands.as_deref(),
            positions: Positions::Any(&asks.positions),
            rung: None,
        }
    }

    /// Says what a rule does to it; `stop_at` is the angle of a motion limit less its margin.
    pub fn against(&self, rule: &LimitRule, stop_at: Option<Degrees>) -> Against {
        match rule {
            LimitRule::Motion { of, modes, .. } => {
                if self.says_nothing_of(of.joint) {
                    return Against::Unknown;
                }
                let asked = self.motions(*of);
                let asked = asked.filter(|demand| self.is_made(demand, modes));
                stop_at.map_or(Against::Unknown, |stop| self.too_far(asked, stop))
            }
            LimitRule::Forbid(kinds) => against(self.of_kinds(kinds)),
            LimitRule::AllOf(conditions) => {
                let least = conditions.iter().map(|condition| self.meets(condition));
                against(least.min().unwrap_or(Met::Unknown))
            }
        }
    }

    fn too_far(&self, asked: impl Iterator<Item = &'a Demand>, stop: Degrees) -> Against {
        let mut found = Against::Free;
        for demand in asked {
            let Some(peak) = self.peak(demand) else {
                return Against::Unknown;
            };
            if peak <= stop {
                continue;
            }
            let Some(floor) = demand.clip_floor else {
                return Against::Forbidden;
            };
            let floor = match found {
                Against::TooFar { floor: other } => floor.max(other),
                Against::Free | Against::Forbidden | Against::Unknown => floor,
            };
            found = Against::TooFar { floor };
        }
        found
    }

    fn meets(&self, condition: &Condition) -> Met {
        match condition {
            Condition::Beyond { of, degrees } => {
                let beyond = |demand| match self.peak(demand) {
                    Some(peak) => Met::of(peak > *degrees),
                    None => Met::Unknown,
                };
                let unsaid = Met::No.max(self.unsaid(Some(*of)));
                self.motions(*of).map(beyond).fold(unsaid, Met::max)
            }
            Condition::Kinds(kinds) => self.of_kinds(kinds),
        }
    }

    fn of_kinds(&self, kinds: &Kinds) -> Met {
        let tags = self.all().flat_map(|demand| &demand.tags);
        let mut tags = tags.chain(self.rung.into_iter().flat_map(|rung| &rung.tags));
        let mut modal = self.all().filter(|demand| match kinds.of {
            Some(of) => demand.joint == of.joint && demand.motion == of.motion,
            None => true,
        });
        let found = self
            .loads()
            .any(|load| kinds.weight_bearing.contains(&load))
            || tags.any(|tag| kinds.tags.contains(tag))
            || self.is_in(&kinds.positions)
            || modal.any(|demand| !kinds.modes.is_empty() && self.is_made(demand, &kinds.modes));
        Met::of(found)
            .max(self.weighs(kinds))
            .max(self.kinds_unsaid(kinds))
    }

    /// Says whether the weight is above the most; what a band pulls is not known.
    fn weighs(&self, kinds: &Kinds) -> Met {
        match kinds.load_above {
            Some(most) if self.load().is_some_and(|load| load > most) => Met::Yes,
            Some(_) if self.has_band() => Met::Unknown,
            None | Some(_) => Met::No,
        }
    }

    /// Says whether nobody said what some kinds look at: weight and position are always known.
    fn kinds_unsaid(&self, kinds: &Kinds) -> Met {
        let looks =
            !(kinds.weight_bearing.is_empty() && kinds.tags.is_empty() && kinds.modes.is_empty());
        if looks {
            self.unsaid(kinds.of)
        } else {
            Met::No
        }
    }

    fn unsaid(&self, of: Option<MotionOf>) -> Met {
        let unsaid = match of {
            Some(of) => self.says_nothing_of(of.joint),
            None => self.demands.is_none(),
        };
        if unsaid { Met::Unknown } else { Met::No }
    }

    /// Says whether nobody said what is asked of a joint; what asks for nothing has said so.
    fn says_nothing_of(&self, joint: Joint) -> bool {
        let silent = |demands: &[Demand]| demands.iter().all(|demand| demand.joint != joint);
        self.demands
            .is_none_or(|demands| !demands.is_empty() && silent(demands))
    }

    fn all(&self) -> impl Iterator<Item = &'a Demand> + use<'a> {
        self.demands.into_iter().flatten()
    }

    fn is_in(&self, positions: &BTreeSet<Position>) -> bool {
        match self.positions {
            Positions::One(position) => positions.contains(&position),
            Positions::Any(own) => !own.is_disjoint(positions),
        }
    }

    fn load(&self) -> Option<Grams> {
        self.rung.and_then(|rung| rung.load_g)
    }

    fn has_band(&self) -> bool {
        self.rung.is_some_and(|rung| rung.band.is_some())
    }

    fn motions(&self, of: MotionOf) -> impl Iterator<Item = &'a Demand> + use<'a> {
        let asked = self.all();
        asked.filter(move |demand| demand.joint == of.joint && demand.motion == of.motion)
    }

    /// Lists the loads of the leg: the rung's own, else those of the demands.
    fn loads(&self) -> impl Iterator<Item = LegLoad> + use<'a> {
        let own = self.rung.and_then(|rung| rung.weight_bearing);
        let demands = self.all();
        demands.map(move |demand| own.unwrap_or(demand.weight_bearing))
    }

    /// Says whether a motion is made in one of some ways; an empty set means any.
    ///
    /// A weight or a band makes active work resisted.
    fn is_made(&self, demand: &Demand, modes: &BTreeSet<Mode>) -> bool {
        let against = self.load().is_some() || self.has_band();
        let resisted = demand.mode == Mode::Active && against && modes.contains(&Mode::Resisted);
        modes.is_empty() || modes.contains(&demand.mode) || resisted
    }

    /// Returns the largest angle; none when the rung does not say.
    fn peak(&self, demand: &Demand) -> Option<Degrees> {
        match demand.peak {
            Peak::Fixed(peak) => Some(peak),
            Peak::OfRung => self.rung.and_then(|rung| rung.range_degrees),
        }
    }
}

const fn against(met: Met) -> Against {
    match met {
        Met::No => Against::Free,
        Met::Unknown => Against::Unknown,
        Met::Yes => Against::Forbidden,
    }
}
