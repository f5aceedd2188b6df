//! Stacks pieces on pages: nothing splits, headings stay with what follows, white is spread.
//!
//! Must not know what the pieces say. Next: `emit` draws the pages.

use super::error::RenderError;
use super::piece::{Mark, Piece, Role};

/// White above a piece in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// At least this much.
    pub least: f64,
    /// No more than this, when the page has room to spare.
    pub most: f64,
}

impl Gap {
    /// A gap that never grows.
    pub const fn fixed(mm: f64) -> Self {
        Self {
            least: mm,
            most: mm,
        }
    }
}

/// Whether a piece may be the last of its page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keep {
    /// It may.
    Free,
    /// The next piece must stand on the same page.
    WithNext,
}

/// A piece with the white above it.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// White above, unless it is the first of a page.
    pub gap: Gap,
    /// The piece.
    pub piece: Piece,
    /// Whether the next one must follow on the same page.
    pub keep: Keep,
    /// List or table it is part of.
    pub group: Option<Role>,
    /// What stands above it again when it begins a page, such as a table head.
    pub again: Option<Piece>,
}

impl Item {
    /// Makes an item that stands for itself.
    pub const fn new(gap: Gap, piece: Piece) -> Self {
        Self {
            gap,
            piece,
            keep: Keep::Free,
            group: None,
            again: None,
        }
    }

    /// Keeps the item with the next one.
    #[must_use]
    pub fn with_next(self) -> Self {
        Self {
            keep: Keep::WithNext,
            ..self
        }
    }

    /// Makes the item part of a list or table.
    #[must_use]
    pub fn part_of(self, role: Role) -> Self {
        Self {
            group: Some(role),
            ..self
        }
    }

    fn repeated(&self) -> f64 {
        self.again.as_ref().map_or(0.0, |piece| piece.height)
    }
}

/// The pieces of one page, and what is pinned to its bottom.
#[derive(Debug, Clone, PartialEq)]
pub struct Leaf {
    /// Top to bottom.
    pub items: Vec<Item>,
    /// Pinned to the bottom of the body.
    pub pinned: Option<Piece>,
}

impl Leaf {
    /// Makes a page with nothing pinned.
    pub const fn new(items: Vec<Item>) -> Self {
        Self {
            items,
            pinned: None,
        }
    }
}

/// Returns the height of items stacked from the top of a page, gaps at their least.
pub fn height(items: &[Item]) -> f64 {
    let gaps: f64 = items.iter().skip(1).map(|item| item.gap.least).sum();
    let again = items.first().map_or(0.0, Item::repeated);
    again + gaps + items.iter().map(|item| item.piece.height).sum::<f64>()
}

/// Breaks items into pages of a live height in millimetres, in order.
pub fn pages(items: Vec<Item>, room: f64) -> Result<Vec<Vec<Item>>, RenderError> {
    let mut counts = counts(&items.iter().collect::<Vec<_>>(), room)?.into_iter();
    let mut left = counts.next().unwrap_or_default();
    let mut pages: Vec<Vec<Item>> = Vec::new();
    for item in items {
        match pages.last_mut() {
            Some(page) if left > 0 => page.push(item),
            Some(_) => {
                left = counts.next().unwrap_or(usize::MAX);
                pages.push(vec![item]);
            }
            None => pages.push(vec![item]),
        }
        left = left.saturating_sub(1);
    }
    Ok(pages)
}

/// Returns how many of the items stand on each page of a live height in millimetres.
pub fn counts(items: &[&Item], room: f64) -> Result<Vec<usize>, RenderError> {
    let mut counts: Vec<usize> = Vec::new();
    let mut used = 0.0;
    for chunk in items.chunk_by(|item, _| item.keep == Keep::WithNext) {
        let added: f64 = chunk
            .iter()
            .map(|item| item.gap.least + item.piece.height)
            .sum();
        let alone = chunk
            .first()
            .map_or(0.0, |item| added - item.gap.least + item.repeated());
        if alone > room {
            let what = chunk
                .first()
                .map(|item| item.piece.first_words())
                .unwrap_or_default();
            return Err(RenderError::TooTall { what });
        }
        match counts.last_mut() {
            Some(count) if used + added <= room => {
                *count += chunk.len();
                used += added;
            }
            _ => {
                counts.push(chunk.len());
                used = alone;
            }
        }
    }
    Ok(counts)
}

/// Stacks the items of one page into one piece, spreading the white that is left over.
pub fn compose(items: Vec<Item>, room: f64) -> Piece {
    let spare = (room - height(&items)).max(0.0);
    let wanted: f64 = items
        .iter()
        .skip(1)
        .map(|item| item.gap.most - item.gap.least)
        .sum();
    let growth = if wanted > 0.0 {
        (spare / wanted).min(1.0)
    } else {
        0.0
    };
    let mut page = Piece::blank(0.0);
    let mut group: Option<Role> = None;
    for (index, item) in items.into_iter().enumerate() {
        if group != item.group {
            regroup(&mut page, group, item.group);
            group = item.group;
        }
        let gap = if index == 0 {
            if let Some(again) = item.again {
                page.stack(0.0, 0.0, again);
            }
            0.0
        } else {
            item.gap.least + (item.gap.most - item.gap.least) * growth
        };
        page.stack(0.0, gap, item.piece);
    }
    regroup(&mut page, group, None);
    page
}

fn regroup(page: &mut Piece, old: Option<Role>, new: Option<Role>) {
    if old.is_some() {
        page.marks.push(Mark::Close);
    }
    if let Some(role) = new {
        page.marks.push(Mark::Open(role));
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use super::*;

    fn item(height: f64) -> Item {
        Item::new(
            Gap {
                least: 5.0,
                most: 8.0,
            },
            Piece::blank(height),
        )
    }

    #[test]
    fn a_heading_is_never_the_last_of_a_page() {
        let items = vec![item(80.0), item(8.0).with_next(), item(20.0)];
        let pages = pages(items, 100.0).unwrap();
        assert_eq!(pages.iter().map(Vec::len).collect::<Vec<_>>(), [1, 2]);
    }

    #[test]
    fn white_grows_no_further_than_its_most() {
        assert!((compose(vec![item(10.0), item(10.0)], 200.0).height - 28.0).abs() < 1e-9);
    }

    #[test]
    fn what_is_taller_than_a_page_is_an_error() {
        assert!(matches!(
            pages(vec![item(101.0)], 100.0),
            Err(RenderError::TooTall { .. })
        ));
    }
}
