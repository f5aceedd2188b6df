//! Chairs and stools.
//!
//! Plain areas in shares of stature. Must not know exercises.

use crate::domain::pose::Prop;

use super::canvas::Canvas;
use super::drawing::{Ink, Role};
use super::furniture::{FAR, quad};
use super::plane::{Point, at};
use super::props::{Around, EDGE, THIN, rounded};

/// Height of a seat when the pose names none.
fn seat_height(around: &Around<'_>, prop: &Prop) -> f64 {
    if prop.y.base == 0 {
        around.start.hip.y - 0.062
    } else {
        around.y(prop)
    }
}

/// Draws a chair that faces right; `x` is the line over which the hip sits.
pub fn chair(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop) {
    seat_and_back(canvas, around, prop, 1.0);
}

/// Draws a chair that faces left, to be held or knelt on.
pub fn facing_chair(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop) {
    seat_and_back(canvas, around, prop, -1.0);
}

/// Draws a chair; `turned` is 1 when it faces right and -1 when it faces left.
fn seat_and_back(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop, turned: f64) {
    let seat = seat_height(around, prop);
    let x = around.x(prop);
    let of = |dx: f64, y: f64| at(x + turned * dx, y);
    let upright = |dx: f64, low: f64, wide: f64| {
        [
            of(dx, low),
            of(dx + wide, low),
            of(dx + wide, seat),
            of(dx, seat),
        ]
    };
    for dx in [-0.085, 0.185] {
        let far = upright(dx, 0.0, 0.018).map(|corner| corner + FAR);
        canvas.area(Role::Prop, &far, THIN, Ink::Surface);
    }
    let top = [
        of(-0.09, seat),
        of(0.205, seat),
        of(0.205, seat) + FAR,
        of(-0.09, seat) + FAR,
    ];
    canvas.area(Role::Prop, &top, THIN, Ink::Surface);
    let back = [
        of(-0.092, 0.0),
        of(-0.072, 0.0),
        of(-0.072, seat),
        of(-0.105, seat + 0.37),
        of(-0.127, seat + 0.37),
        of(-0.094, seat),
    ];
    canvas.area(Role::Prop, &back, EDGE, Ink::White);
    canvas.area(Role::Prop, &upright(0.180, 0.0, 0.020), EDGE, Ink::White);
    canvas.area(
        Role::Prop,
        &upright(-0.092, seat - 0.026, 0.299),
        EDGE,
        Ink::White,
    );
}

/// Draws an arm of a chair.
pub fn arm_rest(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop, by: Point) {
    let seat = seat_height(around, prop);
    let x = around.x(prop) + by.x;
    let high = seat + 0.150 + by.y;
    let ink = if by.x == 0.0 {
        Ink::White
    } else {
        Ink::Surface
    };
    canvas.area(
        Role::Prop,
        &quad(x + 0.165, seat + by.y, x + 0.183, high),
        EDGE,
        ink,
    );
    canvas.area(
        Role::Prop,
        &rounded(x - 0.105, high, 0.305, 0.022, 0.008),
        EDGE,
        ink,
    );
}

/// Draws a stool; `x` is its middle, `y` its height.
pub fn stool(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop) {
    let (x, y) = (around.x(prop), around.y(prop));
    for leg in [-0.055, 0.04] {
        let far = [
            at(x + leg, 0.0) + FAR,
            at(x + leg + 0.016, 0.0) + FAR,
            at(x + leg + 0.016, y) + FAR,
            at(x + leg, y) + FAR,
        ];
        canvas.area(Role::Prop, &far, THIN, Ink::Surface);
        canvas.area(
            Role::Prop,
            &quad(x + leg - 0.01, 0.0, x + leg + 0.008, y),
            EDGE,
            Ink::White,
        );
    }
    let top = [
        at(x - 0.085, y),
        at(x + 0.085, y),
        at(x + 0.085, y) + FAR,
        at(x - 0.085, y) + FAR,
    ];
    canvas.area(Role::Prop, &top, THIN, Ink::Surface);
    canvas.area(
        Role::Prop,
        &quad(x - 0.085, y - 0.028, x + 0.085, y),
        EDGE,
        Ink::White,
    );
}
