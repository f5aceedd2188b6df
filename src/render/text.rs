//! A document as plain text, 72 columns wide, in the order it is read aloud.
//!
//! Nothing of the document is left out but the page count: text has no pages.
//! Each sentence of a dose has a line of its own.

mod form;
mod lines;
mod stages;

use crate::domain::word::Level;
use crate::handout::model::{
    Action, Block, BlockMark, BoxState, Diary, DiaryBox, DiaryRow, Document, DoseWords, Frame,
    Handout, Labelled, Led, Message, Plan, PlanCell, PlanRow, Section, Table, Tier, VoidNote,
    WithheldPage,
};
use lines::Lines;

/// Draws a document as text.
pub fn text(document: &Document) -> String {
    let mut lines = Lines::new();
    match document {
        Document::Handout(handout) => draw_handout(&mut lines, handout),
        Document::Withheld(page) => draw_withheld(&mut lines, page),
        Document::Form(blank) => form::draw(&mut lines, blank),
        Document::Figures(figures) => {
            lines.title(&figures.title);
            for row in &figures.rows {
                lines.line(format!("{} {}", row.name, row.way).trim());
            }
        }
    }
    lines.finish()
}

fn draw_handout(lines: &mut Lines, handout: &Handout) {
    draw_head(lines, &handout.frame);
    lines.title(&handout.title);
    draw_name_box(lines, &handout.name_box);
    for meta in &handout.meta {
        lines.line(&labelled(meta));
    }
    draw_void(lines, handout.void.as_ref());
    draw_actions(lines, &handout.actions_title, &handout.actions);
    draw_message(lines, &handout.message);
    draw_plan(lines, &handout.plan);
    lines.heading(&handout.tiers_title);
    for tier in &handout.tiers {
        draw_tier(lines, tier);
    }
    if let Some(words) = &handout.stages {
        stages::draw(lines, words);
    }
    for block in &handout.blocks {
        draw_block(lines, block);
    }
    if !handout.daily.is_empty() {
        lines.heading(&handout.daily_title);
    }
    for block in &handout.daily {
        draw_block(lines, block);
    }
    if let Some(rules) = &handout.rules {
        draw_table(lines, rules);
    }
    for section in [
        &handout.bad_day,
        &handout.visit_moves,
        &handout.care,
        &handout.usual,
        &handout.not_usual,
        &handout.hope,
    ] {
        draw_section(lines, section);
    }
    lines.heading(&handout.know_title);
    for section in &handout.know {
        lines.gap();
        lines.line(&section.title);
        for row in &section.rows {
            lines.bullet(&led(row));
        }
    }
    lines.gap();
    lines.line(&handout.frame.deference);
    lines.gap();
    lines.blank_after(&handout.sign);
    draw_diary(lines, &handout.diary);
    draw_foot(lines, &handout.frame);
}

/// Draws the page that replaces a program; in an emergency nothing stands above the bar.
fn draw_withheld(lines: &mut Lines, page: &WithheldPage) {
    let emergency = page.level == Level::Emergency;
    if !emergency {
        draw_head(lines, &page.frame);
    }
    lines.title(&page.bar);
    if !emergency {
        draw_name_box(lines, &page.name_box);
    }
    lines.line(&page.action);
    lines.lines(page.phone.as_slice());
    lines.lines(&page.phone_lines);
    if emergency {
        lines.gap();
        draw_head(lines, &page.frame);
        draw_name_box(lines, &page.name_box);
    }
    draw_void(lines, page.void.as_ref());
    for section in [&page.why, &page.say, &page.until] {
        draw_section(lines, section);
    }
    if let Some(tier) = &page.tier {
        lines.gap();
        draw_tier(lines, tier);
    }
    lines.gap();
    lines.line(&page.frame.deference);
    lines.gap();
    for label in &page.sign {
        lines.blank_after(label);
    }
    draw_foot(lines, &page.frame);
}

fn draw_head(lines: &mut Lines, frame: &Frame) {
    lines.lines(frame.preview.as_slice());
    lines.line(&frame.clinic);
    lines.line(&labelled(&frame.ring_us));
    lines.lines(&frame.notes);
}

fn draw_foot(lines: &mut Lines, frame: &Frame) {
    lines.gap();
    lines.line(&frame.foot_id);
    lines.line(&labelled(&frame.ring_us));
    lines.lines(frame.preview.as_slice());
}

fn draw_name_box(lines: &mut Lines, label: &str) {
    lines.blank_after(label);
    lines.gap();
}

/// Draws the note between two rules, as nothing else stands.
fn draw_void(lines: &mut Lines, void: Option<&VoidNote>) {
    let Some(note) = void else {
        return;
    };
    lines.gap();
    lines.rule();
    lines.line(&note.title);
    lines.lines(&note.lines);
    lines.rule();
}

fn draw_actions(lines: &mut Lines, title: &str, actions: &[Action]) {
    if actions.is_empty() {
        return;
    }
    lines.heading(title);
    for action in actions {
        lines.gap();
        lines.line(&action.action);
        lines.line(&action.finding);
        lines.line(&action.consequence);
        lines.lines(action.restrict.as_slice());
        for line in &action.until {
            lines.bullet(line);
        }
        if !action.say.is_empty() {
            lines.line(&action.say);
        }
    }
}

fn draw_message(lines: &mut Lines, message: &Message) {
    lines.heading(&message.headline);
    for bullet in &message.bullets {
        lines.bullet(&led(bullet));
    }
}

fn draw_plan(lines: &mut Lines, plan: &Plan) {
    lines.heading(&plan.title);
    for slot in &plan.slots {
        lines.line(&format!("{}: {}", slot.label, slot.value));
    }
    lines.gap();
    for row in &plan.rows {
        lines.line(&plan_row(row, plan));
    }
    lines.gap();
    for note in &plan.notes {
        lines.bullet(note);
    }
}

fn plan_row(row: &PlanRow, plan: &Plan) -> String {
    let mut start = numbered(row.number, &row.name);
    if !row.how_much.is_empty() {
        start = format!("{start}, {}", row.how_much);
    }
    let due = plan
        .slots
        .iter()
        .zip(&row.cells)
        .filter(|(_, cell)| **cell == PlanCell::Due);
    let slots: Vec<_> = due.map(|(slot, _)| slot.label.as_str()).collect();
    let when = row.across.clone().unwrap_or_else(|| slots.join(", "));
    format!("{start}: {when}")
}

fn draw_tier(lines: &mut Lines, tier: &Tier) {
    lines.gap();
    lines.line(&match &tier.phone {
        Some(phone) => format!("{}: {phone}", tier.action),
        None => tier.action.clone(),
    });
    lines.line(&tier.hazard);
    lines.line(&tier.consequence);
}

fn draw_block(lines: &mut Lines, block: &Block) {
    let name = numbered(block.number, &block.name);
    lines.heading(&match &block.mark {
        BlockMark::None => name,
        BlockMark::New(mark) | BlockMark::Changed(mark) | BlockMark::Same(mark) => {
            format!("{name} ({mark})")
        }
    });
    draw_dose(lines, &block.dose);
    lines.gap();
    lines.line(&block.why);
    lines.lines(block.aim.as_slice());
    if let Some(limit) = &block.limit {
        lines.line(&led(limit));
    }
    lines.lines(block.rest_first.as_slice());
    lines.lines(block.caution.as_slice());
    lines.gap();
    lines.line(&block.set_up);
    lines.lines(&block.make_do);
    lines.lines(block.how.as_slice());
    lines.steps(&block.steps);
    lines.line(&led(&block.error));
    lines.line(&block.feel);
    lines.lines(&block.next);
}

/// Draws each sentence of the dose on a line of its own.
fn draw_dose(lines: &mut Lines, dose: &DoseWords) {
    lines.line(&format!("{} {}.", dose.number, dose.unit));
    lines.lines(&dose.lines);
    lines.line(&format!("{}: {}.", dose.often, dose.when));
    lines.lines(dose.total.as_slice());
}

fn draw_table(lines: &mut Lines, table: &Table) {
    lines.heading(&table.title);
    for row in &table.rows {
        lines.gap();
        for (head, cell) in table.head.iter().zip(row) {
            lines.line(&format!("{head}: {cell}"));
        }
    }
}

fn draw_section(lines: &mut Lines, section: &Section) {
    if section.rows.is_empty() {
        return;
    }
    lines.heading(&section.title);
    for row in &section.rows {
        lines.bullet(&led(row));
    }
}

fn draw_diary(lines: &mut Lines, diary: &Diary) {
    lines.heading(&diary.title);
    lines.line(&diary.how_to);
    for row in &diary.rows {
        draw_diary_row(lines, diary, row);
    }
    lines.gap();
    lines.line(&led(&diary.notes));
    lines.gap();
    lines.line(&diary.questions_title);
    lines.gap();
}

fn draw_diary_row(lines: &mut Lines, diary: &Diary, row: &DiaryRow) {
    lines.gap();
    lines.line(&format!("{}: {} {}", diary.day_head, row.day, row.date));
    let pain = &diary.pain_head;
    lines.blank_after(&format!("{}, {}", pain.label, pain.value));
    for (slot, boxes) in diary.slots.iter().zip(&row.slots) {
        if !boxes.is_empty() {
            let boxes: Vec<_> = boxes.iter().copied().map(diary_box).collect();
            lines.line(&format!("{slot}: {}", boxes.join("  ")));
        }
    }
    lines.lines(row.words.as_slice());
}

fn diary_box(each: DiaryBox) -> String {
    let tick = match each.state {
        BoxState::Empty => ' ',
        BoxState::Ticked => 'x',
    };
    format!("{}\u{a0}[{tick}]", each.number)
}

fn numbered(number: Option<u8>, name: &str) -> String {
    number.map_or_else(|| name.to_owned(), |number| format!("{number}. {name}"))
}

fn labelled(each: &Labelled) -> String {
    if each.label.ends_with(':') {
        format!("{} {}", each.label, each.value)
    } else {
        format!("{}: {}", each.label, each.value)
    }
}

fn led(row: &Led) -> String {
    match &row.lead {
        Some(lead) => {
            let colon = if lead.ends_with([':', ',', '.', '?']) {
                ""
            } else {
                ":"
            };
            format!("{lead}{colon} {}", row.text)
        }
        None => row.text.clone(),
    }
}
