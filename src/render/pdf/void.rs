//! The note that the sheet before is void: the heaviest frame of a page of exercises, near its top.
//!
//! Its sign is the crossed disc, never the eight-sided one: that is for emergencies alone.

use crate::handout::model::VoidNote;

use super::error::RenderError;
use super::piece::{Piece, Role};
use super::shape::Area;
use super::sheet::{Sheet, bold, plain};
use super::sign::{Drawn, Sign};

/// Frame to words, millimetres.
const PAD: f64 = 4.0;

/// Side of the sign, millimetres.
const SIGN: f64 = 14.0;

/// Sign to words, millimetres.
const APART: f64 = 4.5;

/// Title to the words under it, millimetres.
const TITLE: f64 = 4.0;

/// Makes the note across the page.
pub fn void(sheet: &Sheet, note: &VoidNote) -> Result<Piece, RenderError> {
    let colours = &sheet.design.colour;
    let width = sheet.measure();
    let indent = PAD + SIGN + APART;
    let room = width - indent - PAD;
    let mut words = Piece::blank(0.0);
    let title = sheet.element(Role::H2, &bold(&note.title), sheet.heading(), room)?;
    words.stack(0.0, 0.0, title);
    let under = plain(&note.lines.join(" "));
    words.stack(0.0, TITLE, sheet.paragraph(&under, sheet.body(), room)?);
    let inner = words.height.max(SIGN);
    let mut piece = Piece::blank(inner + 2.0 * PAD);
    piece.open(Role::Sect);
    let drawn = Drawn {
        size: SIGN,
        ink: colours.ink,
        ground: colours.paper,
    };
    piece.put(
        PAD,
        PAD + (inner - SIGN) / 2.0,
        Sign::NotLikeThis.piece(drawn),
    );
    piece.put(indent, PAD + (inner - words.height) / 2.0, words);
    let area = Area {
        left: 0.0,
        top: 0.0,
        width,
        height: piece.height,
    };
    piece.draw(sheet.frame(area, sheet.design.rule.withheld));
    piece.close();
    Ok(piece)
}
