//! Finds characters that word processors and phones put where TOML needs plain ones.
//!
//! Inside texts and comments they are right and stay as they are. Next: `node` tells all of them
//! in place of what the parser would say.

use std::sync::Arc;

use super::codes::Code;
use super::problem::Problem;
use super::scan::{self, Inside};
use super::source::{SourceFile, Span};

/// What a character is, by what belongs in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Odd {
    /// A quotation mark, for which the plain one is this.
    Quote(char),
    /// A space that is not the plain one.
    Space,
    /// Nothing to be seen.
    Unseen,
    /// A dash or a minus sign.
    Dash,
    /// As wide as two, for which the plain one is this.
    Wide(char),
}

/// Names a character that belongs in no file outside texts.
fn odd(c: char) -> Option<(Odd, &'static str)> {
    Some(match c {
        '\u{2018}'..='\u{201B}' => (Odd::Quote('\''), "a curly apostrophe"),
        '\u{201C}'..='\u{201F}' => (Odd::Quote('"'), "a curly quotation mark"),
        '\u{AB}' | '\u{BB}' => (Odd::Quote('"'), "an angle quotation mark"),
        '\u{2039}' | '\u{203A}' => (Odd::Quote('\''), "a single angle quotation mark"),
        '\u{A0}' => (Odd::Space, "a no-break space"),
        '\u{202F}' => (Odd::Space, "a narrow no-break space"),
        '\u{2007}' => (Odd::Space, "a figure space"),
        '\u{3000}' => (Odd::Space, "a full-width space"),
        '\u{2000}'..='\u{2006}' | '\u{2008}'..='\u{200A}' | '\u{205F}' => {
            (Odd::Space, "a space of another width")
        }
        '\u{200B}' => (Odd::Unseen, "a zero-width space"),
        '\u{200C}' | '\u{200D}' | '\u{2060}' => (Odd::Unseen, "a zero-width joiner"),
        '\u{FEFF}' => (Odd::Unseen, "a byte-order mark"),
        '\u{AD}' => (Odd::Unseen, "a soft hyphen"),
        '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' => {
            (Odd::Unseen, "a mark for the direction of writing")
        }
        '\u{2010}' | '\u{2011}' => (Odd::Dash, "a typeset hyphen"),
        '\u{2012}' => (Odd::Dash, "a figure dash"),
        '\u{2013}' => (Odd::Dash, "an en dash"),
        '\u{2014}' | '\u{2015}' => (Odd::Dash, "an em dash"),
        '\u{2212}' => (Odd::Dash, "a minus sign"),
        '\u{FF10}'..='\u{FF19}' => (Odd::Wide(narrow(c)?), "a full-width digit"),
        '\u{FF21}'..='\u{FF3A}' | '\u{FF41}'..='\u{FF5A}' => {
            (Odd::Wide(narrow(c)?), "a full-width letter")
        }
        '\u{FF01}'..='\u{FF5E}' => (Odd::Wide(narrow(c)?), "a full-width sign"),
        _ => return None,
    })
}

/// The plain character of a full-width one: both stand in the same order.
fn narrow(c: char) -> Option<char> {
    let place = u32::from(c).checked_sub(0xFF01)?;
    char::from_u32(place.checked_add(0x21)?)
}

/// Finds every such character outside texts and comments.
pub fn all(file: &Arc<SourceFile>) -> Vec<Problem> {
    let mut walk = Walk::default();
    for (at, c, inside) in scan::pieces(file.text()) {
        walk.step(at, c, inside);
    }
    walk.end_line();
    let found = walk.found.into_iter();
    found.filter_map(|(at, c)| problem(file, at, c)).collect()
}

/// What was found, and what the walk stands in.
#[derive(Default)]
struct Walk {
    found: Vec<(usize, char)>,
    /// The plain mark of a curly one that began a text: up to the next one nothing else is wrong.
    typeset_text: Option<char>,
    /// The last curly mark of a text that has not ended yet: it was meant to end it.
    last_in_text: Option<(usize, char)>,
}

impl Walk {
    fn step(&mut self, at: usize, c: char, inside: Inside) {
        match inside {
            Inside::Comment => {}
            Inside::Text(quote) => {
                let is_quote = matches!(odd(c), Some((Odd::Quote(_), _)));
                if is_quote && quote.ends_with_the_line() {
                    self.last_in_text = Some((at, c));
                }
            }
            Inside::Nothing if c == '\n' => self.end_line(),
            Inside::Nothing => self.outside(at, c),
        }
    }

    fn outside(&mut self, at: usize, c: char) {
        // A straight mark outside texts begins or ends one, so what it held was right.
        if matches!(c, '"' | '\'') {
            self.last_in_text = None;
            return;
        }
        match (odd(c), self.typeset_text) {
            (Some((Odd::Quote(mark), _)), begun) => {
                self.found.push((at, c));
                self.typeset_text = match begun {
                    None => Some(mark),
                    Some(begun) if begun == mark => None,
                    Some(begun) => Some(begun),
                };
            }
            (Some(_), None) => self.found.push((at, c)),
            (Some(_), Some(_)) | (None, _) => {}
        }
    }

    /// A text that runs to the end of its line was meant to end at its last curly mark.
    fn end_line(&mut self) {
        self.found.extend(self.last_in_text.take());
        self.typeset_text = None;
    }
}

fn problem(file: &Arc<SourceFile>, at: usize, c: char) -> Option<Problem> {
    let (kind, name) = odd(c)?;
    let number = format!("U+{:04X}", u32::from(c));
    let (message, help) = match kind {
        Odd::Quote(plain) => (
            format!("{name} {c} ({number}) stands where a straight one belongs"),
            format!("type {plain} instead; turn off \"smart quotes\" in the editor"),
        ),
        Odd::Space => (
            format!("{name} ({number}) stands where a plain space belongs"),
            "delete it and press the space bar".to_owned(),
        ),
        Odd::Unseen => (
            format!("{name} ({number}), which cannot be seen, stands outside a text"),
            "delete it, or type the line anew".to_owned(),
        ),
        Odd::Dash => (
            format!("{name} {c} ({number}) stands where a hyphen belongs"),
            "type - instead".to_owned(),
        ),
        Odd::Wide(plain) => (
            format!("{name} {c} ({number}) stands where a plain one belongs"),
            format!("type {plain} instead"),
        ),
    };
    let end = at.saturating_add(c.len_utf8());
    let at = Span {
        file: Arc::clone(file),
        start: at,
        end,
    };
    Some(Problem::new(Code::Typeset, at, message, "here").help(help))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The characters told of, in order, as `line:column:character`.
    fn told(text: &str) -> Vec<String> {
        let problems = all(&SourceFile::new("a", text));
        let place = |problem: &Problem| {
            let (line, column) = problem.at.position();
            format!("{line}:{column}:{}", problem.at.text())
        };
        problems.iter().map(place).collect()
    }

    #[test]
    fn curly_marks_around_a_text_are_told_and_what_they_hold_is_not() {
        assert_eq!(told("by = “Zoë – Q”\n"), ["1:6:“", "1:14:”"]);
        assert_eq!(told("a = [„x“, «\u{a0}y\u{a0}»]\n").len(), 4);
        assert_eq!(told("a = ‘x’\nb = ”x”\n").len(), 4);
        assert_eq!(told("by = “Zoe’s – own”\nn = –1\n").len(), 4);
    }

    #[test]
    fn a_text_that_only_ends_curly_is_told_by_its_end() {
        assert_eq!(told("by = \"Zoe”\nx = 1\n"), ["1:10:”"]);
        assert_eq!(told("by = \"the “old” Zoe”"), ["1:20:”"]);
        assert_eq!(told("by = “Zoe\"\n"), ["1:6:“"]);
    }

    #[test]
    fn texts_and_comments_may_hold_anything() {
        let text = "a = \"“x” – y\u{a0}z\" # “x” – \u{200b}\nb = '“'\nc = \"\"\"\n“ –\n\"\"\"\n";
        assert_eq!(told(text), Vec::<String>::new());
    }

    #[test]
    fn spaces_dashes_and_wide_digits_are_told_each_time() {
        let text = "a\u{a0}= –1\nd = 2026–03‐04\nn = 1２\n\u{200b}x = \u{2212}5\u{feff}\n";
        assert_eq!(told(text).len(), 8);
        let wide = all(&SourceFile::new("a", "n = ７"));
        assert_eq!(wide[0].help.as_deref(), Some("type 7 instead"));
        assert!(wide[0].message.contains("U+FF17"));
    }
}
