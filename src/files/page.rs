//! Reads the numbers of the printed page.
//!
//! The page is ours, not a clinic's: it is checked whole or refused whole.
//! Next: `render` lays out by these numbers.

use crate::domain::page::PageDesign;

use super::codes::Code;
use super::problem::{Problem, Problems};
use super::shelf::Shelf;
use super::source::Span;

/// Where the page design stands in the library.
const PATH: &str = "templates/page.toml";

/// Reads the built-in page design.
pub fn load() -> Result<PageDesign, Problems> {
    let file = Shelf::built_in().source(PATH)?;
    toml::from_str(file.text()).map_err(|error| {
        let place = error.span().unwrap_or(0..0);
        let at = Span {
            file: file.clone(),
            start: place.start,
            end: place.end,
        };
        Problems::from(Problem::new(
            Code::Syntax,
            at,
            error.message().to_owned(),
            "here",
        ))
    })
}

#[cfg(test)]
mod tests {
    use super::load;

    #[test]
    fn the_built_in_page_is_read() {
        assert!(load().is_ok());
    }
}
