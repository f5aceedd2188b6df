//! A blank form as plain text: `[ ]` to tick, lines to write on.
//!
//! Nothing of the form is left out but the page count.

use crate::handout::model::form::{Answer, Choice, Form, FormField, FormSection, FormTable, Part};

use super::lines::Lines;
use super::{draw_foot, draw_head, draw_name_box, labelled};

/// Draws a form.
pub(super) fn draw(lines: &mut Lines, form: &Form) {
    draw_head(lines, &form.frame);
    lines.title(&form.title);
    lines.line(&form.subtitle);
    draw_name_box(lines, &form.name_box);
    for fact in &form.facts {
        lines.line(&labelled(fact));
    }
    lines.gap();
    lines.lines(&form.how_to);
    lines.gap();
    for field in &form.head {
        draw_field(lines, field);
    }
    for section in &form.sections {
        draw_section(lines, section);
    }
    lines.gap();
    lines.line(&form.frame.deference);
    draw_foot(lines, &form.frame);
}

fn draw_section(lines: &mut Lines, section: &FormSection) {
    lines.heading(&section.title);
    lines.lines(section.note.as_slice());
    for field in &section.fields {
        draw_field(lines, field);
    }
    if let Some(entered) = &section.entered {
        lines.gap();
        lines.line(&labelled(entered));
    }
}

fn draw_field(lines: &mut Lines, field: &FormField) {
    lines.gap();
    lines.line(&question(field));
    match &field.answer {
        Answer::Beside(parts) => lines.inset(&beside(parts)),
        Answer::List(choices) => {
            for choice in choices {
                lines.inset(&one(choice));
            }
        }
        Answer::Table(table) => draw_table(lines, table),
    }
}

fn question(field: &FormField) -> String {
    let number = field.number.map(|number| format!("{number}."));
    let marks = (!field.marks.is_empty()).then(|| format!("({})", field.marks.join(", ")));
    let typed = (!field.typed.is_empty()).then(|| field.typed.join(" "));
    let parts = [number, Some(field.question.clone()), marks, typed];
    parts.into_iter().flatten().collect::<Vec<_>>().join(" ")
}

fn beside(parts: &[Part]) -> String {
    let mut text = String::new();
    let mut glued = true;
    for part in parts {
        if !glued {
            text.push_str(GAP);
        }
        glued = false;
        match part {
            Part::Tick(word) => text.push_str(&tick(word)),
            Part::Figures { count, after } => {
                text.push_str(&"_".repeat(*count));
                glued = after == "-";
                if !glued && !after.is_empty() {
                    text.push('\u{a0}');
                }
                text.push_str(after);
            }
            Part::Line => text.push_str(&"_".repeat(LINE)),
            Part::Words(words) => text.push_str(&words.replace(' ', "\u{a0}")),
        }
    }
    text
}

/// Two spaces between two things to write on; a line may break there.
const GAP: &str = "\u{a0} ";

/// Characters of a line to write on.
const LINE: usize = 32;

fn tick(word: &str) -> String {
    format!("[\u{a0}]\u{a0}{}", word.replace(' ', "\u{a0}"))
}

fn one(choice: &Choice) -> String {
    format!("{}{GAP}{}", tick(&choice.word), choice.means)
}

fn draw_table(lines: &mut Lines, table: &FormTable) {
    for row in &table.rows {
        let mut cells = row.iter();
        let name = cells.next().map_or("", String::as_str);
        let rest: Vec<&str> = cells.map(String::as_str).collect();
        let boxes: Vec<String> = table.boxes.iter().map(|word| tick(word)).collect();
        lines.gap();
        lines.line(&format!("{name}: {}", rest.join(" \u{2013} ")));
        lines.inset(&boxes.join(GAP));
    }
}
