//! Stairs, rail, walking frame, exercise bike.
//!
//! Plain areas and bars in shares of stature. Must not know exercises.

use crate::domain::pose::Prop;

use super::canvas::Canvas;
use super::drawing::{Ink, Role};
use super::furniture::FAR;
use super::plane::{Point, at, toward};
use super::props::{Around, EDGE, THIN, round, rounded};

/// Height and depth of a stair.
pub const STAIR: (f64, f64) = (0.085, 0.165);

/// Draws three stairs up to the right, with a rail.
pub fn stairs(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop) {
    let x = around.x(prop);
    let (rise, tread) = STAIR;
    let nose = |n: f64| at(x + tread * (n - 1.0), rise * n);
    let rail = [nose(0.0) + at(0.03, 0.56), nose(3.0) + at(0.10, 0.56)];
    for post in [0.0, 3.0] {
        let foot = nose(post) + at(if post == 0.0 { 0.03 } else { 0.10 }, 0.0);
        canvas.bar(Role::Prop, &[foot, foot + at(0.0, 0.56)], 1.35);
    }
    canvas.bar(Role::Prop, &rail, 1.8);
    let mut outline = vec![at(x, 0.0)];
    for n in [1.0, 2.0, 3.0] {
        outline.push(nose(n));
        outline.push(nose(n) + at(tread, 0.0));
    }
    outline.push(at(x + tread * 3.0, 0.0));
    canvas.area(Role::Prop, &outline, EDGE, Ink::Surface);
}

/// Draws a rail beyond the person: level, from `x` to the right; `y` is its height.
pub fn rail(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop) {
    let (x, y) = (around.x(prop), around.y(prop));
    let (left, right) = (at(x, y) + FAR, at(x + 0.52, y) + FAR);
    for post in [left + at(0.03, 0.0), right - at(0.03, 0.0)] {
        canvas.bar(Role::Prop, &[at(post.x, FAR.y), post], 1.35);
    }
    canvas.bar(Role::Prop, &[left, right], 1.8);
}

/// Draws the near or the far side of a walking frame; `x` is its handle.
pub fn walker(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop, by: Point) {
    let x = around.x(prop);
    let of = |dx: f64, y: f64| at(x + dx, y) + by;
    let side = [
        of(-0.06, 0.0),
        of(-0.035, 0.50),
        of(0.0, 0.535),
        of(0.10, 0.535),
        of(0.125, 0.50),
        of(0.145, 0.0),
    ];
    canvas.bar(Role::Prop, &side, 1.6);
    canvas.bar(Role::Prop, &[of(-0.047, 0.26), of(0.134, 0.26)], 1.35);
    if by.x > 0.0 {
        let front = [of(0.125, 0.42), at(x + 0.125, 0.42)];
        canvas.bar(Role::Prop, &front, 1.35);
    }
    for foot in [of(-0.06, 0.0), of(0.145, 0.0)] {
        canvas.line(Role::Prop, &[foot, foot + at(0.0, 0.012)], 1.9);
    }
    canvas.line(Role::Prop, &[of(-0.028, 0.530), of(0.055, 0.537)], 2.0);
}

/// Where the crank of the bike is, and how long.
pub const CRANK: (Point, f64) = (at(0.235, 0.225), 0.095);

/// Draws an exercise bike.
pub fn bike(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop) {
    let seat = around.start.hip - at(0.01, 0.055);
    let (centre, crank) = CRANK;
    canvas.bar(Role::Prop, &[at(-0.10, 0.012), at(0.52, 0.012)], 1.8);
    canvas.bar(
        Role::Prop,
        &[at(seat.x + 0.02, seat.y), at(0.10, 0.10), at(0.10, 0.015)],
        1.8,
    );
    canvas.bar(Role::Prop, &[at(0.10, 0.12), centre, at(0.40, 0.20)], 1.8);
    canvas.area(
        Role::Prop,
        &round(at(0.40, 0.145), 0.125),
        EDGE,
        Ink::Surface,
    );
    canvas.area(Role::Prop, &round(at(0.40, 0.145), 0.03), THIN, Ink::White);
    let post = [
        at(0.40, 0.20),
        at(0.395, 0.62),
        at(0.34, 0.70),
        at(0.27, 0.70),
    ];
    canvas.bar(Role::Prop, &post, 1.8);
    canvas.area(
        Role::Prop,
        &rounded(seat.x - 0.085, seat.y - 0.02, 0.17, 0.028, 0.012),
        EDGE,
        Ink::Surface,
    );
    canvas.area(Role::Prop, &round(centre, 0.045), EDGE, Ink::White);
    for leg in &around.body.legs {
        let pedal = leg.of_foot(0.060, -0.045);
        let way = pedal - centre;
        let end = centre + way * (crank / way.length().max(1e-9));
        canvas.bar(Role::Prop, &[centre, end], 1.4);
        canvas.line(
            Role::Prop,
            &[end - toward(leg.foot) * 0.03, end + toward(leg.foot) * 0.03],
            1.2,
        );
    }
    let _ = prop;
}
