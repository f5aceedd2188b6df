//! The stages of a sheet with no next visit, as text.

use super::lines::Lines;
use super::{draw_section, led};
use crate::handout::model::{StageCard, Stages};

/// Draws the stages in order, and what comes after them.
pub(super) fn draw(lines: &mut Lines, stages: &Stages) {
    lines.heading(&stages.title);
    lines.lines(&stages.intro);
    for card in &stages.cards {
        draw_card(lines, card);
    }
    draw_section(lines, &stages.after);
}

fn draw_card(lines: &mut Lines, card: &StageCard) {
    lines.gap();
    lines.line(&format!("{}: {}", card.title, card.date));
    lines.lines(card.today.as_slice());
    if !card.check.rows.is_empty() {
        lines.line(&card.check.title);
    }
    for row in &card.check.rows {
        lines.line(&format!("[ ] {}", led(row)));
    }
    if !card.up.rows.is_empty() {
        lines.line(&card.up.title);
    }
    for row in &card.up.rows {
        lines.bullet(&led(row));
    }
    if let Some(fail) = &card.fail {
        lines.line(&led(fail));
    }
}
