//! Page 1, and the ladder it goes down to fit: less white, then the boxes of signs move.
//!
//! Type never shrinks. Next: `rest` takes what page 1 could not hold.

use crate::handout::model::{Handout, Led, Message};

use super::error::RenderError;
use super::flow::{Gap, Item, height, pages};
use super::furniture::{facts, page_words, top};
use super::plan::{grid, message, plan};
use super::section::{HEADING_GAP, between, heading};
use super::sheet::{Millimetres, Sheet};
use super::tier::tier;
use super::void::void;

/// Facts of the head to the note that the sheet before is void, millimetres.
pub const VOID: f64 = 4.2;

/// Where the boxes of signs stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Signs {
    /// On page 1.
    Here,
    /// On the page after, whole; the main message says so.
    NextPage,
}

/// Where the lines under the grid of the day stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Notes {
    /// Under the grid.
    Here,
    /// At the top of the page after, over the boxes of signs.
    NextPage,
}

/// One step of the ladder.
#[derive(Clone, Copy)]
pub struct Rung<'a> {
    pub sheet: Sheet<'a>,
    pub signs: Signs,
    pub notes: Notes,
}

/// Lays page 1 out by the first step of the ladder that fits it.
pub fn first_page<'a>(
    sheet: &Sheet<'a>,
    handout: &Handout,
    room: f64,
) -> Result<(Rung<'a>, Vec<Vec<Item>>), RenderError> {
    let tight = sheet.with_space(&sheet.design.space.tight);
    let rung = |sheet, signs| Rung {
        sheet,
        signs,
        notes: Notes::Here,
    };
    let mut ladder = vec![
        rung(*sheet, Signs::Here),
        rung(tight, Signs::Here),
        rung(*sheet, Signs::NextPage),
        rung(tight, Signs::NextPage),
    ];
    let last = Rung {
        notes: last_resort(handout),
        ..rung(tight, Signs::NextPage)
    };
    ladder.push(last);
    // The number of pages is not known yet: a wide one keeps its place.
    let wide = page_words(&handout.frame, 88, 88);
    for rung in ladder {
        let items = first_items(rung, handout, &wide)?;
        if height(&items) <= room {
            return Ok((rung, vec![items]));
        }
    }
    Ok((last, pages(first_items(last, handout, &wide)?, room)?))
}

/// A note that the sheet before is void takes the room of the lines under the grid.
fn last_resort(handout: &Handout) -> Notes {
    match handout.void {
        Some(_) => Notes::NextPage,
        None => Notes::Here,
    }
}

/// The main message; it points to the boxes of signs when they stand on the next page.
fn message_of(rung: Rung, handout: &Handout, signs_page: &str) -> Message {
    let mut words = handout.message.clone();
    if rung.signs == Signs::NextPage {
        words.bullets.push(Led {
            lead: Some(format!("{}:", handout.tiers_title)),
            text: signs_page.to_owned(),
        });
    }
    words
}

/// Makes page 1 as one step of the ladder has it.
pub fn first_items(
    rung: Rung,
    handout: &Handout,
    signs_page: &str,
) -> Result<Vec<Item>, RenderError> {
    let sheet = &rung.sheet;
    let words = message_of(rung, handout, signs_page);
    let head = top(sheet, &handout.frame, &handout.title, &handout.name_box)?;
    let section = between(sheet);
    let mut items = vec![
        Item::new(Gap::fixed(0.0), head),
        Item::new(Gap::fixed(3.6), facts(sheet, &handout.meta)?),
    ];
    if let Some(note) = handout.void.as_ref().filter(|_| handout.actions.is_empty()) {
        items.push(Item::new(Gap::fixed(VOID), void(sheet, note)?));
    }
    items.push(Item::new(
        Gap {
            least: 4.2,
            ..section
        },
        message(sheet, &words)?,
    ));
    let day = match rung.notes {
        Notes::Here => plan(sheet, &handout.plan)?,
        Notes::NextPage => grid(sheet, &handout.plan)?,
    };
    items.push(Item::new(section, day));
    if rung.signs == Signs::Here {
        items.extend(signs(sheet, handout)?);
    }
    Ok(items)
}

/// Makes the boxes of signs under their heading; all of it stays together.
pub fn signs(sheet: &Sheet, handout: &Handout) -> Result<Vec<Item>, RenderError> {
    let mut items = heading(sheet, &handout.tiers_title)?;
    for (index, words) in handout.tiers.iter().enumerate() {
        let gap = if index == 0 {
            HEADING_GAP
        } else {
            sheet.space.tier_gap.mm()
        };
        let item = Item::new(Gap::fixed(gap), tier(sheet, words)?);
        items.push(if index + 1 < handout.tiers.len() {
            item.with_next()
        } else {
            item
        });
    }
    Ok(items)
}
