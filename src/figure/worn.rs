//! What is held or worn: strap, band, ankle weight, sticks.

use crate::domain::pose::{Prop, Spot, View};

use super::body::{Arm, Leg};
use super::canvas::Canvas;
use super::drawing::{Ink, Role};
use super::plane::{Point, at, toward};
use super::props::{Around, EDGE};

/// A strap round the foot, or over the shoulder to the ankle, held in the hands.
pub fn strap(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop) {
    let [near, _] = &around.body.legs;
    let holds = around.body.arms.iter().find(|arm| arm.grips);
    let palm = holds.unwrap_or(&around.body.arms[0]).palm();
    if prop.of == Some(Spot::NearAnkle) {
        let over = around.body.of_trunk(-0.062, 0.26);
        canvas.bar(Role::Prop, &[near.ankle(), over, palm], 1.5);
        let cuff = loop_round(near.ankle(), near.shank, 0.027);
        canvas.bar(Role::Prop, &cuff, 1.5);
        return;
    }
    let under = near.of_foot(0.066, -0.044);
    let over = near.of_foot(0.060, 0.004);
    canvas.bar(Role::Prop, &[over, under, palm], 1.5);
}

/// Returns a short stripe across a limb.
fn loop_round(centre: Point, along: f64, half: f64) -> [Point; 2] {
    let side = toward(along).left() * half;
    [centre + side, centre - side]
}

/// A band round both thighs, or from the back of a knee to a table leg.
pub fn band(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop) {
    let [near, far] = &around.body.legs;
    if prop.of == Some(Spot::NearKnee) {
        let post = at(around.x(prop), near.knee().y + 0.02);
        let cuff = loop_round(near.knee(), f64::midpoint(near.thigh, near.shank), 0.040);
        canvas.bar(
            Role::Prop,
            &[post, near.knee() + at(0.0, 0.012), near.knee()],
            1.7,
        );
        canvas.bar(Role::Prop, &cuff, 2.0);
        return;
    }
    let share = 0.74;
    let on = |leg: &Leg| leg.hip.between(leg.knee(), share);
    if around.view == View::Side {
        let a = loop_round(on(near), near.thigh, 0.046);
        canvas.bar(Role::Prop, &a, 2.2);
        return;
    }
    let unit = (on(near) - on(far)).unit();
    let ends = [on(far) - unit * 0.044, on(near) + unit * 0.044];
    canvas.bar(Role::Prop, &ends, 2.2);
}

/// A weight round the ankle.
pub fn weight(canvas: &mut Canvas, leg: &Leg) {
    let (up, down) = (
        leg.knee().between(leg.ankle(), 0.70),
        leg.knee().between(leg.ankle(), 0.90),
    );
    let side = toward(leg.shank).left();
    let ring = [
        up + side * 0.034,
        down + side * 0.032,
        down - side * 0.032,
        up - side * 0.034,
    ];
    canvas.area(Role::Prop, &ring, EDGE, Ink::White);
    let middle = up.between(down, 0.5);
    canvas.line(
        Role::Prop,
        &[middle + side * 0.033, middle - side * 0.033],
        0.6,
    );
}

pub fn stick(canvas: &mut Canvas, arm: &Arm, foot: f64) {
    let grip = arm.wrist() + toward(arm.fore) * 0.038;
    let tip = at(foot, 0.004);
    canvas.bar(Role::Prop, &[grip + at(0.0, 0.01), tip], 1.5);
    canvas.bar(
        Role::Prop,
        &[grip + at(-0.035, 0.012), grip + at(0.03, 0.012)],
        1.6,
    );
    canvas.line(
        Role::Prop,
        &[tip + at(-0.008, 0.004), tip + at(0.008, 0.004)],
        1.1,
    );
}

pub fn far_stick(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop) {
    let mut arm = around.body.arms[1];
    arm.shoulder = arm.shoulder + at(0.012, 0.010);
    stick(canvas, &arm, around.x(prop) + 0.03);
}
