//! What the store must find in a record's text: its visits, their seals, its token.
//!
//! Not the reader of records: that checks every key and reports every problem.

use toml::de::{DeTable, DeValue};

use super::canonical::whole_number;
use super::error::RecordFault;

/// One visit as the store sees it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct VisitShape {
    /// Its number.
    pub(super) n: i64,
    /// Number of the sheet issued for it.
    pub(super) sheet: Option<i64>,
    /// Names of the files issued for it.
    pub(super) files: Vec<String>,
    /// Something was issued for it.
    pub(super) issued: bool,
    /// It was closed without a sheet of its own.
    pub(super) closed: bool,
    /// Its seal.
    pub(super) seal: SealShape,
}

/// The seal of a visit as found in the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum SealShape {
    /// There is none.
    None,
    /// A table of its own.
    At {
        /// Byte at which its header begins.
        start: usize,
        /// The digest written in it.
        sha256: String,
    },
    /// Not a table of its own with one digest of 64 hex digits.
    Misplaced {
        /// Byte at which it is found.
        start: usize,
    },
}

/// Returns the text with plain line ends.
///
/// A carriage return before a line end is never part of a value in a seal, so that a program
/// which changes the line ends of a file breaks no seal. The parser passes over a byte-order mark.
pub(super) fn plain(text: &str) -> String {
    text.replace("\r\n", "\n")
}

/// Returns the line, from 1, that holds a byte.
pub(super) fn line_of(text: &str, byte: usize) -> usize {
    text.bytes()
        .take(byte)
        .filter(|b| *b == b'\n')
        .count()
        .saturating_add(1)
}

/// Parses a record's text.
pub(super) fn parse(text: &str) -> Result<DeTable<'_>, RecordFault> {
    DeTable::parse(text)
        .map(toml::Spanned::into_inner)
        .map_err(|error| RecordFault::NotToml {
            line: line_of(text, error.span().map_or(0, |span| span.start)),
            message: error.message().to_owned(),
        })
}

/// Returns the visits of a record, in the order of the text it was parsed from.
pub(super) fn visits(text: &str, record: &DeTable<'_>) -> Result<Vec<VisitShape>, RecordFault> {
    elements(record, "visit")?
        .into_iter()
        .map(|visit| visit_shape(text, visit))
        .collect()
}

/// Returns the token of the episode.
pub(super) fn token(record: &DeTable<'_>) -> Result<String, RecordFault> {
    record
        .get("episode")
        .and_then(|episode| episode.get_ref().as_table())
        .and_then(|episode| string(episode, "token"))
        .ok_or(RecordFault::Shape("episode.token"))
}

/// Returns the name of the next order: `O` and one more than the highest number used.
pub fn next_order_id(text: &str) -> Result<String, RecordFault> {
    let text = plain(text);
    let record = parse(&text)?;
    let highest = elements(&record, "order")?
        .into_iter()
        .filter_map(|order| string(order, "id"))
        .filter_map(|id| id.strip_prefix('O').and_then(|n| n.parse::<u32>().ok()))
        .max()
        .unwrap_or(0);
    Ok(format!("O{}", highest.saturating_add(1)))
}

impl VisitShape {
    /// Says whether anything has closed the visit.
    pub(super) fn is_closed(&self) -> bool {
        self.issued || self.closed
    }
}

fn visit_shape(text: &str, visit: &DeTable<'_>) -> Result<VisitShape, RecordFault> {
    let n = integer(visit, "n")?.ok_or(RecordFault::Shape("visit.n"))?;
    let mut shape = VisitShape {
        n,
        sheet: None,
        files: Vec::new(),
        issued: false,
        closed: visit.contains_key("closed") || visit.contains_key("kept"),
        seal: seal_shape(text, visit),
    };
    if let Some(issued) = visit.get("issued") {
        let issued = issued
            .get_ref()
            .as_table()
            .ok_or(RecordFault::Shape("visit.issued"))?;
        shape.issued = true;
        shape.sheet = integer(issued, "sheet")?;
        for file in elements(issued, "file")? {
            shape.files.extend(string(file, "name"));
        }
    }
    Ok(shape)
}

fn seal_shape(text: &str, visit: &DeTable<'_>) -> SealShape {
    let Some(seal) = visit.get("seal") else {
        return SealShape::None;
    };
    let start = seal.span().start;
    let sha256 = seal
        .get_ref()
        .as_table()
        .filter(|seal| seal.len() == 1)
        .and_then(|seal| string(seal, "sha256"))
        .filter(|digest| is_digest(digest));
    match sha256 {
        Some(sha256) if begins_line(text, start) => SealShape::At { start, sha256 },
        Some(_) | None => SealShape::Misplaced { start },
    }
}

/// Says whether a table header begins at this byte with nothing before it on its line.
fn begins_line(text: &str, start: usize) -> bool {
    let Some((before, after)) = text.split_at_checked(start) else {
        return false;
    };
    let indent = before.rsplit('\n').next().unwrap_or(before);
    after.starts_with('[') && indent.chars().all(|c| c == ' ' || c == '\t')
}

fn is_digest(text: &str) -> bool {
    text.len() == 64
        && text
            .bytes()
            .all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b))
}

/// Returns the tables of an array of tables; a missing one has none.
fn elements<'t, 'i>(
    table: &'t DeTable<'i>,
    key: &'static str,
) -> Result<Vec<&'t DeTable<'i>>, RecordFault> {
    let Some(value) = table.get(key) else {
        return Ok(Vec::new());
    };
    value
        .get_ref()
        .as_array()
        .and_then(|array| array.iter().map(|item| item.get_ref().as_table()).collect())
        .ok_or(RecordFault::Shape(key))
}

fn string(table: &DeTable<'_>, key: &str) -> Option<String> {
    table
        .get(key)
        .and_then(|value| value.get_ref().as_str())
        .map(str::to_owned)
}

fn integer(table: &DeTable<'_>, key: &'static str) -> Result<Option<i64>, RecordFault> {
    let Some(value) = table.get(key) else {
        return Ok(None);
    };
    match value.get_ref() {
        DeValue::Integer(number) => whole_number(number).map(Some),
        DeValue::String(_)
        | DeValue::Float(_)
        | DeValue::Boolean(_)
        | DeValue::Datetime(_)
        | DeValue::Array(_)
        | DeValue::Table(_) => Err(RecordFault::Shape(key)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn orders_count_up_from_the_highest() {
        assert_eq!(next_order_id("").unwrap(), "O1");
        let text = "[[order]]\nid = \"O9\"\n[[order]]\nid = \"own\"\n[[order]]\nid = \"O2\"\n";
        assert_eq!(next_order_id(text).unwrap(), "O10");
    }

    #[test]
    fn a_record_of_another_shape_is_said() {
        let shape = |text: &str| visits(text, &parse(text).unwrap()).unwrap_err().to_string();
        assert_eq!(
            shape("visit = 1"),
            "`visit` does not have the shape it has in a record"
        );
        assert!(shape("[[visit]]\nn = \"1\"").starts_with("`n` "));
        assert!(shape("[[visit]]\nhow = \"seen\"").starts_with("`visit.n` "));
        assert!(shape("[[visit]]\nn = 1\nissued = 1").starts_with("`visit.issued` "));
    }

    #[test]
    fn a_text_that_does_not_parse_names_its_line() {
        let fault = parse("a = 1\nb = \n").unwrap_err();
        assert!(
            matches!(fault, RecordFault::NotToml { line: 2, .. }),
            "{fault:?}"
        );
    }
}
