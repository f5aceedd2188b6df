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
    match &node.value {
        Value::Table(entries) => {
            for entry in entries {
                walk(&entry.node, path, &joined(way, &entry.key), found);
            }
        }
        Value::List(rows)
            if rows
                .iter()
                .any(|row| row_name(row).is_some_and(|_| is_table(row))) =>
        {
            for row in rows {
                let name = row_name(row).unwrap_or_default();
                walk(row, path, &joined(way, &name), found);
            }
        }
        _ if node.at.file.path() == path => found.push(Placed {
            way: way.to_owned(),
            text: node
                .at
                .text()
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" "),
            origin: node.at.origin(),
        }),
        Value::Text(_)
        | Value::Number(_)
        | Value::OtherNumber(_)
        | Value::Truth(_)
        | Value::Date(_)
        | Value::List(_) => {}
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
