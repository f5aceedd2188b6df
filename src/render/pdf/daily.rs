//! What is done through the day: title, one line of dose, then as an exercise.
//!
//! No dose box: several stand on a page. Next: `rest` stacks them.

use crate::handout::model::{Block, DoseWords};

use super::block::{Flow, parts};
use super::error::RenderError;
use super::picture::pair;
use super::piece::{Piece, Role};
use super::shape::Shape;
use super::sheet::{InPoints, Millimetres, Sheet, bold, plain};
use super::wrap::Run;

/// Rule to the cap of the title, and title to the dose, millimetres.
const TITLE: f64 = 4.2;

/// Makes a block of the day.
pub fn daily(sheet: &Sheet, block: &Block) -> Result<Piece, RenderError> {
    let measure = sheet.measure();
    let mut piece = Piece::blank(0.0);
    piece.open(Role::Sect);
    piece.draw(
        Shape::line(&[(0.0, 0.0), (measure, 0.0)])
            .stroked(sheet.design.rule.thin.pt(), sheet.design.colour.ink),
    );
    let unit = sheet.display(sheet.design.types.unit);
    let title = sheet.element(Role::H2, &bold(&block.name), unit, measure)?;
    piece.stack(0.0, TITLE, title);
    let dose = sheet.paragraph(&dose_line(&block.dose), sheet.body(), measure)?;
    piece.stack(0.0, TITLE, dose);
    if let Some(pictures) = &block.pictures {
        piece.stack(0.0, TITLE, pair(sheet, pictures)?);
    }
    let flow = Flow {
        narrow: measure,
        wide: measure,
        clear: 0.0,
    };
    let top = piece.height + sheet.space.paragraph.mm();
    flow.run(sheet, &mut piece, top, &parts(block))?;
    piece.close();
    Ok(piece)
}

/// The dose in one line: how much, how often and when bold; holds and totals after it.
fn dose_line(dose: &DoseWords) -> Vec<Run> {
    let mut much = format!(
        "{} {}, {}",
        dose.number,
        dose.unit,
        begun_small(&dose.often)
    );
    if !dose.when.is_empty() {
        much.push_str(": ");
        much.push_str(&dose.when);
    }
    if !much.ends_with('.') {
        much.push('.');
    }
    let mut runs = bold(&much);
    for words in dose.lines.iter().chain(&dose.total) {
        runs.extend(plain(&format!(" {words}")));
    }
    runs
}

fn begun_small(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}
