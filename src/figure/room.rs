//! Where a picture is taken and where it is free, in cells of half a millimetre.
//!
//! Marks are placed by search over it. Must not draw.

use super::drawing::{Paint, Role, Shape};
use super::plane::{Point, at};

/// Cells a millimetre.
const CELLS: f64 = 2.0;

/// A picture's cells, each with what covering it costs.
#[derive(Debug, Clone)]
pub struct Room {
    columns: usize,
    rows: usize,
    cost: Vec<f64>,
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "cells of a small picture, never negative"
)]
fn cell(mm: f64) -> usize {
    (mm.max(0.0) * CELLS) as usize
}

#[expect(clippy::cast_precision_loss, reason = "cells of a small picture")]
fn middle(cell: usize) -> f64 {
    (cell as f64 + 0.5) / CELLS
}

fn weight(role: Role) -> f64 {
    match role {
        Role::Prop => 0.5,
        Role::Limb | Role::Trunk => 2.0,
        Role::Head | Role::Operated => 3.0,
        Role::Arrow | Role::Aim | Role::Limit | Role::Hold => 4.0,
    }
}

impl Room {
    /// Begins with an empty picture of a size in millimetres.
    pub fn new(width: f64, height: f64) -> Self {
        let (columns, rows) = (cell(width), cell(height));
        Self {
            columns,
            rows,
            cost: vec![0.0; columns * rows],
        }
    }

    /// Takes the cells of shapes.
    pub fn take(&mut self, shapes: &[Shape]) {
        for shape in shapes {
            let by = match (shape.role, shape.paint) {
                (Role::Prop, Paint::Fill(_)) => 0.1,
                (role, _) => weight(role),
            };
            for ring in &shape.rings {
                let ring: Vec<Point> = ring
                    .iter()
                    .map(|(x, y)| at(f64::from(*x) / 1000.0, f64::from(*y) / 1000.0))
                    .collect();
                match shape.paint {
                    Paint::Fill(_) => self.each(&ring, 0.0, by, |p| inside(&ring, p)),
                    Paint::Edged { edge, .. } => {
                        let edge = f64::from(edge) / 1000.0;
                        let mut closed = ring.clone();
                        closed.extend(ring.first().copied());
                        let hit = |p| inside(&ring, p) || off(&closed, p) <= edge;
                        self.each(&ring, edge, by, hit);
                    }
                    Paint::Line { width, .. } => {
                        let half = f64::from(width) / 2000.0 + 0.25;
                        self.each(&ring, half, by, |p| off(&ring, p) <= half);
                    }
                }
            }
        }
    }

    fn each(&mut self, ring: &[Point], grow: f64, by: f64, hit: impl Fn(Point) -> bool) {
        let edge = |pick: fn(&Point) -> f64, end: f64, far: fn(f64, f64) -> f64| {
            ring.iter().map(pick).fold(end, far)
        };
        let left = cell(edge(|p| p.x, f64::MAX, f64::min) - grow);
        let right = cell(edge(|p| p.x, f64::MIN, f64::max) + grow).min(self.columns.max(1) - 1);
        let top = cell(edge(|p| p.y, f64::MAX, f64::min) - grow);
        let bottom = cell(edge(|p| p.y, f64::MIN, f64::max) + grow).min(self.rows.max(1) - 1);
        for row in top..=bottom {
            for column in left..=right {
                if hit(at(middle(column), middle(row))) {
                    let cost = &mut self.cost[row * self.columns + column];
                    *cost = cost.max(by);
                }
            }
        }
    }

    /// Adds the costs up, so that rectangles are quick to ask for.
    pub fn summed(&self) -> Summed {
        let wide = self.columns + 1;
        let mut sums = vec![0.0; wide * (self.rows + 1)];
        for row in 0..self.rows {
            for column in 0..self.columns {
                let above = sums[row * wide + column + 1] - sums[row * wide + column];
                let left = sums[(row + 1) * wide + column];
                let own = self.cost[row * self.columns + column];
                sums[(row + 1) * wide + column + 1] = left + above + own;
            }
        }
        Summed {
            columns: self.columns,
            rows: self.rows,
            sums,
        }
    }

    /// Says whether no part of the person lies under a line.
    pub fn is_free(&self, points: &[Point]) -> bool {
        points.iter().all(|p| {
            let (row, column) = (cell(p.y), cell(p.x));
            let inside = row < self.rows && column < self.columns;
            !inside || self.cost[row * self.columns + column] < 1.0
        })
    }
}

/// The costs of a picture, added up from its top left.
#[derive(Debug, Clone)]
pub struct Summed {
    columns: usize,
    rows: usize,
    sums: Vec<f64>,
}

impl Summed {
    /// Returns what it costs to cover a rectangle; outside the picture it costs most.
    pub fn of_box(&self, left: f64, top: f64, width: f64, height: f64) -> f64 {
        let margin = 0.7;
        let (w, h) = (middle(self.columns) - 0.25, middle(self.rows) - 0.25);
        if left < margin || top < margin || left + width > w - margin || top + height > h - margin {
            return 1.0e6;
        }
        let (from, to) = (cell(left), (cell(left + width) + 1).min(self.columns));
        let (high, low) = (cell(top), (cell(top + height) + 1).min(self.rows));
        let sum = |row: usize, column: usize| self.sums[row * (self.columns + 1) + column];
        sum(low, to) - sum(high, to) - sum(low, from) + sum(high, from)
    }

    /// Returns what it costs to draw along a line of a width.
    pub fn of_line(&self, points: &[Point], width: f64) -> f64 {
        points
            .iter()
            .map(|p| self.of_box(p.x - width / 2.0, p.y - width / 2.0, width, width))
            .sum()
    }
}

fn inside(ring: &[Point], p: Point) -> bool {
    let mut within = false;
    for (index, a) in ring.iter().enumerate() {
        let b = ring[(index + 1) % ring.len()];
        if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y) {
            within = !within;
        }
    }
    within
}

/// Returns how far a point is off a line.
fn off(line: &[Point], p: Point) -> f64 {
    line.windows(2)
        .map(|pair| p.off_line(pair[0], pair[1]))
        .fold(f64::MAX, f64::min)
}
