//! Refuses tables and lists that stand too deep inside each other, before anything is parsed.
//!
//! Next: `node` parses.

use std::sync::Arc;

use super::scan::{self, Inside};
use super::source::{SourceFile, Span};

/// Most levels of tables and lists inside each other.
pub const MOST: usize = 8;

/// Finds the first place that is too deep.
pub fn too_deep(file: &Arc<SourceFile>) -> Option<Span> {
    let mut levels = Levels::default();
    for (at, c, inside) in scan::pieces(file.text()) {
        if inside != Inside::Nothing {
            continue;
        }
        levels.count(c);
        if levels.depth() > MOST {
            return Some(Span {
                file: Arc::clone(file),
                start: at,
                end: at.saturating_add(c.len_utf8()),
            });
        }
    }
    None
}

#[derive(Default)]
struct Levels {
    brackets: usize,
    dots: usize,
}

impl Levels {
    fn depth(&self) -> usize {
        self.brackets.saturating_add(self.dots)
    }

    /// Counts a character that stands outside texts and comments.
    fn count(&mut self, c: char) {
        match c {
            '[' | '{' => self.brackets = self.brackets.saturating_add(1),
            ']' | '}' => self.brackets = self.brackets.saturating_sub(1),
            '.' => self.dots = self.dots.saturating_add(1),
            '\n' | ',' | '=' => self.dots = 0,
            _ => {}
        }
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
