//! All a library may ask of an exercise's pictures: each way, both ends of each range.
//!
//! `fault` draws one of them; the checks themselves run whenever a pair is drawn.

use crate::domain::dose::Amount;
use crate::domain::exercise::{Exercise, Peak};
use crate::domain::ids::{HowId, Id};
use crate::domain::pose::{Pose, Scene};
use crate::domain::quantity::Quantity;
use crate::domain::word::{Joint, Motion, Side};

use super::error::FigureError;
use super::{Cap, Shown, pair};

/// One way an exercise may be drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Case {
    /// In words, for messages.
    pub name: String,
    /// Whether nothing but the way is chosen: no aim, no limit.
    pub usual: bool,
    /// What is shown.
    pub shown: Shown,
}

/// Lists what a library may ask of an exercise's pictures: each way, both ends of each range.
pub fn cases(exercise: &Exercise) -> Vec<Case> {
    let pose = &exercise.pose;
    let mut hows: Vec<Option<HowId>> = Vec::new();
    for rung in &exercise.rungs {
        if !hows.contains(&rung.how) {
            hows.push(rung.how.clone());
        }
    }
    let heights = exercise.rungs.iter().filter_map(|rung| rung.height_cm);
    let mut heights = vec![heights.clone().min(), heights.max()];
    heights.dedup();
    let holds = exercise
        .rungs
        .iter()
        .any(|rung| matches!(rung.amount, Amount::Counted { hold_s, .. } if hold_s.get() > 0));
    let mut all = Vec::new();
    for how in &hows {
        let scene = pose.scene_of(how.as_ref());
        for (name, aim, limit) in bends(exercise, scene) {
            for height in &heights {
                let way = how.as_ref().map_or("", |how| how.as_str());
                all.push(Case {
                    name: format!("{way} {name}").trim().to_owned(),
                    usual: aim.is_none() && limit.is_none(),
                    shown: Shown {
                        aim: exercise.aim_rule.as_ref().and(aim),
                        range: if exercise.aim_rule.is_none() {
                            aim
                        } else {
                            None
                        },
                        limit,
                        height_cm: height.map(Quantity::get),
                        hold: holds.then(|| "30 s".to_owned()),
                        caps: caps(exercise, limit),
                        how: how.clone(),
                        ..Shown::default()
                    },
                });
            }
        }
    }
    all
}

/// The ends of what a bend may be, with and without a limit.
fn bends(exercise: &Exercise, scene: &Scene) -> Vec<(String, Option<i64>, Option<i64>)> {
    let mut all = vec![("usual".to_owned(), None, None)];
    if let Some(range) = scene.bend {
        for degrees in [range.min, range.max] {
            all.push((format!("at {degrees}"), Some(degrees), None));
        }
    }
    let floors = exercise.demands.iter().filter_map(|demand| {
        let knee = demand.joint == Joint::Knee && demand.motion == Motion::Flexion;
        demand.clip_floor.filter(|_| knee)
    });
    for floor in floors.map(Quantity::get) {
        for limit in [floor, floor + 15] {
            all.push((format!("limit {limit}"), Some(125), Some(limit)));
        }
    }
    all
}

/// What the exercise itself says its joints do at most, and a limit on top.
fn caps(exercise: &Exercise, limit: Option<i64>) -> Vec<Cap> {
    let ranges = exercise.rungs.iter().filter_map(|rung| rung.range_degrees);
    let range = ranges.map(Quantity::get).max();
    let mut caps: Vec<Cap> = Vec::new();
    for demand in &exercise.demands {
        let most = match demand.peak {
            Peak::Fixed(peak) => Some(peak.get()),
            Peak::OfRung => range,
        };
        if demand.motion == Motion::Flexion
            && demand.joint != Joint::Ankle
            && let Some(most) = most
        {
            caps.push(Cap {
                joint: demand.joint,
                motion: demand.motion,
                most,
            });
        }
    }
    caps.extend(limit.map(|most| Cap {
        joint: Joint::Knee,
        motion: Motion::Flexion,
        most,
    }));
    caps
}

/// Draws a case, the usual one with both legs marked too, and says what is wrong with it.
///
/// The left is the mirror image of the right.
pub fn fault(pose: &Pose, case: &Case) -> Option<FigureError> {
    let wrong = |side: Side| pair(pose, side, &case.shown).err();
    let right = wrong(Side::Right);
    right.or_else(|| case.usual.then(|| wrong(Side::Both)).flatten())
}
