//! Reads what vouches for a number: a work, `practice` or `clinic`.

use crate::domain::ids::SourceKey;
use crate::domain::source::Source;

use super::kind::{Keys, Kind, Kinded, may, need};
use super::node::{Node, Value};
use super::reader::in_table;
use super::reading::{Link, Reading};
use super::values::{At, Readable, text};

/// A source as a file gives it.
pub struct Given(pub Source);

static WORK: Keys = Keys {
    what: "a source",
    keys: &[
        need::<SourceKey>("key", "A key of sources.toml."),
        may::<String>("at", "Page, table or section."),
    ],
};

impl Kinded for Given {
    const KIND: Kind = Kind::Either(
        "a key of sources.toml, \"practice\", \"clinic\" or { key = \"…\", at = \"…\" }",
    );
}

impl Readable for Given {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        if matches!(node.value, Value::Table(_)) {
            return in_table(node, &WORK, reading, |table| {
                let key = table.need::<At<SourceKey>>("key");
                let at = table.may::<String>("at");
                let key = key?;
                table.reading().link(Link::Work(key.value.clone()), key.at);
                Some(Self(Source::Work { key: key.value, at }))
            })
            .flatten();
        }
        match text(node, reading, Self::KIND)?.as_str() {
            "practice" => Some(Self(Source::Practice)),
            "clinic" => Some(Self(Source::Clinic)),
            _ => {
                let key = SourceKey::read(node, reading)?;
                reading.link(Link::Work(key.clone()), node.at.clone());
                Some(Self(Source::Work { key, at: None }))
            }
        }
    }
}
