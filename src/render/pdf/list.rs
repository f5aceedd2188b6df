//! Bulleted and numbered lists, and lines that begin with a sign.

use super::error::RenderError;
use super::face::POINTS_A_MM;
use super::piece::{Piece, Role};
use super::shape::Shape;
use super::sheet::{Millimetres, Sheet, Type, bold};
use super::sign::{Drawn, Sign};
use super::wrap::{Column, Run};

/// Makes one list item with a bullet.
pub fn bullet(sheet: &Sheet, runs: &[Run], width: f64) -> Result<Piece, RenderError> {
    let kind = sheet.body();
    let indent = sheet.design.message.bullet.mm();
    let size = sheet.design.message.bullet_size.mm();
    let words = sheet.words(runs, kind, width - indent)?;
    let mut piece = Piece::blank(words.height);
    piece.draw(
        Shape::disc(size / 2.0, kind.cap() / 2.0, size / 2.0).filled(sheet.design.colour.accent),
    );
    piece.put(indent, 0.0, words);
    Ok(piece.tagged(Role::Li))
}

/// Makes a list of bullets.
pub fn bullets(sheet: &Sheet, rows: &[Vec<Run>], width: f64) -> Result<Piece, RenderError> {
    let mut piece = Piece::blank(0.0);
    piece.open(Role::L);
    for (index, row) in rows.iter().enumerate() {
        let gap = if index == 0 {
            0.0
        } else {
            sheet.space.step.mm()
        };
        piece.stack(0.0, gap, bullet(sheet, row, width)?);
    }
    piece.close();
    Ok(piece)
}

/// Makes one step with its number.
pub fn step(
    sheet: &Sheet,
    number: usize,
    runs: &[Run],
    column: Column,
) -> Result<Piece, RenderError> {
    let kind = sheet.body();
    let indent = sheet.design.block.number.mm();
    let words = sheet.words_in(runs, kind, column.indented(indent))?;
    let (digit, _) = sheet.single(
        &bold(&number.to_string()),
        kind.in_colour(sheet.design.colour.accent),
    )?;
    let mut piece = Piece::blank(words.height);
    piece.put(0.0, 0.0, digit);
    piece.put(indent, 0.0, words);
    Ok(piece.tagged(Role::Li))
}

/// Makes a paragraph that begins with a sign.
pub fn signed(
    sheet: &Sheet,
    sign: Sign,
    runs: &[Run],
    column: Column,
) -> Result<Piece, RenderError> {
    let kind = sheet.body();
    let indent = sheet.design.block.number.mm();
    let words = sheet.words_in(runs, kind, column.indented(indent))?;
    let size = sheet.design.block.sign.mm();
    let drawn = Drawn {
        size,
        ink: sheet.design.colour.ink,
        ground: sheet.design.colour.paper,
    };
    let mut piece = Piece::blank(words.height);
    piece.put(0.0, (kind.cap() - size) / 2.0, sign.piece(drawn));
    piece.put(indent, 0.0, words);
    Ok(piece.tagged(Role::P))
}

/// Makes a numbered disc, white on the accent colour, placed by its top left.
pub fn disc(sheet: &Sheet, number: u8, size: f64) -> Result<Piece, RenderError> {
    let digit = (size * 0.62 * POINTS_A_MM).max(sheet.foot().size);
    let kind = Type {
        size: digit,
        pitch: size,
        colour: sheet.design.colour.paper,
    };
    let (words, width) = sheet.single(&bold(&number.to_string()), kind)?;
    let mut piece = Piece::blank(size);
    piece.draw(Shape::disc(size / 2.0, size / 2.0, size / 2.0).filled(sheet.design.colour.accent));
    piece.put((size - width) / 2.0, (size - kind.cap()) / 2.0, words);
    Ok(piece)
}
