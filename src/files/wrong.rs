//! Tells that a value is not of the kind its key holds, and how to write it.

use super::codes::Code;
use super::kind::Kind;
use super::nearest;
use super::node::{Node, Value};
use super::problem::Problem;
use super::reading::Reading;
use super::source::Span;

/// Tells that a word is not on its list.
pub fn unknown_word(at: &Span, text: &str, words: &[&str], reading: &mut Reading) {
    let message = format!("`{}` cannot be \"{text}\"", reading.key);
    let problem = Problem::new(Code::UnknownWord, at.clone(), message, "not a known word");
    reading.tell(problem.help(nearest::help(text, words)));
}

/// Tells that a value is of the wrong kind, and how to write it.
pub fn wrong_kind(node: &Node, reading: &mut Reading, kind: Kind) {
    let key = reading.key.clone();
    let message = format!("`{key}` must be {}, not {}", kind.describe(), found(node));
    let yes_no = matches!(kind, Kind::Word(list) if list().contains(&"yes"));
    let truth = ["true", "false"]
        .iter()
        .position(|text| node.at.text() == *text);
    if let (true, Some(place)) = (yes_no, truth) {
        let word = if place == 0 { "yes" } else { "no" };
        let problem = Problem::new(Code::NotYesNo, node.at.clone(), message, "a word is needed");
        reading.tell(problem.help(format!("write {key} = \"{word}\"")));
        return;
    }
    let problem = Problem::new(Code::WrongKind, node.at.clone(), message, node.kind());
    reading.tell(match how_to_write(node, kind) {
        Some(help) => problem.help(help),
        None => problem,
    });
}

fn found(node: &Node) -> String {
    match &node.value {
        Value::Number(_) | Value::OtherNumber(_) | Value::Truth(_) | Value::Date(_) => {
            node.at.text().to_owned()
        }
        Value::Text(_) | Value::List(_) | Value::Table(_) => node.kind().to_owned(),
    }
}

fn how_to_write(node: &Node, kind: Kind) -> Option<&'static str> {
    let text = matches!(node.value, Value::Text(_));
    let number = matches!(node.value, Value::Number(_));
    let date = matches!(node.value, Value::Date(_));
    match kind {
        Kind::Number { .. } | Kind::Date if text => Some("write it without quotation marks"),
        Kind::Number { .. } if matches!(node.value, Value::OtherNumber(_)) => {
            Some("write a whole number")
        }
        Kind::Text { .. } | Kind::Id | Kind::Word(_) if number || date => {
            Some("put it in quotation marks")
        }
        Kind::List(_) if text || number => Some("put it in brackets"),
        Kind::Number { .. }
        | Kind::Text { .. }
        | Kind::Word(_)
        | Kind::Id
        | Kind::Date
        | Kind::List(_)
        | Kind::Table(_)
        | Kind::Tables(_)
        | Kind::Map(_)
        | Kind::Either(_) => None,
    }
}
