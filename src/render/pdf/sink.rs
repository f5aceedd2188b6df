//! Where marks go: one page after another, in reading order.
//!
//! One sink writes a file, another keeps everything for checks.

use super::piece::{Line, Placed, Role};
use super::shape::Shape;

/// Takes the marks of a document, page by page, in reading order.
pub trait Sink {
    /// Begins a page of a width and height in millimetres.
    fn page(&mut self, width: f64, height: f64);

    /// Begins an element.
    fn open(&mut self, role: Role);

    /// Ends the element begun last.
    fn close(&mut self);

    /// Takes a line of words.
    fn text(&mut self, line: &Line);

    /// Takes a path.
    fn path(&mut self, shape: &Shape);

    /// Takes a picture.
    fn picture(&mut self, placed: &Placed);
}
