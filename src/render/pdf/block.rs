//! One exercise: title, dose box at the right, words that flow round it, steps.
//!
//! All of it stays together. Lines beside the dose box keep to the left column; below it they
//! take the whole width.

use crate::handout::model::{Block, BlockMark, DoseWords};

use super::error::RenderError;
use super::list::{disc, signed, step};
use super::picture::pair;
use super::piece::{Piece, Role};
use super::shape::{Area, Shape};
use super::sheet::{InPoints, Millimetres, Sheet, bold, led, plain};
use super::sign::Sign;
use super::tier::{caution, limit};
use super::wrap::{Beside, Column, Run};

/// What comes after the title, in order.
pub enum Part {
    /// A paragraph.
    Words(Vec<Run>),
    /// A stop, in its frame.
    Limit(Vec<Run>),
    /// A caution, in its frame.
    Caution(String),
    /// A step with its number.
    Step(usize, Vec<Run>),
    /// A line that begins with a sign.
    Signed(Sign, Vec<Run>),
}

/// White between two steps, beyond that between two lines, millimetres.
const STEP: f64 = 0.6;

/// A line that would begin this little above the end of the dose box begins below it.
const LINE: f64 = 3.0;

/// A frame that would begin this little above the end of the dose box begins below it.
const NEAR: f64 = 9.0;

/// Captions of the pictures to the words, millimetres.
const PICTURES: f64 = 3.4;

/// Makes a block.
pub fn block(sheet: &Sheet, block: &Block) -> Result<Piece, RenderError> {
    let mut piece = Piece::blank(0.0);
    piece.open(Role::Sect);
    piece.stack(0.0, 0.0, title(sheet, block)?);
    let design = &sheet.design.block;
    let dose = dose(sheet, &block.dose)?;
    let (top, dose_height) = (piece.height, dose.height);
    piece.put(sheet.measure() - design.dose.mm(), top, dose);
    let flow = Flow {
        narrow: sheet.measure() - design.dose.mm() - design.dose_gap.mm(),
        wide: design.text.mm().min(sheet.measure()),
        clear: top + dose_height + 0.6,
    };
    let mut below = top + 1.0;
    if let Some(pictures) = &block.pictures {
        let pictures = pair(sheet, pictures)?;
        below = top + pictures.height + PICTURES;
        piece.put(0.0, top, pictures);
    }
    flow.run(sheet, &mut piece, below, &parts(block))?;
    piece.height = piece.height.max(top + dose_height);
    piece.close();
    Ok(piece)
}

/// Returns all that follows title and dose, in order.
pub fn parts(block: &Block) -> Vec<Part> {
    let mut parts = Vec::new();
    let first = block.rest_first.iter();
    parts.extend(first.map(|words| Part::Words(bold(words))));
    parts.extend(said(&reason_and_set_up(block)));
    parts.extend(block.aim.iter().map(|words| Part::Words(plain(words))));
    parts.extend(block.limit.iter().map(|words| Part::Limit(led(words))));
    parts.extend(block.caution.iter().cloned().map(Part::Caution));
    let steps = block.steps.iter().enumerate();
    parts.extend(steps.map(|(index, words)| Part::Step(index + 1, plain(words))));
    parts.push(Part::Signed(Sign::NotLikeThis, led(&block.error)));
    parts.extend(said(&block.feel));
    if !block.next.is_empty() {
        let runs = block.next.iter().flat_map(|words| dated(words)).collect();
        parts.push(Part::Signed(Sign::Next, runs));
    }
    parts
}

/// What comes next, bold up to its first comma: from when.
fn dated(words: &str) -> Vec<Run> {
    match words.split_once(", ") {
        Some((when, what)) => {
            let mut runs = bold(when);
            runs.extend(plain(&format!(", {what} ")));
            runs
        }
        None => plain(&format!("{words} ")),
    }
}

/// Why, how, where and with what: one paragraph.
fn reason_and_set_up(block: &Block) -> String {
    let set_up = [block.set_up.as_str()];
    let words = [block.why.as_str()]
        .into_iter()
        .chain(block.how.as_deref())
        .chain(set_up)
        .chain(block.make_do.iter().map(String::as_str))
        .filter(|words| !words.is_empty());
    words.collect::<Vec<_>>().join(" ")
}

fn said(words: &str) -> Option<Part> {
    (!words.is_empty()).then(|| Part::Words(plain(words)))
}

/// The two widths words may take, and where the narrow one ends.
pub struct Flow {
    /// Width beside the dose box, millimetres.
    pub narrow: f64,
    /// Width below it, millimetres.
    pub wide: f64,
    /// Where the narrow width ends, millimetres from the top of the block.
    pub clear: f64,
}

impl Flow {
    /// Puts the parts of a block under each other, the first one at a height of its own.
    pub fn run(
        &self,
        sheet: &Sheet,
        piece: &mut Piece,
        top: f64,
        parts: &[Part],
    ) -> Result<(), RenderError> {
        let mut before: Option<&Part> = None;
        let mut in_list = false;
        for part in parts {
            let is_step = matches!(part, Part::Step(..));
            if in_list && !is_step {
                piece.close();
            }
            if is_step && !in_list {
                piece.open(Role::L);
            }
            in_list = is_step;
            let free = before.map_or(top, |before| piece.height + gap(sheet, before, part));
            let y = self.drop(part, free);
            let words = made(sheet, part, self.column(sheet, y))?;
            piece.height = y + words.height;
            piece.put(0.0, y, words);
            before = Some(part);
        }
        if in_list {
            piece.close();
        }
        Ok(())
    }

    /// Lets a part begin below the dose box when that is near, for its full width.
    fn drop(&self, part: &Part, y: f64) -> f64 {
        let short = self.clear - y;
        let near = short > 0.0 && short < NEAR;
        match part {
            Part::Words(_) | Part::Step(..) | Part::Signed(..) if short > 0.0 && short < LINE => {
                self.clear
            }
            Part::Limit(_) | Part::Caution(_) if near => self.clear,
            Part::Limit(_)
            | Part::Caution(_)
            | Part::Words(_)
            | Part::Step(..)
            | Part::Signed(..) => y,
        }
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a handful of lines"
    )]
    fn column(&self, sheet: &Sheet, y: f64) -> Column {
        let body = sheet.body();
        let lines = ((self.clear - y) / body.pitch).ceil().max(0.0) as usize;
        let width = self.narrow;
        Column {
            width: self.wide,
            size: body.size,
            beside: (lines > 0).then_some(Beside { lines, width }),
        }
    }
}

/// White above a part, millimetres.
fn gap(sheet: &Sheet, before: &Part, part: &Part) -> f64 {
    let space = sheet.space;
    match (before, part) {
        (Part::Step(..), Part::Step(..)) | (Part::Signed(..), Part::Signed(..)) => {
            sheet.body().leading() + STEP
        }
        (_, Part::Step(..)) | (Part::Step(..), _) => space.after.mm(),
        (
            Part::Limit(_) | Part::Caution(_) | Part::Words(_) | Part::Signed(..),
            Part::Limit(_) | Part::Caution(_) | Part::Words(_) | Part::Signed(..),
        ) => space.paragraph.mm(),
    }
}

fn made(sheet: &Sheet, part: &Part, column: Column) -> Result<Piece, RenderError> {
    let framed = column.beside.map_or(column.width, |beside| beside.width);
    match part {
        Part::Words(runs) => Ok(sheet.words_in(runs, sheet.body(), column)?.tagged(Role::P)),
        Part::Limit(runs) => limit(sheet, runs, framed),
        Part::Caution(words) => caution(sheet, words, framed),
        Part::Step(number, runs) => step(sheet, *number, runs, column),
        Part::Signed(sign, runs) => signed(sheet, *sign, runs, column),
    }
}

fn title(sheet: &Sheet, block: &Block) -> Result<Piece, RenderError> {
    let design = &sheet.design.block;
    let measure = sheet.measure();
    let size = design.disc.mm();
    let (mark, mark_width) = mark(sheet, &block.mark)?;
    let indent = block.number.map_or(0.0, |_| size + design.disc_gap.mm());
    let room = measure - indent - mark_width - 3.0;
    let kind = sheet.heading();
    let words = sheet.element(Role::H2, &bold(&block.name), kind, room)?;
    let top = 2.4;
    let middle = top + size / 2.0;
    let first = middle - kind.cap() / 2.0;
    let mut piece = Piece::blank(
        design
            .title
            .mm()
            .max(design.title.mm() + words.height - kind.cap()),
    );
    piece.draw(
        Shape::line(&[(0.0, 0.0), (measure, 0.0)])
            .stroked(sheet.design.rule.opener.pt(), sheet.design.colour.ink),
    );
    if let Some(number) = block.number {
        piece.put(0.0, top, disc(sheet, number, size)?.tagged(Role::P));
    }
    piece.put(indent, first, words);
    let mark_top = middle - mark.height / 2.0;
    piece.put(measure - mark_width, mark_top, mark);
    piece.height += 1.0;
    Ok(piece)
}

/// Makes the mark at the right of the title: three shapes, so that it survives grey.
fn mark(sheet: &Sheet, mark: &BlockMark) -> Result<(Piece, f64), RenderError> {
    let colours = &sheet.design.colour;
    let label = sheet.label();
    let (words, boxed) = match mark {
        BlockMark::None => return Ok((Piece::blank(0.0), 0.0)),
        BlockMark::Same(words) => {
            let (piece, width) = sheet.single(&plain(words), label.in_colour(colours.soft))?;
            return Ok((piece.tagged(Role::P), width));
        }
        BlockMark::New(words) => (
            sheet.single(&bold(words), label.in_colour(colours.paper))?,
            Boxed::Filled,
        ),
        BlockMark::Changed(words) => (sheet.single(&bold(words), label)?, Boxed::Outlined),
    };
    let (text, text_width) = words;
    let pad = sheet.design.block.mark_pad.mm();
    let (width, height) = (text_width + 2.0 * pad, text.height + 2.0 * 1.6);
    let area = Area {
        left: 0.0,
        top: 0.0,
        width,
        height,
    };
    let mut piece = Piece::blank(height);
    let weight = sheet.design.rule.mark.pt();
    piece.draw(match boxed {
        Boxed::Filled => Shape::rounded(area, 1.0).filled(colours.ink),
        Boxed::Outlined => {
            Shape::rounded(area.inset(super::tier::half(weight)), 1.0).stroked(weight, colours.ink)
        }
    });
    piece.put(pad, 1.6, text);
    Ok((piece.tagged(Role::P), width))
}

enum Boxed {
    Filled,
    Outlined,
}

/// Makes the dose box.
pub fn dose(sheet: &Sheet, dose: &DoseWords) -> Result<Piece, RenderError> {
    let design = &sheet.design.block;
    let (width, pad) = (design.dose.mm(), design.dose_pad.mm());
    let inner = width - 2.0 * pad;
    let body = sheet.body();
    let mut words = amount(sheet, dose, inner)?;
    for (index, line) in dose.lines.iter().enumerate() {
        let gap = if index == 0 { 3.8 } else { body.leading() };
        words.stack(0.0, gap, sheet.paragraph(&plain(line), body, inner)?);
    }
    words.height += 2.8;
    let mut rule = Shape::line(&[(0.0, 0.0), (inner, 0.0)])
        .stroked(sheet.design.rule.hair.pt(), sheet.design.colour.accent);
    rule.shift(0.0, words.height);
    words.draw(rule);
    words.stack(0.0, 3.0, sheet.paragraph(&bold(&dose.often), body, inner)?);
    if !dose.when.is_empty() {
        words.stack(
            0.0,
            body.leading(),
            sheet.paragraph(&plain(&dose.when), body, inner)?,
        );
    }
    if let Some(total) = &dose.total {
        words.stack(
            0.0,
            body.leading(),
            sheet.paragraph(&plain(total), body, inner)?,
        );
    }
    let height = words.height + 2.0 * pad;
    let mut piece = Piece::blank(height);
    let area = Area {
        left: 0.0,
        top: 0.0,
        width,
        height,
    };
    piece.draw(Shape::rounded(area, 1.5).filled(sheet.design.colour.tint));
    piece.put(pad, pad, words);
    Ok(piece)
}

/// Makes the number and its unit on one baseline, or the unit below when it is long.
fn amount(sheet: &Sheet, dose: &DoseWords, width: f64) -> Result<Piece, RenderError> {
    let big = sheet.display(sheet.design.types.dose);
    let unit = sheet.display(sheet.design.types.unit);
    let unit_runs = bold(&dose.unit);
    let number_width = sheet.run_width(&bold(&dose.number), big.size)?;
    let unit_width = sheet.run_width(&unit_runs, unit.size)?;
    let mut piece = Piece::blank(0.0);
    piece.open(Role::P);
    piece.stack(0.0, 0.0, sheet.words(&bold(&dose.number), big, width)?);
    let space = 1.9;
    if number_width + space + unit_width <= width {
        let (words, _) = sheet.single(&unit_runs, unit)?;
        piece.put(number_width + space, big.cap() - unit.cap(), words);
    } else {
        piece.stack(0.0, 2.8, sheet.words(&unit_runs, unit, width)?);
    }
    piece.close();
    Ok(piece)
}
