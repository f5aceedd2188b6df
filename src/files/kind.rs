//! What each key of a file may hold: the one table behind reader, error text and schema.
//!
//! Must not read anything. Next: `values` reads one value, `reader` one table.

/// The kind of value a key holds.
#[derive(Debug, Clone, Copy)]
pub enum Kind {
    /// A whole number in a range, both ends included.
    Number {
        /// Smallest.
        min: i64,
        /// Largest.
        max: i64,
        /// Unit word for many; may be empty.
        unit: &'static str,
    },
    /// Text on one line.
    Text {
        /// Most characters.
        most: usize,
    },
    /// A word of a closed list.
    Word(fn() -> Vec<&'static str>),
    /// A name: lower case with hyphens.
    Id,
    /// A calendar date.
    Date,
    /// A list of one kind.
    List(&'static Kind),
    /// A table.
    Table(&'static Keys),
    /// Tables, each with a heading in double brackets or in a list.
    Tables(&'static Keys),
    /// A table whose keys are names, all with one kind of value.
    Map(&'static Kind),
    /// One of several kinds, in words.
    Either(&'static str),
}

/// Whether a key must be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Must {
    /// It has no default.
    Be,
    /// It may be left out.
    MayBe,
}

/// One key of a table.
#[derive(Debug, Clone, Copy)]
pub struct Key {
    /// Its name.
    pub name: &'static str,
    /// Whether it must be there.
    pub must: Must,
    /// What it holds.
    pub kind: Kind,
    /// One sentence on what it is for.
    pub doc: &'static str,
}

/// The keys of one kind of table.
#[derive(Debug, Clone, Copy)]
pub struct Keys {
    /// What the table is, such as "a rung".
    pub what: &'static str,
    /// Its keys in the order people write them.
    pub keys: &'static [Key],
}

/// A value the reader knows how to read.
pub trait Kinded {
    /// What it may hold.
    const KIND: Kind;
}

/// Declares a key that must be there.
pub const fn need<T: Kinded>(name: &'static str, doc: &'static str) -> Key {
    Key {
        name,
        must: Must::Be,
        kind: T::KIND,
        doc,
    }
}

/// Declares a key that may be left out.
pub const fn may<T: Kinded>(name: &'static str, doc: &'static str) -> Key {
    Key {
        name,
        must: Must::MayBe,
        kind: T::KIND,
        doc,
    }
}

/// Declares a key of some other shape that must be there.
pub const fn need_as(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key {
        name,
        must: Must::Be,
        kind,
        doc,
    }
}

/// Declares a key of some other shape that may be left out.
pub const fn may_as(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key {
        name,
        must: Must::MayBe,
        kind,
        doc,
    }
}

impl Keys {
    /// Finds a key.
    pub fn find(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|key| key.name == name)
    }
}

impl Kind {
    /// Says in words what may be written.
    pub fn describe(&self) -> String {
        match self {
            Self::Number { min, max, unit: "" } => {
                format!("a whole number from {min} to {max}")
            }
            Self::Number { min, max, unit } => {
                format!("a whole number from {min} to {max} ({unit})")
            }
            Self::Text { .. } => "text in quotation marks".to_owned(),
            Self::Word(list) => one_of(&list()),
            Self::Id => "a name in quotation marks".to_owned(),
            Self::Date => "a date such as 2026-03-05".to_owned(),
            Self::List(of) => format!("a list, each {}", of.describe()),
            Self::Table(keys) => format!("{} as a table", keys.what),
            Self::Tables(_) => "a list of tables".to_owned(),
            Self::Map(of) => format!("a table of names, each {}", of.describe()),
            Self::Either(words) => (*words).to_owned(),
        }
    }
}

/// Lists the words a key may hold.
fn one_of(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
    match quoted.split_last() {
        Some((only, [])) => only.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
        None => String::new(),
    }
}
