//! Breaks words into lines.
//!
//! Lines break at spaces only. A no-break space never breaks, unless what it holds together is
//! wider than the column; nor does a word, unless it is longer than any of ours: such words are
//! typed, and a sheet that says less of them is none. Must not know of pages.
//! Next: `sheet` places the lines.

use std::ops::Range;

use super::error::RenderError;
use super::face::{Face, Fonts};

/// Words in one face.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// The face.
    pub face: Face,
    /// The words.
    pub text: String,
}

/// One line of words with its width in millimetres.
#[derive(Debug, Clone, PartialEq)]
pub struct Broken {
    /// The words, in order.
    pub runs: Vec<Run>,
    /// Width without any space at the end.
    pub width: f64,
}

/// Room on the page and the type to fill it with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Column {
    /// Width in millimetres.
    pub width: f64,
    /// Type size in points.
    pub size: f64,
    /// First lines that stand beside something and are shorter.
    pub beside: Option<Beside>,
}

/// Lines that stand beside something.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beside {
    /// How many of the first lines.
    pub lines: usize,
    /// Their width in millimetres.
    pub width: f64,
}

impl Column {
    /// Returns the column with its left edge moved in by millimetres.
    #[must_use]
    pub fn indented(self, by: f64) -> Self {
        Self {
            width: self.width - by,
            beside: self.beside.map(|beside| Beside {
                width: beside.width - by,
                ..beside
            }),
            ..self
        }
    }

    fn room(&self, line: usize) -> f64 {
        match self.beside {
            Some(beside) if line < beside.lines => beside.width,
            Some(_) | None => self.width,
        }
    }

    fn narrowest(&self) -> f64 {
        self.room(0).min(self.width)
    }
}

/// A space no line breaks at.
pub const NO_BREAK: char = '\u{a0}';

/// Letters of the longest word that is never broken: a longer one is an address or a made-up name.
const LONGEST_WORD: usize = 24;

/// A part of a word in one face; a word that changes face has several.
#[derive(Clone, Copy)]
struct Part<'a> {
    face: Face,
    text: &'a str,
    width: f64,
    /// Whether it continues the part before it, without a space.
    joins: bool,
    /// Whether it goes on with a word that was broken: a line may end before it, and no space
    /// stands there.
    goes_on: bool,
}

/// A word: where its parts are, and how wide it is.
struct Word {
    parts: Range<usize>,
    width: f64,
    /// Width of a space after the word, in the face it ends in.
    space: f64,
}

/// A line: where its words are, and how wide it is.
struct Extent {
    words: Range<usize>,
    width: f64,
}

/// Breaks runs into lines no wider than the column.
///
/// A last line of one word takes a second one from the line above where that fits.
pub fn wrap(fonts: &Fonts, runs: &[Run], column: Column) -> Result<Vec<Broken>, RenderError> {
    let parts = parts(fonts, runs, column)?;
    let words = words(fonts, &parts, column)?;
    let mut lines: Vec<Extent> = Vec::new();
    for (index, word) in words.iter().enumerate() {
        let space = index
            .checked_sub(1)
            .map_or(0.0, |before| words[before].space);
        let room = column.room(lines.len().saturating_sub(1));
        match lines.last_mut() {
            Some(line) if line.width + space + word.width <= room => {
                line.width += space + word.width;
                line.words.end = index + 1;
            }
            _ => lines.push(Extent {
                words: index..index + 1,
                width: word.width,
            }),
        }
    }
    let room = column.room(lines.len().saturating_sub(1));
    fill_last(&mut lines, &words, &parts, room);
    lines
        .into_iter()
        .map(|line| join(fonts, &words[line.words], &parts, column.size))
        .collect()
}

fn fill_last(lines: &mut [Extent], words: &[Word], parts: &[Part], room: f64) {
    let [.., above, last] = lines else { return };
    let holds_no_break = |word: &Word| parts[word.parts.clone()].iter().any(Part::has_no_break);
    if last.words.len() > 1 || above.words.len() < 2 || holds_no_break(&words[last.words.start]) {
        return;
    }
    let moved = &words[above.words.end - 1];
    if moved.width + moved.space + last.width <= room {
        above.words.end -= 1;
        last.words.start -= 1;
        last.width += moved.width + moved.space;
    }
}

impl Part<'_> {
    fn has_no_break(&self) -> bool {
        self.text.contains(NO_BREAK)
    }
}

fn parts<'a>(fonts: &Fonts, runs: &'a [Run], column: Column) -> Result<Vec<Part<'a>>, RenderError> {
    let mut parts = Vec::new();
    let mut open = false;
    for run in runs {
        for (index, text) in run.text.split(' ').enumerate() {
            open &= index == 0;
            if text.is_empty() {
                continue;
            }
            for (text, goes_on) in pieces(fonts, run.face, text, column)? {
                parts.push(Part {
                    face: run.face,
                    text,
                    width: fonts.width(run.face, text, column.size)?,
                    joins: open,
                    goes_on,
                });
                open = false;
            }
            open = true;
        }
    }
    Ok(parts)
}

/// Returns a word in one piece, or in the pieces it must be broken into; each says whether it
/// goes on with the one before it.
fn pieces<'a>(
    fonts: &Fonts,
    face: Face,
    word: &'a str,
    column: Column,
) -> Result<Vec<(&'a str, bool)>, RenderError> {
    let room = column.narrowest();
    let mut whole = Vec::new();
    let held = if fonts.width(face, word, column.size)? > room {
        word.split(NO_BREAK)
            .filter(|held| !held.is_empty())
            .collect()
    } else {
        vec![word]
    };
    for held in held {
        let mut rest = held;
        let typed = held.chars().count() > LONGEST_WORD;
        while typed && fonts.width(face, rest, column.size)? > room {
            let mut end = 0;
            for (at, letter) in rest.char_indices() {
                let next = at + letter.len_utf8();
                if fonts.width(face, &rest[..next], column.size)? > room {
                    break;
                }
                end = next;
            }
            if end == 0 {
                break;
            }
            let (line, after) = rest.split_at(end);
            whole.push((line, rest.len() < held.len()));
            rest = after;
        }
        whole.push((rest, rest.len() < held.len()));
    }
    Ok(whole)
}

fn words(fonts: &Fonts, parts: &[Part], column: Column) -> Result<Vec<Word>, RenderError> {
    let mut words: Vec<Word> = Vec::new();
    for (index, part) in parts.iter().enumerate() {
        let space = fonts.width(part.face, " ", column.size)?;
        match words.last_mut() {
            Some(word) if part.joins => {
                word.parts.end = index + 1;
                word.width += part.width;
                word.space = space;
            }
            before => {
                if let Some(word) = before.filter(|_| part.goes_on) {
                    word.space = 0.0;
                }
                words.push(Word {
                    parts: index..index + 1,
                    width: part.width,
                    space,
                });
            }
        }
    }
    match words.iter().find(|word| word.width > column.narrowest()) {
        Some(word) => {
            let text = parts[word.parts.clone()]
                .iter()
                .map(|part| part.text)
                .collect();
            Err(too_wide(text, word.width, column.narrowest()))
        }
        None => Ok(words),
    }
}

/// Says that a word is wider than its column, both in millimetres.
pub fn too_wide(word: String, width: f64, column: f64) -> RenderError {
    RenderError::WordTooWide {
        word,
        width: hundredths(width),
        column: hundredths(column),
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a width on paper, for a message"
)]
fn hundredths(mm: f64) -> u32 {
    (mm.max(0.0) * 100.0).round() as u32
}

fn join(fonts: &Fonts, words: &[Word], parts: &[Part], size: f64) -> Result<Broken, RenderError> {
    let mut runs: Vec<Run> = Vec::new();
    for (index, word) in words.iter().enumerate() {
        for part in &parts[word.parts.clone()] {
            if index > 0
                && !part.joins
                && !part.goes_on
                && let Some(before) = runs.last_mut()
            {
                before.text.push(' ');
            }
            if runs.last().is_none_or(|before| before.face != part.face) {
                runs.push(Run {
                    face: part.face,
                    text: String::with_capacity(64),
                });
            }
            if let Some(run) = runs.last_mut() {
                let spaced = part.text.chars().map(|letter| match letter {
                    NO_BREAK => ' ',
                    other => other,
                });
                run.text.extend(spaced);
            }
        }
    }
    let mut width = 0.0;
    for run in &runs {
        width += fonts.width(run.face, &run.text, size)?;
    }
    Ok(Broken { runs, width })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use super::*;

    fn lines(text: &str, width: f64) -> Result<Vec<String>, RenderError> {
        let runs = [Run {
            face: Face::Regular,
            text: text.to_owned(),
        }];
        let broken = wrap(
            Fonts::get()?,
            &runs,
            Column {
                width,
                size: 15.0,
                beside: None,
            },
        )?;
        Ok(broken
            .into_iter()
            .map(|line| line.runs.into_iter().map(|run| run.text).collect())
            .collect())
    }

    #[test]
    fn no_break_space_never_breaks() {
        let lines = lines("Ring us on 01632\u{a0}960\u{a0}210 today.", 40.0).unwrap();
        assert!(
            lines.iter().any(|line| line.contains("01632 960 210")),
            "{lines:?}"
        );
    }

    #[test]
    fn last_line_gets_a_second_word() {
        let lines = lines("Tick each number when you have done it.", 85.0).unwrap();
        assert!(lines.len() > 1);
        assert!(lines.last().unwrap().split(' ').count() >= 2, "{lines:?}");
    }

    #[test]
    fn lines_below_what_they_stand_beside_are_long_again() {
        let runs = [Run {
            face: Face::Regular,
            text: "one two three four five six ".repeat(6),
        }];
        let column = Column {
            width: 120.0,
            size: 15.0,
            beside: Some(Beside {
                lines: 2,
                width: 60.0,
            }),
        };
        let broken = wrap(Fonts::get().unwrap(), &runs, column).unwrap();
        assert!(broken.len() > 3);
        assert!(broken[..2].iter().all(|line| line.width <= 60.0));
        assert!(broken[2].width > 60.0 && broken[2].width <= 120.0);
    }

    #[test]
    fn what_is_too_wide_to_be_held_together_breaks() {
        let held = lines("Ring +44\u{a0}(0)1632\u{a0}960\u{a0}210 now.", 30.0).unwrap();
        assert_eq!(held, ["Ring +44", "(0)1632 960", "210 now."]);
    }

    #[test]
    fn a_typed_word_longer_than_any_of_ours_breaks_and_loses_no_letter() {
        let typed = "see https://www.example.org/walks/of-the-north/with-benches.html there";
        for width in [20.0, 40.0, 90.0] {
            let lines = lines(typed, width).unwrap();
            assert_eq!(
                lines.concat().replace(' ', ""),
                typed.replace(' ', ""),
                "{lines:?}"
            );
        }
    }

    #[test]
    fn a_word_wider_than_its_column_is_an_error() {
        let error = lines("Physiotherapeutically", 20.0).unwrap_err();
        assert!(matches!(error, RenderError::WordTooWide { .. }), "{error}");
    }

    #[test]
    fn words_join_across_faces_without_a_space() {
        let runs = [
            Run {
                face: Face::Bold,
                text: "1 December".to_owned(),
            },
            Run {
                face: Face::Regular,
                text: ". Bring it.".to_owned(),
            },
        ];
        let broken = wrap(
            Fonts::get().unwrap(),
            &runs,
            Column {
                width: 100.0,
                size: 15.0,
                beside: None,
            },
        )
        .unwrap();
        let text: String = broken[0].runs.iter().map(|run| run.text.as_str()).collect();
        assert_eq!(text, "1 December. Bring it.");
    }
}
