//! What is wrong in a file: where, what was found, what is allowed, what to do.
//!
//! The only user of `annotate_snippets`. Must not know what a file means.
//! Next: `codes` explains each kind of problem.

use std::fmt;

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};

use super::codes::Code;
use super::source::Span;

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Its kind.
    pub code: Code,
    /// Where.
    pub at: Span,
    /// What was found and what is allowed.
    pub message: String,
    /// A few words under the place; may be empty.
    pub label: String,
    /// Other places that matter, each with a few words.
    pub related: Vec<(Span, String)>,
    /// What to do, when there is something useful to say.
    pub help: Option<String>,
}

/// Whether the full form may use colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Colour {
    /// Plain ASCII marks, no colour.
    Plain,
    /// Colour for a terminal.
    Coloured,
}

/// Everything wrong with the files read; never empty, sorted by file and place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problems(Vec<Problem>);

impl Problem {
    /// Makes a problem without help.
    pub fn new(code: Code, at: Span, message: impl Into<String>, label: impl Into<String>) -> Self {
        Self {
            code,
            at,
            message: message.into(),
            label: label.into(),
            related: Vec::new(),
            help: None,
        }
    }

    /// Adds what to do.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// Adds another place that matters.
    #[must_use]
    pub fn also(mut self, at: Span, label: impl Into<String>) -> Self {
        self.related.push((at, label.into()));
        self
    }

    /// Returns the form for editors: `path:line:column: error[BN010]: text`.
    pub fn short(&self) -> String {
        let (line, column) = self.at.position();
        let path = self.at.file.path();
        format!(
            "{path}:{line}:{column}: error[{}]: {}",
            self.code.id(),
            self.message
        )
    }

    fn order(&self) -> (&str, usize, &'static str, &str) {
        (
            self.at.file.path(),
            self.at.start,
            self.code.id(),
            &self.message,
        )
    }
}

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        Self(vec![problem])
    }
}

impl Problems {
    /// Sorts problems by file and place; none gives none.
    pub fn collect(mut all: Vec<Problem>) -> Option<Self> {
        all.sort_by(|a, b| a.order().cmp(&b.order()));
        all.dedup();
        (!all.is_empty()).then_some(Self(all))
    }

    /// Puts two lists together, in order.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        let mut all = self.0;
        all.extend(other.0);
        Self::collect(all.clone()).unwrap_or(Self(all))
    }

    /// Goes through the problems in order.
    pub fn iter(&self) -> impl Iterator<Item = &Problem> {
        self.0.iter()
    }

    /// Takes the problems out.
    pub fn into_vec(self) -> Vec<Problem> {
        self.0
    }

    /// Says whether a file could not be read from disk at all.
    pub fn is_disk(&self) -> bool {
        self.0
            .iter()
            .any(|problem| problem.code == Code::Unreadable)
    }

    /// Returns the form for editors, one problem a line.
    pub fn short(&self) -> String {
        let mut out: String = self.shown().map(|problem| problem.short() + "\n").collect();
        out.push_str(&self.left_out());
        out
    }

    /// Goes through the problems that are told; each costs a look at its whole file.
    fn shown(&self) -> impl Iterator<Item = &Problem> {
        self.0.iter().take(MOST_SHOWN)
    }

    /// Says how many are not told, on a line of its own; nothing when all are.
    fn left_out(&self) -> String {
        let more = self.0.len().saturating_sub(MOST_SHOWN);
        if more == 0 {
            return String::new();
        }
        format!(
            "The first {MOST_SHOWN} are told; {}. Put these right, then check again.\n",
            counted(more, "more is not", "more are not")
        )
    }

    /// Returns the full form: excerpts, what to do, and a count at the end.
    pub fn render(&self, colour: Colour) -> String {
        let renderer = match colour {
            Colour::Plain => Renderer::plain(),
            Colour::Coloured => Renderer::styled(),
        }
        .term_width(COLUMNS);
        let mut out = String::new();
        for problem in self.shown() {
            out.push_str(&renderer.render(&[group(problem)]));
            out.push_str("\n\n");
        }
        out.push_str(&self.left_out());
        out.push_str(&self.count());
        out.push('\n');
        out
    }

    fn count(&self) -> String {
        let files: std::collections::BTreeSet<&str> = self
            .0
            .iter()
            .map(|problem| problem.at.file.path())
            .collect();
        format!(
            "{} in {}",
            counted(self.0.len(), "problem", "problems"),
            counted(files.len(), "file", "files")
        )
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.render(Colour::Plain))
    }
}

impl std::error::Error for Problems {}

fn counted(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// Draws one problem; places in another file get an excerpt of their own.
fn group(problem: &Problem) -> Group<'_> {
    let title = Level::ERROR
        .primary_title(problem.message.as_str())
        .id(problem.code.id());
    let file = &problem.at.file;
    let mut group = if file.text().is_empty() {
        title.element(Origin::path(file.path()))
    } else {
        let near = problem
            .related
            .iter()
            .filter(|(span, _)| span.file == *file);
        let snippet = excerpt(&problem.at, AnnotationKind::Primary, &problem.label);
        title.element(snippet.annotations(near.map(|(span, label)| {
            AnnotationKind::Context
                .span(visible(span))
                .label(Some(label.as_str()))
        })))
    };
    for (span, label) in problem
        .related
        .iter()
        .filter(|(span, _)| span.file != *file)
    {
        group = group.element(excerpt(span, AnnotationKind::Context, label));
    }
    match &problem.help {
        Some(help) => group.element(Level::HELP.message(help.as_str())),
        None => group,
    }
}

fn excerpt<'a>(
    at: &'a Span,
    kind: AnnotationKind,
    label: &'a str,
) -> Snippet<'a, annotate_snippets::Annotation<'a>> {
    let label = (!label.is_empty()).then_some(label);
    Snippet::source(at.file.text())
        .path(at.file.path())
        .annotation(kind.span(visible(at)).label(label))
}

/// Most problems told at once.
pub const MOST_SHOWN: usize = 50;

/// Columns an excerpt may take, its line numbers included.
const COLUMNS: usize = 80;

/// Longest list or inline table that is marked whole.
const WIDE: usize = 40;

/// Most bytes marked, so that mark and line fit into the columns.
const MOST_MARKED: usize = 48;

/// Keeps a mark on one line, and marks only the bracket where a long table begins.
fn visible(at: &Span) -> std::ops::Range<usize> {
    let first = at.text().lines().next().unwrap_or_default().trim_end();
    let wide = first.len() > WIDE && first.starts_with(['{', '[']);
    let mut len = if wide {
        1
    } else {
        first.len().min(MOST_MARKED)
    };
    while !first.is_char_boundary(len) {
        len = len.saturating_sub(1);
    }
    at.start..at.start.saturating_add(len)
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::files::source::SourceFile;

    fn span(file: &Arc<SourceFile>, text: &str) -> Span {
        let start = file.text().find(text).unwrap();
        Span {
            file: Arc::clone(file),
            start,
            end: start + text.len(),
        }
    }

    #[test]
    fn problems_come_by_file_and_place_with_a_count() {
        let one = SourceFile::new("a.toml", "sets = 200\nhold = 1\n");
        let two = SourceFile::new("b.toml", "x = 1\n");
        let all = Problems::collect(vec![
            Problem::new(Code::UnknownKey, span(&two, "x"), "no key `x`", ""),
            Problem::new(
                Code::UnknownKey,
                span(&one, "hold"),
                "no key `hold`",
                "not a key",
            ),
            Problem::new(
                Code::OutOfRange,
                span(&one, "200"),
                "`sets` is too high",
                "1 to 6",
            )
            .also(span(&two, "x"), "see here")
            .help("lower it"),
        ])
        .unwrap();
        insta::assert_snapshot!(all.render(Colour::Plain), @r"
        error[BN023]: `sets` is too high
         --> a.toml:1:8
          |
        1 | sets = 200
          |        ^^^ 1 to 6
          |
         ::: b.toml:1:1
          |
        1 | x = 1
          | - see here
          |
          = help: lower it

        error[BN020]: no key `hold`
         --> a.toml:2:1
          |
        2 | hold = 1
          | ^^^^ not a key

        error[BN020]: no key `x`
         --> b.toml:1:1
          |
        1 | x = 1
          | ^

        3 problems in 2 files
        ");
        insta::assert_snapshot!(all.short(), @r"
        a.toml:1:8: error[BN023]: `sets` is too high
        a.toml:2:1: error[BN020]: no key `hold`
        b.toml:1:1: error[BN020]: no key `x`
        ");
    }
}
