//! A parsed file as a tree that remembers where each value stands.
//!
//! The only place that meets the TOML parser. Must not know what a key means.
//! Next: `reader` walks the tree.

use std::sync::Arc;

use toml::de::{DeTable, DeValue};

use super::codes::Code;
use super::depth;
use super::problem::{Problem, Problems};
use super::source::{SourceFile, Span};
use super::typeset;

/// A value and its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Node {
    /// What it is.
    pub value: Value,
    /// Where it stands; a table's place is its heading.
    pub at: Span,
}

/// A value as the file holds it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Value {
    /// Text in quotation marks.
    Text(String),
    /// A whole number.
    Number(i64),
    /// A number that is not whole or too large, as written.
    OtherNumber(String),
    /// `true` or `false`.
    Truth(String),
    /// A date, a time or both, as written.
    Date(toml::value::Datetime),
    /// A list.
    List(Vec<Node>),
    /// A table; keys in alphabetical order.
    Table(Vec<Entry>),
}

/// A key and its value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// The key.
    pub key: String,
    /// Where the key stands.
    pub key_at: Span,
    /// Its value.
    pub node: Node,
}

impl Node {
    /// Returns the entries of a table; nothing else has any.
    pub fn entries(&self) -> &[Entry] {
        match &self.value {
            Value::Table(entries) => entries,
            Value::Text(_)
            | Value::Number(_)
            | Value::OtherNumber(_)
            | Value::Truth(_)
            | Value::Date(_)
            | Value::List(_) => &[],
        }
    }

    /// Returns the values of a list; nothing else has any.
    pub fn list(&self) -> &[Self] {
        match &self.value {
            Value::List(list) => list,
            Value::Text(_)
            | Value::Number(_)
            | Value::OtherNumber(_)
            | Value::Truth(_)
            | Value::Date(_)
            | Value::Table(_) => &[],
        }
    }

    /// Returns a text.
    pub fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            Value::Number(_)
            | Value::OtherNumber(_)
            | Value::Truth(_)
            | Value::Date(_)
            | Value::List(_)
            | Value::Table(_) => None,
        }
    }

    /// Finds a key of a table.
    pub fn get(&self, key: &str) -> Option<&Entry> {
        self.entries().iter().find(|entry| entry.key == key)
    }

    /// Says whether this is one certain word.
    pub fn is_word(&self, word: &str) -> bool {
        self.text() == Some(word)
    }

    /// Says whether two values are equal, wherever they stand.
    pub fn same_value(&self, other: &Self) -> bool {
        match (&self.value, &other.value) {
            (Value::List(a), Value::List(b)) => {
                a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.same_value(b))
            }
            (Value::Table(a), Value::Table(b)) => {
                a.len() == b.len()
                    && a.iter()
                        .zip(b)
                        .all(|(a, b)| a.key == b.key && a.node.same_value(&b.node))
            }
            (a, b) => a == b,
        }
    }

    /// Says in a word or two what kind of value this is.
    pub fn kind(&self) -> &'static str {
        match &self.value {
            Value::Text(_) => "text",
            Value::Number(_) => "a number",
            Value::OtherNumber(_) => "not a whole number",
            Value::Truth(_) => "true or false",
            Value::Date(_) => "a date",
            Value::List(_) => "a list",
            Value::Table(_) => "a table",
        }
    }
}

/// Parses a file into a tree, or says everything that is wrong with its form.
pub fn parse(file: &Arc<SourceFile>) -> Result<Node, Problems> {
    if let Some(problems) = Problems::collect(typeset::all(file)) {
        return Err(problems);
    }
    if let Some(at) = depth::too_deep(file) {
        return Err(Problems::from(deep(at)));
    }
    let (table, errors) = DeTable::parse_recoverable(file.text());
    let mut problems: Vec<Problem> = errors.iter().map(|error| syntax(file, error)).collect();
    let at = span(file, 0..0);
    let entries = if problems.is_empty() {
        entries(file, table.get_ref(), &mut problems)
    } else {
        Vec::new()
    };
    match Problems::collect(problems) {
        Some(problems) => Err(problems),
        None => Ok(Node {
            value: Value::Table(entries),
            at,
        }),
    }
}

fn span(file: &Arc<SourceFile>, range: std::ops::Range<usize>) -> Span {
    Span {
        file: Arc::clone(file),
        start: range.start,
        end: range.end,
    }
}

fn deep(at: Span) -> Problem {
    let most = depth::MOST;
    Problem::new(
        Code::TooDeep,
        at,
        format!("tables and lists stand more than {most} levels deep"),
        "too deep here",
    )
}

fn syntax(file: &Arc<SourceFile>, error: &toml::de::Error) -> Problem {
    let at = span(file, error.span().unwrap_or(0..0));
    let said = error.message();
    let problem = |message: &str| Problem::new(Code::Syntax, at.clone(), message, "");
    if said == "duplicate key" {
        twice(file, problem(said), at.text())
    } else if said.starts_with("string values must be quoted") {
        problem("this is neither a number, a date nor text in quotation marks")
            .help("put text in quotation marks")
    } else if said.starts_with("invalid basic string") {
        problem("the quotation mark that ends this text is missing")
    } else {
        problem(said)
    }
}

/// Points at the earlier place of a key that stands twice, when it has a line of its own.
fn twice(file: &Arc<SourceFile>, mut problem: Problem, key: &str) -> Problem {
    problem.message = format!("the key `{key}` stands twice in the same table");
    "second time".clone_into(&mut problem.label);
    let problem = problem.help("keep one of them");
    match first_time(file, key, problem.at.start) {
        Some(first) => problem.also(first, "first time"),
        None => problem,
    }
}

/// Finds the last line before a byte, in the same table, that begins with the key.
fn first_time(file: &Arc<SourceFile>, key: &str, before: usize) -> Option<Span> {
    let mut start = 0_usize;
    let mut found = None;
    for line in file.text().get(..before)?.split_inclusive('\n') {
        let rest = line.trim_start();
        if rest.starts_with('[') {
            found = None;
        }
        let after_key = rest.strip_prefix(key).map(str::trim_start);
        if after_key.is_some_and(|after| after.starts_with('=')) {
            found = Some(start.saturating_add(line.len().saturating_sub(rest.len())));
        }
        start = start.saturating_add(line.len());
    }
    found.map(|at| span(file, at..at.saturating_add(key.len())))
}

fn entries(file: &Arc<SourceFile>, table: &DeTable<'_>, problems: &mut Vec<Problem>) -> Vec<Entry> {
    table
        .iter()
        .map(|(key, value)| Entry {
            key: key.get_ref().to_string(),
            key_at: span(file, key.span()),
            node: node(file, value.get_ref(), value.span(), problems),
        })
        .collect()
}

fn node(
    file: &Arc<SourceFile>,
    value: &DeValue<'_>,
    range: std::ops::Range<usize>,
    problems: &mut Vec<Problem>,
) -> Node {
    let at = span(file, range);
    let value = match value {
        DeValue::String(text) => Value::Text(text.to_string()),
        DeValue::Integer(n) => i64::from_str_radix(n.as_str(), n.radix())
            .map_or_else(|_| Value::OtherNumber(at.text().to_owned()), Value::Number),
        DeValue::Float(_) => Value::OtherNumber(at.text().to_owned()),
        DeValue::Boolean(_) => Value::Truth(at.text().to_owned()),
        DeValue::Datetime(date) => Value::Date(*date),
        DeValue::Array(list) => Value::List(
            list.iter()
                .map(|item| node(file, item.get_ref(), item.span(), problems))
                .collect(),
        ),
        DeValue::Table(table) => {
            if at.text().starts_with('{') && at.text().contains('\n') {
                problems.push(broken(&at));
            }
            Value::Table(entries(file, table, problems))
        }
    };
    Node { value, at }
}

fn broken(at: &Span) -> Problem {
    Problem::new(
        Code::BrokenTable,
        at.clone(),
        "a table in braces runs over more than one line",
        "starts here",
    )
    .help("keep it on one line, or give it a heading in brackets")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn codes(text: &str) -> Vec<Code> {
        match parse(&SourceFile::new("a", text)) {
            Ok(_) => Vec::new(),
            Err(problems) => problems.iter().map(|problem| problem.code).collect(),
        }
    }

    #[test]
    fn all_syntax_errors_are_told_at_once() {
        assert_eq!(codes("a = \nb = yes\nc = 1\nc = 2\n"), [Code::Syntax; 3]);
        assert_eq!(codes("a = {\n b = 1 }\n"), [Code::BrokenTable]);
        assert_eq!(codes("a = 1\r\nb = \"x\"\r\n"), []);
    }

    #[test]
    fn a_key_that_stands_twice_shows_both_places() {
        let problems = parse(&SourceFile::new("a", "[t]\na = 1\nb = 2\na = 3\n")).unwrap_err();
        let problem = problems.iter().next().unwrap();
        assert_eq!(problem.related.len(), 1);
        assert_eq!(problem.related[0].0.position(), (2, 1));
    }

    #[test]
    fn values_are_equal_wherever_they_stand() {
        let tree = parse(&SourceFile::new(
            "a",
            "a = [1, { x = 2 }]\n\nb = [1, { x = 2 }]\nc = [1]",
        ));
        let tree = tree.unwrap();
        let get = |key| &tree.get(key).unwrap().node;
        assert!(get("a").same_value(get("b")));
        assert!(!get("a").same_value(get("c")));
    }
}
