//! What must hold of every picture: lengths, joints, contact, frame, and that start and end differ.
//!
//! The checks run whenever a pair is drawn. Next: `cases` lists all a library may ask for.

use crate::domain::pose::{Footing, LegPose, Pose, Scene, Surface, Thing, View};
use crate::domain::word::{Joint, Motion};

use super::body::{Arm, Body, FOREARM, KNEE_R, Leg, SHANK, THIGH, UPPER_ARM, wrapped};
use super::drawing::{Drawing, Paint};
use super::error::FigureError;
use super::place::Follows;
use super::plane::Point;
use super::{Bodies, Cap};

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

/// Checks lengths and joints of both poses, and what rests where.
pub(super) fn poses(
    pose: &Pose,
    scene: &Scene,
    bodies: &Bodies,
    caps: &[Cap],
) -> Result<(), FigureError> {
    for (stance, body) in [(&scene.start, &bodies.start), (&scene.end, &bodies.end)] {
        lengths(body)?;
        let legs = [&stance.near, &stance.far].into_iter().zip(&body.legs);
        for (index, (leg_pose, leg)) in legs.enumerate() {
            let caps = if index == 0 { caps } else { &[] };
            if scene.view == View::Side {
                legs_in_range(body, leg, caps)?;
                rests(leg_pose, leg, bodies.follows)?;
                above(pose, scene, leg)?;
            } else {
                out_in_range(bodies.follows.of(leg_pose.out), caps)?;
            }
        }
        if scene.view == View::Side {
            body.arms
                .iter()
                .try_for_each(|arm| arm_in_range(body, arm))?;
        }
    }
    Ok(())
}

/// Checks that no segment is drawn longer than it is; what points at the viewer is shorter.
fn lengths(body: &Body) -> Result<(), FigureError> {
    let longer = |from: Point, to: Point, most: f64| (to - from).length() > most + 1e-9;
    let leg =
        |leg: &Leg| longer(leg.hip, leg.knee(), THIGH) || longer(leg.knee(), leg.ankle(), SHANK);
    let arm = |arm: &Arm| {
        longer(arm.shoulder, arm.elbow(), UPPER_ARM) || longer(arm.elbow(), arm.wrist(), FOREARM)
    };
    if body.legs.iter().any(leg) {
        return Err(FigureError::Stretched { what: "leg" });
    }
    if body.arms.iter().any(arm) {
        return Err(FigureError::Stretched { what: "arm" });
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

/// Checks a leg seen from the side.
fn legs_in_range(body: &Body, leg: &Leg, caps: &[Cap]) -> Result<(), FigureError> {
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

/// How far a thigh goes out to the side and across the other, degrees.
const ASIDE: (i64, i64) = (45, 25);

/// Checks how far a leg seen along the body goes out to the side.
fn out_in_range(out: f64, caps: &[Cap]) -> Result<(), FigureError> {
    let anybody = [(Motion::Abduction, ASIDE.0), (Motion::Adduction, ASIDE.1)];
    let hip = caps.iter().filter(|cap| cap.joint == Joint::Hip);
    for (motion, most) in anybody
        .into_iter()
        .chain(hip.map(|cap| (cap.motion, cap.most)))
    {
        let got = match motion {
            Motion::Abduction => whole(out),
            Motion::Adduction => whole(-out),
            Motion::Flexion | Motion::Extension | Motion::Rotation => continue,
        };
        if got > most {
            return Err(FigureError::TooFar {
                joint: Joint::Hip,
                motion,
                got,
                most,
            });
        }
    }
    Ok(())
}

/// How far arms go: shoulder back and forward, elbow, degrees.
const ARM: [(&str, f64, f64); 2] = [("shoulder", -60.0, 180.0), ("elbow", -2.0, 150.0)];

/// Checks an arm seen from the side.
fn arm_in_range(body: &Body, arm: &Arm) -> Result<(), FigureError> {
    let bends = [
        wrapped(arm.upper - body.trunk + 180.0),
        wrapped(arm.fore - arm.upper),
    ];
    for ((what, least, most), got) in ARM.into_iter().zip(bends) {
        if !(least - 0.5..=most + 0.5).contains(&got) {
            let got = whole(got);
            return Err(FigureError::ArmTooFar { what, got });
        }
    }
    Ok(())
}

/// Checks that a foot or knee is where its surface is.
fn rests(pose: &LegPose, leg: &Leg, follows: Follows) -> Result<(), FigureError> {
    let foot = ("foot", leg.foot_low());
    let (what, low) = match pose.on {
        Footing::Heel | Footing::Sole | Footing::Stand => foot,
        // Far under the seat the foot leaves the floor.
        Footing::Seat if leg.knee_bend() <= UNDER_SEAT => foot,
        Footing::Roll | Footing::Knee => ("knee", leg.knee().y - KNEE_R),
        Footing::Air | Footing::Seat | Footing::Out => return Ok(()),
    };
    if (low * 1000.0 - follows.of(pose.y)).abs() > TOUCH {
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

/// The least that some part of the body moves, millimetres on paper.
const SEEN: f64 = 1.2;

/// Checks that the end looks other than the start, at this many millimetres a stature.
pub(super) fn change(pose: &Pose, bodies: &Bodies, scale: f64) -> Result<(), FigureError> {
    let (start, end) = (&bodies.start, &bodies.end);
    let moved = |a: Point, b: Point| (a - b).length() * scale > SEEN;
    let legs = start.legs.iter().zip(&end.legs).any(|(a, b)| {
        moved(a.knee(), b.knee())
            || moved(a.foot_discs()[2].c, b.foot_discs()[2].c)
            || moved(a.ankle(), b.ankle())
    });
    let seen = legs || moved(start.hip, end.hip) || moved(start.head(), end.head());
    if seen || pose.still {
        return Ok(());
    }
    Err(FigureError::NoChange)
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
