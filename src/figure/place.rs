//! Finds the joint angles of a pose from what rests where.
//!
//! A point out of reach is an error, never moved nearer. Must not draw. Next: `picture`.

use crate::domain::pose::{Amount, ArmPose, Footing, Grasp, LegPose, Place, Stance, View};

use super::body::{
    ANKLE, Arm, Body, FOREARM, KNEE_R, Leg, PALM, SHANK, THIGH, TRUNK, UPPER_ARM, nowhere,
};
use super::error::FigureError;
use super::flat::flat;
use super::plane::{Point, at, bend_to_reach, first_zero, toward, zero};
use super::spots::spot;

/// The numbers of the dose that a pose may follow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Follows {
    /// Bend of the knee, degrees.
    pub bend: f64,
    /// Height of the step, thousandths of stature.
    pub height: f64,
}

#[expect(clippy::cast_precision_loss, reason = "small whole numbers")]
fn real(number: i64) -> f64 {
    number as f64
}

impl Follows {
    /// Returns a number as it is for this dose.
    pub fn of(&self, amount: Amount) -> f64 {
        let share = |percent: i64, of: f64| real(percent) / 100.0 * of;
        real(amount.base) + share(amount.bend, self.bend) + share(amount.height, self.height)
    }

    /// Returns a length as a share of stature.
    pub fn length(&self, amount: Amount) -> f64 {
        self.of(amount) / 1000.0
    }

    /// Returns a point.
    pub fn point(&self, place: Place) -> Point {
        at(self.length(place.x), self.length(place.y))
    }
}

/// Finds the body of a pose; `start` is the body it came from, if it is the end.
pub fn place(
    stance: &Stance,
    view: View,
    follows: Follows,
    start: Option<&Body>,
) -> Result<Body, FigureError> {
    if view == View::Side {
        side(stance, follows, start)
    } else {
        flat(stance, view, follows)
    }
}

fn side(stance: &Stance, follows: Follows, start: Option<&Body>) -> Result<Body, FigureError> {
    let trunk = follows.of(stance.trunk);
    let mut neck = follows.of(stance.neck);
    let hip = match (carried(stance, follows), start) {
        (_, Some(start)) if stance.shoulders_stay => {
            neck = start.neck + (trunk - start.trunk);
            start.shoulder() - toward(trunk) * TRUNK
        }
        (Some(hip), _) => hip,
        (None, _) => follows.point(stance.hip.ok_or(FigureError::NoHip)?),
    };
    let leg = |pose: &LegPose| leg(pose, hip, trunk, follows);
    let mut body = Body {
        hip,
        trunk,
        neck,
        legs: [leg(&stance.near)?, leg(&stance.far)?],
        arms: [hanging(hip + toward(trunk) * TRUNK, trunk); 2],
    };
    body.arms = [
        arm(&stance.near_arm, &body, follows)?,
        arm(&stance.far_arm, &body, follows)?,
    ];
    Ok(body)
}

/// Returns the hip over the leg that stands, when one does; it wins over a hip given for the start.
fn carried(stance: &Stance, follows: Follows) -> Option<Point> {
    let pose = [&stance.near, &stance.far]
        .into_iter()
        .find(|pose| matches!(pose.on, Footing::Stand | Footing::Knee))?;
    let base = standing_leg(pose, follows);
    Some(planted(pose, &base, follows) - base.ankle())
}

/// A standing leg with its hip at the origin.
fn standing_leg(pose: &LegPose, follows: Follows) -> Leg {
    let foot = if pose.on == Footing::Knee {
        follows.of(pose.hip)
    } else {
        -follows.of(pose.tilt)
    };
    let shank = foot - 90.0 - follows.of(pose.ankle);
    Leg {
        hip: nowhere(),
        thigh: shank + follows.of(pose.knee),
        shank,
        foot,
        toes: follows.of(pose.tilt).clamp(0.0, 60.0),
        thigh_long: 1.0,
        shank_long: 1.0,
    }
}

/// Where the ankle of a standing leg is: the ball of its foot stays where the flat foot has it.
fn planted(pose: &LegPose, leg: &Leg, follows: Follows) -> Point {
    let flat = at(follows.length(pose.x), follows.length(pose.y) + ANKLE);
    if pose.on == Footing::Knee {
        let low = (leg.knee().y - KNEE_R).min(leg.foot_low());
        return at(
            follows.length(pose.x),
            follows.length(pose.y) + leg.ankle().y - low,
        );
    }
    if follows.of(pose.tilt) < 0.0 {
        // The toes are up: the heel stays.
        let heel = flat + at(-0.016, -0.018);
        return heel - (leg.foot_discs()[0].c - leg.ankle());
    }
    let ball = flat + at(0.072, -0.0235);
    let lift = leg.foot_discs()[1].c - leg.ankle();
    ball - lift
}

fn leg(pose: &LegPose, hip: Point, trunk: f64, follows: Follows) -> Result<Leg, FigureError> {
    let knee = follows.of(pose.knee);
    let ankle = follows.of(pose.ankle);
    let y = follows.length(pose.y);
    let turned = |thigh: f64| Leg {
        hip,
        thigh,
        shank: thigh - knee,
        foot: thigh - knee + 90.0 + ankle,
        toes: 0.0,
        thigh_long: 1.0,
        shank_long: 1.0,
    };
    match pose.on {
        Footing::Air | Footing::Out => Ok(turned(trunk - 180.0 + follows.of(pose.hip))),
        Footing::Heel => first_zero(-86.0, 110.0, 2.0, |thigh| turned(thigh).foot_low() - y)
            .map(turned)
            .ok_or(FigureError::NoContact { what: "heel" }),
        Footing::Roll => zero(-40.0, 110.0, |thigh| turned(thigh).knee().y - KNEE_R - y)
            .map(turned)
            .ok_or(FigureError::NoContact { what: "knee" }),
        Footing::Sole => sole(pose, hip, follows),
        Footing::Stand | Footing::Knee => {
            let base = standing_leg(pose, follows);
            let leg = Leg { hip, ..base };
            let planted = planted(pose, &base, follows);
            let off = (leg.ankle() - planted).length();
            if off > 1e-6 {
                return reaching(hip, planted, base.foot, base.toes);
            }
            Ok(leg)
        }
        Footing::Seat => Ok(seated(pose, hip, follows)),
    }
}

/// A leg whose sole is flat on a surface, or whose heel is up with the ball down.
fn sole(pose: &LegPose, hip: Point, follows: Follows) -> Result<Leg, FigureError> {
    let base = standing_leg(pose, follows);
    let ankle = planted(pose, &base, follows);
    reaching(hip, ankle, base.foot, base.toes)
}

fn reaching(hip: Point, ankle: Point, foot: f64, toes: f64) -> Result<Leg, FigureError> {
    let way = ankle - hip;
    let bend = bend_to_reach(THIGH, SHANK, way.length()).ok_or(FigureError::OutOfReach {
        what: "foot",
        short: (way.length() - THIGH - SHANK) * 1000.0,
    })?;
    let (sin, cos) = bend.to_radians().sin_cos();
    let thigh = way.angle() + (SHANK * sin).atan2(THIGH + SHANK * cos).to_degrees();
    Ok(Leg {
        hip,
        thigh,
        shank: thigh - bend,
        foot,
        toes,
        thigh_long: 1.0,
        shank_long: 1.0,
    })
}

/// A leg whose thigh lies on a seat: the seat wins, then the floor, then the heel comes up.
fn seated(pose: &LegPose, hip: Point, follows: Follows) -> Leg {
    let knee = follows.of(pose.knee);
    let y = follows.length(pose.y);
    let turned = |thigh: f64, tilt: f64| Leg {
        hip,
        thigh,
        shank: thigh - knee,
        foot: -tilt,
        toes: tilt.min(60.0),
        thigh_long: 1.0,
        shank_long: 1.0,
    };
    let off = |thigh: f64, tilt: f64| turned(thigh, tilt).foot_low() - y;
    if let Some(thigh) = first_zero(LEAST_SLOPE, 16.0, 1.0, |thigh| off(thigh, 0.0)) {
        return turned(thigh, 0.0);
    }
    if let Some(tilt) = first_zero(0.0, 70.0, 1.0, |tilt| off(LEAST_SLOPE, tilt)) {
        return turned(LEAST_SLOPE, tilt);
    }
    // The foot is in the air, as the ankle has it, or as high as keeps the toes off the floor.
    let hanging = |foot: f64| Leg {
        foot,
        toes: 0.0,
        ..turned(LEAST_SLOPE, 0.0)
    };
    let loose = LEAST_SLOPE - knee + 90.0 + follows.of(pose.ankle);
    if hanging(loose).foot_low() >= y {
        return hanging(loose);
    }
    zero(loose, 0.0, |foot| hanging(foot).foot_low() - y).map_or_else(|| hanging(loose), hanging)
}

/// How far a thigh on a seat slopes down toward the knee at most, degrees.
const LEAST_SLOPE: f64 = -18.0;

/// An arm that hangs along the trunk.
pub const fn hanging(shoulder: Point, trunk: f64) -> Arm {
    Arm {
        shoulder,
        upper: trunk - 180.0,
        fore: trunk - 180.0,
        upper_long: 1.0,
        fore_long: 1.0,
        grips: false,
    }
}

/// An arm with bends of shoulder and elbow in degrees, and per cent of its forearm seen.
pub fn free(base: &Arm, [shoulder, elbow, seen]: [f64; 3], hand: Grasp) -> Arm {
    let upper = base.upper + shoulder;
    Arm {
        upper,
        fore: upper + elbow,
        fore_long: seen / 100.0,
        grips: hand == Grasp::Grip,
        ..*base
    }
}

fn arm(pose: &ArmPose, body: &Body, follows: Follows) -> Result<Arm, FigureError> {
    let base = hanging(body.shoulder(), body.trunk);
    match *pose {
        ArmPose::Free {
            shoulder,
            elbow,
            seen,
            hand,
        } => Ok(free(
            &base,
            [shoulder, elbow, seen].map(|one| follows.of(one)),
            hand,
        )),
        ArmPose::At(place, hand) => reach(&base, follows.point(place), hand),
        ArmPose::On(on, hand) => reach(&base, spot(on, body), hand),
    }
}

/// Bends an arm so that its palm is at a point.
fn reach(base: &Arm, palm: Point, hand: Grasp) -> Result<Arm, FigureError> {
    let way = palm - base.shoulder;
    let fore = FOREARM + PALM;
    let bend = bend_to_reach(UPPER_ARM, fore, way.length()).ok_or(FigureError::OutOfReach {
        what: "hand",
        short: (way.length() - UPPER_ARM - fore) * 1000.0,
    })?;
    let (sin, cos) = bend.to_radians().sin_cos();
    let upper = way.angle() - (fore * sin).atan2(UPPER_ARM + fore * cos).to_degrees();
    Ok(Arm {
        upper,
        fore: upper + bend,
        grips: hand == Grasp::Grip,
        ..*base
    })
}
