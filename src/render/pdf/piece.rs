//! A piece of a page: marks in reading order, placed from its own top left.
//!
//! Pieces nest; the marks of the inner one are moved. Must not know of papers or pages.
//! Next: `flow` stacks pieces.

use crate::domain::page::Colour;
use crate::figure::Drawing;

use super::shape::Shape;
use super::wrap::Run;

/// What a mark is to a reader who cannot see the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Part of the page, not of the text: a foot, a stamp.
    Artifact,
    /// Title of the document or of a page.
    H1,
    /// Heading.
    H2,
    /// Paragraph.
    P,
    /// Section that stays together, such as an exercise.
    Sect,
    /// List.
    L,
    /// Item of a list.
    Li,
    /// Table.
    Table,
    /// Row of a table.
    Tr,
    /// Header cell.
    Th,
    /// Cell.
    Td,
    /// Picture.
    Figure,
}

/// A line of words at its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Left edge, millimetres.
    pub x: f64,
    /// Baseline, millimetres down.
    pub baseline: f64,
    /// Width, millimetres.
    pub width: f64,
    /// Type size, points.
    pub size: f64,
    /// Colour.
    pub colour: Colour,
    /// The words.
    pub runs: Vec<Run>,
}

/// A picture at its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// Left edge, millimetres.
    pub x: f64,
    /// Top edge, millimetres.
    pub y: f64,
    /// The shapes; its numbers are lines of words.
    pub drawing: Drawing,
    /// For those who cannot see it.
    pub alt: String,
}

/// One thing on the page, or the begin or end of an element.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// An element begins.
    Open(Role),
    /// The element begun last ends.
    Close,
    /// A line of words.
    Text(Line),
    /// A path; always an artifact to a reader who cannot see it.
    Draw(Shape),
    /// A picture.
    Picture(Placed),
}

/// Marks in reading order with the height they take.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Height in millimetres, cap height to baseline or edge to edge.
    pub height: f64,
    /// The marks.
    pub marks: Vec<Mark>,
}

impl Piece {
    /// Makes a piece without marks.
    pub const fn blank(height: f64) -> Self {
        Self {
            height,
            marks: Vec::new(),
        }
    }

    /// Puts another piece at a place, without growing.
    pub fn put(&mut self, x: f64, y: f64, other: Self) {
        self.marks
            .extend(other.marks.into_iter().map(|mark| moved(mark, x, y)));
    }

    /// Puts another piece under this one after a gap, and grows.
    pub fn stack(&mut self, x: f64, gap: f64, other: Self) {
        let y = self.height + gap;
        self.height = y + other.height;
        self.put(x, y, other);
    }

    /// Draws a path.
    pub fn draw(&mut self, shape: Shape) {
        self.marks.push(Mark::Draw(shape));
    }

    /// Begins an element.
    pub fn open(&mut self, role: Role) {
        self.marks.push(Mark::Open(role));
    }

    /// Ends the element begun last.
    pub fn close(&mut self) {
        self.marks.push(Mark::Close);
    }

    /// Makes the whole piece one element.
    #[must_use]
    pub fn tagged(mut self, role: Role) -> Self {
        self.marks.insert(0, Mark::Open(role));
        self.marks.push(Mark::Close);
        self
    }

    /// Moves every mark.
    #[must_use]
    pub fn shifted(mut self, x: f64, y: f64) -> Self {
        self.marks = self
            .marks
            .into_iter()
            .map(|mark| moved(mark, x, y))
            .collect();
        self
    }

    /// Returns the first words, to name the piece in a message.
    pub fn first_words(&self) -> String {
        let first = self.marks.iter().find_map(|mark| match mark {
            Mark::Text(line) if line.runs.iter().any(|run| run.text.len() > 2) => Some(line),
            Mark::Text(_) | Mark::Open(_) | Mark::Close | Mark::Draw(_) | Mark::Picture(_) => None,
        });
        first.map_or_else(String::new, |line| {
            line.runs.iter().map(|run| run.text.as_str()).collect()
        })
    }
}

fn moved(mark: Mark, x: f64, y: f64) -> Mark {
    match mark {
        Mark::Text(mut line) => {
            line.x += x;
            line.baseline += y;
            Mark::Text(line)
        }
        Mark::Draw(mut shape) => {
            shape.shift(x, y);
            Mark::Draw(shape)
        }
        Mark::Picture(mut placed) => {
            placed.x += x;
            placed.y += y;
            Mark::Picture(placed)
        }
        Mark::Open(role) => Mark::Open(role),
        Mark::Close => Mark::Close,
    }
}
