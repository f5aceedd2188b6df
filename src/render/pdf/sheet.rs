//! The page design, the chosen white space and the faces in one: sets type and makes paragraphs.
//!
//! Must not know what a page holds. Next: the parts of the pages use it.

use crate::domain::page::{Colour, Length, PageDesign, PaperShape, Pitch, Points, Space};
use crate::handout::model::Led;

use super::error::RenderError;
use super::face::{CAP, Face, Fonts, POINTS_A_MM};
use super::piece::{Line, Mark, Piece, Role};
use super::shape::{Area, Shape};
use super::wrap::{Column, Run, too_wide, wrap};

/// A length as millimetres.
pub trait Millimetres {
    /// Returns millimetres.
    fn mm(self) -> f64;
}

impl Millimetres for Length {
    fn mm(self) -> f64 {
        f64::from(self.hundredths()) / 100.0
    }
}

/// A weight or size as points.
pub trait InPoints {
    /// Returns points.
    fn pt(self) -> f64;
}

impl InPoints for Points {
    fn pt(self) -> f64 {
        f64::from(self.hundredths()) / 100.0
    }
}

/// How words are set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Type {
    /// Type size in points.
    pub size: f64,
    /// Line to line in millimetres.
    pub pitch: f64,
    /// Colour.
    pub colour: Colour,
}

impl Type {
    /// Returns the same type in another colour.
    #[must_use]
    pub const fn in_colour(self, colour: Colour) -> Self {
        Self { colour, ..self }
    }

    /// Returns the cap height in millimetres.
    pub fn cap(self) -> f64 {
        self.size * CAP / POINTS_A_MM
    }

    /// Returns the white between two lines, baseline to cap, in millimetres.
    pub fn leading(self) -> f64 {
        self.pitch - self.cap()
    }
}

/// Makes bold words.
pub fn bold(text: &str) -> Vec<Run> {
    vec![Run {
        face: Face::Bold,
        text: text.to_owned(),
    }]
}

/// Makes plain words.
pub fn plain(text: &str) -> Vec<Run> {
    vec![Run {
        face: Face::Regular,
        text: text.to_owned(),
    }]
}

/// Makes words with their bold lead-in.
pub fn led(words: &Led) -> Vec<Run> {
    match &words.lead {
        Some(lead) => lead_in(lead, &words.text),
        None => plain(&words.text),
    }
}

/// Makes a bold lead-in and the words after it.
pub fn lead_in(lead: &str, text: &str) -> Vec<Run> {
    let mut runs = bold(&format!("{lead} "));
    runs.extend(plain(text));
    runs
}

/// The page design, the chosen white space and the faces.
#[derive(Debug, Clone, Copy)]
pub struct Sheet<'a> {
    /// The faces.
    pub fonts: &'a Fonts,
    /// The page design.
    pub design: &'a PageDesign,
    /// The paper.
    pub paper: &'a PaperShape,
    /// The chosen white space.
    pub space: &'a Space,
}

impl<'a> Sheet<'a> {
    /// Returns the same sheet with other white space.
    #[must_use]
    pub const fn with_space(self, space: &'a Space) -> Self {
        Self { space, ..self }
    }

    /// Returns the width between the margins in millimetres.
    pub fn measure(&self) -> f64 {
        self.paper.width.mm() - self.paper.left.mm() - self.paper.right.mm()
    }

    fn set(&self, size: Points, pitch: Pitch) -> Type {
        let size = size.pt();
        let pitch = size / POINTS_A_MM * f64::from(pitch.thousandths()) / 1000.0;
        Type {
            size,
            pitch,
            colour: self.design.colour.ink,
        }
    }

    /// Type of everything that must be read.
    pub fn body(&self) -> Type {
        self.set(self.design.types.body, self.design.types.pitch)
    }

    /// Type of labels, in ink.
    pub fn label(&self) -> Type {
        self.set(self.design.types.label, self.design.types.pitch)
    }

    /// Type of the foot.
    pub fn foot(&self) -> Type {
        self.set(self.design.types.foot, self.design.types.pitch)
    }

    /// Type of a size for titles, headings and the like.
    pub fn display(&self, size: Points) -> Type {
        self.set(size, self.design.types.title_pitch)
    }

    /// Type of headings.
    pub fn heading(&self) -> Type {
        self.display(self.design.types.heading)
    }

    /// Sets words in a column, without saying what they are.
    pub fn words(&self, runs: &[Run], kind: Type, width: f64) -> Result<Piece, RenderError> {
        let column = Column {
            width,
            size: kind.size,
            beside: None,
        };
        self.words_in(runs, kind, column)
    }

    /// Sets words in a column that may begin narrower, without saying what they are.
    pub fn words_in(&self, runs: &[Run], kind: Type, column: Column) -> Result<Piece, RenderError> {
        let size = kind.size;
        let broken = wrap(self.fonts, runs, Column { size, ..column })?;
        let mut piece = Piece::blank(0.0);
        let mut baseline = kind.cap();
        for line in broken {
            piece.height = baseline;
            piece.marks.push(Mark::Text(Line {
                x: 0.0,
                baseline,
                width: line.width,
                size: kind.size,
                colour: kind.colour,
                runs: line.runs,
            }));
            baseline += kind.pitch;
        }
        Ok(piece)
    }

    /// Sets words in a column as one element.
    pub fn element(
        &self,
        role: Role,
        runs: &[Run],
        kind: Type,
        width: f64,
    ) -> Result<Piece, RenderError> {
        Ok(self.words(runs, kind, width)?.tagged(role))
    }

    /// Sets words in a column as a paragraph.
    pub fn paragraph(&self, runs: &[Run], kind: Type, width: f64) -> Result<Piece, RenderError> {
        self.element(Role::P, runs, kind, width)
    }

    /// Sets a heading across the page.
    pub fn heading_piece(&self, text: &str) -> Result<Piece, RenderError> {
        self.element(Role::H2, &bold(text), self.heading(), self.measure())
    }

    /// Sets the title of a page in a column.
    pub fn title(&self, text: &str, width: f64) -> Result<Piece, RenderError> {
        self.element(
            Role::H1,
            &bold(text),
            self.display(self.design.types.title),
            width,
        )
    }

    /// Sets one line that must not break, and returns it with its width in millimetres.
    pub fn single(&self, runs: &[Run], kind: Type) -> Result<(Piece, f64), RenderError> {
        let piece = self.words(runs, kind, f64::from(u16::MAX))?;
        let width = self.run_width(runs, kind.size)?;
        Ok((piece, width))
    }

    /// Measures runs on one line in millimetres.
    pub fn run_width(&self, runs: &[Run], size: f64) -> Result<f64, RenderError> {
        runs.iter().try_fold(0.0, |sum, run| {
            Ok(sum + self.fonts.width(run.face, &run.text, size)?)
        })
    }

    /// Makes a thin line across a width, centred on its own top edge.
    pub fn hairline(&self, width: f64) -> Shape {
        Shape::line(&[(0.0, 0.0), (width, 0.0)])
            .stroked(self.design.rule.hair.pt(), self.design.colour.line)
    }

    /// Makes a frame whose line lies fully inside an area.
    pub fn frame(&self, area: Area, weight: Points) -> Shape {
        let inside = area.inset(weight.pt() / POINTS_A_MM / 2.0);
        Shape::area(inside).stroked(weight.pt(), self.design.colour.ink)
    }
}

/// Checks that something fits its column, both in millimetres.
pub fn fits(what: &str, width: f64, column: f64) -> Result<(), RenderError> {
    if width > column {
        Err(too_wide(what.to_owned(), width, column))
    } else {
        Ok(())
    }
}
