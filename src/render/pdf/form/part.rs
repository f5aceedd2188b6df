//! Things to write on: a box to tick, boxes for figures, a line; and words between them.
//!
//! Must not know which question they answer. Next: `cell` puts them beside it.

use crate::handout::model::form::Part;
use crate::render::pdf::error::RenderError;
use crate::render::pdf::face::POINTS_A_MM;
use crate::render::pdf::piece::Piece;
use crate::render::pdf::shape::{Area, Shape};
use crate::render::pdf::sheet::{InPoints, Sheet, plain};

use super::measures::{
    ANSWER_PITCH, BOX_GAP, FIGURE, FIGURE_HEIGHT, LINE, PART_GAP, TICK, answer_type,
};

/// Sums of widths may differ by this much, in millimetres.
const ROUNDING: f64 = 0.01;

/// One thing drawn, with the width it takes. Its middle is at y 0.
#[derive(Debug, Clone)]
struct Drawn {
    piece: Piece,
    width: f64,
    gap: f64,
    /// A line to write on takes what room is left.
    grows: Grows,
}

/// Whether a thing takes the room that is left over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Grows {
    Yes,
    No,
}

/// An answer: its parts side by side, on as many lines as they need.
#[derive(Debug, Clone)]
pub(super) struct Parts {
    drawn: Vec<Drawn>,
}

impl Parts {
    /// Sets the parts of an answer.
    pub(super) fn new(sheet: &Sheet, parts: &[Part]) -> Result<Self, RenderError> {
        let drawn = parts.iter().map(|part| draw(sheet, part));
        Ok(Self {
            drawn: drawn.collect::<Result<_, _>>()?,
        })
    }

    /// Returns the width on one line, lines to write on at their shortest.
    pub(super) fn width(&self) -> f64 {
        across(&self.drawn)
    }

    /// Says whether it has a line to write on, which takes any room.
    pub(super) fn grows(&self) -> bool {
        self.drawn.iter().any(|part| part.grows == Grows::Yes)
    }

    /// Returns the height in a width.
    pub(super) fn height(&self, width: f64) -> f64 {
        let lines = self.lines(width).len().max(1);
        FIGURE_HEIGHT + ANSWER_PITCH * count(lines - 1)
    }

    /// Draws the answer in a width, its top at y 0.
    pub(super) fn piece(&self, sheet: &Sheet, width: f64) -> Piece {
        let mut piece = Piece::blank(self.height(width));
        let mut middle = FIGURE_HEIGHT / 2.0;
        for line in self.lines(width) {
            let mut x = 0.0;
            let spare = width - across(line);
            for part in line {
                let wide = match part.grows {
                    Grows::Yes => part.width + spare,
                    Grows::No => part.width,
                };
                if part.grows == Grows::Yes {
                    piece.draw(writing_line(sheet, x, middle, wide));
                }
                piece.put(x, middle, part.piece.clone());
                x += wide + part.gap;
            }
            middle += ANSWER_PITCH;
        }
        piece
    }

    fn lines(&self, width: f64) -> Vec<&[Drawn]> {
        let mut lines = Vec::new();
        let mut from = 0;
        for to in 1..=self.drawn.len() {
            if to > from + 1 && across(&self.drawn[from..to]) > width + ROUNDING {
                lines.push(&self.drawn[from..to - 1]);
                from = to - 1;
            }
        }
        if from < self.drawn.len() {
            lines.push(&self.drawn[from..]);
        }
        lines
    }
}

#[expect(clippy::cast_precision_loss, reason = "a handful of boxes")]
fn count(number: usize) -> f64 {
    number as f64
}

fn across(drawn: &[Drawn]) -> f64 {
    let all: f64 = drawn.iter().map(|part| part.width + part.gap).sum();
    all - drawn.last().map_or(0.0, |part| part.gap)
}

fn draw(sheet: &Sheet, part: &Part) -> Result<Drawn, RenderError> {
    match part {
        Part::Tick(word) => tick(sheet, word),
        Part::Figures { count, after } => figures(sheet, *count, after),
        Part::Line => Ok(Drawn {
            piece: Piece::blank(0.0),
            width: LINE,
            gap: PART_GAP,
            grows: Grows::Yes,
        }),
        Part::Words(words) => words_only(sheet, words),
    }
}

fn writing_line(sheet: &Sheet, x: f64, middle: f64, width: f64) -> Shape {
    let y = middle + FIGURE_HEIGHT / 2.0 - 0.4;
    Shape::line(&[(x, y), (x + width, y)])
        .stroked(sheet.design.rule.thin.pt(), sheet.design.colour.ink)
}

/// Makes an empty box whose line lies inside it.
pub(super) fn empty(sheet: &Sheet, area: Area) -> Shape {
    let weight = sheet.design.rule.thin.pt();
    Shape::area(area.inset(weight / POINTS_A_MM / 2.0)).stroked(weight, sheet.design.colour.ink)
}

/// Makes a box to tick round a middle.
pub(super) fn tick_box(sheet: &Sheet, left: f64, middle: f64) -> Shape {
    let area = Area {
        left,
        top: middle - TICK / 2.0,
        width: TICK,
        height: TICK,
    };
    empty(sheet, area)
}

/// Sets words with their middle at y 0.
fn centred(sheet: &Sheet, words: &str) -> Result<(Piece, f64), RenderError> {
    let kind = answer_type(sheet);
    let (piece, width) = sheet.single(&plain(words), kind)?;
    Ok((piece.shifted(0.0, -kind.cap() / 2.0), width))
}

fn tick(sheet: &Sheet, word: &str) -> Result<Drawn, RenderError> {
    let (words, width) = centred(sheet, word)?;
    let mut piece = Piece::blank(0.0);
    piece.draw(tick_box(sheet, 0.0, 0.0));
    piece.put(TICK + BOX_GAP, 0.0, words);
    Ok(Drawn {
        piece,
        width: TICK + BOX_GAP + width,
        gap: PART_GAP,
        grows: Grows::No,
    })
}

fn figures(sheet: &Sheet, figures: usize, after: &str) -> Result<Drawn, RenderError> {
    let mut piece = Piece::blank(0.0);
    let mut width = 0.0;
    for _ in 0..figures {
        let area = Area {
            left: width,
            top: -FIGURE_HEIGHT / 2.0,
            width: FIGURE,
            height: FIGURE_HEIGHT,
        };
        piece.draw(empty(sheet, area));
        width += FIGURE;
    }
    // A sign that joins two groups of figures stands close to both.
    let joins = after == "-";
    if !after.is_empty() {
        let (words, wide) = centred(sheet, after)?;
        let gap = if joins { BOX_GAP / 2.0 } else { BOX_GAP };
        piece.put(width + gap, 0.0, words);
        width += gap + wide;
    }
    Ok(Drawn {
        piece,
        width,
        gap: if joins { BOX_GAP / 2.0 } else { PART_GAP },
        grows: Grows::No,
    })
}

fn words_only(sheet: &Sheet, words: &str) -> Result<Drawn, RenderError> {
    let (piece, width) = centred(sheet, words)?;
    Ok(Drawn {
        piece,
        width,
        gap: PART_GAP / 2.0,
        grows: Grows::No,
    })
}
