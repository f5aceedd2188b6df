//! A home program on its pages, in their order.

use crate::handout::model::Handout;

use super::diary::{diary, questions};
use super::emit::room;
use super::error::RenderError;
use super::first::{Rung, Signs, VOID, first_items, first_page};
use super::flow::{Gap, Item, Leaf, pages};
use super::furniture::{Foot, deference, page_words, top};
use super::piece::Piece;
use super::rest::rest;
use super::section::between;
use super::sheet::Sheet;
use super::tier::card;
use super::void::void;

/// Lays a home program out.
pub fn leaves(sheet: &Sheet, handout: &Handout) -> Result<Vec<Leaf>, RenderError> {
    let body = Foot::new(sheet, &handout.frame)?.body(sheet);
    let said_last = deference(sheet, &handout.frame)?;
    let mut leaves = actions(sheet, handout, body, &said_last)?;
    let before = leaves.len();
    let room_last = room(body, Some(&said_last));
    let (rung, first) = first_page(sheet, handout, room_last)?;
    leaves.extend(first.into_iter().map(Leaf::new));
    let signs_page = leaves.len() + 1;
    leaves.extend(rest(sheet, handout, rung, body, leaves.len())?);
    if leaves.len() % 2 == 0 {
        let items = questions(sheet, &handout.diary.questions_title, body)?;
        leaves.push(Leaf::new(items));
    }
    let diary = diary_pages(sheet, handout, room_last)?;
    leaves.extend(diary.into_iter().map(Leaf::new));
    if rung.signs != Signs::Here {
        point(&mut leaves, before, rung, handout, signs_page, room_last)?;
    }
    if let Some(first) = leaves.get_mut(before) {
        first.pinned = Some(said_last.clone());
    }
    if let Some(last) = leaves.last_mut() {
        last.pinned = Some(said_last);
    }
    Ok(leaves)
}

/// Lays the diary out, with narrower white and fewer lines only where that saves paper.
fn diary_pages(sheet: &Sheet, handout: &Handout, room: f64) -> Result<Vec<Vec<Item>>, RenderError> {
    let tight = sheet.with_space(&sheet.design.space.tight);
    let mut best = pages(diary(sheet, &handout.diary, 2)?, room)?;
    for lines in [2, 1] {
        let narrow = pages(diary(&tight, &handout.diary, lines)?, room)?;
        if narrow.len() < best.len() {
            best = narrow;
        }
    }
    Ok(best)
}

fn actions(
    sheet: &Sheet,
    handout: &Handout,
    body: f64,
    said: &Piece,
) -> Result<Vec<Leaf>, RenderError> {
    if handout.actions.is_empty() {
        return Ok(Vec::new());
    }
    let head = top(
        sheet,
        &handout.frame,
        &handout.actions_title,
        &handout.name_box,
    )?;
    let mut items = vec![Item::new(Gap::fixed(0.0), head)];
    if let Some(note) = &handout.void {
        items.push(Item::new(Gap::fixed(VOID), void(sheet, note)?));
    }
    for doing in &handout.actions {
        items.push(Item::new(between(sheet), card(sheet, doing)?));
    }
    let mut leaves: Vec<Leaf> = pages(items, room(body, Some(said)))?
        .into_iter()
        .map(Leaf::new)
        .collect();
    if let Some(first) = leaves.first_mut() {
        first.pinned = Some(said.clone());
    }
    Ok(leaves)
}

/// Lays page 1 out again once it is known on which page the boxes of signs stand.
fn point(
    leaves: &mut Vec<Leaf>,
    before: usize,
    rung: Rung,
    handout: &Handout,
    signs_page: usize,
    room: f64,
) -> Result<(), RenderError> {
    let words = page_words(&handout.frame, signs_page, leaves.len());
    let again = pages(first_items(rung, handout, &words)?, room)?;
    leaves.splice(before..signs_page - 1, again.into_iter().map(Leaf::new));
    Ok(())
}
