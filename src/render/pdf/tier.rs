//! Boxes of signs: what to do, the signs, what it may be. Urgency is weight of frame, never colour.

use crate::domain::word::Level;
use crate::handout::model::{Action, Tier};

use super::error::RenderError;
use super::face::POINTS_A_MM;
use super::list::bullets;
use super::piece::{Piece, Role};
use super::shape::{Area, Shape};
use super::sheet::{Millimetres, Sheet, bold, plain};
use super::sign::{Drawn, Sign};

/// Between the two lines of a double frame, outer edge to outer edge, millimetres.
const DOUBLE: f64 = 0.9;

/// How a level looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Weight {
    /// Black bar, heavy frame.
    Bar,
    /// Double frame.
    Double,
    /// Thin frame.
    Thin,
}

const fn weight(level: Level) -> Weight {
    match level {
        Level::Emergency => Weight::Bar,
        Level::SameDay => Weight::Double,
        Level::Within48Hours | Level::NextVisit => Weight::Thin,
    }
}

const fn sign(level: Level) -> Sign {
    match level {
        Level::Emergency => Sign::Stop,
        Level::SameDay | Level::Within48Hours => Sign::Phone,
        Level::NextVisit => Sign::Warning,
    }
}

fn frames(sheet: &Sheet, level: Level, area: Area) -> Vec<Shape> {
    let rule = &sheet.design.rule;
    match weight(level) {
        Weight::Bar => vec![sheet.frame(area, rule.heavy)],
        Weight::Double => vec![
            sheet.frame(area, rule.double_outer),
            sheet.frame(area.inset(DOUBLE), rule.double_inner),
        ],
        Weight::Thin => vec![sheet.frame(area, rule.thin)],
    }
}

/// What to do, with its sign, in a column.
fn action(sheet: &Sheet, tier: &Tier) -> Result<Piece, RenderError> {
    let design = &sheet.design.tier;
    let colours = &sheet.design.colour;
    let (ink, ground) = match weight(tier.level) {
        Weight::Bar => (colours.paper, colours.ink),
        Weight::Double | Weight::Thin => (colours.ink, colours.paper),
    };
    let size = design.sign.mm();
    let indent = size + design.gap.mm();
    let width = design.action.mm() - design.pad.mm() - indent - 1.5;
    let kind = sheet.display(sheet.design.types.unit).in_colour(ink);
    let mut words = Piece::blank(0.0);
    words.stack(0.0, 0.0, sheet.paragraph(&bold(&tier.action), kind, width)?);
    if let Some(phone) = &tier.phone {
        let kind = sheet.body().in_colour(ink);
        words.stack(0.0, 2.6, sheet.paragraph(&bold(phone), kind, width)?);
    }
    let height = words.height.max(size);
    let mut piece = Piece::blank(height);
    piece.put(
        0.0,
        (height - size) / 2.0,
        sign(tier.level).piece(Drawn { size, ink, ground }),
    );
    piece.put(indent, (height - words.height) / 2.0, words);
    Ok(piece)
}

/// Makes one box of signs across the page.
pub fn tier(sheet: &Sheet, tier: &Tier) -> Result<Piece, RenderError> {
    let design = &sheet.design.tier;
    let width = sheet.measure();
    let left = design.action.mm() + 3.5;
    let inner = width - left - design.pad.mm();
    let body = sheet.body();
    let mut runs = bold(&tier.hazard);
    if !tier.consequence.is_empty() {
        runs.extend(plain(&format!(" {}", tier.consequence)));
    }
    let words = sheet.paragraph(&runs, body, inner)?;
    let doing = action(sheet, tier)?;
    let height = words.height.max(doing.height) + 2.0 * sheet.space.tier_pad.mm();
    let mut piece = Piece::blank(height);
    piece.open(Role::Sect);
    if weight(tier.level) == Weight::Bar {
        let bar = Area {
            left: 0.0,
            top: 0.0,
            width: design.action.mm(),
            height,
        };
        piece.draw(Shape::area(bar).filled(sheet.design.colour.ink));
    }
    let doing_top = (height - doing.height) / 2.0;
    piece.put(design.pad.mm(), doing_top, doing);
    let words_top = (height - words.height) / 2.0;
    piece.put(left, words_top, words);
    for frame in frames(
        sheet,
        tier.level,
        Area {
            left: 0.0,
            top: 0.0,
            width,
            height,
        },
    ) {
        piece.draw(frame);
    }
    piece.close();
    Ok(piece)
}

/// Makes one thing to do first, as a card across the page.
pub fn card(sheet: &Sheet, doing: &Action) -> Result<Piece, RenderError> {
    let (width, pad) = (sheet.measure(), 5.0);
    let bar = card_bar(sheet, doing)?;
    let mut piece = Piece::blank(0.0);
    piece.open(Role::Sect);
    piece.stack(0.0, 0.0, bar);
    let inner = width - 2.0 * pad;
    let body = sheet.body();
    piece.stack(
        pad,
        4.6,
        sheet.paragraph(&bold(&doing.finding), body, inner)?,
    );
    if !doing.consequence.is_empty() {
        let words = sheet.paragraph(&plain(&doing.consequence), body, inner)?;
        piece.stack(pad, body.leading(), words);
    }
    if let Some(restrict) = &doing.restrict {
        let words = sheet.paragraph(&plain(restrict), body, inner)?;
        piece.stack(pad, sheet.space.paragraph.mm(), words);
    }
    if !doing.until.is_empty() {
        let lines: Vec<_> = doing.until.iter().map(|line| plain(line)).collect();
        piece.stack(
            pad,
            sheet.space.paragraph.mm(),
            bullets(sheet, &lines, inner)?,
        );
    }
    if !doing.say.is_empty() {
        piece.stack(pad, 4.6, script(sheet, &doing.say, inner)?);
    }
    piece.height += pad;
    let area = Area {
        left: 0.0,
        top: 0.0,
        width,
        height: piece.height,
    };
    for frame in frames(sheet, doing.level, area) {
        piece.draw(frame);
    }
    piece.close();
    Ok(piece)
}

fn card_bar(sheet: &Sheet, doing: &Action) -> Result<Piece, RenderError> {
    let colours = &sheet.design.colour;
    let (ink, ground) = match weight(doing.level) {
        Weight::Bar => (colours.paper, colours.ink),
        Weight::Double | Weight::Thin => (colours.ink, colours.paper),
    };
    let (pad, size) = (5.0, sheet.design.tier.sign.mm());
    let indent = pad + size + 4.0;
    let width = sheet.measure();
    let kind = sheet.heading().in_colour(ink);
    let words = sheet.element(Role::H2, &bold(&doing.action), kind, width - indent - pad)?;
    let height = words.height.max(size) + 2.0 * 4.0;
    let mut piece = Piece::blank(height);
    if weight(doing.level) == Weight::Bar {
        piece.draw(
            Shape::area(Area {
                left: 0.0,
                top: 0.0,
                width,
                height,
            })
            .filled(colours.ink),
        );
    } else {
        let mut rule = sheet.hairline(width - 2.0 * pad);
        rule.shift(pad, height);
        piece.draw(rule);
    }
    piece.put(
        pad,
        (height - size) / 2.0,
        sign(doing.level).piece(Drawn { size, ink, ground }),
    );
    piece.put(indent, (height - words.height) / 2.0, words);
    Ok(piece)
}

/// Makes the script to say, on its tint.
pub fn script(sheet: &Sheet, words: &str, width: f64) -> Result<Piece, RenderError> {
    let pad = 4.4;
    let kind = sheet.display(sheet.design.types.script);
    let kind = super::sheet::Type {
        pitch: sheet.body().pitch * kind.size / sheet.body().size,
        ..kind
    };
    let words = sheet.paragraph(&plain(words), kind, width - 2.0 * pad)?;
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

/// Makes a caution of one exercise: the thin frame with the triangle.
pub fn caution(sheet: &Sheet, words: &str, width: f64) -> Result<Piece, RenderError> {
    let colours = &sheet.design.colour;
    let (pad, size) = (1.6, 5.6);
    let indent = pad + size + 2.4;
    let words = sheet.words(&plain(words), sheet.body(), width - indent - pad)?;
    let height = words.height.max(size) + 2.0 * pad;
    let mut piece = Piece::blank(height);
    let drawn = Drawn {
        size,
        ink: colours.ink,
        ground: colours.paper,
    };
    piece.put(pad, (height - size) / 2.0, Sign::Warning.piece(drawn));
    piece.put(indent, (height - words.height) / 2.0, words);
    piece.draw(sheet.frame(
        Area {
            left: 0.0,
            top: 0.0,
            width,
            height,
        },
        sheet.design.rule.thin,
    ));
    Ok(piece.tagged(Role::P))
}

/// Makes a limit: a stop, in a frame no goal ever gets.
pub fn limit(sheet: &Sheet, runs: &[super::wrap::Run], width: f64) -> Result<Piece, RenderError> {
    let pad = 2.6;
    let left = 4.0;
    let words = sheet.words(runs, sheet.body(), width - left - pad)?;
    let height = words.height + 2.0 * pad;
    let mut piece = Piece::blank(height);
    piece.put(left, pad, words);
    let area = Area {
        left: 0.0,
        top: 0.0,
        width,
        height,
    };
    piece.draw(sheet.frame(area, sheet.design.rule.limit));
    // A thick left edge, as a stop at the end of a rail.
    let edge = Area {
        left: 0.0,
        top: 0.0,
        width: 1.6,
        height,
    };
    piece.draw(Shape::area(edge).filled(sheet.design.colour.ink));
    Ok(piece.tagged(Role::P))
}

/// Returns half a line weight in millimetres.
pub fn half(weight: f64) -> f64 {
    weight / POINTS_A_MM / 2.0
}
