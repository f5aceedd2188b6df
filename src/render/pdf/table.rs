//! "Your rules": a table with a header row and columns as wide as their words need.

use crate::handout::model::Table;

use super::error::RenderError;
use super::flow::{Gap, Item};
use super::piece::{Piece, Role};
use super::section::{HEADING_GAP, heading};
use super::shape::Shape;
use super::sheet::{InPoints, Millimetres, Sheet, bold, plain};
use super::wrap::{Run, too_wide};

/// White between two columns, millimetres.
const GUTTER: f64 = 5.0;

/// Makes the table, a row an item; its head comes again on a further page.
pub fn table(sheet: &Sheet, table: &Table) -> Result<Vec<Item>, RenderError> {
    if table.rows.is_empty() {
        return Ok(Vec::new());
    }
    let widths = widths(sheet, table)?;
    let mut items = heading(sheet, &table.title)?;
    let head = head(sheet, table, &widths)?;
    let again = head.clone().tagged(Role::Artifact);
    items.push(
        Item::new(Gap::fixed(HEADING_GAP), head)
            .part_of(Role::Table)
            .with_next(),
    );
    for (index, cells) in table.rows.iter().enumerate() {
        let mut item = Item::new(Gap::fixed(0.0), row(sheet, cells, &widths)?).part_of(Role::Table);
        if index > 0 {
            item.again = Some(again.clone());
        }
        items.push(item);
    }
    Ok(items)
}

fn head(sheet: &Sheet, table: &Table, widths: &[f64]) -> Result<Piece, RenderError> {
    let mut piece = cells(sheet, &table.head, widths, Role::Th)?;
    piece.height += 2.6;
    let y = piece.height;
    piece.draw(
        Shape::line(&[(0.0, y), (sheet.measure(), y)])
            .stroked(sheet.design.rule.opener.pt(), sheet.design.colour.ink),
    );
    Ok(piece.tagged(Role::Tr))
}

fn row(sheet: &Sheet, words: &[String], widths: &[f64]) -> Result<Piece, RenderError> {
    let pad = sheet.space.row_pad.mm();
    let inner = cells(sheet, words, widths, Role::Td)?;
    let mut piece = Piece::blank(inner.height + 2.0 * pad);
    piece.put(0.0, pad, inner);
    let mut line = sheet.hairline(sheet.measure());
    line.shift(0.0, piece.height);
    piece.draw(line);
    Ok(piece.tagged(Role::Tr))
}

fn cells(
    sheet: &Sheet,
    words: &[String],
    widths: &[f64],
    role: Role,
) -> Result<Piece, RenderError> {
    let mut piece = Piece::blank(0.0);
    let mut x = 0.0;
    for (index, (words, width)) in words.iter().zip(widths).enumerate() {
        let runs = runs(words, role, index);
        let cell = sheet.element(role, &runs, sheet.body(), *width)?;
        piece.height = piece.height.max(cell.height);
        piece.put(x, 0.0, cell);
        x += width + GUTTER;
    }
    Ok(piece)
}

/// Head cells and the first column are bold.
fn runs(words: &str, role: Role, column: usize) -> Vec<Run> {
    if role == Role::Th || column == 0 {
        bold(words)
    } else {
        plain(words)
    }
}

/// Shares the measure: each column its longest word, the rest by how much the column has to say.
#[expect(clippy::cast_precision_loss, reason = "a handful of columns")]
fn widths(sheet: &Sheet, table: &Table) -> Result<Vec<f64>, RenderError> {
    let size = sheet.body().size;
    let mut least = vec![0.0_f64; table.head.len()];
    let mut whole = vec![0.0_f64; table.head.len()];
    let head = std::iter::once((Role::Th, &table.head));
    for (role, cells) in head.chain(table.rows.iter().map(|row| (Role::Td, row))) {
        for (index, words) in cells.iter().enumerate().take(table.head.len()) {
            whole[index] = whole[index].max(sheet.run_width(&runs(words, role, index), size)?);
            for word in words.split(' ') {
                let width = sheet.run_width(&runs(word, role, index), size)? + 0.1;
                least[index] = least[index].max(width);
            }
        }
    }
    let room = sheet.measure() - GUTTER * table.head.len().saturating_sub(1) as f64;
    let needed: f64 = least.iter().sum();
    if needed > room {
        return Err(too_wide(table.title.clone(), needed, room));
    }
    let wish: Vec<f64> = whole
        .iter()
        .zip(&least)
        .map(|(whole, least)| whole - least)
        .collect();
    let wished: f64 = wish.iter().sum();
    let share = if wished > 0.0 {
        ((room - needed) / wished).min(1.0)
    } else {
        0.0
    };
    Ok(least
        .iter()
        .zip(&wish)
        .map(|(least, wish)| least + wish.max(0.0) * share)
        .collect())
}
