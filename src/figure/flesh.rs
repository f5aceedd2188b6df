//! The person: limbs, trunk, head, clothes, as pieces with widths of our own.
//!
//! Must not know things or marks. Next: `picture` says in which order they are drawn.

use super::body::{Arm, Body, Disc, HIP_HALF, HIP_R, KNEE_R, Leg, SHOULDER_HALF, TRUNK, disc};
use super::canvas::{Canvas, Piece, chain};
use super::drawing::Role;
use super::plane::{at, toward};

/// Outline of a limb, millimetres.
pub const OUTLINE: f64 = 0.40;
/// Outline of the operated limb, millimetres.
pub const HEAVY: f64 = 0.75;
/// Outline of what is behind.
pub const BEHIND: f64 = 0.35;
/// Lines inside an outline.
pub const DETAIL: f64 = 0.35;

/// How a leg is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seen {
    /// From the side.
    Side,
    /// Toes toward the viewer.
    Front,
    /// Heel toward the viewer.
    Back,
}

/// Returns the pieces of a leg.
pub fn leg(leg: &Leg, seen: Seen) -> Vec<Piece> {
    let (hip, knee, ankle) = (leg.hip, leg.knee(), leg.ankle());
    let front = toward(leg.thigh + 90.0);
    let back = toward(leg.shank - 90.0);
    let (front, back) = if seen == Seen::Side {
        (front * 0.004, back * 0.006)
    } else {
        (at(0.0, 0.0), at(0.0, 0.0))
    };
    let mut pieces = chain(&[
        disc(hip, if seen == Seen::Side { HIP_R } else { 0.050 }),
        disc(hip.between(knee, 0.45) + front, 0.048),
        disc(knee, KNEE_R),
        disc(knee.between(ankle, 0.28) + back, KNEE_R),
        disc(knee.between(ankle, 0.62) + back * 0.4, 0.0275),
        disc(ankle, if seen == Seen::Side { 0.0230 } else { 0.0205 }),
    ]);
    pieces.extend(foot(leg, seen));
    pieces
}

fn foot(leg: &Leg, seen: Seen) -> Vec<Piece> {
    let ankle = disc(leg.ankle(), 0.0230);
    if seen == Seen::Side {
        let [heel, ball, toe] = leg.foot_discs();
        let instep = disc(leg.of_foot(0.012, 0.0), 0.0225);
        return vec![
            Piece::Taper(ankle, heel),
            Piece::Taper(heel, ball),
            Piece::Taper(ankle, instep),
            Piece::Taper(instep, ball),
            Piece::Taper(ball, toe),
        ];
    }
    flat_foot(leg, seen)
}

/// Where the two sides of a foot end that is seen along its length, and their width.
fn foot_ends(leg: &Leg, seen: Seen) -> [Disc; 2] {
    let down = toward(leg.foot);
    let (long, half, r) = if seen == Seen::Back {
        // A shoe on the floor, heel toward the viewer.
        (0.0225, 0.0150, 0.0165)
    } else {
        // A bare foot, sunk forward.
        (0.0560, 0.0165, 0.0175)
    };
    let tip = leg.ankle() + down * long + down.left() * (leg.toes / 1000.0);
    let side = down.left() * half;
    [disc(tip + side, r), disc(tip - side, r)]
}

/// A foot seen from behind, or from its toes.
fn flat_foot(leg: &Leg, seen: Seen) -> Vec<Piece> {
    let ankle = disc(leg.ankle(), 0.0205);
    let [one, other] = foot_ends(leg, seen);
    vec![
        Piece::Taper(ankle, one),
        Piece::Taper(ankle, other),
        Piece::Taper(one, other),
    ]
}

/// Draws the sole and collar of a shoe seen from behind, or the toes of a bare foot.
pub fn flat_foot_detail(canvas: &mut Canvas, leg: &Leg, seen: Seen) {
    let [one, other] = foot_ends(leg, seen);
    let down = toward(leg.foot);
    if seen == Seen::Back {
        let low = down * (one.r * 0.45);
        canvas.line(
            Role::Limb,
            &[
                one.c + low + down.left() * (one.r * 0.85),
                other.c + low - down.left() * (one.r * 0.85),
            ],
            0.5,
        );
        let collar = down.left() * 0.0195;
        let up = leg.ankle() - down * 0.002;
        canvas.line(Role::Limb, &[up + collar, up - collar], DETAIL);
        return;
    }
    for share in [0.22, 0.78] {
        let toe = one.c.between(other.c, share);
        canvas.line(
            Role::Limb,
            &[toe + down * 0.004, toe + down * (one.r * 0.9)],
            DETAIL,
        );
    }
}

/// Returns the pieces of an arm without its hand.
pub fn arm(arm: &Arm) -> Vec<Piece> {
    let (shoulder, elbow, wrist) = (arm.shoulder, arm.elbow(), arm.wrist());
    chain(&[
        disc(shoulder, 0.036),
        disc(shoulder.between(elbow, 0.4), 0.031),
        disc(elbow, 0.025),
        disc(elbow.between(wrist, 0.3), 0.025),
        disc(wrist, 0.0180),
    ])
}

/// Returns the pieces of a hand.
pub fn hand(arm: &Arm) -> Vec<Piece> {
    let (wrist, along) = (arm.wrist(), toward(arm.fore));
    if arm.grips {
        let fist = wrist + along * 0.038;
        return vec![
            Piece::Taper(disc(wrist, 0.0180), disc(fist, 0.0265)),
            Piece::Taper(disc(fist, 0.0265), disc(fist, 0.0265)),
        ];
    }
    let knuckle = wrist + along * 0.050;
    let tip = wrist + toward(arm.fore - 6.0) * 0.098;
    let thumb = wrist + toward(arm.fore + 38.0) * 0.058;
    vec![
        Piece::Taper(disc(wrist, 0.0180), disc(knuckle, 0.0225)),
        Piece::Taper(disc(knuckle, 0.0225), disc(tip, 0.0120)),
        Piece::Taper(disc(wrist + along * 0.020, 0.0135), disc(thumb, 0.0090)),
    ]
}

/// Returns the pieces of the trunk from the side, with neck.
pub fn trunk(body: &Body) -> Vec<Piece> {
    let of = |x: f64, y: f64, r: f64| disc(body.of_trunk(x, y), r);
    let mut pieces = chain(&[
        of(-0.004, 0.0, 0.062),
        of(0.0, 0.10, 0.058),
        of(0.006, 0.20, 0.066),
        of(0.002, 0.262, 0.056),
        of(0.0, TRUNK - 0.003, 0.045),
    ]);
    pieces.push(Piece::Taper(
        of(-0.010, -0.004, 0.056),
        of(-0.004, 0.05, 0.058),
    ));
    pieces.push(neck(body));
    pieces
}

/// Returns the neck.
pub fn neck(body: &Body) -> Piece {
    let base = disc(body.of_trunk(-0.004, TRUNK), 0.034);
    let up = toward(body.head_up());
    Piece::Taper(
        base,
        disc(body.head() - up * 0.048 - up.left() * -0.014, 0.027),
    )
}

/// Returns a leg of the shorts: flat at its hem.
pub fn shorts(leg: &Leg, half: f64) -> [Piece; 2] {
    let hem = leg.hip.between(leg.knee(), 0.50);
    [
        Piece::Taper(disc(leg.hip, half + 0.004), disc(leg.hip, half + 0.004)),
        Piece::Cuff(disc(leg.hip, half), disc(hem, half - 0.002)),
    ]
}

/// Returns the pieces of the trunk from behind or in front, with neck.
pub fn flat_trunk(body: &Body) -> Vec<Piece> {
    let of = |x: f64, y: f64, r: f64| disc(body.of_trunk(x, y), r);
    let mut pieces = Vec::new();
    for side in [-1.0, 1.0] {
        pieces.extend(chain(&[
            of(side * 0.038, 0.0, 0.056),
            of(side * 0.030, 0.10, 0.050),
            of(side * 0.040, 0.20, 0.054),
            of(side * (SHOULDER_HALF - 0.015), 0.262, 0.036),
        ]));
    }
    pieces.push(Piece::Taper(
        of(-HIP_HALF, 0.0, 0.050),
        of(HIP_HALF, 0.0, 0.050),
    ));
    pieces.push(Piece::Taper(of(-0.04, 0.20, 0.055), of(0.04, 0.20, 0.055)));
    pieces.push(Piece::Taper(
        of(-0.085, 0.262, 0.036),
        of(0.085, 0.262, 0.036),
    ));
    pieces.push(Piece::Taper(
        of(0.0, TRUNK, 0.034),
        of(0.0, TRUNK + 0.05, 0.030),
    ));
    pieces
}

/// Draws toes of a bare foot, or the sole and collar of a shoe.
pub fn foot_detail(canvas: &mut Canvas, leg: &Leg, shoes: bool) {
    if !shoes {
        let [_, ball, toe] = leg.foot_discs();
        let notch = ball.c.between(toe.c, 0.45) + toward(leg.foot + leg.toes + 90.0) * 0.012;
        canvas.line(
            Role::Limb,
            &[notch, notch - toward(leg.foot + leg.toes + 90.0) * 0.010],
            DETAIL,
        );
        return;
    }
    let [heel, ball, toe] = leg.foot_discs();
    let under = |d: Disc, dir: f64| d.c - toward(dir + 90.0) * (d.r * 0.72);
    let sole = [
        under(heel, leg.foot),
        under(ball, leg.foot),
        under(toe, leg.foot + leg.toes),
    ];
    canvas.line(Role::Limb, &sole, 0.5);
    let collar = [
        leg.ankle() + toward(leg.shank).left() * 0.022 - toward(leg.shank) * 0.004,
        leg.ankle() - toward(leg.shank).left() * 0.022 - toward(leg.shank) * 0.004,
    ];
    canvas.line(Role::Limb, &collar, DETAIL);
}
