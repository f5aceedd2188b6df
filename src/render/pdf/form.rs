//! A blank form: boxes to tick, boxes for figures and lines to write on.
//!
//! Dense by design: a clinician reads it with the person in front of them, and it must be one page
//! where it can. Its numbers stand in `measures`, not in the page design of the library, so that a
//! clinic need not read its library again because a box has moved.

use crate::handout::model::form::{Answer, Form, FormField, FormSection};
use crate::handout::model::{Frame, Labelled};

use super::emit::room;
use super::error::RenderError;
use super::flow::{Gap, Item, Leaf, height, pages};
use super::furniture::{Foot, masthead, name_box};
use super::piece::{Piece, Role};
use super::sheet::{Millimetres, Sheet, bold, lead_in, plain};

use self::measures::{
    FACT_GAP, HEAD_GAP, HEADING_GAP, NOTE_GAP, SECTION_LEAST, SECTION_MOST, SECTION_WHOLE,
    heading_type, note_type, title_type,
};

mod cell;
mod list;
mod measures;
mod part;
mod row;
mod table;

/// Lays a form out.
pub fn leaves(sheet: &Sheet, form: &Form) -> Result<Vec<Leaf>, RenderError> {
    let body = Foot::new(sheet, &form.frame)?.body(sheet);
    let said = deference(sheet, &form.frame)?;
    let mut items = vec![Item::new(Gap::fixed(0.0), head(sheet, form)?)];
    items.extend(row::rows(sheet, below(form), sheet.measure())?);
    for part in &form.sections {
        items.extend(section(sheet, part)?);
    }
    let mut first = pages(items, room(body, Some(&said)))?;
    let later = first.split_off(1.min(first.len())).concat();
    first.extend(further(sheet, form, later, room(body, Some(&said)))?);
    Ok(first
        .into_iter()
        .map(|items| Leaf {
            items,
            pinned: Some(said.clone()),
        })
        .collect())
}

/// Breaks what is left over from the first page; each page says on top whose it is.
fn further(
    sheet: &Sheet,
    form: &Form,
    items: Vec<Item>,
    room: f64,
) -> Result<Vec<Vec<Item>>, RenderError> {
    let top = row::rows(sheet, std::slice::from_ref(&form.again), sheet.measure())?;
    let taken = height(&top) + SECTION_LEAST;
    let mut leaves = pages(items, room - taken)?;
    for leaf in &mut leaves {
        leaf.splice(0..0, top.iter().cloned());
    }
    Ok(leaves)
}

fn deference(sheet: &Sheet, frame: &Frame) -> Result<Piece, RenderError> {
    let kind = note_type(sheet);
    sheet.paragraph(&bold(&frame.deference), kind, sheet.measure())
}

/// Makes the top of the first page: title, what is known, how to fill it in; the box for a name.
fn head(sheet: &Sheet, form: &Form) -> Result<Piece, RenderError> {
    let shape = &sheet.design.head;
    let measure = sheet.measure();
    let beside = measure - shape.name_width.mm() - HEAD_GAP;
    let mut words = sheet.element(Role::H1, &bold(&form.title), title_type(sheet), beside)?;
    let kind = note_type(sheet);
    words.stack(
        0.0,
        NOTE_GAP,
        sheet.paragraph(&plain(&form.subtitle), kind, beside)?,
    );
    for fact in &form.facts {
        words.stack(0.0, FACT_GAP, known(sheet, fact, beside)?);
    }
    for line in &form.how_to {
        words.stack(0.0, NOTE_GAP, sheet.paragraph(&plain(line), kind, beside)?);
    }
    for item in row::rows(sheet, beside_the_box(form), beside)? {
        words.stack(0.0, NOTE_GAP, item.piece);
    }
    let mut piece = masthead(sheet, &form.frame)?;
    let below = piece.height + HEAD_GAP;
    let height = words.height.max(shape.name_height.mm());
    piece.put(0.0, below, words);
    piece.put(
        measure - shape.name_width.mm(),
        below,
        name_box(sheet, &form.name_box)?,
    );
    piece.height = below + height;
    Ok(piece)
}

/// The first question of the head stands beside the box for a name.
fn beside_the_box(form: &Form) -> &[FormField] {
    form.head.get(..1).unwrap_or_default()
}

fn below(form: &Form) -> &[FormField] {
    form.head.get(1..).unwrap_or_default()
}

fn known(sheet: &Sheet, fact: &Labelled, width: f64) -> Result<Piece, RenderError> {
    let mut runs = plain(&format!("{}: ", fact.label));
    runs.extend(bold(&fact.value));
    sheet.paragraph(&runs, measures::answer_type(sheet), width)
}

fn section(sheet: &Sheet, part: &FormSection) -> Result<Vec<Item>, RenderError> {
    let between = Gap {
        least: SECTION_LEAST,
        most: SECTION_MOST,
    };
    let kind = heading_type(sheet);
    let mut heading = sheet.element(Role::H2, &bold(&part.title), kind, sheet.measure())?;
    if let Some(note) = &part.note {
        let note = sheet.paragraph(&plain(note), note_type(sheet), sheet.measure())?;
        heading.stack(0.0, NOTE_GAP, note);
    }
    heading.height += HEADING_GAP;
    let mut items = vec![Item::new(between, heading).with_next()];
    items.extend(fields(sheet, &part.fields)?);
    if let Some(entered) = &part.entered {
        let words = lead_in(&entered.label, &entered.value);
        let piece = sheet.paragraph(&words, note_type(sheet), sheet.measure())?;
        items.push(Item::new(Gap::fixed(HEADING_GAP), piece));
    }
    keep(&mut items, part);
    Ok(items)
}

/// Keeps a section together, and the command to type with the questions it is for.
fn keep(items: &mut [Item], part: &FormSection) {
    let whole = part.entered.is_some() || height(items) <= SECTION_WHOLE;
    let last = items.len().saturating_sub(1);
    for item in items.iter_mut().take(last).filter(|_| whole) {
        *item = item.clone().with_next();
    }
}

/// Lays questions out in order: those with an answer beside them share rows.
fn fields(sheet: &Sheet, fields: &[FormField]) -> Result<Vec<Item>, RenderError> {
    let mut items = Vec::new();
    let beside = |field: &FormField| matches!(field.answer, Answer::Beside(_));
    for run in fields.chunk_by(|one, next| beside(one) && beside(next)) {
        match run {
            [
                field @ FormField {
                    answer: Answer::Table(table),
                    ..
                },
            ] => items.extend(table::table(sheet, field, table)?),
            [
                field @ FormField {
                    answer: Answer::List(choices),
                    ..
                },
            ] => items.extend(list::list(sheet, field, choices)?),
            several => items.extend(row::rows(sheet, several, sheet.measure())?),
        }
    }
    Ok(items)
}
