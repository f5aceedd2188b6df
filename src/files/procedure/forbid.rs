//! Reads the kinds of work a limit forbids, alone or at once.

use std::collections::BTreeSet;

use crate::domain::ids::TagId;
use crate::domain::limit::{Condition, Kinds, MotionOf};
use crate::domain::quantity::{Degrees, Grams};
use crate::domain::word::{Joint, LegLoad, Mode, Motion, Position};

use super::super::codes::Code;
use super::super::kind::{Key, Keys, may};
use super::super::problem::Problem;
use super::super::reader::TableReader;

const WEIGHT_BEARING: Key =
    may::<BTreeSet<LegLoad>>("weight_bearing", "Loads of the operated leg.");
const TAGS: Key = may::<BTreeSet<TagId>>("tags", "Tags.");
const JOINT: Key = may::<Joint>("joint", "The joint of the motion.");
const MOTION: Key = may::<Motion>("motion", "The motion `modes` are of; left out, any.");
const MODES: Key = may::<BTreeSet<Mode>>("modes", "Ways a motion is made.");
const POSITIONS: Key = may::<BTreeSet<Position>>("positions", "Body positions.");
const LOAD: Key = may::<Grams>("load_above_g", "External weight above this.");

pub(super) static FORBID: Keys = Keys {
    what: "`forbid`",
    keys: &[WEIGHT_BEARING, TAGS, JOINT, MOTION, MODES, POSITIONS, LOAD],
};

pub(super) static CONDITION: Keys = Keys {
    what: "a part of `all_of`",
    keys: &[
        JOINT,
        MOTION,
        may::<Degrees>("above_degrees", "The motion goes further than this."),
        MODES,
        WEIGHT_BEARING,
        TAGS,
        POSITIONS,
        LOAD,
    ],
};

/// Reads `forbid`.
pub(super) fn kinds(table: &mut TableReader<'_>) -> Option<Kinds> {
    let kinds = any_kinds(table);
    if !some_kind(table) {
        let message = "`forbid` forbids nothing";
        table.tell(Problem::new(Code::EmptyList, table.at(), message, ""));
        return None;
    }
    kinds
}

/// Reads `all_of`: two things or more, since one alone is `forbid`.
pub(super) fn all_of(table: &mut TableReader<'_>) -> Option<Vec<Condition>> {
    let parts = table.tables("all_of", &CONDITION, |table| Some(condition(table)));
    if !table.has("all_of") {
        return None;
    }
    if parts.len() < 2 {
        let message = "`all_of` names two things or more";
        let problem = Problem::new(Code::EmptyList, table.at_key("all_of"), message, "");
        table.tell(problem.help("one thing alone is written as `forbid`, or as a motion"));
        return None;
    }
    parts.into_iter().collect()
}

fn condition(table: &mut TableReader<'_>) -> Option<Condition> {
    let degrees = table.may::<Degrees>("above_degrees");
    let kinds = any_kinds(table);
    match (table.has("above_degrees"), some_kind(table)) {
        (false, true) => kinds.map(Condition::Kinds),
        (true, false) => {
            let of = motion(table);
            if of.is_none() {
                tell(
                    table,
                    "above_degrees",
                    "`above_degrees` needs `joint` and `motion`",
                );
            }
            Some(Condition::Beyond {
                of: of?,
                degrees: degrees?,
            })
        }
        (true, true) => {
            tell(
                table,
                "above_degrees",
                "an angle and kinds of work are two parts of `all_of`",
            );
            None
        }
        (false, false) => {
            let message = "a part of `all_of` asks for nothing";
            table.tell(Problem::new(Code::EmptyList, table.at(), message, ""));
            None
        }
    }
}

fn tell(table: &mut TableReader<'_>, key: &str, message: &str) {
    let at = table.at_key(key);
    table.tell(Problem::new(Code::KeysClash, at, message, ""));
}

/// Says whether any kind of work is named.
fn some_kind(table: &TableReader<'_>) -> bool {
    let kinds = [
        "weight_bearing",
        "tags",
        "modes",
        "positions",
        "load_above_g",
    ];
    kinds.iter().any(|name| table.has(name))
}

/// Reads the motion, when both of its keys are there.
fn motion(table: &mut TableReader<'_>) -> Option<MotionOf> {
    let joint = table.may("joint");
    let motion = table.may("motion");
    Some(MotionOf {
        joint: joint?,
        motion: motion?,
    })
}

fn any_kinds(table: &mut TableReader<'_>) -> Option<Kinds> {
    let weight_bearing = table.may::<BTreeSet<LegLoad>>("weight_bearing");
    let tags = table.may::<BTreeSet<TagId>>("tags");
    let modes = table.may::<BTreeSet<Mode>>("modes");
    let of = motion(table);
    let positions = table.may::<BTreeSet<Position>>("positions");
    let load_above = table.may::<Grams>("load_above_g");
    for name in ["weight_bearing", "tags", "modes", "positions"] {
        table.not_empty(name);
    }
    if table.has("joint") != table.has("motion") {
        let key = if table.has("joint") {
            "joint"
        } else {
            "motion"
        };
        tell(table, key, "`joint` and `motion` stand together");
        return None;
    }
    if table.has("joint") && !table.has("modes") && !table.has("above_degrees") {
        tell(table, "joint", "a motion stands with `modes` or an angle");
        return None;
    }
    Some(Kinds {
        weight_bearing: weight_bearing.unwrap_or_default(),
        tags: tags.unwrap_or_default(),
        modes: modes.unwrap_or_default(),
        of,
        positions: positions.unwrap_or_default(),
        load_above,
    })
}
