//! Boxes to tick, row by row: the signs.

use crate::handout::model::form::{FormField, FormTable};
use crate::render::pdf::error::RenderError;
use crate::render::pdf::flow::{Gap, Item, height};
use crate::render::pdf::piece::{Piece, Role};
use crate::render::pdf::shape::Shape;
use crate::render::pdf::sheet::{InPoints, Sheet, Type, bold, fits, plain};

use super::cell::in_one_line;
use super::measures::{
    BOX_COLUMN, CAPTION_GAP, COLUMN_GAP, TABLE_PAD, TICK, WHOLE, note_type, small_type,
};
use super::part::tick_box;
use super::row::rule;

/// Makes the table, a row an item; its head comes again on a further page.
pub(super) fn table(
    sheet: &Sheet,
    field: &FormField,
    table: &FormTable,
) -> Result<Vec<Item>, RenderError> {
    let widths = widths(sheet, table)?;
    let head = head(sheet, field, table, &widths)?;
    let again = head.clone().tagged(Role::Artifact);
    let mut items = vec![
        Item::new(Gap::fixed(CAPTION_GAP), head.tagged(Role::Tr))
            .part_of(Role::Table)
            .with_next(),
    ];
    for (index, words) in table.rows.iter().enumerate() {
        let row = row(sheet, table, words, &widths)?;
        let mut item = Item::new(Gap::fixed(0.0), row).part_of(Role::Table);
        if index > 0 {
            item.again = Some(again.clone());
        }
        items.push(item);
    }
    if height(&items) <= WHOLE {
        let last = items.pop();
        items = items.into_iter().map(Item::with_next).collect();
        items.extend(last);
    }
    Ok(items)
}

/// Returns the type of a column: what is typed and how soon are small.
fn kind(sheet: &Sheet, column: usize) -> Type {
    if column == 1 {
        note_type(sheet)
    } else {
        small_type(sheet)
    }
}

/// Returns the left edge and width of each column of words; the second takes the room that is left.
fn widths(sheet: &Sheet, table: &FormTable) -> Result<Vec<f64>, RenderError> {
    let mut widths = vec![0.0_f64; table.words.len()];
    for words in std::iter::once(&table.words).chain(&table.rows) {
        for (column, words) in words.iter().enumerate().take(widths.len()) {
            let wide = sheet.run_width(&bold(words), kind(sheet, column).size)?;
            widths[column] = widths[column].max(wide + COLUMN_GAP);
        }
    }
    let others: f64 = widths
        .iter()
        .enumerate()
        .filter(|(column, _)| *column != 1)
        .map(|(_, width)| width)
        .sum();
    let room = boxes_left(sheet, table) - others;
    if let Some(widest) = widths.get_mut(1) {
        *widest = room;
    }
    Ok(widths)
}

#[expect(clippy::cast_precision_loss, reason = "a handful of boxes")]
fn boxes_left(sheet: &Sheet, table: &FormTable) -> f64 {
    sheet.measure() - BOX_COLUMN * table.boxes.len() as f64
}

fn head(
    sheet: &Sheet,
    field: &FormField,
    table: &FormTable,
    widths: &[f64],
) -> Result<Piece, RenderError> {
    let (words, wide) = in_one_line(sheet, field)?;
    let small = small_type(sheet);
    let mut piece = Piece::blank(words.height + 1.2);
    let top = words.height - small.cap();
    piece.put(0.0, 0.0, words.tagged(Role::Th));
    let mut x = 0.0;
    for (words, width) in table.words.iter().zip(widths) {
        if !words.is_empty() {
            fits(words, wide, x)?;
            let (words, _) = sheet.single(&bold(words), small)?;
            piece.put(x, top, words.tagged(Role::Th));
        }
        x += width;
    }
    x = boxes_left(sheet, table);
    for words in &table.boxes {
        let (words, wide) = sheet.single(&bold(words), small)?;
        piece.put(x + (BOX_COLUMN - wide) / 2.0, top, words.tagged(Role::Th));
        x += BOX_COLUMN;
    }
    piece.draw(
        Shape::line(&[(0.0, piece.height), (sheet.measure(), piece.height)])
            .stroked(sheet.design.rule.opener.pt(), sheet.design.colour.ink),
    );
    Ok(piece)
}

fn row(
    sheet: &Sheet,
    table: &FormTable,
    words: &[String],
    widths: &[f64],
) -> Result<Piece, RenderError> {
    let mut cells = Vec::new();
    let mut x = 0.0;
    let mut height = TICK;
    for (column, (words, width)) in words.iter().zip(widths).enumerate() {
        let runs = if column == 0 {
            bold(words)
        } else {
            plain(words)
        };
        let cell = sheet.element(Role::Td, &runs, kind(sheet, column), width - COLUMN_GAP)?;
        height = height.max(cell.height);
        cells.push((x, cell));
        x += width;
    }
    let mut piece = Piece::blank(height + 2.0 * TABLE_PAD);
    let middle = piece.height / 2.0;
    for (x, cell) in cells {
        let top = middle - cell.height / 2.0;
        piece.put(x, top, cell);
    }
    let mut left = boxes_left(sheet, table) + (BOX_COLUMN - TICK) / 2.0;
    for _ in &table.boxes {
        piece.draw(tick_box(sheet, left, middle));
        left += BOX_COLUMN;
    }
    piece.draw(rule(sheet, piece.height, sheet.measure()));
    Ok(piece.tagged(Role::Tr))
}
