//! Boxes to tick with what each means, in two columns.

use crate::handout::model::form::{Choice, FormField};
use crate::render::pdf::error::RenderError;
use crate::render::pdf::flow::{Gap, Item};
use crate::render::pdf::piece::{Piece, Role};
use crate::render::pdf::sheet::{Sheet, bold, plain};

use super::cell::in_one_line;
use super::measures::{BOX_GAP, CAPTION_GAP, CELL_GAP, CHOICE_PAD, HEADING_GAP, TICK, answer_type};
use super::part::tick_box;
use super::row::rule;

/// Makes the question and its choices, down the left column and then down the right one.
pub(super) fn list(
    sheet: &Sheet,
    field: &FormField,
    choices: &[Choice],
) -> Result<Vec<Item>, RenderError> {
    let (question, _) = in_one_line(sheet, field)?;
    let width = (sheet.measure() - CELL_GAP) / 2.0;
    let mut piece = Piece::blank(0.0);
    let half = choices.len().div_ceil(2);
    for (index, column) in choices.chunks(half.max(1)).enumerate() {
        let left = if index == 0 { 0.0 } else { width + CELL_GAP };
        let mut y = 0.0;
        for choice in column {
            let drawn = one(sheet, choice, width)?;
            let height = drawn.height;
            piece.put(left, y, drawn);
            y += height;
        }
        piece.height = piece.height.max(y);
    }
    piece.height += CHOICE_PAD;
    piece.draw(rule(sheet, piece.height, sheet.measure()));
    Ok(vec![
        Item::new(Gap::fixed(CAPTION_GAP), question.tagged(Role::P)).with_next(),
        Item::new(Gap::fixed(HEADING_GAP / 2.0), piece),
    ])
}

fn one(sheet: &Sheet, choice: &Choice, width: f64) -> Result<Piece, RenderError> {
    let kind = answer_type(sheet);
    let mut runs = bold(&choice.word);
    if !choice.means.is_empty() {
        runs.extend(plain(&format!("  {}", choice.means)));
    }
    let left = TICK + BOX_GAP;
    let words = sheet.paragraph(&runs, kind, width - left)?;
    let above = (TICK - kind.cap()) / 2.0;
    let mut piece = Piece::blank(above + words.height + above + 2.0 * CHOICE_PAD);
    let middle = CHOICE_PAD + TICK / 2.0;
    piece.draw(tick_box(sheet, 0.0, middle));
    piece.put(left, middle - kind.cap() / 2.0, words);
    Ok(piece)
}
