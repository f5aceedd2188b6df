//! Sections with rows: home care, what is usual, goals, what is known; and lines to write on.

use crate::handout::model::{Led, Section};

use super::error::RenderError;
use super::flow::{Gap, Item, Keep, height};
use super::list::bullet;
use super::piece::{Piece, Role};
use super::shape::{Area, Shape};
use super::sheet::{InPoints, Millimetres, Sheet, bold, led, plain};

/// Heading to what follows it, millimetres.
pub const HEADING_GAP: f64 = 4.6;

/// A section no higher than this stays on one page, millimetres.
const WHOLE: f64 = 110.0;

/// White after the label of a row, millimetres.
const LABEL_PAD: f64 = 3.0;

/// Returns the white between two sections.
pub fn between(sheet: &Sheet) -> Gap {
    Gap {
        least: sheet.space.section.mm(),
        most: sheet.space.section_max.mm(),
    }
}

/// Makes a heading that keeps with what follows, or none when it has no words.
pub fn heading(sheet: &Sheet, words: &str) -> Result<Vec<Item>, RenderError> {
    if words.is_empty() {
        return Ok(Vec::new());
    }
    Ok(vec![
        Item::new(between(sheet), sheet.heading_piece(words)?).with_next(),
    ])
}

/// Makes a heading and bullets with bold lead-ins; nothing when there are no rows.
pub fn bulleted(sheet: &Sheet, section: &Section) -> Result<Vec<Item>, RenderError> {
    if section.rows.is_empty() {
        return Ok(Vec::new());
    }
    let mut items = heading(sheet, &section.title)?;
    let width = sheet.design.block.text.mm();
    let half = (width - sheet.design.section.pair_gap.mm()) / 2.0;
    let rows = section.rows.as_slice();
    let mut shorts: Vec<bool> = Vec::new();
    for row in rows {
        shorts.push(is_short(sheet, row, half)?);
    }
    let mut at = 0;
    while let Some(row) = rows.get(at) {
        let gap = if at == 0 {
            HEADING_GAP
        } else {
            sheet.space.step.mm()
        };
        let run = shorts.iter().skip(at).take_while(|short| **short).count();
        let (piece, taken) = if run > 1 {
            (columns(sheet, &rows[at..at + run], half)?, run)
        } else {
            (bullet(sheet, &led(row), width)?, 1)
        };
        at += taken;
        items.push(Item::new(Gap::fixed(gap), piece).part_of(Role::L));
    }
    keep_whole(&mut items);
    Ok(items)
}

/// Whether a row is a name and a number that fit half the measure, such as "1 Squeeze: 5 times".
fn is_short(sheet: &Sheet, row: &Led, half: f64) -> Result<bool, RenderError> {
    let named = row.lead.as_ref().is_some_and(|lead| {
        lead.ends_with(char::is_alphanumeric) && row.text.starts_with(char::is_numeric)
    });
    let width = sheet.run_width(&led(row), sheet.body().size)?;
    Ok(named && width + sheet.design.message.bullet.mm() <= half)
}

/// Makes two columns of short rows, read down the left one first.
fn columns(sheet: &Sheet, rows: &[Led], half: f64) -> Result<Piece, RenderError> {
    let left_rows = rows.len().div_ceil(2);
    let mut piece = Piece::blank(0.0);
    for (index, column) in rows.chunks(left_rows).enumerate() {
        let mut side = Piece::blank(0.0);
        for (row, words) in column.iter().enumerate() {
            let gap = if row == 0 { 0.0 } else { sheet.space.step.mm() };
            side.stack(0.0, gap, bullet(sheet, &led(words), half)?);
        }
        let x = if index == 0 {
            0.0
        } else {
            half + sheet.design.section.pair_gap.mm()
        };
        piece.height = piece.height.max(side.height);
        piece.put(x, 0.0, side);
    }
    Ok(piece)
}

/// Keeps a short section on one page, and of a long one the last two rows.
fn keep_whole(items: &mut [Item]) {
    let whole = height(items) <= WHOLE;
    let count = items.len();
    for (index, item) in items.iter_mut().enumerate() {
        if index + 1 < count && (whole || index + 2 == count) {
            item.keep = Keep::WithNext;
        }
    }
}

/// Makes a heading and rows of a bold label and words; nothing when there are no rows.
pub fn care(sheet: &Sheet, section: &Section) -> Result<Vec<Item>, RenderError> {
    if section.rows.is_empty() {
        return Ok(Vec::new());
    }
    let mut items = heading(sheet, &section.title)?;
    for (index, row) in section.rows.iter().enumerate() {
        let gap = Gap::fixed(if index == 0 { HEADING_GAP } else { 0.0 });
        items.push(Item::new(gap, care_row(sheet, row)?).part_of(Role::Table));
    }
    keep_whole(&mut items);
    Ok(items)
}

fn care_row(sheet: &Sheet, row: &Led) -> Result<Piece, RenderError> {
    let column = sheet.design.section.label.mm();
    let left = row.lead.as_ref().map_or(0.0, |_| column);
    let words = sheet.element(
        Role::Td,
        &plain(&row.text),
        sheet.body(),
        sheet.measure() - left,
    )?;
    labelled_row(sheet, row.lead.as_deref(), words)
}

/// Makes the bold label of a row, in its column.
pub fn label_of(sheet: &Sheet, words: &str) -> Result<Piece, RenderError> {
    let width = sheet.design.section.label.mm() - LABEL_PAD;
    sheet.element(Role::Th, &bold(words), sheet.body(), width)
}

/// Makes a row of a bold label and what belongs to it, under a hairline.
pub fn labelled_row(
    sheet: &Sheet,
    label: Option<&str>,
    words: Piece,
) -> Result<Piece, RenderError> {
    let pad = sheet.space.row_pad.mm();
    let (label, left) = match label {
        Some(words) => (label_of(sheet, words)?, sheet.design.section.label.mm()),
        None => (Piece::blank(0.0), 0.0),
    };
    let height = label.height.max(words.height) + 2.0 * pad;
    let mut piece = Piece::blank(height);
    piece.open(Role::Tr);
    piece.draw(sheet.hairline(sheet.measure()));
    piece.put(0.0, pad, label);
    piece.put(left, pad, words);
    piece.close();
    Ok(piece)
}

/// Makes the two boxes of what is known and not known, side by side and equally high.
pub fn pair(sheet: &Sheet, title: &str, sides: &[Section; 2]) -> Result<Vec<Item>, RenderError> {
    if sides.iter().all(|side| side.rows.is_empty()) {
        return Ok(Vec::new());
    }
    let design = &sheet.design.section;
    let width = (sheet.measure() - design.pair_gap.mm()) / 2.0;
    let pad = design.pair_pad.mm();
    let [left, right] = sides;
    let left = side(sheet, left, width - 2.0 * pad)?;
    let right = side(sheet, right, width - 2.0 * pad)?;
    let height = left.height.max(right.height) + 2.0 * pad;
    let mut piece = Piece::blank(height);
    for (words, x) in [(left, 0.0), (right, width + design.pair_gap.mm())] {
        let area = Area {
            left: x,
            top: 0.0,
            width,
            height,
        };
        piece.draw(Shape::area(area).filled(sheet.design.colour.warm));
        piece.put(x + pad, pad, words);
    }
    let mut items = heading(sheet, title)?;
    items.push(Item::new(Gap::fixed(HEADING_GAP), piece));
    Ok(items)
}

fn side(sheet: &Sheet, section: &Section, width: f64) -> Result<Piece, RenderError> {
    let body = sheet.body();
    let mut piece = Piece::blank(0.0);
    piece.open(Role::Sect);
    piece.stack(
        0.0,
        0.0,
        sheet.paragraph(&bold(&section.title), body, width)?,
    );
    for (index, row) in section.rows.iter().enumerate() {
        let gap = if index == 0 {
            body.leading()
        } else {
            sheet.space.paragraph.mm()
        };
        piece.stack(0.0, gap, sheet.paragraph(&led(row), body, width)?);
    }
    piece.close();
    Ok(piece)
}

/// Makes a line to sign on with its label under it.
pub fn sign_line(sheet: &Sheet, label: &str, width: f64) -> Result<Piece, RenderError> {
    let mut piece = Piece::blank(0.0);
    piece.draw(
        Shape::line(&[(0.0, 0.0), (width, 0.0)])
            .stroked(sheet.design.rule.tick.pt(), sheet.design.colour.ink),
    );
    piece.stack(
        0.0,
        2.4,
        sheet.paragraph(&plain(label), sheet.label(), width)?,
    );
    Ok(piece)
}

/// Makes the closing row: words at the left, a line to sign on at the right.
pub fn closing(sheet: &Sheet, words: &str, sign: &str) -> Result<Piece, RenderError> {
    let line = sheet.design.section.sign.mm();
    let measure = sheet.measure();
    let words = sheet.paragraph(&plain(words), sheet.body(), measure - line - 10.0)?;
    let signature = sign_line(sheet, sign, line)?;
    let room = 9.0;
    let height = words.height.max(room + signature.height);
    let mut piece = Piece::blank(height);
    piece.put(0.0, 0.0, words);
    piece.put(measure - line, height - signature.height, signature);
    Ok(piece)
}

/// Makes empty lines to write on.
pub fn writing_lines(sheet: &Sheet, lines: usize) -> Piece {
    let mut piece = Piece::blank(0.0);
    for _ in 0..lines {
        piece.height += sheet.design.section.write.mm();
        let mut line = sheet.hairline(sheet.measure());
        line.shift(0.0, piece.height);
        piece.draw(line);
    }
    piece
}
