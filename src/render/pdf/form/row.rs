//! Rows of questions: as many side by side as fit, in their order.

use crate::handout::model::form::{Answer, FormField};
use crate::render::pdf::error::RenderError;
use crate::render::pdf::flow::{Gap, Item};
use crate::render::pdf::piece::Piece;
use crate::render::pdf::shape::Shape;
use crate::render::pdf::sheet::{InPoints, Sheet, fits};

use super::cell::Cell;
use super::measures::{CELL_GAP, ROW, ROW_PAD};
use super::part::Parts;

/// Makes the rows of some questions in a width, each an item.
pub(super) fn rows(
    sheet: &Sheet,
    fields: &[FormField],
    measure: f64,
) -> Result<Vec<Item>, RenderError> {
    let mut items = Vec::new();
    let mut row: Vec<Cell> = Vec::new();
    for field in fields {
        let Answer::Beside(parts) = &field.answer else {
            continue;
        };
        let cell = Cell::new(sheet, field, Parts::new(sheet, parts)?)?;
        if !row.is_empty() && across(&row) + CELL_GAP + cell.width() > measure {
            items.push(Item::new(Gap::fixed(0.0), finish(sheet, &row, measure)?));
            row.clear();
        }
        row.push(cell);
    }
    if !row.is_empty() {
        items.push(Item::new(Gap::fixed(0.0), finish(sheet, &row, measure)?));
    }
    Ok(items)
}

#[expect(clippy::cast_precision_loss, reason = "a handful of questions")]
fn count(number: usize) -> f64 {
    number as f64
}

fn across(row: &[Cell]) -> f64 {
    let wide: f64 = row.iter().map(Cell::width).sum();
    wide + CELL_GAP * count(row.len().saturating_sub(1))
}

/// Shares the measure: what is left goes to lines to write on, else between the questions.
fn finish(sheet: &Sheet, row: &[Cell], measure: f64) -> Result<Piece, RenderError> {
    let spare = (measure - across(row)).max(0.0);
    let growing = row.iter().filter(|cell| cell.grows()).count();
    let more = if growing > 0 {
        spare / count(growing)
    } else {
        0.0
    };
    let widths: Vec<f64> = row
        .iter()
        .map(|cell| {
            let own = cell.width() + if cell.grows() { more } else { 0.0 };
            own.min(measure)
        })
        .collect();
    let used: f64 = widths.iter().sum();
    fits("a row of questions", used, measure + 0.01)?;
    let height = row
        .iter()
        .zip(&widths)
        .map(|(cell, width)| cell.height(*width) + ROW_PAD)
        .fold(ROW, f64::max);
    let mut piece = Piece::blank(height);
    let gaps = count(row.len().saturating_sub(1)).max(1.0);
    let gap = ((measure - used) / gaps).clamp(0.0, 2.0 * CELL_GAP);
    let mut x = 0.0;
    for (cell, width) in row.iter().zip(&widths) {
        piece.put(x, 0.0, cell.piece(sheet, *width, height));
        x += width + gap;
    }
    piece.draw(rule(sheet, height, measure));
    Ok(piece)
}

/// Makes the line under a row.
pub(super) fn rule(sheet: &Sheet, y: f64, width: f64) -> Shape {
    Shape::line(&[(0.0, y), (width, y)])
        .stroked(sheet.design.rule.hair.pt(), sheet.design.colour.line)
}
