//! Sends composed pages to a sink, with foot and stamp, once the number of pages is known.

use crate::handout::model::Frame;

use super::error::RenderError;
use super::flow::{Leaf, compose};
use super::furniture::{FirstPage, Foot, page_words, stamp};
use super::piece::{Mark, Piece};
use super::sheet::{Millimetres, Sheet};
use super::sink::Sink;

/// White between the body and what is pinned under it, at least, in millimetres.
pub const PINNED_GAP: f64 = 5.0;

/// Returns the room for items on a page, in millimetres.
pub fn room(body: f64, pinned: Option<&Piece>) -> f64 {
    pinned.map_or(body, |piece| body - piece.height - PINNED_GAP)
}

/// Sends every page to a sink.
pub fn emit(
    sheet: &Sheet,
    frame: &Frame,
    leaves: Vec<Leaf>,
    sink: &mut impl Sink,
) -> Result<(), RenderError> {
    let foot = Foot::new(sheet, frame)?;
    let body = foot.body(sheet);
    let (left, top) = (sheet.paper.left.mm(), sheet.paper.top.mm());
    let pages = leaves.len();
    for (index, leaf) in leaves.into_iter().enumerate() {
        let first = if index == 0 {
            FirstPage::Yes
        } else {
            FirstPage::No
        };
        sink.page(sheet.paper.width.mm(), sheet.paper.height.mm());
        if let Some(words) = &frame.preview {
            send(&stamp(sheet, words, first)?, sink);
        }
        let words = compose(leaf.items, room(body, leaf.pinned.as_ref()));
        send(&words.shifted(left, top), sink);
        if let Some(pinned) = leaf.pinned {
            let y = top + body - pinned.height;
            send(&pinned.shifted(left, y), sink);
        }
        let words = page_words(frame, index + 1, pages);
        send(&foot.piece(sheet, &words, first)?, sink);
    }
    Ok(())
}

fn send(piece: &Piece, sink: &mut impl Sink) {
    for mark in &piece.marks {
        match mark {
            Mark::Open(role) => sink.open(*role),
            Mark::Close => sink.close(),
            Mark::Text(line) => sink.text(line),
            Mark::Draw(shape) => sink.path(shape),
            Mark::Picture(placed) => sink.picture(placed),
        }
    }
}
