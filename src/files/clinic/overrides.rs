//! Reads a clinic's overrides and puts their values into the files they name.

use chrono::NaiveDate;

use super::super::codes::Code;
use super::super::kind::{Keys, Kind, need, need_as};
use super::super::node::{Node, Value};
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::reading::Reading;
use super::super::values::At;
use crate::domain::clinic::Replaced;
use crate::domain::source::Decision;

pub(super) static OVERRIDE: Keys = Keys {
    what: "an override",
    keys: &[
        need::<String>("path", "The file, such as procedures/knee-total.toml."),
        need::<String>(
            "at",
            "The way to one value, such as home_care.cold.minutes.",
        ),
        need_as("was", Kind::Either("any value"), "The value it replaces."),
        need_as(
            "now",
            Kind::Either("any value"),
            "The value put in its place.",
        ),
        need::<String>("because", "Why."),
        need::<String>("by", "Who decided."),
        need::<NaiveDate>("on", "When."),
    ],
};

/// One value a clinic replaces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Override {
    /// The file, as seen from protocols/.
    pub path: At<String>,
    /// The way to the value.
    pub at: At<String>,
    was: Node,
    now: Node,
    decision: Decision,
}

pub(super) fn read(table: &mut TableReader<'_>) -> Option<Override> {
    let path = table.need::<At<String>>("path");
    let at = table.need::<At<String>>("at");
    let was = table.need_any("was");
    let now = table.need_any("now");
    let because = table.need::<String>("because");
    let by = table.need::<String>("by");
    let on = table.need::<NaiveDate>("on");
    let decision = || {
        Some(Decision {
            because: because?,
            by: by?,
            on: on?,
        })
    };
    let decision = decision();
    Some(Override {
        path: path?,
        at: at?,
        was: was?,
        now: now?,
        decision: decision?,
    })
}

impl Override {
    /// Replaces the value in a file's tree, if it is the one the override names.
    pub fn apply(&self, tree: &mut Node, reading: &mut Reading) {
        let Some(place) = self.at.value.split('.').try_fold(tree, step) else {
            let message = format!(
                "`{}` leads to nothing in {}",
                self.at.value, self.path.value
            );
            let problem = Problem::new(Code::OverrideAt, self.at.at.clone(), message, "");
            reading.tell(problem.help(
                "give the keys and the ids of table rows, with dots between: home_care.cold.minutes",
            ));
            return;
        };
        if !place.same_value(&self.was) {
            let message = format!("`was` is not the value of `{}`", self.at.value);
            let problem = Problem::new(Code::OverrideWas, self.was.at.clone(), message, "not so")
                .also(place.at.clone(), "the value in the library")
                .help("read the library's value, decide again, then correct `was`");
            reading.tell(problem);
            return;
        }
        place.clone_from(&self.now);
    }

    /// Returns where the clinic's value stands, and the decision behind it.
    pub fn decided(&self) -> (usize, Decision) {
        (self.now.at.start, self.decision.clone())
    }

    /// Says what was replaced, if the clinic's value stands in a tree after all was laid together.
    pub fn in_force(&self, tree: &Node) -> Option<Replaced> {
        let place = self.at.value.split('.').try_fold(tree, look)?;
        (place.at == self.now.at).then(|| Replaced {
            path: self.path.value.clone(),
            at: self.at.value.clone(),
            was: written(&self.was),
            now: written(&self.now),
            decision: self.decision.clone(),
        })
    }
}

fn written(node: &Node) -> String {
    let words: Vec<&str> = node.at.text().split_whitespace().collect();
    words.join(" ")
}

/// Goes one step down, as `step` does, and changes nothing.
fn look<'a>(node: &'a Node, name: &str) -> Option<&'a Node> {
    let key = node.get(name).map(|entry| &entry.node);
    key.or_else(|| node.list().iter().find(|item| is_named(item, name)))
}

/// Goes one step down: by key in a table, by id or measure in a list of tables.
fn step<'a>(node: &'a mut Node, name: &str) -> Option<&'a mut Node> {
    match &mut node.value {
        Value::Table(entries) => entries
            .iter_mut()
            .find(|entry| entry.key == name)
            .map(|entry| &mut entry.node),
        Value::List(list) => list.iter_mut().find(|item| is_named(item, name)),
        Value::Text(_)
        | Value::Number(_)
        | Value::OtherNumber(_)
        | Value::Truth(_)
        | Value::Date(_) => None,
    }
}

fn is_named(node: &Node, name: &str) -> bool {
    ["id", "measure"]
        .iter()
        .any(|key| node.get(key).is_some_and(|entry| entry.node.is_word(name)))
}
