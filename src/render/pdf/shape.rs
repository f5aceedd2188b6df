//! Paths: lines, boxes, discs. Millimetres from the top left, y down.
//!
//! Must not know what they stand for. Next: `piece` puts them among words.

use crate::domain::page::Colour;

/// How far along a quarter circle its control points lie.
const KAPPA: f64 = 0.552_284_75;

/// A point of a path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Node {
    /// Millimetres from the left.
    pub x: f64,
    /// Millimetres from the top.
    pub y: f64,
    /// Whether it is on the path or steers it.
    pub kind: NodeKind,
}

/// Whether a point is on the path.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NodeKind {
    /// On the path.
    On,
    /// Steers a curve.
    Control,
}

/// Whether a path ends where it began.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ends {
    /// It ends elsewhere.
    Open,
    /// It comes back.
    Closed,
}

/// How lines end and join.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tip {
    /// Cut off.
    Butt,
    /// Rounded.
    Round,
}

/// A line weight in points with its colour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// Weight in points.
    pub weight: f64,
    /// Colour.
    pub colour: Colour,
    /// How it ends.
    pub tip: Tip,
}

/// One path with its paint.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// The points.
    pub nodes: Vec<Node>,
    /// Whether it comes back.
    pub ends: Ends,
    /// Fill.
    pub fill: Option<Colour>,
    /// Line.
    pub stroke: Option<Stroke>,
}

/// A rectangle in millimetres from the top left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    /// Left edge.
    pub left: f64,
    /// Top edge.
    pub top: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

impl Area {
    /// Returns the area made smaller by the same amount on all sides.
    #[must_use]
    pub fn inset(self, by: f64) -> Self {
        Self {
            left: self.left + by,
            top: self.top + by,
            width: self.width - 2.0 * by,
            height: self.height - 2.0 * by,
        }
    }
}

const fn on(x: f64, y: f64) -> Node {
    Node {
        x,
        y,
        kind: NodeKind::On,
    }
}

const fn control(x: f64, y: f64) -> Node {
    Node {
        x,
        y,
        kind: NodeKind::Control,
    }
}

impl Shape {
    fn new(nodes: Vec<Node>, ends: Ends) -> Self {
        Self {
            nodes,
            ends,
            fill: None,
            stroke: None,
        }
    }

    /// Sets the fill.
    #[must_use]
    pub fn filled(self, colour: Colour) -> Self {
        Self {
            fill: Some(colour),
            ..self
        }
    }

    /// Sets a line of a weight in points.
    #[must_use]
    pub fn stroked(self, weight: f64, colour: Colour) -> Self {
        Self {
            stroke: Some(Stroke {
                weight,
                colour,
                tip: Tip::Butt,
            }),
            ..self
        }
    }

    /// Sets a line with round ends of a weight in points.
    #[must_use]
    pub fn stroked_round(self, weight: f64, colour: Colour) -> Self {
        Self {
            stroke: Some(Stroke {
                weight,
                colour,
                tip: Tip::Round,
            }),
            ..self
        }
    }

    /// Makes a line through points.
    pub fn line(points: &[(f64, f64)]) -> Self {
        Self::new(points.iter().map(|&(x, y)| on(x, y)).collect(), Ends::Open)
    }

    /// Makes a closed figure through points.
    pub fn polygon(points: &[(f64, f64)]) -> Self {
        Self {
            ends: Ends::Closed,
            ..Self::line(points)
        }
    }

    /// Makes a curve: start, two control points, end.
    pub fn curve([start, first, second, end]: [(f64, f64); 4]) -> Self {
        let nodes = vec![
            on(start.0, start.1),
            control(first.0, first.1),
            control(second.0, second.1),
            on(end.0, end.1),
        ];
        Self::new(nodes, Ends::Open)
    }

    /// Makes a rectangle.
    pub fn area(area: Area) -> Self {
        let (right, bottom) = (area.left + area.width, area.top + area.height);
        Self::polygon(&[
            (area.left, area.top),
            (right, area.top),
            (right, bottom),
            (area.left, bottom),
        ])
    }

    /// Makes a rectangle with round corners.
    pub fn rounded(area: Area, radius: f64) -> Self {
        let Area {
            left,
            top,
            width,
            height,
        } = area;
        let (right, bottom) = (left + width, top + height);
        let (r, c) = (radius, radius * (1.0 - KAPPA));
        let nodes = vec![
            on(left + r, top),
            on(right - r, top),
            control(right - c, top),
            control(right, top + c),
            on(right, top + r),
            on(right, bottom - r),
            control(right, bottom - c),
            control(right - c, bottom),
            on(right - r, bottom),
            on(left + r, bottom),
            control(left + c, bottom),
            control(left, bottom - c),
            on(left, bottom - r),
            on(left, top + r),
            control(left, top + c),
            control(left + c, top),
            on(left + r, top),
        ];
        Self::new(nodes, Ends::Closed)
    }

    /// Makes a disc round a centre.
    pub fn disc(x: f64, y: f64, radius: f64) -> Self {
        let side = 2.0 * radius;
        let area = Area {
            left: x - radius,
            top: y - radius,
            width: side,
            height: side,
        };
        Self::rounded(area, radius)
    }

    /// Moves the path.
    pub fn shift(&mut self, x: f64, y: f64) {
        for node in &mut self.nodes {
            node.x += x;
            node.y += y;
        }
    }

    /// Makes the path larger or smaller round the origin.
    #[must_use]
    pub fn scaled(mut self, factor: f64) -> Self {
        for node in &mut self.nodes {
            node.x *= factor;
            node.y *= factor;
        }
        self
    }

    /// Returns the area all points lie in, line weight not counted.
    pub fn bounds(&self) -> Area {
        let least = |pick: fn(&Node) -> f64| self.nodes.iter().map(pick).fold(f64::MAX, f64::min);
        let most = |pick: fn(&Node) -> f64| self.nodes.iter().map(pick).fold(f64::MIN, f64::max);
        let (left, top) = (least(|node| node.x), least(|node| node.y));
        Area {
            left,
            top,
            width: most(|node| node.x) - left,
            height: most(|node| node.y) - top,
        }
    }
}
