//! The larger things: bed, chair, worktop, wall, step, stairs, rail, stool, walking frame, bike.
//!
//! Plain areas and bars in shares of stature. Must not know exercises.

use crate::domain::pose::{Prop, Thing, View};

use super::canvas::Canvas;
use super::drawing::{Ink, Role};
use super::plane::{Point, at};
use super::props::{Around, EDGE, THIN, rounded};

/// How far what is behind is moved right and up.
pub const FAR: Point = at(0.030, 0.024);

/// Returns an upright rectangle.
pub fn quad(left: f64, bottom: f64, right: f64, top: f64) -> [Point; 4] {
    [
        at(left, bottom),
        at(right, bottom),
        at(right, top),
        at(left, top),
    ]
}

/// Draws the bed under a lying person, its headboard at the head.
pub fn bed(canvas: &mut Canvas, around: &Around<'_>) {
    let body = around.start;
    if around.view == View::Above {
        bed_above(canvas, around);
        return;
    }
    let head_right = around.view == View::SideLying || body.trunk.abs() < 45.0;
    let flip = if head_right { -1.0 } else { 1.0 };
    let sitting = (60.0..140.0).contains(&body.trunk) && around.view == View::Side;
    let (mut head, board) = if sitting {
        (body.of_trunk(0.0, TALL).x - 0.125, TALL)
    } else {
        (-0.515, 0.13)
    };
    let mut foot = 0.605;
    if let Some(end) = around.find(Thing::BedEnd) {
        foot = flip * around.x(end);
    }
    if sitting {
        head = head.min(-0.16);
    }
    let x = |along: f64| flip * along;
    let top = [
        at(x(head), 0.0),
        at(x(foot), 0.0),
        at(x(foot) + FAR.x, FAR.y + 0.014),
        at(x(head) + FAR.x, FAR.y + 0.014),
    ];
    canvas.area(Role::Prop, &top, THIN, Ink::Surface);
    for post in [head + 0.012, foot - 0.035] {
        canvas.area(
            Role::Prop,
            &ordered(x(post), -0.115, x(post + 0.022), -0.05),
            EDGE,
            Ink::White,
        );
    }
    let mattress = rounded(
        x(head).min(x(foot)),
        -0.070,
        (foot - head).abs(),
        0.070,
        0.016,
    );
    canvas.area(Role::Prop, &mattress, EDGE, Ink::White);
    let line = [at(x(head + 0.01), -0.046), at(x(foot - 0.01), -0.046)];
    canvas.line(Role::Prop, &line, THIN);
    let slab = ordered(x(head - 0.028), -0.115, x(head), board);
    canvas.area(Role::Prop, &slab, EDGE, Ink::Surface);
}

const TALL: f64 = 0.27;

fn ordered(a: f64, bottom: f64, b: f64, top: f64) -> [Point; 4] {
    quad(a.min(b), bottom, a.max(b), top)
}

fn bed_above(canvas: &mut Canvas, _around: &Around<'_>) {
    let bed = rounded(-0.55, -0.235, 1.20, 0.47, 0.02);
    canvas.area(Role::Prop, &bed, EDGE, Ink::White);
    canvas.area(
        Role::Prop,
        &quad(-0.585, -0.245, -0.55, 0.245),
        EDGE,
        Ink::Surface,
    );
}

/// Draws a worktop: with its cupboard from the side, beyond the person from behind.
pub fn worktop(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop) {
    let bottom = 0.555;
    if around.view == View::Side && prop.of.is_none() {
        let x = around.x(prop);
        let (left, right) = (x, x + 0.21);
        canvas.area(
            Role::Prop,
            &quad(left + 0.03, 0.0, right, 0.04),
            THIN,
            Ink::Surface,
        );
        canvas.area(
            Role::Prop,
            &quad(left, 0.04, right, bottom),
            EDGE,
            Ink::White,
        );
        canvas.line(Role::Prop, &[at(left, 0.47), at(right, 0.47)], THIN);
        canvas.line(
            Role::Prop,
            &[at(left + 0.09, 0.515), at(left + 0.13, 0.515)],
            0.6,
        );
        canvas.line(
            Role::Prop,
            &[at(left + 0.035, 0.40), at(left + 0.035, 0.33)],
            0.6,
        );
        canvas.area(
            Role::Prop,
            &rounded(left - 0.025, bottom, 0.245, 0.030, 0.008),
            EDGE,
            Ink::Surface,
        );
        return;
    }
    let half = 0.40;
    let x = around.x(prop);
    canvas.area(
        Role::Prop,
        &quad(x - half, 0.03, x + half, bottom),
        EDGE,
        Ink::White,
    );
    for split in [-half / 2.0, 0.0, half / 2.0] {
        canvas.line(
            Role::Prop,
            &[at(x + split, 0.03), at(x + split, bottom)],
            THIN,
        );
    }
    for handle in [-0.24, -0.16, 0.16, 0.24] {
        canvas.line(
            Role::Prop,
            &[at(x + handle, 0.46), at(x + handle, 0.40)],
            0.6,
        );
    }
    canvas.area(
        Role::Prop,
        &rounded(x - half - 0.02, bottom, 2.0 * half + 0.04, 0.030, 0.008),
        EDGE,
        Ink::Surface,
    );
}

/// Draws a wall.
pub fn wall(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop) {
    let x = around.x(prop);
    canvas.area(
        Role::Prop,
        &quad(x, 0.0, x + 0.06, 0.98),
        EDGE,
        Ink::Surface,
    );
    for row in 0..5 {
        let y = 0.10 + 0.18 * f64::from(row);
        canvas.line(Role::Prop, &[at(x, y), at(x + 0.06, y + 0.06)], THIN);
    }
}

/// Draws a step.
pub fn step(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop) {
    let (x, y) = (around.x(prop), around.y(prop));
    if around.view == View::Behind {
        canvas.area(Role::Prop, &quad(x, 0.0, x + 0.22, y), EDGE, Ink::White);
        return;
    }
    let top = [
        at(x, y),
        at(x + 0.28, y),
        at(x + 0.28, y) + FAR * 1.6,
        at(x, y) + FAR * 1.6,
    ];
    canvas.area(Role::Prop, &top, THIN, Ink::Surface);
    let end = [
        at(x + 0.28, 0.0),
        at(x + 0.28, 0.0) + FAR * 1.6,
        at(x + 0.28, y) + FAR * 1.6,
        at(x + 0.28, y),
    ];
    canvas.area(Role::Prop, &end, THIN, Ink::Surface);
    canvas.area(Role::Prop, &quad(x, 0.0, x + 0.28, y), EDGE, Ink::White);
}

/// Draws the end of a heavy table.
pub fn table_leg(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop) {
    let x = around.x(prop);
    canvas.area(Role::Prop, &quad(x, 0.0, x + 0.035, 0.53), EDGE, Ink::White);
    canvas.area(
        Role::Prop,
        &quad(x - 0.03, 0.53, x + 0.24, 0.565),
        EDGE,
        Ink::Surface,
    );
    canvas.area(
        Role::Prop,
        &quad(x + 0.185, 0.0, x + 0.215, 0.53),
        THIN,
        Ink::Surface,
    );
}

/// Draws a bed on whose edge somebody sits; `x` is the edge, `y` the top.
pub fn bed_edge(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop) {
    let (x, y) = (around.x(prop), around.y(prop));
    let left = x - 0.56;
    let top = [
        at(left, y),
        at(x, y),
        at(x, y) + FAR * 1.5,
        at(left, y) + FAR * 1.5,
    ];
    canvas.area(Role::Prop, &top, THIN, Ink::Surface);
    for leg in [left + 0.02, x - 0.05] {
        canvas.area(
            Role::Prop,
            &quad(leg, 0.0, leg + 0.025, y - 0.11),
            EDGE,
            Ink::White,
        );
    }
    canvas.area(
        Role::Prop,
        &rounded(left, y - 0.12, x - left, 0.12, 0.02),
        EDGE,
        Ink::White,
    );
    canvas.line(Role::Prop, &[at(left, y - 0.07), at(x, y - 0.07)], THIN);
    canvas.area(
        Role::Prop,
        &rounded(left + 0.03, y, 0.16, 0.06, 0.026),
        EDGE,
        Ink::White,
    );
}

/// Draws a line of tape on the floor.
pub fn tape(canvas: &mut Canvas, around: &Around<'_>) {
    let middle = around.start.hip.x;
    for step in -3..=3 {
        let x = middle + f64::from(step) * 0.13;
        canvas.line(Role::Prop, &[at(x - 0.04, 0.012), at(x + 0.04, 0.012)], 1.0);
    }
}
