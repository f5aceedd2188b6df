//! Reads one table key by key and gathers every problem; what nobody asked for is a problem.
//!
//! Must not know any file kind. Next: `exercise`, `procedure`, `clinic`, `record` use it.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::domain::source::{Decision, Source};

use super::codes::Code;
use super::kind::{Key, Keys, Kind, Kinded, Must};
use super::language;
use super::nearest;
use super::node::{Entry, Node, Value};
use super::problem::Problem;
use super::reading::Reading;
use super::source::Span;
use super::values::{At, Readable};
use super::vouch;
use super::wrong;

/// A cursor over one table.
///
/// Ask for every key of its `Keys`, wanted or not, before giving up on any of them.
pub struct TableReader<'a> {
    node: &'a Node,
    keys: &'static Keys,
    asked: Vec<&'static str>,
    source: Option<Source>,
    reading: &'a mut Reading,
}

/// Reads a table with a cursor, then tells of every key nobody asked for.
pub fn in_table<T>(
    node: &Node,
    keys: &'static Keys,
    reading: &mut Reading,
    read: impl FnOnce(&mut TableReader<'_>) -> T,
) -> Option<T> {
    if !matches!(node.value, Value::Table(_)) {
        wrong::wrong_kind(node, reading, Kind::Table(keys));
        return None;
    }
    let outer = (reading.source.clone(), reading.key.clone());
    let mut table = TableReader {
        node,
        keys,
        asked: Vec::new(),
        source: outer.0.clone(),
        reading,
    };
    table.take_source();
    let value = read(&mut table);
    table.finish();
    reading.source = outer.0;
    reading.key = outer.1;
    Some(value)
}

impl TableReader<'_> {
    /// Returns the place of the table.
    pub fn at(&self) -> Span {
        self.node.at.clone()
    }

    /// Returns the place of a key's value, or of the table when the key is not there.
    pub fn at_key(&self, name: &str) -> Span {
        let entry = self.node.get(name);
        entry.map_or_else(|| self.at(), |entry| entry.node.at.clone())
    }

    /// Returns what vouches for the numbers of this table.
    ///
    /// Values that the clinic put in are vouched for by its decision alone.
    pub fn source(&self) -> Option<Source> {
        let values = self.decided();
        if values.is_empty() {
            return self.source.clone();
        }
        let rest = self.source.clone().map(Box::new);
        Some(Source::Decided { values, rest })
    }

    /// Lists the values of this table that the clinic put in, by key, and each decision.
    fn decided(&self) -> Vec<(String, Decision)> {
        let decided = |entry: &Entry| {
            let decision = self.reading.decided.get(&entry.node.at.start);
            let decision = decision.filter(|_| self.is_the_clinics(&entry.node));
            Some((entry.key.clone(), decision?.clone()))
        };
        self.node.entries().iter().filter_map(decided).collect()
    }

    /// Says whether the clinic's file put a value in.
    fn is_the_clinics(&self, node: &Node) -> bool {
        let clinic = self.reading.clinic.as_ref();
        clinic.is_some_and(|file| Arc::ptr_eq(file, &node.at.file))
    }

    /// Returns what vouches for the table, or notes that nothing does.
    pub fn need_source(&mut self) -> Option<Source> {
        let source = self.source();
        if source.is_none() {
            let at = self.at();
            self.reading.unvouched(at);
        }
        source
    }

    /// Says whether a key is there.
    pub fn has(&self, name: &str) -> bool {
        self.node.get(name).is_some()
    }

    /// Tells when a list or table that must name something is there but empty.
    pub fn not_empty(&mut self, name: &str) {
        let Some(entry) = self.node.get(name) else {
            return;
        };
        let is_empty = match &entry.node.value {
            Value::List(list) => list.is_empty(),
            Value::Table(entries) => entries.is_empty(),
            Value::Text(_)
            | Value::Number(_)
            | Value::OtherNumber(_)
            | Value::Truth(_)
            | Value::Date(_) => false,
        };
        if is_empty {
            let message = format!("`{name}` must not be empty");
            self.tell(Problem::new(
                Code::EmptyList,
                self.at_key(name),
                message,
                "",
            ));
        }
    }

    /// Notes a problem.
    pub fn tell(&mut self, problem: Problem) {
        self.reading.tell(problem);
    }

    /// Gives access to what is gathered.
    pub fn reading(&mut self) -> &mut Reading {
        self.reading
    }

    /// Reads a key that must be there.
    pub fn need<T: Readable>(&mut self, name: &'static str) -> Option<T> {
        if !self.has(name) {
            self.missing(name);
        }
        self.may(name)
    }

    /// Reads a key that may be left out.
    pub fn may<T: Readable>(&mut self, name: &'static str) -> Option<T> {
        debug_assert!(
            self.keys
                .find(name)
                .is_none_or(|key| key.kind.describe() == T::KIND.describe()),
            "`{name}` is declared as another kind"
        );
        let entry = self.ask(name)?;
        T::read(&entry.node, self.reading)
    }

    /// Gives the value of a key that must be there, of whatever kind.
    pub fn need_any(&mut self, name: &'static str) -> Option<Node> {
        if !self.has(name) {
            self.missing(name);
        }
        self.ask(name).map(|entry| entry.node)
    }

    /// Gives the value of a key that may be left out, of whatever kind.
    pub fn may_any(&mut self, name: &'static str) -> Option<Node> {
        self.ask(name).map(|entry| entry.node)
    }

    /// Reads a table that must be there.
    pub fn need_table<T>(
        &mut self,
        name: &'static str,
        keys: &'static Keys,
        read: impl FnOnce(&mut TableReader<'_>) -> Option<T>,
    ) -> Option<T> {
        if !self.has(name) {
            self.missing(name);
        }
        self.may_table(name, keys, read)
    }

    /// Reads a table that may be left out.
    pub fn may_table<T>(
        &mut self,
        name: &'static str,
        keys: &'static Keys,
        read: impl FnOnce(&mut TableReader<'_>) -> Option<T>,
    ) -> Option<T> {
        let entry = self.ask(name)?;
        in_table(&entry.node, keys, self.reading, read).flatten()
    }

    /// Reads the tables of a list; a missing list has none.
    pub fn tables<T>(
        &mut self,
        name: &'static str,
        keys: &'static Keys,
        mut read: impl FnMut(&mut TableReader<'_>) -> Option<T>,
    ) -> Vec<T> {
        self.missing_if_declared(name);
        let Some(entry) = self.ask(name) else {
            return Vec::new();
        };
        let Value::List(list) = &entry.node.value else {
            wrong::wrong_kind(&entry.node, self.reading, Kind::Tables(keys));
            return Vec::new();
        };
        let all = list.iter();
        all.filter_map(|node| in_table(node, keys, self.reading, &mut read).flatten())
            .collect()
    }

    /// Reads a table whose keys are names; none when the key is not there.
    pub fn map<K: Readable + Ord, V: Readable>(
        &mut self,
        name: &'static str,
    ) -> Option<BTreeMap<K, V>> {
        let entries = self.named(name)?;
        let mut map = BTreeMap::new();
        for entry in entries {
            let key = Node {
                value: Value::Text(entry.key.clone()),
                at: entry.key_at.clone(),
            };
            let key = K::read(&key, self.reading);
            self.reading.key.clone_from(&entry.key);
            let value = V::read(&entry.node, self.reading);
            if let (Some(key), Some(value)) = (key, value) {
                map.insert(key, value);
            }
        }
        Some(map)
    }

    /// Reads a table of tables by language.
    pub fn by_language<T>(
        &mut self,
        name: &'static str,
        keys: &'static Keys,
        mut read: impl FnMut(&mut TableReader<'_>) -> Option<T>,
    ) -> BTreeMap<String, T> {
        let mut map = BTreeMap::new();
        for entry in self.named(name).unwrap_or_default() {
            if !language::is_tag(&entry.key) {
                self.tell(language::not_a_tag(entry.key_at.clone(), &entry.key));
            }
            let value = in_table(&entry.node, keys, self.reading, &mut read).flatten();
            if let Some(value) = value {
                map.insert(entry.key.clone(), value);
            }
        }
        map
    }

    /// Returns the places of a table's keys, by key.
    pub fn key_places(&self, name: &str) -> BTreeMap<String, Span> {
        let entries = self
            .node
            .get(name)
            .map_or(&[][..], |entry| entry.node.entries());
        entries
            .iter()
            .map(|entry| (entry.key.clone(), entry.key_at.clone()))
            .collect()
    }

    /// Gives the entries of a table with free keys.
    fn named(&mut self, name: &'static str) -> Option<Vec<Entry>> {
        self.missing_if_declared(name);
        let entry = self.ask(name)?;
        if matches!(entry.node.value, Value::Table(_)) {
            return Some(entry.node.entries().to_vec());
        }
        wrong::wrong_kind(&entry.node, self.reading, Kind::Either("a table"));
        None
    }

    /// Marks a key as asked for, finds it and sets what vouches for its numbers.
    fn ask(&mut self, name: &'static str) -> Option<Entry> {
        debug_assert!(
            self.keys.find(name).is_some(),
            "`{name}` is not declared for {}",
            self.keys.what
        );
        self.asked.push(name);
        let entry = self.node.get(name)?.clone();
        self.reading.source = if self.is_the_clinics(&entry.node) {
            Some(Source::Clinic)
        } else {
            self.source.clone()
        };
        name.clone_into(&mut self.reading.key);
        Some(entry)
    }

    /// Reads the table's own `source` first, since it covers the other keys.
    fn take_source(&mut self) {
        let given = vouch::Given::KIND.describe();
        let declared = self.keys.find("source");
        if declared.is_some_and(|key| key.kind.describe() == given)
            && let Some(source) = self.may::<vouch::Given>("source")
        {
            self.source = Some(source.0);
        }
    }

    fn missing_if_declared(&mut self, name: &'static str) {
        let must = self.keys.find(name).map(|key| key.must);
        if must == Some(Must::Be) && !self.has(name) {
            self.missing(name);
        }
    }

    fn missing(&mut self, name: &'static str) {
        let doc = self.keys.find(name).map_or("", |key| key.doc);
        let message = format!("{} needs `{name}`", self.keys.what);
        let label = format!("`{name}` is missing");
        self.tell(Problem::new(Code::MissingKey, self.at(), message, label).help(doc));
    }

    fn finish(&mut self) {
        debug_assert!(
            self.keys
                .keys
                .iter()
                .all(|key| self.asked.contains(&key.name)),
            "{}: not every declared key was asked for, only {:?}",
            self.keys.what,
            self.asked
        );
        for entry in self.node.entries() {
            if !self.asked.contains(&entry.key.as_str()) {
                let problem = unknown_key(self.keys, entry);
                self.reading.tell(problem);
            }
        }
    }
}

fn unknown_key(keys: &Keys, entry: &Entry) -> Problem {
    let names: Vec<&str> = keys.keys.iter().map(|Key { name, .. }| *name).collect();
    let message = format!("{} has no key `{}`", keys.what, entry.key);
    Problem::new(
        Code::UnknownKey,
        entry.key_at.clone(),
        message,
        "not a key here",
    )
    .help(nearest::help(&entry.key, &names))
}

/// Tells when a name stands twice in a list of named things.
pub fn each_once<K: Ord + std::fmt::Display>(names: Vec<At<K>>, what: &str, reading: &mut Reading) {
    let mut first: BTreeMap<K, Span> = BTreeMap::new();
    for name in names {
        if let Some(earlier) = first.get(&name.value) {
            let message = format!("{what} `{}` is used twice", name.value);
            let problem = Problem::new(Code::Twice, name.at, message, "second use")
                .also(earlier.clone(), "first use")
                .help("give each its own name");
            reading.tell(problem);
        } else {
            first.insert(name.value, name.at);
        }
    }
}
