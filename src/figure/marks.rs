//! The clock of a hold, the aim and the limit: placed where the picture is free.
//!
//! Must not change a pose. Next: `picture` draws them last.

use super::arrow::{HALO, trimmed};
use super::body::Leg;
use super::canvas::{Canvas, arc};
use super::drawing::{Ink, Label, Role};
use super::plane::{Point, at, toward};
use super::room::Room;

/// Height of the numbers, millimetres: 12.5 points, the least on the page.
const LABEL: f64 = 4.41;

/// Draws the clock with the time of a hold, where it covers least, near a point.
pub fn hold(canvas: &mut Canvas, room: &mut Room, near: Point, text: &str) {
    let (r, size) = (2.4, LABEL);
    let words = text_width(text, size);
    let (width, height) = (2.0 * r + 1.0 + words + 0.8, 2.0 * r + 0.8);
    let near = canvas.map.on_paper(near);
    let corner = freest(room, near, width, height);
    let centre = corner + at(r + 0.4, r + 0.4);
    let mut ring = arc(centre, r, 0.0, 360.0);
    let mut sector = arc(centre, r - 0.5, -90.0, 30.0);
    sector.push(centre);
    let before = canvas.shapes.len();
    canvas.fill_paper(Role::Hold, &[arc(centre, r + 0.4, 0.0, 360.0)], Ink::White);
    ring.extend(ring.first().copied());
    canvas.line_paper(Role::Hold, &ring, 0.45, Ink::Black);
    canvas.fill_paper(Role::Hold, &[sector], Ink::Black);
    let left = centre.x + r + 1.0;
    label(
        canvas,
        Role::Hold,
        at(left + words / 2.0, centre.y + size * 0.36),
        size,
        Ink::Black,
        text,
    );
    room.take(&canvas.shapes[before..]);
    take_box(room, corner, width, height);
}

/// A guess of a text's width, for the search alone.
fn text_width(text: &str, size: f64) -> f64 {
    text.chars()
        .map(|c| if c == ' ' || c == '°' { 0.36 } else { 0.60 })
        .sum::<f64>()
        * size
}

/// Finds the top left corner of the free box nearest to a point.
fn freest(room: &Room, near: Point, width: f64, height: f64) -> Point {
    let room = room.summed();
    let mut best = (f64::MAX, near);
    for column in 0..110 {
        for row in 0..84 {
            let corner = at(f64::from(column) * 0.5, f64::from(row) * 0.5);
            let covered = room.of_box(corner.x - 0.5, corner.y - 0.5, width + 1.0, height + 1.0);
            let middle = corner + at(width / 2.0, height / 2.0);
            let cost = covered * 4.0 + (middle - near).length();
            if cost < best.0 {
                best = (cost, corner);
            }
        }
    }
    best.1
}

fn take_box(room: &mut Room, corner: Point, width: f64, height: f64) {
    let spots = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
    let mut probe = Canvas::new(super::canvas::Map {
        scale: 1.0,
        left: 0.0,
        top: 0.0,
    });
    let ring: Vec<Point> = spots.iter().map(|&(x, y)| corner + at(x, y)).collect();
    probe.fill_paper(Role::Hold, &[ring], Ink::White);
    room.take(&probe.shapes);
}

fn label(canvas: &mut Canvas, role: Role, at: Point, size: f64, ink: Ink, text: &str) {
    #[expect(clippy::cast_possible_truncation, reason = "a picture is small")]
    let micro = |mm: f64| (mm * 1000.0).round() as i32;
    canvas.labels.push(Label {
        role,
        at: (micro(at.x), micro(at.y)),
        size: micro(size),
        ink,
        text: text.to_owned(),
    });
}

/// What the end of a bend is, and at how many degrees. A picture carries no number of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Goal {
    /// A goal: the arc goes on as an arrow.
    Aim(i64),
    /// A stop: the arc ends at a bar.
    Limit(i64),
}

/// Draws the bend of a knee: the arc from the prolonged thigh to where the shank may or should go.
pub fn angle(canvas: &mut Canvas, room: &mut Room, leg: &Leg, goal: Goal) {
    let knee = canvas.map.on_paper(leg.knee());
    let ray = toward(-leg.thigh);
    let radius = 5.6;
    #[expect(clippy::cast_precision_loss, reason = "degrees")]
    let degrees = match goal {
        Goal::Aim(degrees) | Goal::Limit(degrees) => degrees as f64,
    };
    let role = match goal {
        Goal::Aim(_) => Role::Aim,
        Goal::Limit(_) => Role::Limit,
    };
    let before = canvas.shapes.len();
    let beyond = [knee + ray * 2.2, knee + ray * (radius + 3.0)];
    canvas.line_paper(role, &beyond, 0.45 + 2.0 * 0.4, Ink::White);
    canvas.dashed_paper(role, &beyond, 0.45);
    let sweep = arc(knee, radius, -leg.thigh, -leg.thigh + degrees);
    canvas.line_paper(role, &sweep, 0.7 + 2.0 * HALO, Ink::White);
    let end = toward(-leg.thigh + degrees);
    match goal {
        Goal::Aim(_) => {
            let tip = head_small(&sweep);
            canvas.line_paper(role, &trimmed(&sweep, 1.6), 0.7, Ink::Black);
            canvas.fill_paper(role, &[tip], Ink::Black);
        }
        Goal::Limit(_) => {
            canvas.line_paper(role, &sweep, 0.7, Ink::Black);
            let bar = [knee + end * (radius - 1.8), knee + end * (radius + 1.8)];
            canvas.line_paper(role, &bar, 1.4 + 2.0 * 0.35, Ink::White);
            canvas.line_paper(role, &bar, 1.4, Ink::Black);
        }
    }
    room.take(&canvas.shapes[before..]);
}

fn head_small(path: &[Point]) -> Vec<Point> {
    let Some(tip) = path.last().copied() else {
        return Vec::new();
    };
    let base = trimmed(path, 2.2).last().copied().unwrap_or(tip);
    let unit = (tip - base).unit();
    let back = tip - unit * 2.2;
    vec![tip, back + unit.left() * 1.2, back - unit.left() * 1.2]
}
