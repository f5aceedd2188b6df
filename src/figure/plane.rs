//! Points and angles of the plane: x to the right, y up, degrees counter-clockwise.
//!
//! Must not know of bodies. Next: `body` builds one of segments.

use std::ops::{Add, Mul, Sub};

/// A point or a way from one point to another.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Up.
    pub y: f64,
}

/// Makes a point.
pub const fn at(x: f64, y: f64) -> Point {
    Point { x, y }
}

/// Returns the way of length 1 at an angle.
pub fn toward(degrees: f64) -> Point {
    let (sin, cos) = degrees.to_radians().sin_cos();
    at(cos, sin)
}

impl Add for Point {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        at(self.x + other.x, self.y + other.y)
    }
}

impl Sub for Point {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        at(self.x - other.x, self.y - other.y)
    }
}

impl Mul<f64> for Point {
    type Output = Self;
    fn mul(self, by: f64) -> Self {
        at(self.x * by, self.y * by)
    }
}

impl Point {
    /// Returns the length of the way.
    pub fn length(self) -> f64 {
        self.x.hypot(self.y)
    }

    /// Returns the way shortened or lengthened to 1; nothing stays nothing.
    pub fn unit(self) -> Self {
        self * (1.0 / self.length().max(1e-9))
    }

    /// Returns how far the point is off a line that ends at both points.
    pub fn off_line(self, from: Self, to: Self) -> f64 {
        let way = to - from;
        let square = way.x * way.x + way.y * way.y;
        let share = if square > 0.0 {
            (((self.x - from.x) * way.x + (self.y - from.y) * way.y) / square).clamp(0.0, 1.0)
        } else {
            0.0
        };
        (from.between(to, share) - self).length()
    }

    /// Returns its angle in degrees.
    pub fn angle(self) -> f64 {
        self.y.atan2(self.x).to_degrees()
    }

    /// Returns the way turned left by a quarter.
    pub const fn left(self) -> Self {
        at(-self.y, self.x)
    }

    /// Returns the point a share of the way to another.
    pub fn between(self, other: Self, share: f64) -> Self {
        self + (other - self) * share
    }
}

/// Finds where a function is zero between two ends at which its signs differ.
pub fn zero(mut low: f64, mut high: f64, of: impl Fn(f64) -> f64) -> Option<f64> {
    let (first, last) = (of(low), of(high));
    if first == 0.0 {
        return Some(low);
    }
    if first.signum() == last.signum() {
        return None;
    }
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if of(middle).signum() == first.signum() {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(f64::midpoint(low, high))
}

/// Finds the first zero of a function over a span looked through in steps.
pub fn first_zero(from: f64, to: f64, step: f64, of: impl Fn(f64) -> f64) -> Option<f64> {
    let mut low = from;
    while low < to {
        let high = (low + step).min(to);
        if let Some(found) = zero(low, high, &of) {
            return Some(found);
        }
        low = high;
    }
    None
}

/// Bends a chain of two segments so that its end is at a distance; the angle is 0 when straight.
///
/// Returns the bend of the joint between, or none when the point is out of reach.
pub fn bend_to_reach(first: f64, second: f64, distance: f64) -> Option<f64> {
    let cos = (first * first + second * second - distance * distance) / (2.0 * first * second);
    ((-1.0..=1.0).contains(&cos)).then(|| 180.0 - cos.acos().to_degrees())
}
