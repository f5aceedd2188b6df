//! TOML values and keys as text.
//!
//! Strings are written as basic strings on one line, whatever they hold.
//! Must not know what a key means.

use std::fmt::Write;

use chrono::NaiveDate;

use crate::domain::ids::Id;
use crate::domain::quantity::Quantity;
use crate::domain::recorded::Recorded;
use crate::domain::word::Word;

/// Keys with their values, in the order they are written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::store) struct Keys(Vec<String>);

impl Keys {
    /// Starts without any key.
    pub(in crate::store) fn none() -> Self {
        Self(Vec::new())
    }

    /// Adds a key.
    pub(in crate::store) fn put(mut self, key: &str, value: impl std::fmt::Display) -> Self {
        self.0.push(format!("{key} = {value}"));
        self
    }

    /// Adds a key if there is a value.
    pub(in crate::store) fn may<T>(
        self,
        key: &str,
        value: Option<T>,
        write: impl FnOnce(T) -> String,
    ) -> Self {
        match value {
            Some(value) => self.put(key, write(value)),
            None => self,
        }
    }

    /// Adds a key if its value was recorded.
    pub(in crate::store) fn recorded<T>(
        self,
        key: &str,
        value: Recorded<T>,
        write: impl FnOnce(T) -> String,
    ) -> Self {
        self.may(key, value.known(), write)
    }

    /// Adds an inline table; one without keys says nothing and is not written.
    pub(in crate::store) fn table(self, key: &str, inner: &Self) -> Self {
        if inner.0.is_empty() {
            self
        } else {
            self.put(key, inner.inline())
        }
    }

    /// Returns the keys one to a line, each with its line end.
    pub(in crate::store) fn lines(&self) -> String {
        self.0.iter().fold(String::new(), |mut lines, line| {
            lines.push_str(line);
            lines.push('\n');
            lines
        })
    }

    /// Returns the keys as an inline table on one line.
    pub(in crate::store) fn inline(&self) -> String {
        if self.0.is_empty() {
            "{}".to_owned()
        } else {
            format!("{{ {} }}", self.0.join(", "))
        }
    }
}

/// Writes a string; quotes, backslashes and control characters are escaped.
pub(in crate::store) fn text(value: &str) -> String {
    let mut out = String::with_capacity(value.len().saturating_add(2));
    out.push('"');
    for c in value.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => {
                // Writing to a string cannot fail.
                let _ = write!(out, "\\u{:04X}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// Writes an id.
pub(in crate::store) fn id<I: Id>(value: &I) -> String {
    text(value.as_str())
}

/// Writes a word of a closed list.
pub(in crate::store) fn word<W: Word>(value: W) -> String {
    text(value.as_str())
}

/// Writes a bounded number; the unit is in the key.
pub(in crate::store) fn number<Q: Quantity>(value: Q) -> String {
    value.get().to_string()
}

/// Writes a plain whole number.
pub(in crate::store) fn whole(value: i64) -> String {
    value.to_string()
}

/// Writes a date.
pub(in crate::store) fn date(value: NaiveDate) -> String {
    value.format("%Y-%m-%d").to_string()
}

/// Writes a list on one line.
pub(in crate::store) fn list<T>(
    values: impl IntoIterator<Item = T>,
    write: impl Fn(T) -> String,
) -> String {
    let values: Vec<String> = values.into_iter().map(write).collect();
    format!("[{}]", values.join(", "))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::{any, proptest};

    use super::*;

    fn read_back(text: &str) -> String {
        let table: toml::Table = text.parse().unwrap();
        table["key"].as_str().unwrap().to_owned()
    }

    #[test]
    fn awkward_strings_come_back_the_same() {
        for value in [
            "",
            "\"",
            "\"\"\"",
            "'''",
            "\\",
            "\\n",
            "two\nlines\r\nand a third",
            "tab\there",
            "\u{0}\u{7}\u{8}\u{c}\u{1b}\u{1f}\u{7f}\u{85}\u{9f}",
            "# no comment",
            "]\n[visit.seal]\nsha256 = \"\"",
            "Dr. José Ñandú, née O’Shea \u{202e}\u{feff}\u{1f9b5}",
        ] {
            let line = Keys::none().put("key", text(value)).lines();
            assert_eq!(line.lines().count(), 1, "{line}");
            assert_eq!(read_back(&line), value);
        }
    }

    proptest! {
        #[test]
        fn any_string_comes_back_the_same(value in any::<String>()) {
            let line = Keys::none().put("key", text(&value)).lines();
            assert_eq!(read_back(&line), value);
            let inner = Keys::none().put("key", text(&value));
            let line = Keys::none().table("outer", &inner).lines();
            assert_eq!(line.matches('\n').count(), 1);
            let table: toml::Table = line.parse().unwrap();
            assert_eq!(table["outer"]["key"].as_str().unwrap(), value);
        }
    }

    #[test]
    fn a_table_without_keys_is_not_written() {
        assert_eq!(Keys::none().table("home", &Keys::none()).lines(), "");
    }

    #[test]
    fn a_list_without_values_is_written() {
        let nothing: [i64; 0] = [];
        assert_eq!(list(nothing, whole), "[]");
    }
}
