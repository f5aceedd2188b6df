//! Bodies seen from behind, from the front or from above: legs go out to the side.
//!
//! What points at the viewer is drawn shortened.

use crate::domain::pose::{ArmPose, Footing, Grasp, LegPose, Stance, View};

use super::body::{
    ANKLE, Arm, Body, FOREARM, HIP_HALF, Leg, PALM, SHOULDER_HALF, TRUNK, UPPER_ARM, nowhere,
};
use super::error::FigureError;
use super::place::{Follows, free, hanging};
use super::plane::{Point, at, toward};

/// A body seen from behind or in front: legs go out to the side, arms are drawn shortened.
pub fn flat(stance: &Stance, view: View, follows: Follows) -> Result<Body, FigureError> {
    let trunk = follows.of(stance.trunk);
    // The operated side is at the right when seen from behind, up when lying on the other side,
    // and below when looked at from above.
    let sign = if view == View::SideLying { -1.0 } else { 1.0 };
    let sign = if view == View::Above { -1.0 } else { sign };
    let aside = toward(trunk - 90.0);
    let leg = |pose: &LegPose, sign: f64, hip: Point| {
        let down = trunk - 180.0;
        let thigh = down + sign * follows.of(pose.out);
        Leg {
            hip: hip + aside * (sign * HIP_HALF),
            thigh,
            shank: down + sign * follows.of(pose.shin_out),
            foot: down + sign * follows.of(pose.tilt),
            toes: sign * follows.of(pose.ankle),
            thigh_long: follows.of(pose.thigh_long) / 100.0,
            shank_long: follows.of(pose.shin_long) / 100.0,
        }
    };
    let standing = [(&stance.near, sign), (&stance.far, -sign)]
        .into_iter()
        .find(|(pose, _)| pose.on == Footing::Stand);
    let hip = if let Some((pose, side)) = standing {
        let planted = at(follows.length(pose.x), follows.length(pose.y) + ANKLE);
        planted - leg(pose, side, nowhere()).ankle()
    } else {
        follows.point(stance.hip.ok_or(FigureError::NoHip)?)
    };
    let shoulders = hip + toward(trunk) * TRUNK;
    let arm = |pose: &ArmPose, sign: f64| {
        let shoulder = shoulders + aside * (sign * SHOULDER_HALF) - toward(trunk) * 0.026;
        flat_arm(pose, shoulder, trunk, sign, follows)
    };
    Ok(Body {
        hip,
        trunk,
        neck: follows.of(stance.neck),
        legs: [leg(&stance.near, sign, hip), leg(&stance.far, -sign, hip)],
        arms: [arm(&stance.near_arm, sign)?, arm(&stance.far_arm, -sign)?],
    })
}

fn flat_arm(
    pose: &ArmPose,
    shoulder: Point,
    trunk: f64,
    sign: f64,
    follows: Follows,
) -> Result<Arm, FigureError> {
    let base = hanging(shoulder, trunk);
    match *pose {
        ArmPose::Free {
            shoulder,
            elbow,
            seen,
            hand,
        } => {
            let [shoulder, elbow] = [shoulder, elbow].map(|bend| sign * follows.of(bend));
            Ok(free(&base, [shoulder, elbow, follows.of(seen)], hand))
        }
        ArmPose::At(place, hand) => {
            // The forearm points away from the viewer, so it is seen shortened.
            let palm = follows.point(place);
            let way = palm - base.shoulder;
            let elbow = base.shoulder
                + way * 0.55
                + way.left()
                    * (if way.left().x * sign > 0.0 {
                        0.16
                    } else {
                        -0.16
                    });
            let upper = elbow - base.shoulder;
            let fore = palm - elbow;
            Ok(Arm {
                upper: upper.angle(),
                fore: fore.angle(),
                upper_long: upper.length() / UPPER_ARM,
                fore_long: ((fore.length() - PALM * 0.6) / FOREARM).max(0.05),
                grips: hand == Grasp::Grip,
                ..base
            })
        }
        ArmPose::On(..) => Err(FigureError::NoContact { what: "hand" }),
    }
}
