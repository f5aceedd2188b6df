//! "Your day": the grid of exercises and slots, and the main message above it.

use crate::handout::model::{Message, Plan, PlanCell, PlanRow};

use super::error::RenderError;
use super::list::{bullets, disc};
use super::piece::{Piece, Role};
use super::shape::{Area, Shape};
use super::sheet::{InPoints, Millimetres, Sheet, Type, bold, led, plain};
use super::wrap::NO_BREAK;

/// White left and right of the words of a slot head, together, millimetres.
const SLOT_PAD: f64 = 2.4;

/// Least white between the heads of two slots, millimetres.
const NEXT_SLOT: f64 = 1.6;

/// White above and below words of several lines, millimetres.
const LINES_PAD: f64 = 1.2;

/// White after the words of a cell, millimetres.
const CELL_PAD: f64 = 1.6;

/// Makes the main message on its tint.
pub fn message(sheet: &Sheet, message: &Message) -> Result<Piece, RenderError> {
    let design = &sheet.design.message;
    let (pad, width) = (design.pad.mm(), sheet.measure());
    let inner = width - 2.0 * pad;
    let mut words = Piece::blank(0.0);
    let headline = sheet.element(
        Role::H2,
        &bold(&joined(&message.headline)),
        sheet.heading(),
        inner,
    )?;
    words.stack(0.0, 0.0, headline);
    if !message.bullets.is_empty() {
        let rows: Vec<_> = message.bullets.iter().map(led).collect();
        words.stack(0.0, design.headline_gap.mm(), bullets(sheet, &rows, inner)?);
    }
    let height = words.height + 2.0 * pad;
    let mut piece = Piece::blank(height);
    let area = Area {
        left: 0.0,
        top: 0.0,
        width,
        height,
    };
    piece.draw(Shape::rounded(area, 2.0).filled(sheet.design.colour.tint));
    piece.put(pad, pad, words);
    Ok(piece)
}

/// Joins the day of the week to the date after it, so that no line breaks between them.
///
/// A date is known by the no-break space in it.
fn joined(words: &str) -> String {
    let mut joined = String::with_capacity(words.len());
    for word in words.split(' ') {
        let is_date = word.contains(NO_BREAK) && word.starts_with(|first: char| first.is_numeric());
        if !joined.is_empty() {
            joined.push(if is_date { NO_BREAK } else { ' ' });
        }
        joined.push_str(word);
    }
    joined
}

/// Widths of the columns, and the type of the slot names.
struct Columns {
    name: f64,
    how_much: f64,
    slots: Vec<f64>,
    heads: Type,
}

/// What the head of one slot needs, in millimetres.
#[derive(Clone, Copy)]
struct Need {
    /// With its hint broken at every space.
    least: f64,
    /// With its hint on one line.
    one_line: f64,
}

impl Columns {
    /// Shares the measure: long slot names take room from the other columns, which keep what
    /// their own words need; names that still do not fit are set as labels.
    fn new(sheet: &Sheet, plan: &Plan) -> Result<Self, RenderError> {
        let design = &sheet.design.plan;
        let size = sheet.body().size;
        let indent = design.disc.mm() + design.disc_gap.mm();
        let rows = || plan.rows.iter();
        let names = widest(sheet, rows().map(|row| row.name.as_str()), size)?;
        let doses = widest(sheet, rows().map(|row| row.how_much.as_str()), size)?;
        // A name gives way so that a dose stands on one line.
        let spare = (design.name.mm() - names - indent - CELL_PAD).max(0.0);
        let lent = (doses + CELL_PAD - design.how_much.mm()).clamp(0.0, spare);
        let (name, how_much) = (design.name.mm() - lent, design.how_much.mm() + lent);
        // So do slots, as far as their hints stay on one line.
        let hints: f64 = needs(sheet, plan, sheet.body())?
            .iter()
            .map(|need| need.one_line)
            .sum();
        let spare = (sheet.measure() - name - how_much - hints).max(0.0);
        let how_much = how_much + (doses + CELL_PAD - how_much).clamp(0.0, spare);
        let room = sheet.measure() - name - how_much;
        let give_name = (name - names - indent - CELL_PAD).max(0.0);
        let give_dose = (how_much - doses - CELL_PAD).max(0.0);
        let mut columns = Self {
            name,
            how_much,
            slots: Vec::new(),
            heads: sheet.body(),
        };
        let mut needs = needs(sheet, plan, columns.heads)?;
        if least(&needs) > room + give_name + give_dose {
            columns.heads = sheet.label();
            needs = self::needs(sheet, plan, columns.heads)?;
        }
        let taken = (least(&needs) - room).clamp(0.0, give_name + give_dose);
        if taken > 0.0 {
            let part = taken / (give_name + give_dose);
            columns.name -= give_name * part;
            columns.how_much -= give_dose * part;
        }
        columns.slots = share(&needs, room + taken);
        Ok(columns)
    }
}

fn widest<'a>(
    sheet: &Sheet,
    words: impl Iterator<Item = &'a str>,
    size: f64,
) -> Result<f64, RenderError> {
    let mut width: f64 = 0.0;
    for words in words {
        width = width.max(sheet.run_width(&plain(words), size)?);
    }
    Ok(width)
}

fn needs(sheet: &Sheet, plan: &Plan, heads: Type) -> Result<Vec<Need>, RenderError> {
    let mut needs = Vec::new();
    for slot in &plan.slots {
        let name = sheet.run_width(&bold(&slot.label), heads.size)?;
        let hint = sheet.run_width(&plain(&slot.value), sheet.label().size)?;
        let word = widest(sheet, slot.value.split(' '), sheet.label().size)?;
        let least = name.max(word) + NEXT_SLOT;
        needs.push(Need {
            least,
            one_line: name.max(hint) + SLOT_PAD,
        });
    }
    Ok(needs)
}

fn least(needs: &[Need]) -> f64 {
    needs.iter().map(|need| need.least).sum()
}

/// Shares a width among slots: with hints on one line when those fit, else broken.
#[expect(clippy::cast_precision_loss, reason = "at most four slots")]
fn share(needs: &[Need], room: f64) -> Vec<f64> {
    let count = needs.len().max(1) as f64;
    let sum: f64 = needs.iter().map(|need| need.one_line).sum();
    if sum <= room {
        let extra = (room - sum) / count;
        return needs.iter().map(|need| need.one_line + extra).collect();
    }
    let extra = (room - least(needs)) / count;
    needs.iter().map(|need| need.least + extra).collect()
}

/// Makes the plan of the day: the grid and the lines under it.
pub fn plan(sheet: &Sheet, plan: &Plan) -> Result<Piece, RenderError> {
    let mut piece = grid(sheet, plan)?;
    for note in notes(sheet, plan)? {
        piece.stack(0.0, sheet.space.paragraph.mm(), note);
    }
    Ok(piece)
}

/// Makes the lines that stand under the grid.
pub fn notes(sheet: &Sheet, plan: &Plan) -> Result<Vec<Piece>, RenderError> {
    let set = |note: &String| sheet.paragraph(&plain(note), sheet.body(), sheet.measure());
    plan.notes.iter().map(set).collect()
}

/// Makes the grid of the day.
pub fn grid(sheet: &Sheet, plan: &Plan) -> Result<Piece, RenderError> {
    let columns = Columns::new(sheet, plan)?;
    let mut piece = head(sheet, plan, &columns)?;
    for plan_row in &plan.rows {
        piece.stack(0.0, 0.0, row(sheet, plan_row, &columns)?);
    }
    piece.close();
    Ok(piece)
}

fn head(sheet: &Sheet, plan: &Plan, columns: &Columns) -> Result<Piece, RenderError> {
    let label = sheet.label().in_colour(sheet.design.colour.soft);
    let mut cells = Vec::new();
    for (slot, width) in plan.slots.iter().zip(&columns.slots) {
        let mut cell = centred(sheet, &bold(&slot.label), columns.heads, *width)?;
        if !slot.value.is_empty() {
            cell.stack(
                0.0,
                2.4,
                centred(sheet, &plain(&slot.value), label, *width)?,
            );
        }
        cells.push(cell.tagged(Role::Th));
    }
    let height = cells
        .iter()
        .map(|cell| cell.height)
        .fold(sheet.heading().cap(), f64::max);
    let title = sheet.element(
        Role::H2,
        &bold(&plan.title),
        sheet.heading(),
        columns.name + columns.how_much - 2.0,
    )?;
    let height = height.max(title.height);
    let mut piece = Piece::blank(height + 2.6);
    piece.put(0.0, height - title.height, title);
    piece.open(Role::Table);
    piece.open(Role::Tr);
    let mut x = columns.name + columns.how_much;
    for (cell, width) in cells.into_iter().zip(&columns.slots) {
        piece.put(x, height - cell.height, cell);
        x += width;
    }
    piece.close();
    let y = piece.height;
    piece.draw(
        Shape::line(&[(0.0, y), (sheet.measure(), y)])
            .stroked(sheet.design.rule.opener.pt(), sheet.design.colour.ink),
    );
    Ok(piece)
}

/// Sets words in lines centred on a column.
pub fn centred(
    sheet: &Sheet,
    runs: &[super::wrap::Run],
    kind: super::sheet::Type,
    width: f64,
) -> Result<Piece, RenderError> {
    let mut piece = sheet.words(runs, kind, width)?;
    for mark in &mut piece.marks {
        if let super::piece::Mark::Text(line) = mark {
            line.x += (width - line.width) / 2.0;
        }
    }
    Ok(piece)
}

fn row(sheet: &Sheet, row: &PlanRow, columns: &Columns) -> Result<Piece, RenderError> {
    let design = &sheet.design.plan;
    let body = sheet.body();
    let size = design.disc.mm();
    let indent = size + design.disc_gap.mm();
    let name = sheet.element(
        Role::Td,
        &plain(&row.name),
        body,
        columns.name - indent - CELL_PAD + 0.01,
    )?;
    let how_much = sheet.element(
        Role::Td,
        &plain(&row.how_much),
        body,
        columns.how_much - CELL_PAD + 0.01,
    )?;
    let slots: f64 = columns.slots.iter().sum();
    let across = match &row.across {
        Some(words) => Some(centred(sheet, &plain(words), body, slots)?.tagged(Role::Td)),
        None => None,
    };
    let inner = across
        .as_ref()
        .map_or(0.0, |piece| piece.height)
        .max(name.height)
        .max(how_much.height);
    let inner = (inner + 2.0 * LINES_PAD).max(size);
    let height = inner + 2.0 * sheet.space.plan_pad.mm();
    let middle = height / 2.0;
    let mut piece = Piece::blank(height);
    piece.open(Role::Tr);
    if let Some(number) = row.number {
        piece.put(
            0.0,
            middle - size / 2.0,
            disc(sheet, number, size)?.tagged(Role::Th),
        );
    }
    piece.put(indent, middle - name.height / 2.0, name);
    piece.put(columns.name, middle - how_much.height / 2.0, how_much);
    let x = columns.name + columns.how_much;
    match across {
        Some(words) => piece.put(x, middle - words.height / 2.0, words),
        None => piece.put(x, middle, cells(sheet, row, columns)),
    }
    let mut line = sheet.hairline(sheet.measure());
    line.shift(0.0, height);
    piece.draw(line);
    piece.close();
    Ok(piece)
}

/// Makes the cells of a row round the middle of their line.
fn cells(sheet: &Sheet, row: &PlanRow, columns: &Columns) -> Piece {
    let design = &sheet.design.plan;
    let mut piece = Piece::blank(0.0);
    let mut x = 0.0;
    for (cell, width) in row.cells.iter().zip(&columns.slots) {
        let middle = x + width / 2.0;
        piece.open(Role::Td);
        piece.draw(match cell {
            PlanCell::Due => {
                Shape::disc(middle, 0.0, design.due.mm() / 2.0).filled(sheet.design.colour.accent)
            }
            PlanCell::Free => {
                let half = design.free.mm() / 2.0;
                Shape::line(&[(middle - half, 0.0), (middle + half, 0.0)])
                    .stroked(0.8, sheet.design.colour.line)
            }
        });
        piece.close();
        x += width;
    }
    piece
}
