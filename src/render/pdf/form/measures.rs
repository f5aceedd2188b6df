//! The numbers of a form: type in points, lengths in millimetres.
//!
//! A box is at least 4 mm wide and two lines to write on lie at least 8 mm apart.

use crate::render::pdf::face::POINTS_A_MM;
use crate::render::pdf::sheet::{Sheet, Type};

/// Side of a box to tick.
pub(super) const TICK: f64 = 4.3;

/// Width of a box for one figure.
pub(super) const FIGURE: f64 = 5.0;

/// Height of a box for one figure.
pub(super) const FIGURE_HEIGHT: f64 = 6.2;

/// Box to the word after it.
pub(super) const BOX_GAP: f64 = 1.3;

/// Between two things to write on.
pub(super) const PART_GAP: f64 = 3.2;

/// Shortest line to write on.
pub(super) const LINE: f64 = 18.0;

/// Between two rows of boxes of one answer.
pub(super) const ANSWER_PITCH: f64 = 6.4;

/// Least height of a row of questions: lines to write on are that far apart.
pub(super) const ROW: f64 = 8.0;

/// Above and below what stands in a row, together.
pub(super) const ROW_PAD: f64 = 0.8;

/// Number of a question to its words.
pub(super) const NUMBER: f64 = 5.6;

/// Question to its answer.
pub(super) const QUESTION_GAP: f64 = 2.6;

/// Between two questions of a row.
pub(super) const CELL_GAP: f64 = 4.0;

/// Question to the small line under it, baseline to cap.
pub(super) const SMALL_GAP: f64 = 1.3;

/// Above and below the words of a table row.
pub(super) const TABLE_PAD: f64 = 0.25;

/// A table no higher than this stays on one page.
pub(super) const WHOLE: f64 = 110.0;

/// A section no higher than this stays on one page: what is asked together is not turned over for.
pub(super) const SECTION_WHOLE: f64 = 150.0;

/// Width of a column of boxes.
pub(super) const BOX_COLUMN: f64 = 9.6;

/// Between two columns of words.
pub(super) const COLUMN_GAP: f64 = 2.0;

/// Above and below a choice of a list.
pub(super) const CHOICE_PAD: f64 = 0.7;

/// Masthead to title, and title to the box for a name.
pub(super) const HEAD_GAP: f64 = 3.2;

/// Between two notes.
pub(super) const NOTE_GAP: f64 = 2.2;

/// Between two known facts.
pub(super) const FACT_GAP: f64 = 2.0;

/// Heading to what follows it.
pub(super) const HEADING_GAP: f64 = 1.6;

/// Above the question over a table or a list.
pub(super) const CAPTION_GAP: f64 = 1.0;

/// Between two sections, at least.
pub(super) const SECTION_LEAST: f64 = 2.6;

/// Between two sections, at most.
pub(super) const SECTION_MOST: f64 = 8.0;

/// Line to line, as a part of the type size.
const PITCH: f64 = 1.2;

fn set(sheet: &Sheet, size: f64) -> Type {
    Type {
        size,
        pitch: size / POINTS_A_MM * PITCH,
        colour: sheet.design.colour.ink,
    }
}

/// Type of the title.
pub(super) fn title_type(sheet: &Sheet) -> Type {
    set(sheet, 19.0)
}

/// Type of headings.
pub(super) fn heading_type(sheet: &Sheet) -> Type {
    set(sheet, 13.0)
}

/// Type of questions and of the words beside a box.
pub(super) fn answer_type(sheet: &Sheet) -> Type {
    set(sheet, 10.0)
}

/// Type of notes and of the signs.
pub(super) fn note_type(sheet: &Sheet) -> Type {
    set(sheet, 9.5)
}

/// Type of flags and marks: the smallest.
pub(super) fn small_type(sheet: &Sheet) -> Type {
    set(sheet, 9.0)
}
