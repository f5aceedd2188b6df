//! Reads what a home may have, as the clinician is asked about it.

use crate::domain::ids::EquipmentId;
use crate::domain::procedure::HomeThing;
use crate::domain::word::YesNo;

use super::super::kind::{Keys, need};
use super::super::reader::TableReader;
use super::super::values::At;
use super::{once, words};

pub(super) static EQUIPMENT: Keys = Keys {
    what: "a thing at home",
    keys: &[
        need::<EquipmentId>("id", "Its id, as exercises name it."),
        need::<YesNo>("usual", "Most homes have it."),
        words("What the clinician reads."),
    ],
};

static WORDS: Keys = Keys {
    what: "the words of a thing at home",
    keys: &[need::<String>("name", "The clinician's name for it.")],
};

/// Reads every thing, in the order asked.
pub(super) fn all(table: &mut TableReader<'_>) -> Vec<HomeThing> {
    let rows = table.tables("equipment", &EQUIPMENT, |table| Some(thing(table)));
    once(table, "thing at home", rows)
}

fn thing(table: &mut TableReader<'_>) -> (Option<At<EquipmentId>>, Option<HomeThing>) {
    let id = table.need::<At<EquipmentId>>("id");
    let usual = table.need("usual");
    let words = table.by_language::<String>("words", &WORDS, |table| table.need("name"));
    table.not_empty("words");
    let name = words.get("en").or_else(|| words.values().next()).cloned();
    let thing = || {
        Some(HomeThing {
            id: id.as_ref()?.value.clone(),
            usual: usual?,
            name: name?,
        })
    };
    let thing = thing();
    (id, thing)
}
