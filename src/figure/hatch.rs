//! The pattern of the operated limb: it survives a copier that loses every grey.

use super::canvas::{Canvas, Piece};
use super::drawing::Role;
use super::plane::{Point, toward};

/// Draws the pattern of the operated limb: slanted lines, cut to its pieces.
pub fn hatch(canvas: &mut Canvas, pieces: &[Piece], angle: f64) {
    let rings: Vec<Vec<Point>> = pieces.iter().map(|piece| canvas.ring(piece)).collect();
    let (along, across) = (toward(angle), toward(angle).left());
    let dot = |p: Point, q: Point| p.x * q.x + p.y * q.y;
    let all = || rings.iter().flatten();
    let least = all().map(|p| dot(*p, across)).fold(f64::MAX, f64::min);
    let most = all().map(|p| dot(*p, across)).fold(f64::MIN, f64::max);
    let mut lines = Vec::new();
    let mut at_line = (least / PITCH).ceil() * PITCH;
    while at_line < most {
        for (from, to) in covered(&rings, along, across, at_line) {
            let base = across * at_line;
            lines.push(vec![base + along * from, base + along * to]);
        }
        at_line += PITCH;
    }
    canvas.lines_paper(Role::Operated, &lines, 0.35);
}

/// Distance between two lines of the pattern, millimetres.
const PITCH: f64 = 1.15;

/// Returns the stretches of a line that lie in any of the rings.
fn covered(rings: &[Vec<Point>], along: Point, across: Point, line: f64) -> Vec<(f64, f64)> {
    let dot = |p: Point, q: Point| p.x * q.x + p.y * q.y;
    let mut spans: Vec<(f64, f64)> = Vec::new();
    for ring in rings {
        let mut cuts = Vec::new();
        for (index, p) in ring.iter().enumerate() {
            let q = ring[(index + 1) % ring.len()];
            let (a, b) = (dot(*p, across) - line, dot(q, across) - line);
            if (a > 0.0) != (b > 0.0) {
                let cut = p.between(q, a / (a - b));
                cuts.push(dot(cut, along));
            }
        }
        let low = cuts.iter().copied().fold(f64::MAX, f64::min);
        let high = cuts.iter().copied().fold(f64::MIN, f64::max);
        if high - low > 0.05 {
            spans.push((low, high));
        }
    }
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut joined: Vec<(f64, f64)> = Vec::new();
    for (low, high) in spans {
        match joined.last_mut() {
            Some(last) if low <= last.1 + 0.02 => last.1 = last.1.max(high),
            _ => joined.push((low, high)),
        }
    }
    joined
}
