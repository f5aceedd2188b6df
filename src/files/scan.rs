//! Walks through a file's characters and says which stand in a text or a comment.
//!
//! Knows just enough of TOML for that and looks at it before the parser does.
//! Next: `depth` and `typeset` look at what stands outside.

use std::str::CharIndices;

/// What a character stands inside of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Inside {
    /// Keys, values and signs; the marks around texts and before comments too.
    Nothing,
    /// A comment, to the end of its line.
    Comment,
    /// A text.
    Text(Quote),
}

/// The mark around a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Quote {
    mark: char,
    long: bool,
}

impl Quote {
    /// Says whether the text must end on the line it begins on.
    pub const fn ends_with_the_line(self) -> bool {
        !self.long
    }
}

/// Characters with their bytes and what they stand inside of.
pub struct Pieces<'a> {
    chars: CharIndices<'a>,
    inside: Inside,
    /// Characters that still belong to the one before: an escape or a long mark.
    with_last: usize,
}

/// Goes through a text; what follows an escape or belongs to a long mark is passed over.
pub fn pieces(text: &str) -> Pieces<'_> {
    Pieces {
        chars: text.char_indices(),
        inside: Inside::Nothing,
        with_last: 0,
    }
}

impl Iterator for Pieces<'_> {
    type Item = (usize, char, Inside);

    fn next(&mut self) -> Option<Self::Item> {
        for _ in 0..std::mem::take(&mut self.with_last) {
            self.chars.next();
        }
        let (at, c) = self.chars.next()?;
        let was = self.inside;
        self.step(c);
        // The mark that ends a text is no more inside it than the one that begins it.
        let inside = match (was, self.inside) {
            (Inside::Text(_) | Inside::Comment, Inside::Nothing) => Inside::Nothing,
            (was, _) => was,
        };
        Some((at, c, inside))
    }
}

impl Pieces<'_> {
    fn step(&mut self, c: char) {
        match self.inside {
            Inside::Comment if c == '\n' => self.inside = Inside::Nothing,
            Inside::Comment => {}
            Inside::Text(quote) => self.text(c, quote),
            Inside::Nothing => self.plain(c),
        }
    }

    fn text(&mut self, c: char, quote: Quote) {
        if c == '\\' && quote.mark == '"' {
            self.with_last = 1;
        } else if !quote.long && (c == '\n' || c == quote.mark) {
            self.inside = Inside::Nothing;
        } else if c == quote.mark && self.more(c) >= 2 {
            self.inside = Inside::Nothing;
            self.with_last = 2;
        }
    }

    fn plain(&mut self, c: char) {
        match c {
            '#' => self.inside = Inside::Comment,
            '"' | '\'' => {
                let long = self.more(c) >= 2;
                self.inside = Inside::Text(Quote { mark: c, long });
                self.with_last = if long { 2 } else { 0 };
            }
            _ => {}
        }
    }

    /// Counts how many of the same character follow.
    fn more(&self, c: char) -> usize {
        let rest = self.chars.as_str();
        rest.chars().take_while(|next| *next == c).count()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The characters outside texts and comments.
    fn outside(text: &str) -> String {
        pieces(text)
            .filter(|(_, _, inside)| *inside == Inside::Nothing)
            .map(|(_, c, _)| c)
            .collect()
    }

    #[test]
    fn texts_and_comments_are_told_apart_from_the_rest() {
        assert_eq!(outside("a = \"b\" # c\nd"), "a = \"\" #\nd");
        assert_eq!(outside("a = 'b\\'\nd"), "a = ''\nd");
        assert_eq!(outside("a = \"b\\\"c\"\nd"), "a = \"\"\nd");
        assert_eq!(outside("a = \"\"\"b\n\"c\" # e\n\"\"\"\nd"), "a = \"\"\nd");
        assert_eq!(outside("a = '''b\n'''\nd"), "a = ''\nd");
    }

    #[test]
    fn a_text_that_never_ends_ends_with_its_line() {
        assert_eq!(outside("a = \"b\nc = 1"), "a = \"\nc = 1");
    }
}
