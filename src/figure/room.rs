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
                    Paint::Fill(_) => self.fill(&ring, 0.0, by),
                    Paint::Edged { edge, .. } => self.fill(&ring, f64::from(edge) / 1000.0, by),
                    Paint::Line { width, .. } => {
                        let half = f64::from(width) / 2000.0 + 0.25;
                        for span in ring.windows(2) {
                            self.line(span[0], span[1], half, by);
                        }
                    }
                }
            }
        }
    }

    /// Takes the cells within a ring, row by row, and a little to the left and right of it.
    fn fill(&mut self, ring: &[Point], grow: f64, by: f64) {
        let (top, bottom) = self.rows_of(ring, grow);
        for row in top..=bottom {
            let mut cuts = cuts(ring, middle(row));
            cuts.sort_by(f64::total_cmp);
            for span in cuts.chunks_exact(2) {
                self.row(row, span[0] - grow, span[1] + grow, by);
            }
        }
    }

    /// Takes the cells near a straight line.
    fn line(&mut self, from: Point, to: Point, half: f64, by: f64) {
        let (top, bottom) = self.rows_of(&[from, to], half);
        let left = cell(from.x.min(to.x) - half);
        let right = cell(from.x.max(to.x) + half).min(self.columns.max(1) - 1);
        for row in top..=bottom {
            for column in left..=right {
                if at(middle(column), middle(row)).off_line(from, to) <= half {
                    self.cover(row, column, by);
                }
            }
        }
    }

    fn rows_of(&self, points: &[Point], grow: f64) -> (usize, usize) {
        let high = points.iter().map(|p| p.y).fold(f64::MAX, f64::min);
        let low = points.iter().map(|p| p.y).fold(f64::MIN, f64::max);
        (
            cell(high - grow),
            cell(low + grow).min(self.rows.max(1) - 1),
        )
    }

    fn row(&mut self, row: usize, from: f64, to: f64, by: f64) {
        let last = cell(to).min(self.columns.max(1) - 1);
        for column in cell(from)..=last {
            if (from..=to).contains(&middle(column)) {
                self.cover(row, column, by);
            }
        }
    }

    fn cover(&mut self, row: usize, column: usize, by: f64) {
        let cost = &mut self.cost[row * self.columns + column];
        *cost = cost.max(by);
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

/// Returns where a level line crosses a ring.
fn cuts(ring: &[Point], y: f64) -> Vec<f64> {
    let mut cuts = Vec::new();
    for (index, a) in ring.iter().enumerate() {
        let b = ring[(index + 1) % ring.len()];
        if (a.y > y) != (b.y > y) {
            cuts.push(a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y));
        }
    }
    cuts
}
