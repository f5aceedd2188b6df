//! Lays a procedure's file over the one it is based on.
//!
//! What the file does not name is taken over; every value keeps its own file, line and source.
//! Must not read a value. Next: `procedure` reads the tree that comes out.

use crate::domain::word::Operates;

use super::codes::Code;
use super::nearest;
use super::node::{Entry, Node, Value};
use super::problem::Problem;
use super::reading::Reading;
use super::source::Span;

/// The key that names the file below.
pub const BASED_ON: &str = "based_on";
/// The key that names what is not taken over.
const WITHOUT: &str = "without";
/// Says which file it is: never taken over.
const OWN: [&str; 5] = ["schema", "kind", "id", "version", "status"];
/// What vouches for a file's numbers.
const SOURCE: &str = "source";
/// Words are laid over each other line by line; every other value is replaced whole.
const WORDS: &str = "words";
/// A profile taken out is the usual one no more.
const PROFILE: [&str; 2] = ["profile", "default_profile"];
/// Exercises taken out are taken out wherever the file below names them.
const EXERCISES: &str = "exercises";

/// Lays a file's tree over that of the file it is based on.
///
/// Rows of one name (their `id`, their `measure`, or their `fact` and `from_day`) are laid over
/// each other key by key; a list of rows without names is replaced whole.
pub fn over(base: Node, own: Node, reading: &mut Reading) -> Node {
    same_source(&base, &own, reading);
    let mut below = base;
    if let Value::Table(entries) = &mut below.value {
        entries.retain(|entry| !OWN.contains(&entry.key.as_str()));
    }
    for (list, name) in left_out(&own) {
        take_out(&mut below, &list, &name, reading);
    }
    without_without(laid_over(below, own, reading, at_root))
}

/// The table of an exercise that says what is another way when both sides are operated on.
const BOTH: &str = "both";

/// Puts what an exercise says for two operated sides in place, or leaves it out.
///
/// Laid over as one file over another; `without` in it takes rows out.
pub fn for_sides(mut tree: Node, operates: Operates, reading: &mut Reading) -> Node {
    let Value::Table(entries) = &mut tree.value else {
        return tree;
    };
    let place = entries.iter().position(|entry| entry.key == BOTH);
    let Some(own) = place.map(|place| entries.remove(place).node) else {
        return tree;
    };
    if operates == Operates::One {
        return tree;
    }
    let at = tree.at.clone();
    for (list, name) in left_out(&own) {
        take_out(&mut tree, &list, &name, reading);
    }
    let merged = laid_over(tree, own, reading, at_root);
    without_without(Node { at, ..merged })
}

fn without_without(mut tree: Node) -> Node {
    if let Value::Table(entries) = &mut tree.value {
        entries.retain(|entry| entry.key != WITHOUT);
    }
    tree
}

/// Takes `without` out of a file that is based on none, where it has nothing to leave out.
pub fn alone(mut own: Node, reading: &mut Reading) -> Node {
    if let Value::Table(entries) = &mut own.value
        && let Some(place) = entries.iter().position(|entry| entry.key == WITHOUT)
    {
        let entry = entries.remove(place);
        let message = "`without` leaves out what a file is based on, but `based_on` is missing";
        reading.tell(Problem::new(
            Code::KeysClash,
            entry.key_at,
            message,
            "of what?",
        ));
    }
    own
}

/// One source at the head vouches for all that has no other: it must be the same in both.
fn same_source(base: &Node, own: &Node, reading: &mut Reading) {
    let (Some(base), Some(own)) = (base.get(SOURCE), own.get(SOURCE)) else {
        return;
    };
    if !base.node.same_value(&own.node) {
        let message = "the file this one is based on has another `source` at its head";
        let problem = Problem::new(
            Code::KeysClash,
            own.node.at.clone(),
            message,
            "not the same",
        );
        reading.tell(
            problem
                .also(base.node.at.clone(), "the source below")
                .help("leave it out here, and give each row of your own its source"),
        );
    }
}

/// Lists what is not taken over: the key of the list, and the name in it.
fn left_out(own: &Node) -> Vec<(Entry, Node)> {
    let without = own
        .get(WITHOUT)
        .map_or(&[][..], |entry| entry.node.entries());
    let named = |entry: &Entry| -> Vec<(Entry, Node)> {
        let one = std::slice::from_ref(&entry.node);
        let names = if let Value::List(names) = &entry.node.value {
            names.as_slice()
        } else {
            one
        };
        let names = names.iter();
        names.map(|name| (entry.clone(), name.clone())).collect()
    };
    without.iter().flat_map(named).collect()
}

fn take_out(below: &mut Node, list: &Entry, name: &Node, reading: &mut Reading) {
    let known = names(below, &list.key);
    let Some(text) = name.text() else {
        let message = format!("`without.{}` is a list of names", list.key);
        reading.tell(Problem::new(Code::WrongKind, name.at.clone(), message, ""));
        return;
    };
    if !known.iter().any(|known| known == text) {
        let message = format!(
            "the file this one is based on has no `{}` `{text}`",
            list.key
        );
        reading.tell(nearest::unknown(message, text, &known, &name.at));
        return;
    }
    if let Some(rows) = list_mut(below, &list.key) {
        rows.retain(|row| row_name(row).as_deref() != Some(text));
    }
    if list.key == PROFILE[0]
        && let Value::Table(entries) = &mut below.value
    {
        entries.retain(|entry| entry.key != PROFILE[1] || !entry.node.is_word(text));
    }
    if list.key == EXERCISES {
        let rows = |below: &mut Node, key, inner| {
            let rows = list_mut(below, key).into_iter().flatten();
            rows.filter_map(|row| list_mut(row, inner))
                .for_each(|list| list.retain(|item| !names_exercise(item, text)));
        };
        rows(below, "phase", "candidates");
        rows(below, "modifier", EXERCISES);
    }
}

fn names_exercise(item: &Node, name: &str) -> bool {
    item.is_word(name)
        || item
            .get("exercise")
            .is_some_and(|entry| entry.node.is_word(name))
}

fn names(below: &Node, key: &str) -> Vec<String> {
    let rows = below.get(key).map_or(&[][..], |entry| entry.node.list());
    rows.iter().filter_map(row_name).collect()
}

fn list_mut<'a>(node: &'a mut Node, key: &str) -> Option<&'a mut Vec<Node>> {
    let Value::Table(entries) = &mut node.value else {
        return None;
    };
    let entry = entries.iter_mut().find(|entry| entry.key == key)?;
    let Value::List(rows) = &mut entry.node.value else {
        return None;
    };
    Some(rows)
}

/// Returns what a row of a list goes by.
pub fn row_name(row: &Node) -> Option<String> {
    let of = |key: &str| row.get(key)?.node.text().map(str::to_owned);
    let from = || {
        let Value::Number(day) = row.get("from_day")?.node.value else {
            return None;
        };
        Some(format!("{} {day}", of("fact")?))
    };
    let own = row.text().map(str::to_owned);
    own.or_else(|| of("id"))
        .or_else(|| of("measure"))
        .or_else(from)
}

/// How two values of one key become one.
type Join = fn(&str, Node, Node, &mut Reading) -> Node;

fn laid_over(base: Node, own: Node, reading: &mut Reading, join: Join) -> Node {
    let (Value::Table(below), Value::Table(above)) = (base.value, own.value.clone()) else {
        return own;
    };
    let mut merged = below;
    for entry in above {
        match merged.iter().position(|known| known.key == entry.key) {
            Some(place) => {
                let known = merged.remove(place);
                let node = join(&entry.key, known.node, entry.node, reading);
                merged.insert(place, Entry { node, ..entry });
            }
            None => merged.push(entry),
        }
    }
    merged.sort_by(|a, b| a.key.cmp(&b.key));
    Node {
        value: Value::Table(merged),
        at: own.at,
    }
}

fn at_root(key: &str, base: Node, own: Node, reading: &mut Reading) -> Node {
    if key == WORDS {
        return in_words(key, base, own, reading);
    }
    match (base.value, own.value) {
        (Value::List(below), Value::List(above)) if is_rows(&below) && is_rows(&above) => Node {
            value: Value::List(rows(below, above, reading)),
            at: own.at,
        },
        (_, value) => Node { value, at: own.at },
    }
}

/// Rows are tables with names; a list of plain words is a value like any other.
fn is_rows(list: &[Node]) -> bool {
    list.iter()
        .all(|row| matches!(row.value, Value::Table(_)) && row_name(row).is_some())
}

fn rows(below: Vec<Node>, above: Vec<Node>, reading: &mut Reading) -> Vec<Node> {
    let mut merged = below;
    for row in above {
        match merged
            .iter()
            .position(|known| row_name(known) == row_name(&row))
        {
            Some(place) => {
                let known = merged.remove(place);
                vouched(&known, &row, reading);
                merged.insert(place, laid_over(known, row, reading, in_row));
            }
            None => merged.push(row),
        }
    }
    merged
}

/// A source vouches for the numbers it stood beside, not for those put in their place.
fn vouched(base: &Node, own: &Node, reading: &mut Reading) {
    let known = ["id", "measure", "fact", "from_day", WORDS];
    let news = own
        .entries()
        .iter()
        .find(|entry| !known.contains(&entry.key.as_str()));
    let (Some(source), Some(news), None) = (base.get(SOURCE), news, own.get(SOURCE)) else {
        return;
    };
    let message = "this row changes values, and the source below does not vouch for them";
    let problem = Problem::new(Code::NoSource, news.key_at.clone(), message, "changed here");
    reading.tell(
        problem
            .also(source.node.at.clone(), "vouches for the values below")
            .help("give the row its own `source`"),
    );
}

fn in_row(key: &str, base: Node, own: Node, reading: &mut Reading) -> Node {
    if key == WORDS {
        in_words(key, base, own, reading)
    } else {
        own
    }
}

fn in_words(key: &str, base: Node, own: Node, reading: &mut Reading) -> Node {
    // Ways of doing a rung go with the rungs there are: all of them are said anew.
    if key == "how" {
        return own;
    }
    laid_over(base, own, reading, in_words)
}

/// Returns what a file is based on, and where it says so.
pub fn base(own: &Node) -> Option<(&str, Span)> {
    let node = &own.get(BASED_ON)?.node;
    Some((node.text()?, node.at.clone()))
}
