//! Orders on paper: their names, and the boxes for their values.

use super::ask::{date, figures, say, then, ticks, words};
use crate::domain::ids::Id as _;
use crate::domain::order_kind::{FLEXION_CAP, OrderSays, WEIGHT_BEARING};
use crate::domain::procedure::Procedure;
use crate::domain::word::WeightBearing;
use crate::handout::model::form::Part;

/// Lists the kinds of order a procedure acts on besides weight bearing and profiles, by name.
pub(super) fn other_kinds(procedure: &Procedure) -> Vec<String> {
    let kinds = procedure.kinds_beside_profiles().into_iter();
    let others = kinds.filter(|kind| *kind != WEIGHT_BEARING);
    others.map(str::to_owned).collect()
}

/// Lists the profiles somebody must pick for them to count.
pub(super) fn unusual_profiles(procedure: &Procedure) -> Vec<String> {
    let usual = procedure.default_profile.as_ref();
    let profiles = procedure.profiles.iter().map(|profile| &profile.id);
    let others = profiles.filter(|id| usual != Some(*id));
    others.map(ToString::to_string).collect()
}

/// Makes the boxes for the value of an order.
pub(super) fn value(says: OrderSays) -> Vec<Part> {
    match says {
        OrderSays::Bearing => words::<WeightBearing>(),
        OrderSays::Degrees => then([figures(3, "degrees"), say("or"), ticks(["no limit"])]),
        OrderSays::Stands => ticks(["ordered", "not ordered"]),
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
pub(super) fn name(procedure: &Procedure, kind: &str) -> String {
    let mut profiles = procedure.profiles.iter();
    if let Some(profile) = profiles.find(|profile| profile.id.as_str() == kind) {
        return format!("{kind}: {}", profile.name);
    }
    match kind {
        WEIGHT_BEARING => "What the leg may bear".to_owned(),
        FLEXION_CAP => "Bend no further than".to_owned(),
        "no-active-extension" => "No straightening by its own strength".to_owned(),
        "brace-locked" => "Brace locked".to_owned(),
        "kneeling-allowed" => "Kneeling is allowed (from day 42)".to_owned(),
        "compression" => "Compression stocking or wrap".to_owned(),
        other => other.replace('-', " "),
    }
}
