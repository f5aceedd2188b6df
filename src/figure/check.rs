//! What must hold of every picture: joints, contact, frame, and that start and end differ.
//!
//! The same checks run whenever a pair is drawn; `faults` runs them over all a library may ask for.

use crate::domain::exercise::{Exercise, Peak};
use crate::domain::ids::{HowId, Id};
use crate::domain::pose::{Footing, LegPose, Pose, Scene, Surface, Thing, View};
use crate::domain::quantity::Quantity;
use crate::domain::word::{Joint, Motion, Side};

use super::body::{Body, KNEE_R, Leg};
use super::drawing::{Drawing, Paint};
use super::error::FigureError;
use super::place::Follows;
use super::{Bodies, Cap, Shown, pair};

/// How far anybody's joints go, degrees: flexion and extension beyond straight.
///
/// Boone and Azen 1979, `boone1979` in the bibliography, with a little more where the foot bears
/// weight.
const RANGES: [(Joint, i64, i64); 3] = [
    (Joint::Hip, 125, 30),
    (Joint::Knee, 145, 5),
    (Joint::Ankle, 35, 50),
];

/// What rests on a surface may be off it by this, thousandths of stature: a twentieth of a
/// millimetre on paper.
const TOUCH: f64 = 1.0;

/// Checks the joints of both poses, what rests where, and that something changes.
pub(super) fn poses(
    pose: &Pose,
    scene: &Scene,
    bodies: &Bodies,
    caps: &[Cap],
) -> Result<(), FigureError> {
    if scene.view == View::Side {
        for (stance, body) in [(&scene.start, &bodies.start), (&scene.end, &bodies.end)] {
            let legs = [&stance.near, &stance.far].into_iter().zip(&body.legs);
            for (index, (leg_pose, leg)) in legs.enumerate() {
                in_range(body, leg, if index == 0 { caps } else { &[] })?;
                rests(leg_pose, leg, bodies.follows)?;
                above(pose, scene, leg)?;
            }
        }
    }
    if !pose.still && same(&bodies.start, &bodies.end) {
        return Err(FigureError::NoChange);
    }
    Ok(())
}

#[expect(clippy::cast_possible_truncation, reason = "degrees")]
fn whole(degrees: f64) -> i64 {
    (degrees - 0.5).ceil() as i64
}

/// Returns the bend of a joint.
fn bend_of(body: &Body, leg: &Leg, joint: Joint) -> Option<f64> {
    match joint {
        Joint::Hip => Some(body.hip_bend(leg)),
        Joint::Knee => Some(leg.knee_bend()),
        Joint::Ankle => Some(leg.ankle_bend()),
        Joint::Spine | Joint::Shoulder => None,
    }
}

fn in_range(body: &Body, leg: &Leg, caps: &[Cap]) -> Result<(), FigureError> {
    let over = |joint: Joint, motion: Motion, most: i64| {
        let drawn = bend_of(body, leg, joint)?;
        let got = match motion {
            Motion::Flexion => whole(drawn),
            Motion::Extension => whole(-drawn),
            Motion::Abduction | Motion::Adduction | Motion::Rotation => return None,
        };
        (got > most).then_some(FigureError::TooFar {
            joint,
            motion,
            got,
            most,
        })
    };
    for (joint, flexion, extension) in RANGES {
        let wrong = over(joint, Motion::Flexion, flexion)
            .or_else(|| over(joint, Motion::Extension, extension));
        if let Some(error) = wrong {
            return Err(error);
        }
    }
    let mut wrong = caps
        .iter()
        .filter_map(|cap| over(cap.joint, cap.motion, cap.most));
    wrong.next().map_or(Ok(()), Err)
}

/// Checks that a foot or knee is where its surface is.
fn rests(pose: &LegPose, leg: &Leg, follows: Follows) -> Result<(), FigureError> {
    let surface = follows.of(pose.y);
    let off = match pose.on {
        Footing::Heel | Footing::Sole | Footing::Stand => leg.foot_low() * 1000.0 - surface,
        // Far under the seat the foot leaves the floor.
        Footing::Seat if leg.knee_bend() <= UNDER_SEAT => leg.foot_low() * 1000.0 - surface,
        Footing::Roll | Footing::Knee => (leg.knee().y - KNEE_R) * 1000.0 - surface,
        Footing::Air | Footing::Seat | Footing::Out => 0.0,
    };
    if off.abs() > TOUCH {
        let what = match pose.on {
            Footing::Roll | Footing::Knee => "knee",
            _ => "foot",
        };
        return Err(FigureError::NoContact { what });
    }
    Ok(())
}

/// A knee bent further than this brings the foot so far under the seat that it leaves the floor.
const UNDER_SEAT: f64 = 110.0;

/// Checks that a foot is not through the floor or the bed; over the end of a bed there is none.
fn above(pose: &Pose, scene: &Scene, leg: &Leg) -> Result<(), FigureError> {
    let over_end = scene.props.iter().any(|prop| prop.kind == Thing::BedEnd);
    let sunk = -leg.foot_low() * 1000.0;
    if sunk > TOUCH && !(over_end && pose.surface == Surface::Bed) {
        return Err(FigureError::Sunk { by: sunk });
    }
    Ok(())
}

/// Says whether no limb moves by as much as an eye sees.
fn same(start: &Body, end: &Body) -> bool {
    let moved = |a: super::plane::Point, b: super::plane::Point| (a - b).length() > 0.022;
    let legs = start.legs.iter().zip(&end.legs).any(|(a, b)| {
        moved(a.knee(), b.knee())
            || moved(a.foot_discs()[2].c, b.foot_discs()[2].c)
            || moved(a.ankle(), b.ankle())
    });
    !legs && !moved(start.hip, end.hip) && !moved(start.head(), end.head())
}

/// Checks that nothing leaves the frame; a cropped picture may at its left.
pub(super) fn inside(drawing: &Drawing, cropped: bool) -> Result<(), FigureError> {
    let mut by = 0;
    for shape in &drawing.shapes {
        let half = match shape.paint {
            Paint::Fill(_) => 0,
            Paint::Edged { edge, .. } => edge,
            Paint::Line { width, .. } => width / 2,
        };
        for (x, y) in shape.rings.iter().flatten() {
            let left = if cropped { 0 } else { half - x };
            by = by
                .max(left)
                .max(half - y)
                .max(x + half - drawing.width)
                .max(y + half - drawing.height);
        }
    }
    if by > 0 {
        return Err(FigureError::OutsideFrame { by_um: by.into() });
    }
    Ok(())
}

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
    let heights = [heights.clone().min(), heights.max()];
    let holds = exercise.rungs.iter().any(|rung| {
        matches!(rung.amount, crate::domain::dose::Amount::Counted { hold_s, .. } if hold_s.get() > 0)
    });
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
                        limit: limit.map(|limit| (limit, limit)),
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

/// Draws all a library may ask for, on both sides, and says what is wrong with it.
pub fn faults(exercise: &Exercise) -> Vec<(String, FigureError)> {
    let mut found = Vec::new();
    for case in cases(exercise) {
        let drawn = pair(&exercise.pose, Side::Right, &case.shown);
        if let Err(error) = drawn {
            found.push((case.name, error));
        }
    }
    found
}
