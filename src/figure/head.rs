//! The head: in profile, from behind, from the front.
//!
//! Hair and nose tell face up from face down at a few millimetres; no signs of age or sex.

use super::body::{Body, disc};
use super::canvas::{Canvas, Piece, smooth};
use super::drawing::{Ink, Role};
use super::flesh::{DETAIL, OUTLINE};
use super::plane::{Point, toward};

/// Height of the head.
const HEAD: f64 = 0.132;

/// Outline of the head in profile, looking right.
const PROFILE: &[(f64, f64)] = &[
    (0.02, 0.50),
    (0.24, 0.44),
    (0.37, 0.26),
    (0.39, 0.08),
    (0.41, 0.00),
    (0.50, -0.12),
    (0.41, -0.17),
    (0.43, -0.25),
    (0.40, -0.30),
    (0.41, -0.40),
    (0.30, -0.47),
    (0.05, -0.38),
    (-0.16, -0.32),
    (-0.36, -0.26),
    (-0.46, -0.02),
    (-0.45, 0.24),
    (-0.26, 0.44),
];

/// The hair in profile.
const HAIR: &[(f64, f64)] = &[
    (0.02, 0.50),
    (0.24, 0.44),
    (0.36, 0.28),
    (0.20, 0.24),
    (0.02, 0.16),
    (-0.06, -0.02),
    (-0.20, -0.06),
    (-0.30, -0.24),
    (-0.38, -0.24),
    (-0.46, -0.02),
    (-0.45, 0.24),
    (-0.26, 0.44),
];

/// Draws the head from the side.
pub fn head(canvas: &mut Canvas, body: &Body) {
    let (centre, up) = (body.head(), body.head_up());
    let of = |&(x, y): &(f64, f64)| -> Point {
        centre + toward(up - 90.0) * (x * HEAD * 0.94) + toward(up) * (y * HEAD)
    };
    let outline: Vec<Point> = PROFILE.iter().map(of).collect();
    let hair: Vec<Point> = HAIR.iter().map(of).collect();
    let outline = smooth(&outline, true);
    canvas.area(Role::Head, &outline, OUTLINE, Ink::White);
    let hair = canvas.paper(&smooth(&hair, true));
    canvas.fill_paper(Role::Head, &[hair], Ink::Hair);
    let mut closed = canvas.paper(&outline);
    closed.extend(closed.first().copied());
    canvas.line_paper(Role::Head, &closed, OUTLINE, Ink::Black);
    let ear: Vec<Point> = [(-0.06, 0.06), (0.02, 0.08), (0.03, 0.0), (-0.03, -0.10)]
        .iter()
        .map(of)
        .collect();
    canvas.line(Role::Head, &smooth(&ear, false), DETAIL);
    canvas.line(Role::Head, &[of(&(0.28, 0.075)), of(&(0.29, 0.045))], 0.55);
    canvas.line(
        Role::Head,
        &[of(&(0.41, -0.245)), of(&(0.31, -0.225))],
        DETAIL,
    );
}

/// Draws the head from behind: hair and ears.
pub fn head_behind(canvas: &mut Canvas, body: &Body) {
    let up = toward(body.head_up());
    let aside = toward(body.head_up() - 90.0);
    let centre = body.shoulder() + up * 0.115;
    let round = |r: f64, c: Point| Piece::Taper(disc(c, r), disc(c, r));
    let ears = [
        round(0.012, centre + aside * 0.054),
        round(0.012, centre - aside * 0.054),
    ];
    canvas.flesh(Role::Head, &ears, OUTLINE, Ink::White);
    let skull = Piece::Taper(
        disc(centre + up * 0.010, 0.055),
        disc(centre - up * 0.022, 0.046),
    );
    canvas.flesh(Role::Head, &[skull], OUTLINE, Ink::Hair);
}

/// Draws the head from the front, the face toward the viewer.
pub fn head_front(canvas: &mut Canvas, body: &Body) {
    let up = toward(body.head_up());
    let aside = toward(body.head_up() - 90.0);
    let centre = body.shoulder() + up * 0.115;
    let skull = [Piece::Taper(
        disc(centre + up * 0.010, 0.055),
        disc(centre - up * 0.026, 0.042),
    )];
    canvas.flesh(Role::Head, &skull, OUTLINE, Ink::White);
    let hair: Vec<Point> = [
        (-0.056, 0.012),
        (-0.050, 0.044),
        (-0.026, 0.064),
        (0.0, 0.069),
        (0.026, 0.064),
        (0.050, 0.044),
        (0.056, 0.012),
        (0.040, 0.034),
        (0.0, 0.040),
        (-0.040, 0.034),
    ]
    .iter()
    .map(|&(x, y)| centre + aside * x + up * y)
    .collect();
    let hair = canvas.paper(&smooth(&hair, true));
    canvas.fill_paper(Role::Head, &[hair], Ink::Hair);
    for side in [-1.0, 1.0] {
        let eye = centre + aside * (side * 0.020) + up * 0.004;
        canvas.line(Role::Head, &[eye, eye + up * 0.003], 0.6);
    }
    let nose = centre - up * 0.014;
    canvas.line(
        Role::Head,
        &[centre - up * 0.002, nose + aside * 0.005, nose],
        DETAIL,
    );
    let mouth = centre - up * 0.036;
    canvas.line(
        Role::Head,
        &[
            mouth - aside * 0.014,
            mouth - up * 0.003,
            mouth + aside * 0.014,
        ],
        DETAIL,
    );
}
