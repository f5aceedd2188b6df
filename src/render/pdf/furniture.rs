//! What stands on every page: preview stamp and foot; and the head of page 1.
//!
//! Must not know what a page says in between. Next: `emit` puts it on the pages.

use crate::domain::page::Length;
use crate::handout::model::{Frame, Labelled};

use super::error::RenderError;
use super::face::POINTS_A_MM;
use super::piece::{Piece, Role};
use super::shape::{Area, Shape};
use super::sheet::{InPoints, Millimetres, Sheet, bold, fits, plain};
use super::wrap::Run;

/// Baseline of the first line of the foot below its rule, millimetres.
const RULE_TO_FOOT: f64 = 5.3;

/// End of the body to the rule of the foot, millimetres.
const BODY_TO_RULE: f64 = 4.9;

/// Height of the preview stamp, millimetres.
const STAMP: f64 = 5.4;

/// Least white between two parts of the foot, millimetres.
pub const APART: f64 = 5.0;

/// The foot of every page, but for its page number.
#[derive(Debug, Clone)]
pub struct Foot {
    id: Piece,
    ring: (Piece, f64),
    ring_line: RingLine,
    notes: Vec<Piece>,
    lines: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum RingLine {
    /// Between the token and the page number, with its left edge there.
    Beside(f64),
    /// On a line of its own.
    Below,
}

/// Makes the page words for one page.
pub fn page_words(frame: &Frame, page: usize, pages: usize) -> String {
    frame
        .page_words
        .replace("{pages}", &pages.to_string())
        .replace("{page}", &page.to_string())
}

fn ring_runs(ring: &Labelled) -> Vec<Run> {
    let mut runs = plain(&format!("{} ", ring.label));
    runs.extend(bold(&ring.value));
    runs
}

impl Foot {
    /// Measures the foot of a document.
    pub fn new(sheet: &Sheet, frame: &Frame) -> Result<Self, RenderError> {
        let kind = sheet.foot();
        let soft = kind.in_colour(sheet.design.colour.soft);
        let (id, id_width) = sheet.single(&plain(&frame.foot_id), soft)?;
        let ring = sheet.single(&ring_runs(&frame.ring_us), kind)?;
        let widest = bold(&page_words(frame, 88, 88));
        let page_width = sheet.run_width(&widest, kind.size)?;
        let measure = sheet.measure();
        fits(&frame.foot_id, id_width + APART + page_width, measure)?;
        fits(&frame.ring_us.value, ring.1, measure)?;
        let free = measure - id_width - page_width - ring.1;
        let ring_line = if free >= 2.0 * APART {
            RingLine::Beside(id_width + free / 2.0)
        } else {
            RingLine::Below
        };
        let notes = frame
            .notes
            .iter()
            .map(|note| sheet.words(&plain(note), kind, measure))
            .collect::<Result<Vec<_>, _>>()?;
        let below = match ring_line {
            RingLine::Beside(_) => 0.0,
            RingLine::Below => 1.0,
        };
        let said_lines: f64 = notes.iter().map(lines_of).sum();
        Ok(Self {
            id,
            ring,
            ring_line,
            notes,
            lines: 1.0 + below + said_lines,
        })
    }

    fn rule(&self, sheet: &Sheet) -> f64 {
        sheet.paper.foot.mm() - (self.lines - 1.0) * sheet.foot().pitch - RULE_TO_FOOT
    }

    /// Returns the height of the body in millimetres.
    pub fn body(&self, sheet: &Sheet) -> f64 {
        self.rule(sheet) - BODY_TO_RULE - sheet.paper.top.mm()
    }

    /// Makes the foot of one page, placed on the paper.
    ///
    /// The first page's notes are part of the text; on the others they are furniture.
    pub fn piece(
        &self,
        sheet: &Sheet,
        page_words: &str,
        first: FirstPage,
    ) -> Result<Piece, RenderError> {
        let kind = sheet.foot();
        let left = sheet.paper.left.mm();
        let rule_top = self.rule(sheet);
        let mut piece = Piece::blank(0.0);
        piece.open(Role::Artifact);
        let mut line = sheet.hairline(sheet.measure());
        line.shift(left, rule_top);
        piece.draw(line);
        let mut top = rule_top + RULE_TO_FOOT - kind.cap();
        piece.put(left, top, self.id.clone());
        let (page, width) = sheet.single(&bold(page_words), kind)?;
        if let RingLine::Beside(x) = self.ring_line {
            piece.put(left + x, top, self.ring.0.clone());
        }
        piece.put(left + sheet.measure() - width, top, page);
        if self.ring_line == RingLine::Below {
            top += kind.pitch;
            piece.put(left, top, self.ring.0.clone());
        }
        piece.close();
        for note in &self.notes {
            top += kind.pitch;
            let role = match first {
                FirstPage::Yes => Role::P,
                FirstPage::No => Role::Artifact,
            };
            piece.put(left, top, note.clone().tagged(role));
            top += kind.pitch * (lines_of(note) - 1.0);
        }
        Ok(piece)
    }
}

/// Whether a page is the first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FirstPage {
    /// It is.
    Yes,
    /// It is not.
    No,
}

#[expect(clippy::cast_precision_loss, reason = "a handful of lines")]
fn lines_of(piece: &Piece) -> f64 {
    piece.marks.len() as f64
}

/// Makes the stamp in the head of every page of a preview, placed on the paper.
pub fn stamp(sheet: &Sheet, words: &str, first: FirstPage) -> Result<Piece, RenderError> {
    let kind = sheet.label().in_colour(sheet.design.colour.paper);
    let (text, width) = sheet.single(&bold(words), kind)?;
    fits(words, width, sheet.measure())?;
    let area = Area {
        left: sheet.paper.left.mm(),
        top: sheet.paper.preview.mm(),
        width: sheet.measure(),
        height: STAMP,
    };
    let mut piece = Piece::blank(0.0);
    let role = match first {
        FirstPage::Yes => Role::P,
        FirstPage::No => Role::Artifact,
    };
    piece.open(role);
    piece.draw(Shape::area(area).filled(sheet.design.colour.ink));
    let x = area.left + (area.width - width) / 2.0;
    piece.put(x, area.top + (STAMP - kind.cap()) / 2.0, text);
    piece.close();
    Ok(piece)
}

/// Makes the line at the top of page 1: clinic left, number to ring right, a rule below.
pub fn masthead(sheet: &Sheet, frame: &Frame) -> Result<Piece, RenderError> {
    let kind = sheet.label();
    let (ring, ring_width) = sheet.single(&ring_runs(&frame.ring_us), kind)?;
    let measure = sheet.measure();
    let clinic = sheet.paragraph(&bold(&frame.clinic), kind, measure - ring_width - APART)?;
    let mut piece = Piece::blank(0.0);
    piece.stack(0.0, 0.0, clinic);
    piece.put(measure - ring_width, 0.0, ring.tagged(Role::P));
    piece.height += 2.5;
    let mut rule = sheet.hairline(measure);
    rule.shift(0.0, piece.height);
    piece.draw(rule);
    Ok(piece)
}

/// Makes the box for a name or a sticker.
pub fn name_box(sheet: &Sheet, words: &str) -> Result<Piece, RenderError> {
    let head = &sheet.design.head;
    let (width, height) = (head.name_width.mm(), head.name_height.mm());
    let pad = head.name_pad.mm();
    let kind = sheet.foot().in_colour(sheet.design.colour.soft);
    let mut piece = Piece::blank(height);
    piece.open(Role::P);
    let inside = Area {
        left: 0.0,
        top: 0.0,
        width,
        height,
    }
    .inset(tick(sheet) / 2.0);
    piece.draw(
        Shape::rounded(inside, 1.0).stroked(sheet.design.rule.tick.pt(), sheet.design.colour.soft),
    );
    piece.put(
        pad,
        pad,
        sheet.words(&plain(words), kind, width - 2.0 * pad)?,
    );
    piece.close();
    Ok(piece)
}

fn tick(sheet: &Sheet) -> f64 {
    sheet.design.rule.tick.pt() / POINTS_A_MM
}

/// Makes masthead, title and box for a name: the top of a first page.
pub fn top(sheet: &Sheet, frame: &Frame, title: &str, name: &str) -> Result<Piece, RenderError> {
    let head = &sheet.design.head;
    let measure = sheet.measure();
    let mut piece = masthead(sheet, frame)?;
    let beside = measure - head.name_width.mm() - APART;
    let words = sheet.title(title, beside)?;
    let gap = head.title_gap.mm();
    let below = piece.height + gap;
    let title_drop = ((head.name_height.mm() - words.height) / 2.0).max(0.0);
    let height = words.height.max(head.name_height.mm());
    piece.put(0.0, below + title_drop.min(gap), words);
    piece.put(
        measure - head.name_width.mm(),
        below,
        name_box(sheet, name)?,
    );
    piece.height = below + height;
    Ok(piece)
}

/// Makes the facts of the head in as few rows of columns as they need.
pub fn facts(sheet: &Sheet, facts: &[Labelled]) -> Result<Piece, RenderError> {
    let head = &sheet.design.head;
    let value = sheet.body();
    let label = sheet.label().in_colour(sheet.design.colour.soft);
    let mut cells = Vec::new();
    for fact in facts {
        let mut cell = Piece::blank(0.0);
        let (top, top_width) = sheet.single(&plain(&fact.label), label)?;
        let (below, below_width) = sheet.single(&bold(&fact.value), value)?;
        cell.stack(0.0, 0.0, top);
        cell.stack(0.0, head.label_gap.mm(), below);
        cells.push((cell.tagged(Role::P), top_width.max(below_width)));
    }
    let widths: Vec<f64> = cells.iter().map(|(_, width)| *width).collect();
    let columns = columns(&widths, sheet.measure(), head.meta_gap.mm());
    let column_widths = column_widths(&widths, columns);
    let used: f64 = column_widths.iter().sum();
    fits(
        &facts
            .first()
            .map_or_else(String::new, |fact| fact.value.clone()),
        used,
        sheet.measure(),
    )?;
    let gap = spread(sheet.measure() - used, column_widths.len(), head.meta_gap);
    let mut piece = Piece::blank(0.0);
    let mut row: Vec<Piece> = Vec::new();
    for (cell, _) in cells {
        row.push(cell);
        if row.len() == columns {
            stack_row(
                &mut piece,
                std::mem::take(&mut row),
                &column_widths,
                gap,
                head.meta_row.mm(),
            );
        }
    }
    if !row.is_empty() {
        stack_row(&mut piece, row, &column_widths, gap, head.meta_row.mm());
    }
    Ok(piece)
}

fn stack_row(piece: &mut Piece, row: Vec<Piece>, widths: &[f64], gap: f64, between: f64) {
    let y = if piece.height > 0.0 {
        piece.height + between
    } else {
        0.0
    };
    let mut x = 0.0;
    for (cell, width) in row.into_iter().zip(widths) {
        piece.height = piece.height.max(y + cell.height);
        piece.put(x, y, cell);
        x += width + gap;
    }
}

#[expect(clippy::cast_precision_loss, reason = "a handful of columns")]
fn spread(left: f64, columns: usize, least: Length) -> f64 {
    if columns < 2 {
        0.0
    } else {
        (left / (columns - 1) as f64).min(2.0 * least.mm())
    }
}

fn column_widths(widths: &[f64], columns: usize) -> Vec<f64> {
    let mut result = vec![0.0_f64; columns.min(widths.len())];
    for (index, width) in widths.iter().enumerate() {
        let column = &mut result[index % columns];
        *column = column.max(*width);
    }
    result
}

#[expect(clippy::cast_precision_loss, reason = "a handful of columns")]
fn columns(widths: &[f64], measure: f64, gap: f64) -> usize {
    let fits = |columns: usize| {
        let gaps = gap * (columns - 1) as f64;
        column_widths(widths, columns).iter().sum::<f64>() + gaps <= measure
    };
    let most = (1..=widths.len().clamp(1, 5))
        .rev()
        .find(|columns| fits(*columns))
        .unwrap_or(1);
    let rows = widths.len().div_ceil(most);
    // As many rows, but evenly filled.
    (1..=most)
        .find(|columns| widths.len().div_ceil(*columns) == rows && fits(*columns))
        .unwrap_or(most)
}

/// Makes the sentence that puts surgeon, local policy and licensed practice first.
pub fn deference(sheet: &Sheet, frame: &Frame) -> Result<Piece, RenderError> {
    sheet.paragraph(&plain(&frame.deference), sheet.label(), sheet.measure())
}
