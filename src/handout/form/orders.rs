//! Orders on paper: which kinds a procedure acts on, and the boxes for their values.

use std::collections::BTreeSet;

use super::ask::{date, figures, say, then, ticks, words};
use crate::domain::ids::{Id, OrderKind};
use crate::domain::library::Library;
use crate::domain::limit::{LimitDegrees, LimitRule, When};
use crate::domain::word::WeightBearing;
use crate::handout::model::form::Part;

/// The kind of order that says how much the leg may bear.
pub(super) const WEIGHT_BEARING: &str = "weight-bearing";

/// The kind of order that says how far the joint may bend.
const FLEXION_CAP: &str = "flexion-cap";

/// What an order of one kind says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Says {
    /// How much the leg may bear.
    Bearing,
    /// An angle.
    Degrees,
    /// Nothing more: it stands or it does not.
    Stands,
}

/// Says what an order of a kind says.
pub(super) fn says(library: &Library, kind: &str) -> Says {
    let angle = library.procedure.limits.iter().any(|limit| {
        let from_order = match limit.rule {
            LimitRule::Motion { degrees, .. } => degrees == LimitDegrees::FromOrder,
            LimitRule::Forbid { .. } => false,
        };
        from_order && ordered(&limit.when).is_some_and(|of| of.as_str() == kind)
    });
    if kind == WEIGHT_BEARING {
        Says::Bearing
    } else if angle || kind == FLEXION_CAP {
        Says::Degrees
    } else {
        Says::Stands
    }
}

/// Lists the kinds of order a procedure acts on besides weight bearing, in order of name.
pub(super) fn other_kinds(library: &Library) -> Vec<String> {
    let procedure = &library.procedure;
    let limits = procedure.limits.iter().map(|limit| &limit.when);
    let modifiers = procedure.modifiers.iter().map(|modifier| &modifier.when);
    let care = procedure.home_care.iter();
    let care = care.filter_map(|care| care.when_order.as_ref());
    let named = limits.chain(modifiers).filter_map(ordered).chain(care);
    let mut kinds: BTreeSet<&str> = named.map(Id::as_str).collect();
    kinds.insert(FLEXION_CAP);
    kinds.remove(WEIGHT_BEARING);
    kinds.into_iter().map(str::to_owned).collect()
}

fn ordered(when: &When) -> Option<&OrderKind> {
    match when {
        When::Order(kind) => Some(kind),
        When::Always | When::Condition(_) | When::Fact(_) | When::Flag(_) => None,
    }
}

/// Makes the boxes for the value of an order.
pub(super) fn value(says: Says) -> Vec<Part> {
    match says {
        Says::Bearing => words::<WeightBearing>(),
        Says::Degrees => figures(3, "degrees"),
        Says::Stands => ticks(["ordered", "not ordered"]),
    }
}

/// Makes the boxes for the end of an order.
pub(super) fn until() -> Vec<Part> {
    then([
        date(),
        say("or"),
        ticks(["until further notice", "not known yet"]),
    ])
}

/// Names a kind of order as the clinician does.
pub(super) fn name(kind: &str) -> String {
    match kind {
        WEIGHT_BEARING => "What the leg may bear".to_owned(),
        FLEXION_CAP => "Bend no further than".to_owned(),
        "no-active-extension" => "No straightening by its own strength".to_owned(),
        "brace-locked" => "Brace locked".to_owned(),
        "compression" => "Compression stocking or wrap".to_owned(),
        other => other.replace('-', " "),
    }
}
