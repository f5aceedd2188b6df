//! Arrows: the way a place of the body goes, a push, a swing, a turn; put where the picture is free.
//!
//! Must not change a pose.

use crate::domain::pose::{Arrow, ArrowKind, Spot, Which};

use super::body::{Arm, Body, Leg, wrapped};
use super::canvas::{Canvas, arc, smooth};
use super::drawing::{Ink, Role};
use super::plane::{Point, at, toward};
use super::room::Room;
use super::spots::spot;

/// Returns the body a share of the way from start to end.
fn between(start: &Body, end: &Body, share: f64) -> Body {
    let turn = |a: f64, b: f64| a + wrapped(b - a) * share;
    let leg = |a: &Leg, b: &Leg| Leg {
        hip: a.hip.between(b.hip, share),
        thigh: turn(a.thigh, b.thigh),
        shank: turn(a.shank, b.shank),
        foot: turn(a.foot, b.foot),
        toes: turn(a.toes, b.toes),
        thigh_long: a.thigh_long + (b.thigh_long - a.thigh_long) * share,
        shank_long: a.shank_long + (b.shank_long - a.shank_long) * share,
    };
    let arm = |a: &Arm, b: &Arm| Arm {
        shoulder: a.shoulder.between(b.shoulder, share),
        upper: turn(a.upper, b.upper),
        fore: turn(a.fore, b.fore),
        ..*a
    };
    Body {
        hip: start.hip.between(end.hip, share),
        trunk: turn(start.trunk, end.trunk),
        neck: turn(start.neck, end.neck),
        legs: [
            leg(&start.legs[0], &end.legs[0]),
            leg(&start.legs[1], &end.legs[1]),
        ],
        arms: [
            arm(&start.arms[0], &end.arms[0]),
            arm(&start.arms[1], &end.arms[1]),
        ],
    }
}

/// Width of a shaft, millimetres.
const SHAFT: f64 = 1.15;
/// Length and half width of a head, millimetres.
const HEAD: (f64, f64) = (3.2, 1.65);
/// Shortest arrow, millimetres.
const SHORTEST: f64 = 8.0;
/// White round a mark, millimetres.
pub const HALO: f64 = 0.55;

/// Draws an arrow where it covers least.
pub fn arrow(canvas: &mut Canvas, room: &mut Room, arrow: &Arrow, start: &Body, end: &Body) {
    let path = match arrow.kind {
        ArrowKind::Push => push(canvas, room, arrow, end),
        ArrowKind::Turn => around(canvas, arrow),
        ArrowKind::Line => free(room, &straight(canvas, arrow, start, end)),
        ArrowKind::Move if arrow.panel == Which::End => {
            // What comes next is the way back.
            free(room, &track(canvas, arrow.of, end, start))
        }
        ArrowKind::Move => free(room, &track(canvas, arrow.of, start, end)),
        ArrowKind::Swing => free(room, &wide(&track(canvas, arrow.of, start, end))),
    };
    let before = canvas.shapes.len();
    draw(canvas, &path, arrow.kind);
    room.take(&canvas.shapes[before..]);
}

/// The way a place of the body goes, on paper.
fn track(canvas: &Canvas, of: Spot, start: &Body, end: &Body) -> Vec<Point> {
    let mut points = Vec::new();
    for step in 0..=12 {
        let share = f64::from(step) / 12.0;
        points.push(canvas.map.on_paper(spot(of, &between(start, end, share))));
    }
    long_enough(points)
}

fn straight(canvas: &Canvas, arrow: &Arrow, start: &Body, end: &Body) -> Vec<Point> {
    let from = canvas.map.on_paper(spot(arrow.of, start));
    let to = match arrow.towards {
        Some(way) => from + on_paper_way(way) * SHORTEST,
        None => canvas.map.on_paper(spot(arrow.of, end)),
    };
    long_enough(
        (0..=8)
            .map(|step| from.between(to, f64::from(step) / 8.0))
            .collect(),
    )
}

#[expect(clippy::cast_precision_loss, reason = "small whole numbers")]
fn on_paper_way(way: [i64; 2]) -> Point {
    at(way[0] as f64, -(way[1] as f64)).unit()
}

/// Lengthens a short way backwards from its tip.
fn long_enough(mut points: Vec<Point>) -> Vec<Point> {
    let length: f64 = points.windows(2).map(|p| (p[1] - p[0]).length()).sum();
    if length < SHORTEST
        && let [first, second, ..] = points.as_slice()
    {
        let start = *first - (*second - *first).unit() * (SHORTEST - length);
        points.insert(0, start);
    }
    even(&points)
}

/// Returns points at even distances along a way, so that it can be drawn smooth.
fn even(points: &[Point]) -> Vec<Point> {
    let length: f64 = points.windows(2).map(|p| (p[1] - p[0]).length()).sum();
    let span = length / 10.0;
    let (mut all, mut left) = (Vec::new(), 0.0);
    for pair in points.windows(2) {
        let way = pair[1] - pair[0];
        while left < way.length() {
            all.push(pair[0] + way.unit() * left);
            left += span.max(1e-6);
        }
        left -= way.length();
    }
    all.truncate(10);
    all.extend(points.last().copied());
    all
}

/// Lengthens a way at both ends, for two heads.
fn wide(points: &[Point]) -> Vec<Point> {
    let mut points = points.to_vec();
    if let [first, second, .., before, last] = points.as_slice() {
        let front = *first + (*first - *second).unit() * 2.5;
        let back = *last + (*last - *before).unit() * 2.5;
        points.insert(0, front);
        points.push(back);
    }
    points
}

/// Moves a way sideways to where it covers least.
fn free(room: &Room, path: &[Point]) -> Vec<Point> {
    let room = room.summed();
    let mut best = (f64::MAX, path.to_vec());
    for distance in [2.6, 3.4, 4.2, 5.2, 6.4, 7.8] {
        for turn in 0..24 {
            let by = toward(f64::from(turn) * 15.0) * distance;
            let moved: Vec<Point> = path.iter().map(|p| *p + by).collect();
            let dense = dense(&moved);
            let cost = room.of_line(&dense, 3.2) + 12.0 * distance;
            if cost < best.0 {
                best = (cost, moved);
            }
        }
    }
    best.1
}

fn dense(path: &[Point]) -> Vec<Point> {
    let mut all = Vec::new();
    for pair in path.windows(2) {
        let count = ((pair[1] - pair[0]).length() / 0.8).ceil().max(1.0);
        let mut index = 0.0;
        while index < count {
            all.push(pair[0].between(pair[1], index / count));
            index += 1.0;
        }
    }
    all.extend(path.last().copied());
    all
}

/// A push: straight, its tip where the body begins.
fn push(canvas: &Canvas, room: &Room, arrow: &Arrow, body: &Body) -> Vec<Point> {
    let way = arrow.towards.map_or(at(0.0, 1.0), on_paper_way);
    let onto = canvas.map.on_paper(spot(arrow.of, body));
    let mut tip = onto;
    for step in 0..60 {
        tip = onto - way * (f64::from(step) * 0.25);
        if room.is_free(&dense(&[tip - way * SHORTEST, tip + way * 0.4])) {
            break;
        }
    }
    vec![tip - way * SHORTEST, tip]
}

/// A turn round a point.
fn around(canvas: &Canvas, arrow: &Arrow) -> Vec<Point> {
    #[expect(clippy::cast_precision_loss, reason = "small whole numbers")]
    let place = arrow
        .towards
        .map_or(at(0.0, 0.0), |[x, y]| at(x as f64, y as f64) * 0.001);
    let centre = canvas.map.on_paper(place);
    arc(centre, 0.155 * canvas.map.scale, -40.0, 75.0)
}

fn draw(canvas: &mut Canvas, path: &[Point], kind: ArrowKind) {
    let width = if kind == ArrowKind::Push { 1.4 } else { SHAFT };
    let path = if path.len() > 3 {
        smooth(path, false)
    } else {
        path.to_vec()
    };
    let mut shaft = trimmed(&path, HEAD.0 * 0.8);
    let mut heads = vec![head(&path)];
    if kind == ArrowKind::Swing {
        let back: Vec<Point> = path.iter().rev().copied().collect();
        heads.push(head(&back));
        let turned: Vec<Point> = shaft.iter().rev().copied().collect();
        shaft = trimmed(&turned, HEAD.0 * 0.8);
    }
    canvas.line_paper(Role::Arrow, &shaft, width + 2.0 * HALO, Ink::White);
    for head in &heads {
        let mut ring = head.clone();
        ring.extend(head.first().copied());
        canvas.line_paper(Role::Arrow, &ring, 2.0 * HALO, Ink::White);
    }
    canvas.line_paper(Role::Arrow, &shaft, width, Ink::Black);
    for head in heads {
        canvas.fill_paper(Role::Arrow, &[head], Ink::Black);
    }
}

/// Cuts a length off the end of a way.
pub fn trimmed(path: &[Point], mut by: f64) -> Vec<Point> {
    let mut left = path.to_vec();
    while let [.., a, b] = left.as_slice() {
        let span = (*b - *a).length();
        if span > by {
            let cut = b.between(*a, by / span);
            left.pop();
            left.push(cut);
            break;
        }
        by -= span;
        left.pop();
    }
    left
}

/// The triangle at the end of a way.
fn head(path: &[Point]) -> Vec<Point> {
    let Some(tip) = path.last().copied() else {
        return Vec::new();
    };
    let base = trimmed(path, HEAD.0).last().copied().unwrap_or(tip);
    let unit = (tip - base).unit();
    let back = tip - unit * HEAD.0;
    vec![
        tip,
        back + unit.left() * HEAD.1,
        back - unit.left() * HEAD.1,
    ]
}
