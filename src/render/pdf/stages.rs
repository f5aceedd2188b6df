//! Your next weeks: one framed card a stage, with boxes to tick at its left.
//!
//! Must not say anything of its own. Next: `rest` puts it on a page.

use crate::handout::model::{Led, Section, StageCard, Stages};

use super::diary::empty_box;
use super::error::RenderError;
use super::flow::{Gap, Item};
use super::list::bullet;
use super::piece::{Piece, Role};
use super::section::{HEADING_GAP, bulleted, heading};
use super::shape::Area;
use super::sheet::{Millimetres, Sheet, bold, led, plain};

/// Frame to words, millimetres.
const PAD: f64 = 4.0;

/// Between the two columns of a card, millimetres.
const GUTTER: f64 = 6.0;

/// Share of the measure that the check takes.
const CHECK: f64 = 0.48;

/// Side of a box to tick, millimetres.
const BOX: f64 = 5.0;

/// Box to its words, millimetres.
const BESIDE: f64 = 2.6;

/// Makes the stages; nothing when there are none.
pub fn stages(sheet: &Sheet, stages: Option<&Stages>) -> Result<Vec<Item>, RenderError> {
    let Some(stages) = stages else {
        return Ok(Vec::new());
    };
    let mut items = heading(sheet, &stages.title)?;
    let intro = plain(&stages.intro.join(" "));
    let intro = sheet.paragraph(&intro, sheet.body(), sheet.measure())?;
    items.push(Item::new(Gap::fixed(HEADING_GAP), intro).with_next());
    let gap = Gap {
        least: sheet.space.tier_gap.mm(),
        most: sheet.space.block.mm(),
    };
    for words in &stages.cards {
        items.push(Item::new(gap, card(sheet, words)?));
    }
    items.extend(bulleted(sheet, &stages.after)?);
    Ok(items)
}

fn card(sheet: &Sheet, card: &StageCard) -> Result<Piece, RenderError> {
    let inner = sheet.measure() - 2.0 * PAD;
    let body = sheet.body();
    let mut piece = Piece::blank(PAD);
    piece.open(Role::Sect);
    piece.stack(PAD, 0.0, head(sheet, card, inner)?);
    if let Some(today) = &card.today {
        let words = sheet.paragraph(&plain(today), body, inner)?;
        piece.stack(PAD, 3.4, words);
    }
    if !card.check.rows.is_empty() {
        let left = (inner - GUTTER) * CHECK;
        let check = column(sheet, &card.check, left, tick_line)?;
        let right = inner - GUTTER - left;
        let up = column(sheet, &card.up, right, up_line)?;
        let mut both = Piece::blank(check.height.max(up.height));
        both.put(0.0, 0.0, check);
        both.put(left + GUTTER, 0.0, up);
        piece.stack(PAD, 4.0, both);
    }
    if let Some(fail) = &card.fail {
        piece.stack(PAD, 4.0, sheet.paragraph(&led(fail), body, inner)?);
    }
    piece.height += PAD;
    let area = Area {
        left: 0.0,
        top: 0.0,
        width: sheet.measure(),
        height: piece.height,
    };
    piece.draw(sheet.frame(area, sheet.design.rule.thin));
    piece.close();
    Ok(piece)
}

/// The stage in the type of headings, and its first day in bold beside it.
fn head(sheet: &Sheet, card: &StageCard, width: f64) -> Result<Piece, RenderError> {
    let kind = sheet.heading();
    let title = sheet.element(Role::H2, &bold(&card.title), kind, width)?;
    let taken = sheet.run_width(&bold(&card.title), kind.size)? + 4.0;
    let date = sheet.paragraph(&bold(&card.date), sheet.body(), width - taken)?;
    let height = title.height.max(date.height);
    let mut piece = Piece::blank(height);
    let (title_top, date_top) = (height - title.height, height - date.height);
    piece.put(0.0, title_top, title);
    piece.put(taken, date_top, date);
    Ok(piece)
}

type Row = fn(&Sheet, &Led, f64) -> Result<Piece, RenderError>;

fn column(sheet: &Sheet, words: &Section, width: f64, row: Row) -> Result<Piece, RenderError> {
    let mut piece = Piece::blank(0.0);
    piece.stack(
        0.0,
        0.0,
        sheet.paragraph(&bold(&words.title), sheet.body(), width)?,
    );
    piece.open(Role::L);
    for each in &words.rows {
        piece.stack(0.0, 2.6, row(sheet, each, width)?);
    }
    piece.close();
    Ok(piece)
}

fn up_line(sheet: &Sheet, words: &Led, width: f64) -> Result<Piece, RenderError> {
    bullet(sheet, &led(words), width)
}

/// One line of the check with its box.
fn tick_line(sheet: &Sheet, words: &Led, width: f64) -> Result<Piece, RenderError> {
    let indent = BOX + BESIDE;
    let words = sheet.words(&led(words), sheet.body(), width - indent)?;
    let mut piece = Piece::blank(words.height.max(BOX));
    let area = Area {
        left: 0.0,
        top: 0.0,
        width: BOX,
        height: BOX,
    };
    piece.draw(empty_box(sheet, area));
    let first = (BOX - sheet.body().cap()) / 2.0;
    piece.height = piece.height.max(first + words.height);
    piece.put(indent, first, words);
    Ok(piece.tagged(Role::Li))
}
