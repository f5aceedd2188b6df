//! Lists the values that stand in one file of a tree laid together from several.
//!
//! Must not know what a value means. Next: `protocol show` prints them.

use crate::domain::source::Origin;

use super::inherit::row_name;
use super::node::{Node, Value};

/// A value of a file: the way to it, as it is written there, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Placed {
    /// Keys and names of rows, with dots between.
    pub way: String,
    /// The value as written.
    pub text: String,
    /// Its place.
    pub origin: Origin,
}

/// Lists the values of a tree that stand in the file of its own heading, in order of line.
pub fn own_values(tree: &Node) -> Vec<Placed> {
    let mut found = Vec::new();
    walk(tree, tree.at.file.path(), "", &mut found);
    found.sort_by_key(|placed| placed.origin.clone());
    found
}

fn walk(node: &Node, path: &str, way: &str, found: &mut Vec<Placed>) {
    for entry in node.entries() {
        walk(&entry.node, path, &joined(way, &entry.key), found);
    }
    let rows = node.list().iter().filter(|row| is_table(row));
    let mut rows = rows
        .filter_map(|row| Some((row_name(row)?, row)))
        .peekable();
    let whole = !is_table(node) && rows.peek().is_none();
    for (name, row) in rows {
        walk(row, path, &joined(way, &name), found);
    }
    if whole && node.at.file.path() == path {
        let words: Vec<&str> = node.at.text().split_whitespace().collect();
        found.push(Placed {
            way: way.to_owned(),
            text: words.join(" "),
            origin: node.at.origin(),
        });
    }
}

fn is_table(node: &Node) -> bool {
    matches!(node.value, Value::Table(_))
}

fn joined(way: &str, name: &str) -> String {
    if way.is_empty() {
        name.to_owned()
    } else {
        format!("{way}.{name}")
    }
}
