//! Refuses tables and lists that stand too deep inside each other, before anything is parsed.
//!
//! Knows just enough of TOML to skip texts and comments. Next: `node` parses.

use std::sync::Arc;

use super::source::{SourceFile, Span};

/// Most levels of tables and lists inside each other.
pub const MOST: usize = 8;

/// What the scan is inside of.
#[derive(Clone, Copy)]
enum Inside {
    Nothing,
    Comment,
    Text { quote: char, long: bool },
}

/// Finds the first place that is too deep.
pub fn too_deep(file: &Arc<SourceFile>) -> Option<Span> {
    let mut scan = Scan {
        inside: Inside::Nothing,
        brackets: 0,
        dots: 0,
    };
    let mut chars = file.text().char_indices();
    while let Some((at, c)) = chars.next() {
        let rest = chars.as_str();
        let skip = scan.step(c, rest);
        if scan.depth() > MOST {
            return Some(Span {
                file: Arc::clone(file),
                start: at,
                end: at.saturating_add(c.len_utf8()),
            });
        }
        for _ in 0..skip {
            chars.next();
        }
    }
    None
}

struct Scan {
    inside: Inside,
    brackets: usize,
    dots: usize,
}

impl Scan {
    fn depth(&self) -> usize {
        self.brackets.saturating_add(self.dots)
    }

    /// Takes one character and says how many more belong to it.
    fn step(&mut self, c: char, rest: &str) -> usize {
        match self.inside {
            Inside::Comment => self.comment(c),
            Inside::Text { quote, long } => self.text(c, rest, quote, long),
            Inside::Nothing => self.plain(c, rest),
        }
    }

    fn comment(&mut self, c: char) -> usize {
        if c == '\n' {
            self.inside = Inside::Nothing;
        }
        0
    }

    fn text(&mut self, c: char, rest: &str, quote: char, long: bool) -> usize {
        if c == '\\' && quote == '"' {
            return 1;
        }
        if c == '\n' && !long {
            self.inside = Inside::Nothing;
        }
        if c != quote {
            return 0;
        }
        if !long {
            self.inside = Inside::Nothing;
            return 0;
        }
        if rest.chars().take_while(|next| *next == quote).count() >= 2 {
            self.inside = Inside::Nothing;
            return 2;
        }
        0
    }

    fn plain(&mut self, c: char, rest: &str) -> usize {
        match c {
            '#' => self.inside = Inside::Comment,
            '"' | '\'' => {
                let long = rest.chars().take_while(|next| *next == c).count() >= 2;
                self.inside = Inside::Text { quote: c, long };
                return if long { 2 } else { 0 };
            }
            '[' | '{' => self.brackets = self.brackets.saturating_add(1),
            ']' | '}' => self.brackets = self.brackets.saturating_sub(1),
            '.' => self.dots = self.dots.saturating_add(1),
            '\n' | ',' | '=' => self.dots = 0,
            _ => {}
        }
        0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn deep(text: &str) -> bool {
        too_deep(&SourceFile::new("a", text)).is_some()
    }

    #[test]
    fn eight_levels_are_allowed_and_nine_are_not() {
        let nested = |n: usize| format!("a = {}1{}", "[".repeat(n), "]".repeat(n));
        assert!(!deep(&nested(8)));
        assert!(deep(&nested(9)));
        assert!(deep("a.b.c.d.e.f.g.h.i.j = 1"));
    }

    #[test]
    fn brackets_in_texts_and_comments_do_not_count() {
        assert!(!deep("a = \"[[[[[[[[[[[[\" # [[[[[[[[[[[[["));
        assert!(!deep("a = '[[[[[[[[[[[['\nb = '''\n[[[[[[[[[[[[''''\n"));
        assert!(!deep("a = \"\\\"[[[[[[[[[[[[\"\n"));
        assert!(!deep("a = \"\"\"x\" [[[[[[[[[[[[ \"\"\"\n"));
    }
}
