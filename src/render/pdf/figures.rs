//! The contact sheet: one row an exercise, at the size it is printed on a sheet.

use crate::handout::model::{FigureRow, FigureSheet};

use super::emit::room;
use super::error::RenderError;
use super::flow::{Gap, Item, Leaf, pages};
use super::furniture::Foot;
use super::picture::{BETWEEN, pair};
use super::piece::{Piece, Role};
use super::sheet::{Sheet, bold, plain};

/// White between two rows, millimetres.
const ROW: f64 = 5.0;

/// Lays the contact sheet out.
pub fn leaves(sheet: &Sheet, figures: &FigureSheet) -> Result<Vec<Leaf>, RenderError> {
    let body = Foot::new(sheet, &figures.frame)?.body(sheet);
    let title = sheet.element(
        Role::H1,
        &bold(&figures.title),
        sheet.heading(),
        sheet.measure(),
    )?;
    let mut items = vec![Item::new(Gap::fixed(0.0), title)];
    for line in &figures.rows {
        items.push(Item::new(Gap::fixed(ROW), row(sheet, line)?));
    }
    Ok(pages(items, room(body, None))?
        .into_iter()
        .map(Leaf::new)
        .collect())
}

fn row(sheet: &Sheet, row: &FigureRow) -> Result<Piece, RenderError> {
    let mut piece = pair(sheet, &row.pictures)?;
    let [start, end] = &row.pictures;
    let left = f64::from(start.drawing.width + end.drawing.width) / 1000.0 + BETWEEN + 4.0;
    let width = sheet.measure() - left;
    piece.put(
        left,
        1.0,
        sheet.paragraph(&bold(&row.name.replace('-', " ")), sheet.label(), width)?,
    );
    if !row.way.is_empty() {
        piece.put(
            left,
            14.0,
            sheet.paragraph(&plain(&row.way), sheet.label(), width)?,
        );
    }
    Ok(piece)
}
