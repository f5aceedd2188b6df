//! The page that replaces a program: one bar, one number, why, what to say.

use crate::domain::word::Level;
use crate::handout::model::WithheldPage;

use super::emit::room;
use super::error::RenderError;
use super::flow::{Gap, Item, Leaf, pages};
use super::furniture::{APART, Foot, deference, masthead, name_box};
use super::list::bullets;
use super::piece::{Piece, Role};
use super::section::{HEADING_GAP, between, bulleted, heading, labelled_row, sign_line};
use super::shape::{Area, Shape};
use super::sheet::{Millimetres, Sheet, bold, led, plain};
use super::sign::{Drawn, Sign};
use super::tier::{script, tier};
use super::void::void;

/// Lays the page out; on two pages only when one cannot hold it.
pub fn leaves(sheet: &Sheet, page: &WithheldPage) -> Result<Vec<Leaf>, RenderError> {
    let tight = sheet.with_space(&sheet.design.space.tight);
    let roomy = sheet.with_space(&sheet.design.space.normal);
    for (sheet, form) in [
        (roomy, Form::Headed),
        (tight, Form::Headed),
        (tight, Form::Rows),
    ] {
        let leaves = laid(&sheet, page, form)?;
        if leaves.len() == 1 {
            return Ok(leaves);
        }
    }
    laid(&tight, page, Form::Urgent)
}

/// How why, what to say and what to do until then are set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    /// Each under a heading, then the emergency box.
    Headed,
    /// Each beside a label, then the emergency box.
    Rows,
    /// Each beside a label, after the emergency box, which so is on the first page of two.
    Urgent,
}

fn laid(sheet: &Sheet, page: &WithheldPage, form: Form) -> Result<Vec<Leaf>, RenderError> {
    let body = Foot::new(sheet, &page.frame)?.body(sheet);
    let signing = signing(sheet, page)?;
    let (head, bar) = (masthead(sheet, &page.frame)?, alarm(sheet, page)?);
    let mut items = match page.level {
        // Nothing stands above it.
        Level::Emergency => vec![
            Item::new(Gap::fixed(0.0), bar),
            Item::new(Gap::fixed(5.0), head),
        ],
        Level::SameDay | Level::Within48Hours | Level::NextVisit => vec![
            Item::new(Gap::fixed(0.0), head),
            Item::new(Gap::fixed(5.0), bar),
        ],
    };
    if let Some(note) = &page.void {
        items.push(Item::new(between(sheet), void(sheet, note)?));
    }
    let emergency = match &page.tier {
        Some(signs) => Some(Item::new(between(sheet), tier(sheet, signs)?)),
        None => None,
    };
    match form {
        Form::Headed => {
            items.extend(why(sheet, page)?);
            items.extend(say(sheet, page)?);
            items.extend(bulleted(sheet, &page.until)?);
            items.extend(emergency);
        }
        Form::Rows => {
            items.extend(rows(sheet, page)?);
            items.extend(emergency);
        }
        Form::Urgent => {
            items.extend(emergency);
            items.extend(rows(sheet, page)?);
        }
    }
    let pages = pages(items, room(body, Some(&signing)))?;
    let mut leaves: Vec<Leaf> = pages.into_iter().map(Leaf::new).collect();
    if let Some(first) = leaves.first_mut() {
        first.pinned = Some(deference(sheet, &page.frame)?);
    }
    if let Some(last) = leaves.last_mut() {
        last.pinned = Some(signing);
    }
    Ok(leaves)
}

fn say(sheet: &Sheet, page: &WithheldPage) -> Result<Vec<Item>, RenderError> {
    if page.say.rows.is_empty() {
        return Ok(Vec::new());
    }
    let words = page
        .say
        .rows
        .iter()
        .map(|row| row.text.as_str())
        .collect::<Vec<_>>()
        .join(" ");
    let mut items = heading(sheet, &page.say.title)?;
    let piece = script(sheet, &words, sheet.measure())?;
    items.push(Item::new(Gap::fixed(HEADING_GAP), piece));
    Ok(items)
}

/// Why, what to say and what to do until then, each beside its label.
fn rows(sheet: &Sheet, page: &WithheldPage) -> Result<Vec<Item>, RenderError> {
    let width = sheet.measure() - sheet.design.section.label.mm();
    let mut items = Vec::new();
    for section in [&page.why, &page.say, &page.until] {
        if section.rows.is_empty() {
            continue;
        }
        let said: Vec<_> = section.rows.iter().map(led).collect();
        let words = match said.as_slice() {
            [only] => sheet.paragraph(only, sheet.body(), width)?,
            several => bullets(sheet, several, width)?,
        };
        let row = labelled_row(sheet, Some(&section.title), words.tagged(Role::Td))?;
        let gap = if items.is_empty() {
            between(sheet)
        } else {
            Gap::fixed(0.0)
        };
        items.push(Item::new(gap, row).part_of(Role::Table));
    }
    Ok(items)
}

/// Findings with what they may be, as paragraphs.
fn why(sheet: &Sheet, page: &WithheldPage) -> Result<Vec<Item>, RenderError> {
    if page.why.rows.is_empty() {
        return Ok(Vec::new());
    }
    let mut items = heading(sheet, &page.why.title)?;
    for (index, row) in page.why.rows.iter().enumerate() {
        let gap = if index == 0 {
            HEADING_GAP
        } else {
            sheet.space.paragraph.mm()
        };
        let words = sheet.paragraph(&led(row), sheet.body(), sheet.design.block.text.mm())?;
        items.push(Item::new(Gap::fixed(gap), words));
    }
    Ok(items)
}

/// The bar and, under it in the same frame, what to do and the number to ring.
fn alarm(sheet: &Sheet, page: &WithheldPage) -> Result<Piece, RenderError> {
    let design = &sheet.design.withheld;
    let colours = &sheet.design.colour;
    let width = sheet.measure();
    let (pad, sign) = (design.pad.mm(), design.bar_sign.mm());
    let indent = pad + sign + design.sign_gap.mm();
    let room = width - indent - pad;
    let kind = sheet
        .display(sheet.design.types.bar)
        .in_colour(colours.paper);
    let words = sheet.element(Role::H1, &bold(&page.bar), kind, room)?;
    let bar_height = words.height.max(sign) + 2.0 * pad;
    let mut piece = Piece::blank(bar_height);
    let bar = Area {
        left: 0.0,
        top: 0.0,
        width,
        height: bar_height,
    };
    piece.draw(Shape::area(bar).filled(colours.ink));
    let drawn = Drawn {
        size: sign,
        ink: colours.paper,
        ground: colours.ink,
    };
    piece.put(pad, (bar_height - sign) / 2.0, Sign::Stop.piece(drawn));
    piece.put(indent, (bar_height - words.height) / 2.0, words);
    let doing = doing(sheet, page, room)?;
    let phone = design.phone_sign.mm();
    let inner = doing.height.max(phone);
    let top = bar_height + pad;
    let drawn = Drawn {
        size: phone,
        ink: colours.ink,
        ground: colours.paper,
    };
    let centre = pad + (sign - phone) / 2.0;
    piece.put(
        centre,
        top + (inner - phone) / 2.0,
        Sign::Phone.piece(drawn),
    );
    piece.put(indent, top + (inner - doing.height) / 2.0, doing);
    piece.height = top + inner + pad;
    let area = Area {
        left: 0.0,
        top: 0.0,
        width,
        height: piece.height,
    };
    piece.draw(sheet.frame(area, sheet.design.rule.withheld));
    Ok(piece)
}

fn doing(sheet: &Sheet, page: &WithheldPage, width: f64) -> Result<Piece, RenderError> {
    let mut piece = Piece::blank(0.0);
    piece.stack(
        0.0,
        0.0,
        sheet.paragraph(&bold(&page.action), sheet.heading(), width)?,
    );
    if let Some(phone) = &page.phone {
        let kind = sheet.display(sheet.design.types.phone);
        piece.stack(0.0, 5.6, sheet.paragraph(&bold(phone), kind, width)?);
    }
    for (index, line) in page.phone_lines.iter().enumerate() {
        let gap = if index == 0 {
            5.0
        } else {
            sheet.space.paragraph.mm()
        };
        piece.stack(
            0.0,
            gap,
            sheet.paragraph(&plain(line), sheet.body(), width)?,
        );
    }
    Ok(piece)
}

/// Box for a name at the left, lines to write on at the right, and who comes first below.
fn signing(sheet: &Sheet, page: &WithheldPage) -> Result<Piece, RenderError> {
    let name = name_box(sheet, &page.name_box)?;
    let left = sheet.design.head.name_width.mm() + 2.0 * APART;
    let width = (sheet.measure() - left - APART) / 2.0;
    let row_height = 9.0;
    let mut piece = Piece::blank(name.height);
    piece.put(0.0, 0.0, name);
    for (row, labels) in page.sign.chunks(2).enumerate() {
        let top = row_height + signing_row(row);
        let across = if labels.len() == 1 {
            2.0 * width + APART
        } else {
            width
        };
        let mut x = left;
        for label in labels {
            let line = sign_line(sheet, label, across)?;
            piece.height = piece.height.max(top + line.height);
            piece.put(x, top, line);
            x += width + APART;
        }
    }
    piece.stack(0.0, 4.0, deference(sheet, &page.frame)?);
    Ok(piece)
}

#[expect(clippy::cast_precision_loss, reason = "two rows")]
fn signing_row(row: usize) -> f64 {
    14.0 * row as f64
}
