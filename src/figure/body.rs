//! The body as segments with joint angles; lengths are shares of stature.
//!
//! Segment lengths: Drillis and Contini 1966, `drillis1966` in the bibliography; never validated as
//! a sample, fine for drawing and not for measuring. Widths are our own design.
//! Must not draw. Next: `place` finds the angles of a pose.

use super::plane::{Point, at, toward};

/// Hip to shoulder.
pub const TRUNK: f64 = 0.288;
/// Hip to knee.
pub const THIGH: f64 = 0.245;
/// Knee to ankle.
pub const SHANK: f64 = 0.246;
/// Ankle to sole.
pub const ANKLE: f64 = 0.039;
/// Shoulder to elbow.
pub const UPPER_ARM: f64 = 0.186;
/// Elbow to wrist.
pub const FOREARM: f64 = 0.146;
/// Wrist to the middle of the palm.
pub const PALM: f64 = 0.045;
/// Radius round the hip.
pub const HIP_R: f64 = 0.058;
/// Radius round the knee.
pub const KNEE_R: f64 = 0.0365;

/// A circle of flesh.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Disc {
    /// Its centre.
    pub c: Point,
    /// Its radius.
    pub r: f64,
}

/// Makes a disc.
pub const fn disc(c: Point, r: f64) -> Disc {
    Disc { c, r }
}

/// A leg: where it begins and the directions of its segments.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// The hip joint.
    pub hip: Point,
    /// Direction of the thigh.
    pub thigh: f64,
    /// Direction of the shank.
    pub shank: f64,
    /// Direction from heel to toe.
    pub foot: f64,
    /// Degrees the toes are bent up against the foot.
    pub toes: f64,
    /// Share of the thigh that is seen.
    pub thigh_long: f64,
    /// Share of the shank that is seen.
    pub shank_long: f64,
}

impl Leg {
    /// Returns the knee joint.
    pub fn knee(&self) -> Point {
        self.hip + toward(self.thigh) * (THIGH * self.thigh_long)
    }

    /// Returns the ankle joint.
    pub fn ankle(&self) -> Point {
        self.knee() + toward(self.shank) * (SHANK * self.shank_long)
    }

    /// Returns a point of the foot: so far toward the toes, so far up toward the shank.
    pub fn of_foot(&self, along: f64, up: f64) -> Point {
        self.ankle() + toward(self.foot) * along + toward(self.foot + 90.0) * up
    }

    /// Returns the circles of the foot: heel, ball, toe.
    pub fn foot_discs(&self) -> [Disc; 3] {
        let ball = self.of_foot(0.072, -0.0235);
        let toes = self.foot + self.toes;
        let tip = ball + toward(toes) * 0.033 + toward(toes - 90.0) * 0.0035;
        [
            disc(self.of_foot(-0.016, -0.018), 0.021),
            disc(ball, 0.0155),
            disc(tip, 0.012),
        ]
    }

    /// Returns the height of the lowest point of the foot.
    pub fn foot_low(&self) -> f64 {
        self.foot_discs()
            .iter()
            .map(|disc| disc.c.y - disc.r)
            .fold(f64::MAX, f64::min)
    }

    /// Returns the bend of the knee in degrees.
    pub fn knee_bend(&self) -> f64 {
        wrapped(self.thigh - self.shank)
    }

    /// Returns the bend of the ankle: toes toward the shin are positive.
    pub fn ankle_bend(&self) -> f64 {
        wrapped(self.foot - self.shank - 90.0)
    }
}

/// An arm: where it begins and the directions of its segments.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arm {
    /// The shoulder joint.
    pub shoulder: Point,
    /// Direction of the upper arm.
    pub upper: f64,
    /// Direction of the forearm.
    pub fore: f64,
    /// Share of the upper arm that is seen.
    pub upper_long: f64,
    /// Share of the forearm that is seen.
    pub fore_long: f64,
    /// Whether the hand is closed round something.
    pub grips: bool,
}

impl Arm {
    /// Returns the elbow joint.
    pub fn elbow(&self) -> Point {
        self.shoulder + toward(self.upper) * (UPPER_ARM * self.upper_long)
    }

    /// Returns the wrist joint.
    pub fn wrist(&self) -> Point {
        self.elbow() + toward(self.fore) * (FOREARM * self.fore_long)
    }

    /// Returns the middle of the palm.
    pub fn palm(&self) -> Point {
        self.wrist() + toward(self.fore) * PALM
    }
}

/// The whole body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// The hip, or the middle of the pelvis when seen from behind or in front.
    pub hip: Point,
    /// Direction from hip to shoulder.
    pub trunk: f64,
    /// Bend of the neck.
    pub neck: f64,
    /// The operated leg, then the other.
    pub legs: [Leg; 2],
    /// The arm of the operated side, then the other.
    pub arms: [Arm; 2],
}

impl Body {
    /// Returns the shoulder, or the middle between both.
    pub fn shoulder(&self) -> Point {
        self.hip + toward(self.trunk) * TRUNK
    }

    /// Returns a point of the trunk: so far forward, so far toward the head.
    pub fn of_trunk(&self, forward: f64, up: f64) -> Point {
        self.hip + toward(self.trunk - 90.0) * forward + toward(self.trunk) * up
    }

    /// Returns the direction of the crown.
    pub fn head_up(&self) -> f64 {
        self.trunk - self.neck
    }

    /// Returns the middle of the head.
    pub fn head(&self) -> Point {
        let up = self.head_up();
        self.shoulder() + toward(up) * 0.115 + toward(up - 90.0) * 0.012
    }

    /// Returns the bend of a hip in degrees.
    pub fn hip_bend(&self, leg: &Leg) -> f64 {
        wrapped(leg.thigh - self.trunk + 180.0)
    }
}

/// An angle brought between -180 and 180.
pub fn wrapped(degrees: f64) -> f64 {
    let turned = (degrees + 180.0).rem_euclid(360.0) - 180.0;
    if turned <= -180.0 { 180.0 } else { turned }
}

/// Where the hip joints are off the middle when seen from behind or in front.
pub const HIP_HALF: f64 = 0.050;
/// Where the shoulders are off the middle when seen from behind or in front.
pub const SHOULDER_HALF: f64 = 0.100;

/// Returns the point on the other side of nothing: for legs without a hip yet.
pub const fn nowhere() -> Point {
    at(0.0, 0.0)
}
