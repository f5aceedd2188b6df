//! What stands between page 1 and the diary: exercises, rules, care, goals, what is known.

use crate::handout::model::Handout;

use super::block::block;
use super::daily::daily;
use super::error::RenderError;
use super::first::{Notes, Rung, Signs, signs};
use super::flow::{Gap, Item, Leaf, counts, height, pages};
use super::plan::notes;
use super::section::{HEADING_GAP, between, bulleted, care, closing, heading, pair};
use super::sheet::{Millimetres, Sheet};
use super::stages::stages;
use super::table::table;

/// Everything between page 1 and the diary, with narrower white only where that saves paper.
pub fn rest(
    sheet: &Sheet,
    handout: &Handout,
    rung: Rung,
    body: f64,
    before: usize,
) -> Result<Vec<Leaf>, RenderError> {
    let tight = sheet.with_space(&sheet.design.space.tight);
    let roomy = Rest::new(sheet, handout, rung, body)?;
    let roomy_pages = roomy.fewest(body, before)?;
    if std::ptr::eq(sheet.space, tight.space) {
        return roomy.leaves(body, roomy_pages.1);
    }
    let narrow = Rest::new(&tight, handout, rung, body)?;
    let narrow_pages = narrow.fewest(body, before)?;
    if narrow_pages.0 <= roomy_pages.0 {
        narrow.leaves(body, narrow_pages.1)
    } else {
        roomy.leaves(body, roomy_pages.1)
    }
}

/// Whether rules, care and the like begin on a new page after the exercises.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Advice {
    OnNewPage,
    RunsOn,
}

/// What stands between page 1 and the diary, in three parts.
struct Rest {
    /// The boxes of signs and what fits under them, when they are not on page 1.
    signs: Vec<Item>,
    /// Your next weeks, when no visit is booked.
    stages: Vec<Item>,
    /// Exercises and daily rows.
    work: Vec<Item>,
    /// Rules, care and the like.
    advice: Vec<Item>,
}

impl Rest {
    fn new(sheet: &Sheet, handout: &Handout, rung: Rung, body: f64) -> Result<Self, RenderError> {
        let mut under = match rung.notes {
            Notes::Here => Vec::new(),
            Notes::NextPage => day_notes(sheet, handout)?,
        };
        if rung.signs == Signs::NextPage {
            under.extend(signs(sheet, handout)?);
        }
        let mut room = match rung.signs {
            Signs::Here => 0.0,
            Signs::NextPage => body - height(&under),
        };
        let mut fill = |section: Vec<Item>| {
            let taken: f64 = section
                .iter()
                .map(|item| item.gap.least + item.piece.height)
                .sum();
            if taken > room {
                return section;
            }
            room -= taken;
            under.extend(section);
            Vec::new()
        };
        let mut trouble = fill(bulleted(sheet, &handout.bad_day)?);
        trouble.extend(fill(bulleted(sheet, &handout.visit_moves)?));
        let mut felt = fill(bulleted(sheet, &handout.not_usual)?);
        felt.extend(fill(bulleted(sheet, &handout.usual)?));
        Ok(Self {
            signs: under,
            stages: stages(sheet, handout.stages.as_ref())?,
            work: blocks(sheet, handout)?,
            advice: advice(sheet, handout, trouble, felt)?,
        })
    }

    /// Returns the fewest pairs of pages and how to reach them; a new page wins when equal.
    fn fewest(&self, body: f64, before: usize) -> Result<(usize, Advice), RenderError> {
        let count = |items: Vec<&Item>| Ok::<_, RenderError>(counts(&items, body)?.len());
        let signs = count(self.signs.iter().collect())? + count(self.stages.iter().collect())?;
        let apart = count(self.work.iter().collect())? + count(self.advice.iter().collect())?;
        let together = count(self.work.iter().chain(&self.advice).collect())?;
        // The pages before the diary are made odd in number, so only pairs count.
        let pairs = |pages: usize| pages.saturating_add(signs).saturating_add(before) / 2;
        Ok(if pairs(together) < pairs(apart) {
            (pairs(together), Advice::RunsOn)
        } else {
            (pairs(apart), Advice::OnNewPage)
        })
    }

    fn leaves(self, body: f64, begins: Advice) -> Result<Vec<Leaf>, RenderError> {
        let mut broken = pages(self.signs, body)?;
        broken.extend(pages(self.stages, body)?);
        let mut work = self.work;
        match begins {
            Advice::OnNewPage => {
                broken.extend(pages(work, body)?);
                broken.extend(pages(self.advice, body)?);
            }
            Advice::RunsOn => {
                work.extend(self.advice);
                broken.extend(pages(work, body)?);
            }
        }
        Ok(broken.into_iter().map(Leaf::new).collect())
    }
}

/// The lines under the grid of the day, when page 1 has no room for them.
fn day_notes(sheet: &Sheet, handout: &Handout) -> Result<Vec<Item>, RenderError> {
    let gap = Gap::fixed(sheet.space.paragraph.mm());
    let notes = notes(sheet, &handout.plan)?;
    Ok(notes.into_iter().map(|note| Item::new(gap, note)).collect())
}

fn blocks(sheet: &Sheet, handout: &Handout) -> Result<Vec<Item>, RenderError> {
    let gap = Gap {
        least: sheet.space.block.mm(),
        most: sheet.space.block_max.mm(),
    };
    let mut items = Vec::new();
    for exercise in &handout.blocks {
        items.push(Item::new(gap, block(sheet, exercise)?));
    }
    if !handout.daily.is_empty() {
        items.extend(heading(sheet, &handout.daily_title)?);
    }
    for (index, doing) in handout.daily.iter().enumerate() {
        let gap = if index == 0 {
            Gap::fixed(HEADING_GAP)
        } else {
            gap
        };
        items.push(Item::new(gap, daily(sheet, doing)?));
    }
    Ok(items)
}

fn advice(
    sheet: &Sheet,
    handout: &Handout,
    trouble: Vec<Item>,
    felt: Vec<Item>,
) -> Result<Vec<Item>, RenderError> {
    let mut items = Vec::new();
    if let Some(rules) = &handout.rules {
        items.extend(table(sheet, rules)?);
    }
    items.extend(trouble);
    items.extend(care(sheet, &handout.care)?);
    items.extend(felt);
    items.extend(bulleted(sheet, &handout.hope)?);
    items.extend(pair(sheet, &handout.know_title, &handout.know)?);
    let closing = closing(sheet, &handout.frame.deference, &handout.sign)?;
    items.push(Item::new(between(sheet), closing));
    Ok(items)
}
