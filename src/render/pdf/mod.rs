//! Draws a document on pages, and records what stands where.
//!
//! Words and numbers come in; nothing here knows of exercises, doses or dates but as words.

use crate::domain::page::PageDesign;
use crate::domain::word::Paper;
use crate::handout::model::{Document, Frame};

use self::emit::emit;
use self::face::Fonts;
use self::flow::Leaf;
use self::paint::Painter;
use self::record::Recorder;
use self::sheet::Sheet;
use self::sink::Sink;

pub use self::error::RenderError;
pub use self::piece::Role;
pub use self::record::{PageRecord, PathRecord, PictureRecord, Recording, TextRecord};
pub use self::shape::Area;

mod block;
mod daily;
mod diary;
mod emit;
mod error;
mod face;
mod figures;
mod finish;
mod first;
mod flow;
mod form;
mod furniture;
mod handout;
mod list;
mod paint;
mod picture;
mod piece;
mod plan;
mod record;
mod rest;
mod section;
mod shape;
mod sheet;
mod sign;
mod sink;
mod stages;
mod table;
mod tier;
mod void;
mod withheld;
mod wrap;

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests;

/// Draws a document as a PDF; equal documents give equal bytes.
pub fn pdf(document: &Document, design: &PageDesign) -> Result<Vec<u8>, RenderError> {
    let mut painter = Painter::default();
    send(document, design, &mut painter)?;
    let (pages, pictures) = painter.finish()?;
    finish::file(Fonts::get()?, frame(document), pages, pictures)
}

/// Records what stands where on the pages of a document.
pub fn record(document: &Document, design: &PageDesign) -> Result<Recording, RenderError> {
    let mut recorder = Recorder::default();
    send(document, design, &mut recorder)?;
    Ok(recorder.finish())
}

/// Says which word of a label is too long for the column of labels beside a row of words.
pub fn label_fault(label: &str, design: &PageDesign) -> Result<(), RenderError> {
    let sheet = Sheet {
        fonts: Fonts::get()?,
        design,
        paper: design.paper.of(Paper::A4),
        space: &design.space.normal,
    };
    section::label_of(&sheet, label).map(|_| ())
}

const fn frame(document: &Document) -> &Frame {
    match document {
        Document::Handout(handout) => &handout.frame,
        Document::Withheld(page) => &page.frame,
        Document::Form(form) => &form.frame,
        Document::Figures(figures) => &figures.frame,
    }
}

fn send(document: &Document, design: &PageDesign, sink: &mut impl Sink) -> Result<(), RenderError> {
    let frame = frame(document);
    let space = match frame.paper {
        Paper::A4 => &design.space.normal,
        Paper::Letter => &design.space.tight,
    };
    let paper = design.paper.of(frame.paper);
    let sheet = Sheet {
        fonts: Fonts::get()?,
        design,
        paper,
        space,
    };
    emit(&sheet, frame, leaves(&sheet, document)?, sink)
}

fn leaves(sheet: &Sheet, document: &Document) -> Result<Vec<Leaf>, RenderError> {
    match document {
        Document::Handout(handout) => handout::leaves(sheet, handout),
        Document::Withheld(page) => withheld::leaves(sheet, page),
        Document::Form(blank) => form::leaves(sheet, blank),
        Document::Figures(figures) => figures::leaves(sheet, figures),
    }
}
