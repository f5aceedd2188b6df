//! Reads the bibliography.

use std::collections::BTreeMap;

use crate::domain::ids::SourceKey;
use crate::domain::source::Work;
use crate::domain::word::SeenAs;

use super::head::{self, KIND_KEY, SCHEMA_KEY};
use super::kind::{Keys, Kind, may, need, need_as};
use super::node::Node;
use super::reader::{TableReader, each_once, in_table};
use super::reading::Reading;
use super::values::{At, Whole};

/// A year of publication.
type Year = Whole<1900, 2099>;

static SOURCES: Keys = Keys {
    what: "a bibliography",
    keys: &[
        SCHEMA_KEY,
        KIND_KEY,
        need_as("source", Kind::Tables(&SOURCE), "Its works."),
    ],
};

static SOURCE: Keys = Keys {
    what: "a work",
    keys: &[
        need::<SourceKey>("key", "The key other files use."),
        need::<String>("title", "Title, or a plain description."),
        may::<Year>("year", "Year of publication."),
        need::<String>("kind", "Guideline, trial, cohort and so on."),
        need::<String>("where", "Identifier or publisher."),
        need::<SeenAs>("seen", "How much of it was seen."),
    ],
};

/// Reads the bibliography from its file's tree.
pub fn read(node: &Node, reading: &mut Reading) -> Option<BTreeMap<SourceKey, Work>> {
    in_table(node, &SOURCES, reading, |table| {
        head::check(table, "sources");
        let works = table.tables("source", &SOURCE, work);
        table.not_empty("source");
        let keys = works.iter().map(|(key, _)| key.clone()).collect();
        each_once(keys, "source", table.reading());
        works
            .into_iter()
            .map(|(key, work)| (key.value, work))
            .collect()
    })
}

fn work(table: &mut TableReader<'_>) -> Option<(At<SourceKey>, Work)> {
    let key = table.need::<At<SourceKey>>("key");
    let title = table.need("title");
    let year = table.may::<Year>("year");
    let kind = table.need("kind");
    let at = table.need("where");
    let seen = table.need("seen");
    let key = key?;
    let work = Work {
        key: key.value.clone(),
        title: title?,
        year: year.map(|year| year.0),
        kind: kind?,
        at: at?,
        seen: seen?,
    };
    Some((key, work))
}
