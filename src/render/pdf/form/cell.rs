//! One question with its answer beside it.
//!
//! Must not know what else stands in its row. Next: `row` puts cells side by side.

use crate::handout::model::form::FormField;
use crate::render::pdf::error::RenderError;
use crate::render::pdf::piece::{Piece, Role};
use crate::render::pdf::sheet::{Sheet, bold, plain};
use crate::render::pdf::wrap::Run;

use super::measures::{COLUMN_GAP, NUMBER, QUESTION_GAP, SMALL_GAP, answer_type, small_type};
use super::part::Parts;

/// A question and the answer beside it.
#[derive(Debug, Clone)]
pub(super) struct Cell {
    question: Piece,
    /// Width of number and question.
    asked: f64,
    answer: Parts,
}

impl Cell {
    /// Sets a question and its answer.
    pub(super) fn new(
        sheet: &Sheet,
        field: &FormField,
        answer: Parts,
    ) -> Result<Self, RenderError> {
        let (question, asked) = asked(sheet, field)?;
        Ok(Self {
            question,
            asked,
            answer,
        })
    }

    /// Returns the width it would like to have.
    pub(super) fn width(&self) -> f64 {
        self.asked + QUESTION_GAP + self.answer.width()
    }

    /// Says whether it can use more room than it needs.
    pub(super) fn grows(&self) -> bool {
        self.answer.grows()
    }

    /// Returns the height in a width.
    pub(super) fn height(&self, width: f64) -> f64 {
        let beside = self.answer.height(width - self.asked - QUESTION_GAP);
        self.question.height.max(beside)
    }

    /// Draws it in a width and a height, as one paragraph.
    pub(super) fn piece(&self, sheet: &Sheet, width: f64, height: f64) -> Piece {
        let answer = self.answer.piece(sheet, width - self.asked - QUESTION_GAP);
        let mut piece = Piece::blank(height);
        let own = self.height(width);
        let top = (height - own) / 2.0;
        let drop = (own - self.question.height) / 2.0;
        piece.put(0.0, top + drop.min(0.6), self.question.clone());
        let x = self.asked + QUESTION_GAP;
        piece.put(x, top + (own - answer.height) / 2.0, answer);
        piece.tagged(Role::P)
    }
}

/// Sets number, question and the small line under it; returns its width.
fn asked(sheet: &Sheet, field: &FormField) -> Result<(Piece, f64), RenderError> {
    let kind = answer_type(sheet);
    let mut piece = Piece::blank(0.0);
    let mut left = 0.0;
    if let Some(number) = field.number {
        let (number, _) = sheet.single(&plain(&number.to_string()), kind)?;
        piece.put(0.0, 0.0, number);
        left = NUMBER;
    }
    let (question, wide) = sheet.single(&bold(&field.question), kind)?;
    piece.stack(left, 0.0, question);
    let small = small_words(field);
    let mut width = wide;
    if !small.is_empty() {
        let (words, wide) = sheet.single(&small, small_type(sheet))?;
        piece.stack(left, SMALL_GAP, words);
        width = width.max(wide);
    }
    Ok((piece, left + width))
}

/// Makes the words under a question: its marks, then what takes the answer.
fn small_words(field: &FormField) -> Vec<Run> {
    let marks = field.marks.join(", ");
    let typed = field.typed.join(" ");
    let mut runs = Vec::new();
    if !marks.is_empty() {
        let space = if typed.is_empty() { "" } else { "  " };
        runs.extend(bold(&format!("{marks}{space}")));
    }
    if !typed.is_empty() {
        runs.extend(plain(&typed));
    }
    runs
}

/// Sets number, question, marks and flag on one line; returns its width.
pub(super) fn in_one_line(sheet: &Sheet, field: &FormField) -> Result<(Piece, f64), RenderError> {
    let kind = answer_type(sheet);
    let mut piece = Piece::blank(kind.cap());
    if let Some(number) = field.number {
        let (number, _) = sheet.single(&plain(&number.to_string()), kind)?;
        piece.put(0.0, 0.0, number);
    }
    let (question, wide) = sheet.single(&bold(&field.question), kind)?;
    piece.put(NUMBER, 0.0, question);
    let beside = NUMBER + wide + COLUMN_GAP;
    let small = small_type(sheet);
    let (words, wide) = sheet.single(&small_words(field), small)?;
    piece.put(beside, kind.cap() - small.cap(), words);
    Ok((piece, beside + wide))
}
