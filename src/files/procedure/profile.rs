//! Reads the profiles of a procedure, and what names one.

use crate::domain::ids::OrderKind;
use crate::domain::procedure::Profile;

use super::super::kind::{Keys, need};
use super::super::reader::TableReader;
use super::super::reading::Link;
use super::super::values::{AnyOrder, At};
use super::{SOURCE, once, words};

pub(super) static PROFILE: Keys = Keys {
    what: "a profile",
    keys: &[
        need::<AnyOrder>("id", "Its id, and the kind of the order that picks it."),
        words("What the clinician reads."),
        SOURCE,
    ],
};

static WORDS: Keys = Keys {
    what: "the words of a profile",
    keys: &[need::<String>("name", "The clinician's line for it.")],
};

/// Reads every profile.
pub(super) fn all(table: &mut TableReader<'_>) -> Vec<Profile> {
    let profiles = table.tables("profile", &PROFILE, |table| Some(profile(table)));
    once(table, "profile", profiles)
}

fn profile(table: &mut TableReader<'_>) -> (Option<At<OrderKind>>, Option<Profile>) {
    let id = table.need::<At<AnyOrder>>("id").map(At::kind);
    if let Some(id) = &id {
        table
            .reading()
            .link(Link::OwnKind(id.value.clone()), id.at.clone());
    }
    let words = table.by_language::<String>("words", &WORDS, |table| table.need("name"));
    table.not_empty("words");
    let name = words.get("en").or_else(|| words.values().next()).cloned();
    let source = table.need_source();
    let profile = || {
        Some(Profile {
            id: id.as_ref()?.value.clone(),
            name: name?,
            source: source?,
        })
    };
    let profile = profile();
    (id, profile)
}

/// Reads the name of a profile, which the procedure must have.
pub(super) fn named(table: &mut TableReader<'_>, key: &'static str) -> Option<OrderKind> {
    let name = table.may::<At<AnyOrder>>(key)?.kind();
    let link = Link::Profile(None, name.value.clone());
    table.reading().link(link, name.at);
    Some(name.value)
}
