//! The diary: one row a day with a numbered box for each exercise of each slot.
//!
//! Boxes never shrink: a day with too many gets a row for each slot.

use crate::handout::model::{BoxState, Diary, DiaryBox, DiaryRow};

use super::error::RenderError;
use super::flow::{Gap, Item, Keep};
use super::piece::{Piece, Role};
use super::plan::centred;
use super::section::{between, writing_lines};
use super::shape::{Area, Shape};
use super::sheet::{InPoints, Millimetres, Sheet, bold, fits, led, plain};
use super::sign::{Drawn, Sign};

/// How the slots of a day are laid out.
enum Layout {
    /// Side by side, each with its left edge.
    Across(Vec<f64>),
    /// Under each other.
    Down,
}

/// Makes the items of the diary, with some lines to write on after the days.
pub fn diary(sheet: &Sheet, diary: &Diary, lines: usize) -> Result<Vec<Item>, RenderError> {
    let layout = layout(sheet, diary)?;
    let mut items = Vec::new();
    let title = sheet.title(&diary.title, sheet.measure())?;
    items.push(Item::new(between(sheet), title).with_next());
    let how_to = sheet.paragraph(
        &plain(&diary.how_to),
        sheet.body(),
        sheet.design.block.text.mm(),
    )?;
    items.push(Item::new(Gap::fixed(5.0), how_to).with_next());
    let head = head(sheet, diary, &layout)?;
    let again = head.clone().tagged(Role::Artifact);
    items.push(
        Item::new(Gap::fixed(5.0), head)
            .part_of(Role::Table)
            .with_next(),
    );
    for (index, day) in diary.rows.iter().enumerate() {
        let piece = row(sheet, diary, day, &layout)?;
        let mut item = Item::new(Gap::fixed(0.0), piece).part_of(Role::Table);
        if index > 0 {
            item.again = Some(again.clone());
        }
        items.push(item);
    }
    // The lines to write on never stand on a page without a day.
    if let Some(last) = items.last_mut() {
        last.keep = Keep::WithNext;
    }
    let mut notes = sheet.paragraph(&led(&diary.notes), sheet.body(), sheet.measure())?;
    notes.stack(0.0, 0.0, writing_lines(sheet, lines));
    items.push(Item::new(between(sheet), notes));
    Ok(items)
}

/// Makes the page of questions that stands before a diary that would begin on an odd page.
pub fn questions(sheet: &Sheet, title: &str, room: f64) -> Result<Vec<Item>, RenderError> {
    let title = sheet.title(title, sheet.measure())?;
    let free = room - title.height - 2.0;
    let lines = lines_in(free, sheet.design.section.write.mm());
    Ok(vec![
        Item::new(Gap::fixed(0.0), title),
        Item::new(Gap::fixed(2.0), writing_lines(sheet, lines)),
    ])
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "lines on a page"
)]
fn lines_in(room: f64, pitch: f64) -> usize {
    (room.max(0.0) / pitch).floor() as usize
}

fn layout(sheet: &Sheet, diary: &Diary) -> Result<Layout, RenderError> {
    let design = &sheet.design.diary;
    let mut left = day_column(sheet, diary)?;
    let right = sheet.measure() - design.pain.mm();
    let mut edges = Vec::new();
    for (slot, name) in diary.slots.iter().enumerate() {
        let boxes = diary
            .rows
            .iter()
            .filter_map(|row| row.slots.get(slot))
            .map(Vec::len)
            .max();
        let name = sheet.run_width(&bold(name), sheet.body().size)?;
        edges.push(left);
        left += boxes_width(sheet, boxes.unwrap_or(0)).max(name) + design.slot_gap.mm();
    }
    left -= design.slot_gap.mm();
    let words = diary.rows.iter().filter_map(|row| row.words.as_ref());
    for words in words {
        fits(
            words,
            sheet.run_width(&plain(words), sheet.body().size)?,
            right - design.day.mm(),
        )?;
    }
    Ok(if left <= right {
        Layout::Across(spread(&edges, right - left))
    } else {
        Layout::Down
    })
}

/// Returns the width of the days: no more than their words need, when the boxes need the rest.
fn day_column(sheet: &Sheet, diary: &Diary) -> Result<f64, RenderError> {
    let mut needed: f64 = 0.0;
    for day in &diary.rows {
        let name = sheet.run_width(&bold(&day.day), sheet.body().size)?;
        let date = sheet.run_width(&plain(&day.date), sheet.label().size)?;
        needed = needed.max(name).max(date);
    }
    Ok((needed + sheet.design.diary.slot_gap.mm()).min(sheet.design.diary.day.mm()))
}

/// Moves the slots apart by their share of the room left over, but not far.
#[expect(clippy::cast_precision_loss, reason = "at most four slots")]
fn spread(edges: &[f64], left_over: f64) -> Vec<f64> {
    let share = (left_over / edges.len().max(1) as f64).min(4.0);
    edges
        .iter()
        .enumerate()
        .map(|(index, edge)| edge + share * index as f64)
        .collect()
}

#[expect(clippy::cast_precision_loss, reason = "a handful of boxes")]
fn boxes_width(sheet: &Sheet, count: usize) -> f64 {
    let design = &sheet.design.diary;
    let gaps = count.saturating_sub(1) as f64;
    count as f64 * design.tick.mm() + gaps * design.tick_gap.mm()
}

fn head(sheet: &Sheet, diary: &Diary, layout: &Layout) -> Result<Piece, RenderError> {
    let body = sheet.body();
    let pain_width = sheet.design.diary.pain.mm();
    let mut pain = centred(sheet, &bold(&diary.pain_head.label), body, pain_width)?;
    let scale = centred(
        sheet,
        &plain(&diary.pain_head.value),
        sheet.label(),
        pain_width,
    )?;
    pain.stack(0.0, 2.4, scale);
    let height = pain.height;
    let mut piece = Piece::blank(height + 3.0);
    let mut cells = vec![(0.0, diary.day_head.as_str())];
    if let Layout::Across(edges) = layout {
        cells.extend(
            edges
                .iter()
                .copied()
                .zip(diary.slots.iter().map(String::as_str)),
        );
    }
    piece.open(Role::Tr);
    for (x, words) in cells {
        let (cell, _) = sheet.single(&bold(words), body)?;
        piece.put(x, height - cell.height, cell.tagged(Role::Th));
    }
    piece.put(sheet.measure() - pain_width, 0.0, pain.tagged(Role::Th));
    let y = piece.height;
    piece.draw(
        Shape::line(&[(0.0, y), (sheet.measure(), y)])
            .stroked(sheet.design.rule.opener.pt(), sheet.design.colour.ink),
    );
    piece.close();
    Ok(piece)
}

fn row(
    sheet: &Sheet,
    diary: &Diary,
    day: &DiaryRow,
    layout: &Layout,
) -> Result<Piece, RenderError> {
    let design = &sheet.design.diary;
    let mut date = Piece::blank(0.0);
    let width = design.day.mm();
    date.stack(0.0, 0.0, sheet.words(&bold(&day.day), sheet.body(), width)?);
    date.stack(
        0.0,
        1.8,
        sheet.words(&plain(&day.date), sheet.label(), width)?,
    );
    let slots = match layout {
        Layout::Across(edges) => across(sheet, day, edges)?,
        Layout::Down => down(sheet, diary, day)?,
    };
    let height = date.height.max(slots.height) + 2.0 * sheet.space.diary_pad.mm();
    let mut piece = Piece::blank(height);
    piece.open(Role::Tr);
    let top = match layout {
        Layout::Across(_) => (height - date.height) / 2.0,
        Layout::Down => sheet.space.diary_pad.mm() + (design.tick.mm() - sheet.body().cap()) / 2.0,
    };
    piece.put(0.0, top, date.tagged(Role::Th));
    let slots_top = (height - slots.height) / 2.0;
    piece.put(0.0, slots_top, slots);
    let size = design.pain_box.mm();
    let x = sheet.measure() - design.pain.mm() + (design.pain.mm() - size) / 2.0;
    piece.draw(empty_box(
        sheet,
        Area {
            left: x,
            top: (height - size) / 2.0,
            width: size,
            height: size,
        },
    ));
    let mut line = sheet.hairline(sheet.measure());
    line.shift(0.0, height);
    piece.draw(line);
    piece.close();
    Ok(piece)
}

fn across(sheet: &Sheet, day: &DiaryRow, edges: &[f64]) -> Result<Piece, RenderError> {
    let size = sheet.design.diary.tick.mm();
    let mut piece = Piece::blank(size);
    let mut free = edges.first().copied().unwrap_or(0.0);
    for (index, (boxes, x)) in day.slots.iter().zip(edges).enumerate() {
        piece.put(*x, 0.0, slot(sheet, boxes)?.tagged(Role::Td));
        if !boxes.is_empty() {
            let after = x + boxes_width(sheet, boxes.len()) + sheet.design.diary.slot_gap.mm();
            free = edges.get(index + 1).copied().unwrap_or(after).max(after);
        }
    }
    if let Some(words) = &day.words {
        let (words, width) = sheet.single(&plain(words), sheet.body())?;
        let right = sheet.measure() - sheet.design.diary.pain.mm();
        let x = free.min(right - width);
        piece.put(x, (size - words.height) / 2.0, words.tagged(Role::Td));
    }
    Ok(piece)
}

fn down(sheet: &Sheet, diary: &Diary, day: &DiaryRow) -> Result<Piece, RenderError> {
    let design = &sheet.design.diary;
    let (size, x) = (design.tick.mm(), design.day.mm());
    let mut piece = Piece::blank(0.0);
    for (boxes, name) in day.slots.iter().zip(&diary.slots) {
        if boxes.is_empty() {
            continue;
        }
        let mut line = Piece::blank(size);
        let (name, width) = sheet.single(&plain(name), sheet.body())?;
        fits(&diary.title, width, design.slot.mm())?;
        line.put(x, (size - name.height) / 2.0, name.tagged(Role::Td));
        line.put(
            x + design.slot.mm(),
            0.0,
            slot(sheet, boxes)?.tagged(Role::Td),
        );
        let gap = if piece.height > 0.0 {
            design.row.mm()
        } else {
            0.0
        };
        piece.stack(0.0, gap, line);
    }
    if let Some(words) = &day.words {
        let gap = if piece.height > 0.0 { 3.0 } else { 0.0 };
        let words = sheet.element(Role::Td, &plain(words), sheet.body(), sheet.measure() - x)?;
        piece.stack(x, gap, words);
    }
    Ok(piece)
}

fn slot(sheet: &Sheet, boxes: &[DiaryBox]) -> Result<Piece, RenderError> {
    let size = sheet.design.diary.tick.mm();
    let mut piece = Piece::blank(size);
    let mut x = 0.0;
    for tick in boxes {
        piece.put(x, 0.0, tick_box(sheet, *tick, size)?);
        x += size + sheet.design.diary.tick_gap.mm();
    }
    Ok(piece)
}

fn tick_box(sheet: &Sheet, tick: DiaryBox, size: f64) -> Result<Piece, RenderError> {
    let colours = &sheet.design.colour;
    let kind = sheet.foot().in_colour(colours.soft);
    let (digit, width) = sheet.single(&plain(&tick.number.to_string()), kind)?;
    let mut piece = Piece::blank(size);
    piece.draw(empty_box(
        sheet,
        Area {
            left: 0.0,
            top: 0.0,
            width: size,
            height: size,
        },
    ));
    piece.put((size - width) / 2.0, (size - kind.cap()) / 2.0, digit);
    match tick.state {
        BoxState::Empty => {}
        BoxState::Ticked => {
            let drawn = Drawn {
                size: size - 0.4,
                ink: colours.ink,
                ground: colours.paper,
            };
            piece.put(0.2, 0.2, Sign::Tick.piece(drawn));
        }
    }
    Ok(piece)
}

/// A box with corners as round as its line is thick: a diary holds hundreds.
pub fn empty_box(sheet: &Sheet, area: Area) -> Shape {
    let weight = sheet.design.rule.tick.pt();
    Shape::area(area.inset(super::tier::half(weight)))
        .filled(sheet.design.colour.paper)
        .stroked_round(weight, sheet.design.colour.ink)
}
