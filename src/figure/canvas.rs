//! Takes shapes of the body's plane and puts them on paper in millimetres.
//!
//! Flesh is a union of tapered pieces without any geometry of unions: all pieces are edged in black,
//! then all are filled. Must not know poses.

use super::body::Disc;
use super::drawing::{Drawing, Ink, Label, Paint, Role, Shape, Spot};
use super::plane::{Point, at, toward};

/// Where the plane stands on the paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Map {
    /// Millimetres a stature.
    pub scale: f64,
    /// Where the origin is, millimetres from the left.
    pub left: f64,
    /// Where the origin is, millimetres from the top.
    pub top: f64,
}

impl Map {
    /// Returns where a point is on the paper.
    pub fn on_paper(&self, p: Point) -> Point {
        at(self.left + p.x * self.scale, self.top - p.y * self.scale)
    }
}

/// Paper being drawn on.
#[derive(Debug, Clone, PartialEq)]
pub struct Canvas {
    /// Where the plane stands.
    pub map: Map,
    /// What is drawn.
    pub shapes: Vec<Shape>,
    /// The numbers.
    pub labels: Vec<Label>,
}

/// How far a flattened arc may be off, millimetres.
const FLAT: f64 = 0.02;
/// How far a point may be off the line between its neighbours to be left out, millimetres.
const STRAIGHT: f64 = 0.012;

#[expect(
    clippy::cast_possible_truncation,
    reason = "a picture is smaller than two metres"
)]
fn micro(mm: f64) -> i32 {
    (mm * 1000.0).round() as i32
}

/// Returns the points as whole numbers, in hundredths of a millimetre, without those that a line
/// between the others passes anyway.
fn spots(points: &[Point]) -> Vec<Spot> {
    let mut kept = Vec::new();
    if let (Some(first), Some(last)) = (points.first(), points.last()) {
        kept.push(*first);
        thinned(points, &mut kept);
        kept.push(*last);
    }
    let hundredth = |mm: f64| (micro(mm) + 5).div_euclid(10) * 10;
    let mut all: Vec<Spot> = kept
        .iter()
        .map(|p| (hundredth(p.x), hundredth(p.y)))
        .collect();
    all.dedup();
    all
}

/// Keeps the point furthest off the line between the ends, and so on at both sides of it.
fn thinned(points: &[Point], kept: &mut Vec<Point>) {
    let [first, between @ .., last] = points else {
        return;
    };
    let far = between
        .iter()
        .enumerate()
        .map(|(index, p)| (index + 1, p.off_line(*first, *last)))
        .fold(
            (0, STRAIGHT),
            |best, next| if next.1 > best.1 { next } else { best },
        );
    if far.0 > 0 {
        thinned(&points[..=far.0], kept);
        kept.push(points[far.0]);
        thinned(&points[far.0..], kept);
    }
}

impl Canvas {
    /// Begins with blank paper.
    pub const fn new(map: Map) -> Self {
        Self {
            map,
            shapes: Vec::new(),
            labels: Vec::new(),
        }
    }

    /// Returns the finished picture.
    pub fn finish(self, width: f64, height: f64) -> Drawing {
        Drawing {
            width: micro(width),
            height: micro(height),
            shapes: self.shapes,
            labels: self.labels,
        }
    }

    /// Fills rings of paper points.
    pub fn fill_paper(&mut self, role: Role, rings: &[Vec<Point>], ink: Ink) {
        self.shapes.push(Shape {
            role,
            rings: rings.iter().map(|ring| spots(ring)).collect(),
            paint: Paint::Fill(ink),
        });
    }

    /// Draws along paper points.
    pub fn line_paper(&mut self, role: Role, points: &[Point], width: f64, ink: Ink) {
        self.push_lines(role, &[points.to_vec()], width, ink, None);
    }

    /// Draws along several lines of paper points.
    pub fn lines_paper(&mut self, role: Role, lines: &[Vec<Point>], width: f64) {
        self.push_lines(role, lines, width, Ink::Black, None);
    }

    /// Draws a broken line along paper points.
    pub fn dashed_paper(&mut self, role: Role, points: &[Point], width: f64) {
        self.push_lines(
            role,
            &[points.to_vec()],
            width,
            Ink::Black,
            Some((1200, 900)),
        );
    }

    fn push_lines(
        &mut self,
        role: Role,
        lines: &[Vec<Point>],
        width: f64,
        ink: Ink,
        dash: Option<(i32, i32)>,
    ) {
        self.shapes.push(Shape {
            role,
            rings: lines.iter().map(|points| spots(points)).collect(),
            paint: Paint::Line {
                ink,
                width: micro(width),
                dash,
            },
        });
    }

    /// Returns points on the paper.
    pub fn paper(&self, points: &[Point]) -> Vec<Point> {
        points.iter().map(|p| self.map.on_paper(*p)).collect()
    }

    /// Draws along points.
    pub fn line(&mut self, role: Role, points: &[Point], width: f64) {
        let points = self.paper(points);
        self.line_paper(role, &points, width, Ink::Black);
    }

    /// Draws a closed outline and fills it.
    pub fn area(&mut self, role: Role, points: &[Point], width: f64, ink: Ink) {
        let mut points = self.paper(points);
        self.fill_paper(role, &[points.clone()], ink);
        points.extend(points.first().copied());
        self.line_paper(role, &points, width, Ink::Black);
    }

    /// Draws a bar with an edge at both sides, such as a tube or a strap.
    pub fn bar(&mut self, role: Role, points: &[Point], width: f64) {
        let points = self.paper(points);
        self.line_paper(role, &points, width, Ink::Black);
        self.line_paper(role, &points, width - 0.8, Ink::White);
    }

    /// Draws flesh: the union of pieces, outlined and filled.
    pub fn flesh(&mut self, role: Role, pieces: &[Piece], outline: f64, ink: Ink) {
        let rings = pieces.iter().map(|piece| spots(&self.ring(piece)));
        self.shapes.push(Shape {
            role,
            rings: rings.collect(),
            paint: Paint::Edged {
                ink,
                edge: micro(outline),
            },
        });
    }

    /// Returns the outline of a piece on paper.
    pub fn ring(&self, piece: &Piece) -> Vec<Point> {
        let scaled = |disc: Disc| {
            let c = self.map.on_paper(disc.c);
            (c, disc.r * self.map.scale)
        };
        match *piece {
            Piece::Taper(a, b) => taper(scaled(a), scaled(b)),
            Piece::Cuff(a, b) => {
                let ((a, wide), (b, narrow)) = (scaled(a), scaled(b));
                cuff(a, wide, b, narrow)
            }
        }
    }
}

/// A piece of flesh or cloth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Piece {
    /// Two discs and all between them.
    Taper(Disc, Disc),
    /// Between two widths, with flat ends.
    Cuff(Disc, Disc),
}

/// Makes tapered pieces along a chain of discs.
pub fn chain(discs: &[Disc]) -> Vec<Piece> {
    discs
        .windows(2)
        .filter_map(|pair| match pair {
            [a, b] => Some(Piece::Taper(*a, *b)),
            _ => None,
        })
        .collect()
}

/// Returns the hull of two discs, always turning the same way.
fn taper((a, ra): (Point, f64), (b, rb): (Point, f64)) -> Vec<Point> {
    let way = b - a;
    let length = way.length();
    if length <= (ra - rb).abs() + 1e-9 {
        let (c, r) = if ra >= rb { (a, ra) } else { (b, rb) };
        return arc(c, r, 0.0, 360.0);
    }
    let half = ((ra - rb) / length).acos().to_degrees();
    let along = way.angle();
    let mut ring = arc(b, rb, along - half, along + half);
    ring.extend(arc(a, ra, along + half, along + 360.0 - half));
    ring
}

fn cuff(a: Point, ra: f64, b: Point, rb: f64) -> Vec<Point> {
    let side = (b - a).unit().left();
    vec![a + side * -ra, b + side * -rb, b + side * rb, a + side * ra]
}

/// Returns points along an arc, both ends included.
pub fn arc(c: Point, r: f64, from: f64, to: f64) -> Vec<Point> {
    let step = if r <= FLAT {
        90.0
    } else {
        (2.0 * (1.0 - FLAT / r).acos().to_degrees()).min(45.0)
    };
    let count = ((to - from).abs() / step).ceil().max(1.0);
    let mut points = Vec::new();
    let mut index = 0.0;
    while index <= count {
        points.push(c + toward(from + (to - from) * index / count) * r);
        index += 1.0;
    }
    points
}

/// Returns a smooth line through points.
pub fn smooth(points: &[Point], closed: bool) -> Vec<Point> {
    let n = points.len();
    if n < 3 {
        return points.to_vec();
    }
    let get = |i: usize| -> Point {
        if closed {
            points[(i + n - 1) % n]
        } else {
            points[i.saturating_sub(1).min(n - 1)]
        }
    };
    let spans = if closed { n } else { n - 1 };
    let mut out = Vec::new();
    for span in 0..spans {
        let (p0, p1, p2, p3) = (get(span), get(span + 1), get(span + 2), get(span + 3));
        for step in [0.0, 0.25, 0.5, 0.75] {
            let t: f64 = step;
            let p = p1 * 2.0
                + (p2 - p0) * t
                + (p0 * 2.0 - p1 * 5.0 + p2 * 4.0 - p3) * (t * t)
                + (p1 * 3.0 - p0 - p2 * 3.0 + p3) * (t * t * t);
            out.push(p * 0.5);
        }
    }
    if !closed {
        out.extend(points.last().copied());
    }
    out
}
