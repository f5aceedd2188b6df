//! The signs that stand beside words: drawn, never a character.
//!
//! Each is drawn on a square of 24 by 24 units. Must not know where it is put.

use crate::domain::page::Colour;

use super::face::POINTS_A_MM;
use super::piece::Piece;
use super::shape::{Area, Shape};

/// A sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// Eight-sided, filled: emergency.
    Stop,
    /// A telephone: ring today.
    Phone,
    /// A triangle: leave that one out.
    Warning,
    /// A cross in a circle: not like this.
    NotLikeThis,
    /// A stair with an arrow: the next rung.
    Next,
    /// A tick.
    Tick,
}

/// Size of a sign with its colours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drawn {
    /// Side of the square in millimetres.
    pub size: f64,
    /// Colour of the sign.
    pub ink: Colour,
    /// Colour of what it stands on.
    pub ground: Colour,
}

impl Sign {
    /// Draws the sign as a piece as high as it is wide.
    pub fn piece(self, drawn: Drawn) -> Piece {
        let unit = drawn.size / 24.0;
        let mut piece = Piece::blank(drawn.size);
        for mut shape in self.shapes(drawn) {
            if let Some(stroke) = &mut shape.stroke {
                stroke.weight *= unit * POINTS_A_MM;
            }
            piece.draw(shape.scaled(unit));
        }
        piece
    }

    fn shapes(self, Drawn { ink, ground, .. }: Drawn) -> Vec<Shape> {
        match self {
            Self::Stop => stop(ink, ground),
            Self::Phone => vec![
                Shape::curve([(4.5, 6.0), (5.0, 13.5), (10.5, 19.0), (18.0, 19.5)])
                    .stroked(3.6, ink),
                Shape::line(&[(5.0, 5.2), (7.6, 7.8)]).stroked_round(7.0, ink),
                Shape::line(&[(16.2, 16.4), (18.8, 19.0)]).stroked_round(7.0, ink),
            ],
            Self::Warning => vec![
                Shape::polygon(&[(12.0, 2.5), (22.5, 21.0), (1.5, 21.0)])
                    .filled(ground)
                    .stroked_round(2.0, ink),
                bar(10.8, 8.6, 2.4, 6.4).filled(ink),
                Shape::disc(12.0, 17.8, 1.4).filled(ink),
            ],
            Self::NotLikeThis => vec![
                Shape::disc(12.0, 12.0, 10.8)
                    .filled(ground)
                    .stroked(2.0, ink),
                Shape::line(&[(7.4, 7.4), (16.6, 16.6)]).stroked_round(2.6, ink),
                Shape::line(&[(16.6, 7.4), (7.4, 16.6)]).stroked_round(2.6, ink),
            ],
            Self::Next => vec![
                Shape::line(&[
                    (2.0, 21.0),
                    (9.0, 21.0),
                    (9.0, 14.0),
                    (16.0, 14.0),
                    (16.0, 6.0),
                ])
                .stroked(2.4, ink),
                Shape::polygon(&[(16.0, 1.0), (20.5, 8.0), (11.5, 8.0)]).filled(ink),
            ],
            Self::Tick => {
                vec![Shape::line(&[(5.0, 13.0), (10.0, 18.5), (19.5, 4.5)]).stroked_round(2.6, ink)]
            }
        }
    }
}

fn stop(ink: Colour, ground: Colour) -> Vec<Shape> {
    let corners = [
        (7.6, 1.5),
        (16.4, 1.5),
        (22.5, 7.6),
        (22.5, 16.4),
        (16.4, 22.5),
        (7.6, 22.5),
        (1.5, 16.4),
        (1.5, 7.6),
    ];
    vec![
        Shape::polygon(&corners).filled(ink),
        bar(10.6, 5.6, 2.8, 8.0).filled(ground),
        Shape::disc(12.0, 17.2, 1.6).filled(ground),
    ]
}

fn bar(left: f64, top: f64, width: f64, height: f64) -> Shape {
    Shape::rounded(
        Area {
            left,
            top,
            width,
            height,
        },
        width / 2.0,
    )
}
