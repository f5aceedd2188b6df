//! Draws one picture: things, limbs, trunk and head in the order that keeps them apart.
//!
//! Must not decide what is shown. Next: `mod` fits a pair of them to their frames.

use crate::domain::pose::{Surface, View};

use super::body::{Arm, Body, Leg};
use super::canvas::{Canvas, Piece};
use super::drawing::{Ink, Role};
use super::flesh::{self, BEHIND, DETAIL, HEAVY, OUTLINE, Seen};
use super::hatch::hatch;
use super::head;
use super::plane::{at, toward};
use super::props::{Around, Layer, layer};

/// Which limbs carry the pattern.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Marked {
    /// The near leg alone.
    Near,
    /// Both legs.
    Both,
}

/// What a picture is drawn with.
#[derive(Debug, Clone, Copy)]
pub struct Look<'a> {
    /// The things and bodies.
    pub around: Around<'a>,
    /// Which limbs carry the pattern.
    pub marked: Marked,
    /// Direction of the pattern, degrees on paper; none to find out where things stand.
    pub hatch: Option<f64>,
}

/// Draws everything but the marks.
pub fn draw(canvas: &mut Canvas, look: &Look<'_>) {
    if look.around.view == View::Side {
        side(canvas, look);
    } else {
        flat(canvas, look);
    }
}

/// Moves a leg that is behind.
fn far_leg(body: &Body, surface: Surface) -> Leg {
    let by = if surface == Surface::Floor {
        at(0.030, 0.022)
    } else {
        at(0.020, 0.022)
    };
    let leg = body.legs[1];
    Leg {
        hip: leg.hip + by,
        ..leg
    }
}

fn far_arm(body: &Body) -> Arm {
    let arm = body.arms[1];
    Arm {
        shoulder: arm.shoulder + at(0.014, 0.012),
        ..arm
    }
}

fn side(canvas: &mut Canvas, look: &Look<'_>) {
    let (body, around) = (look.around.body, &look.around);
    let shoes = around.surface == Surface::Floor;
    layer(canvas, around, Layer::Back);
    draw_arm(canvas, &far_arm(body), BEHIND);
    let far = far_leg(body, around.surface);
    draw_leg(
        canvas,
        look,
        &far,
        look.marked == Marked::Both,
        shoes,
        Seen::Side,
    );
    canvas.flesh(
        Role::Trunk,
        &flesh::shorts(&far, 0.0555),
        BEHIND,
        Ink::White,
    );
    layer(canvas, around, Layer::Middle);
    let near = body.legs[0];
    draw_leg(canvas, look, &near, true, shoes, Seen::Side);
    let mut trunk = flesh::trunk(body);
    trunk.extend(flesh::shorts(&near, 0.0560));
    canvas.flesh(Role::Trunk, &trunk, OUTLINE, Ink::White);
    clothes(canvas, body);
    layer(canvas, around, Layer::Front);
    head::head(canvas, body);
    draw_arm(canvas, &body.arms[0], OUTLINE);
    layer(canvas, around, Layer::Top);
}

/// Neck line and waist.
fn clothes(canvas: &mut Canvas, body: &Body) {
    let neck = [
        body.of_trunk(-0.038, 0.302),
        body.of_trunk(0.010, 0.292),
        body.of_trunk(0.034, 0.312),
    ];
    canvas.line(Role::Trunk, &super::canvas::smooth(&neck, false), DETAIL);
    let waist = [body.of_trunk(-0.058, 0.070), body.of_trunk(0.057, 0.070)];
    canvas.line(Role::Trunk, &waist, DETAIL);
}

fn draw_leg(
    canvas: &mut Canvas,
    look: &Look<'_>,
    leg: &Leg,
    marked: bool,
    shoes: bool,
    seen: Seen,
) {
    let pieces = flesh::leg(leg, seen);
    if marked {
        canvas.flesh(Role::Operated, &pieces, HEAVY, Ink::Operated);
        if let Some(angle) = look.hatch {
            hatch(canvas, &pieces, angle);
        }
    } else {
        canvas.flesh(Role::Limb, &pieces, BEHIND, Ink::White);
    }
    if seen == Seen::Side {
        flesh::foot_detail(canvas, leg, shoes);
    } else {
        flesh::flat_foot_detail(canvas, leg, seen);
    }
}

fn draw_arm(canvas: &mut Canvas, arm: &Arm, outline: f64) {
    let mut pieces: Vec<Piece> = flesh::arm(arm);
    pieces.extend(flesh::hand(arm));
    canvas.flesh(Role::Limb, &pieces, outline, Ink::White);
    let sleeve = arm.shoulder.between(arm.elbow(), 0.52);
    let side = toward(arm.upper).left() * 0.029;
    canvas.line(Role::Limb, &[sleeve + side, sleeve - side], DETAIL);
    if arm.grips && arm.fore_long > 0.3 {
        let fist = arm.wrist() + toward(arm.fore) * 0.030;
        let across = toward(arm.fore).left() * 0.016;
        canvas.line(Role::Limb, &[fist + across, fist - across * 0.2], DETAIL);
    }
}

fn flat(canvas: &mut Canvas, look: &Look<'_>) {
    let (body, around) = (look.around.body, &look.around);
    let seen = if around.view == View::Behind {
        Seen::Back
    } else {
        Seen::Front
    };
    layer(canvas, around, Layer::Back);
    let arms_first = around.view == View::Behind;
    if arms_first {
        for arm in &body.arms {
            draw_arm(canvas, arm, OUTLINE);
        }
    }
    let [near, far] = &body.legs;
    draw_leg(canvas, look, far, look.marked == Marked::Both, false, seen);
    layer(canvas, around, Layer::Middle);
    draw_leg(canvas, look, near, true, false, seen);
    let mut trunk = flesh::flat_trunk(body);
    trunk.extend(flesh::shorts(far, 0.050));
    trunk.extend(flesh::shorts(near, 0.050));
    canvas.flesh(Role::Trunk, &trunk, OUTLINE, Ink::White);
    let waist = [body.of_trunk(-0.080, 0.075), body.of_trunk(0.080, 0.075)];
    canvas.line(Role::Trunk, &waist, DETAIL);
    let split = [body.of_trunk(0.0, -0.048), body.of_trunk(0.0, -0.012)];
    canvas.line(Role::Trunk, &split, DETAIL);
    layer(canvas, around, Layer::Front);
    if around.view == View::Behind {
        head::head_behind(canvas, body);
    } else {
        head::head_front(canvas, body);
    }
    if !arms_first {
        for arm in &body.arms {
            draw_arm(canvas, arm, OUTLINE);
        }
    }
    layer(canvas, around, Layer::Top);
}
