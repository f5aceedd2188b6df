//! Each reason why something is not on the sheet, to follow the word "is" or a colon.

use std::collections::BTreeMap;

use super::trade;
use crate::domain::ids::Id;
use crate::domain::library::Library;
use crate::domain::quantity::Quantity;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{LeftOut, WhyNot};

/// Lists what is not on the sheet, each reason once: what was on the last sheet comes first.
pub(super) fn by_reason(left_out: &[LeftOut]) -> Vec<String> {
    let mut groups: BTreeMap<(bool, &str, String), Vec<&str>> = BTreeMap::new();
    for left in left_out {
        let reason = why_not(&left.reason);
        let key = (!left.was_issued, left.rule.0, reason);
        groups.entry(key).or_default().push(left.exercise.as_str());
    }
    let line = |((fresh, rule, reason), exercises): ((bool, &str, String), Vec<&str>)| {
        let was = if fresh { "" } else { ", was on the last sheet" };
        format!("{} - {reason} [{rule}]{was}", exercises.join(", "))
    };
    groups.into_iter().map(line).collect()
}

/// Writes one exercise that is not on the sheet.
pub(super) fn left_out(left: &LeftOut, library: &Library) -> String {
    let name = library
        .exercises
        .get(&left.exercise)
        .map_or("", |known| &known.trade_name);
    let was = if left.was_issued {
        "; was on the last sheet"
    } else {
        ""
    };
    format!(
        "{} ({name}): {} [{}]{was}",
        left.exercise,
        why_not(&left.reason),
        left.rule.0
    )
}

/// Says why not.
pub(super) fn why_not(reason: &WhyNot) -> String {
    match reason {
        WhyNot::Forbidden { limit } => format!("forbidden by limit {limit}"),
        WhyNot::DemandUnknown { limit } => {
            format!("not allowed: limit {limit} speaks of a motion it does not declare")
        }
        WhyNot::ClippedAway {
            limit,
            stop_at,
            floor,
        } => format!(
            "clipped away: limit {limit} stops at {}°, it needs at least {}°",
            stop_at.get(),
            floor.get()
        ),
        WhyNot::NotYet { test, value } => format!("not yet: {}", trade::tested(test, value)),
        WhyNot::DoneWith { test } => format!("done with: {}", trade::test(test)),
        WhyNot::NoEquipment { equipment } => format!("not possible: no {equipment}"),
        WhyNot::Position { position } => format!("not possible: cannot take position {position}"),
        WhyNot::SameFamily { instead } => format!("replaced by {instead} of the same family"),
        WhyNot::NoRoom { items } => format!("not chosen: the sheet holds {items} items"),
        WhyNot::NoMinutes { minutes } => format!("not chosen: the day holds {minutes} minutes"),
        WhyNot::LessNeeded => "not chosen: others serve this person more".to_owned(),
        WhyNot::NothingNew { response } => {
            format!("not started: nothing new while the response is {response}")
        }
        WhyNot::FlagNarrows { flag } => {
            format!("not started: nothing new while {flag} narrows the program")
        }
        WhyNot::NothingDone => {
            "not started: nothing new while nothing of the last sheet was done".to_owned()
        }
        WhyNot::AboveReported { fact, value } => match value {
            Recorded::Yes(value) => format!(
                "more than one rung above {} {}",
                trade::fact(*fact),
                trade::number(*fact, *value)
            ),
            Recorded::NotRecorded => {
                format!(
                    "more than was asked last: {} not recorded",
                    trade::fact(*fact)
                )
            }
        },
        WhyNot::Clinician { because, by } => format!("left out by {by}: {because}"),
        WhyNot::VoidSheet { sheet } => {
            format!("not named by this phase: it stood on sheet {sheet} alone, which is void")
        }
        WhyNot::NotOrdered { order } => format!(
            "not allowed: no order {order} stands on every day of the sheet; ask the surgeon"
        ),
        WhyNot::KeptByReview { fact } => format!(
            "not new and no harder: the {} is past a review line, somebody looks first",
            trade::fact(*fact)
        ),
        WhyNot::NotTaught => "not yet taught: the clinician shows it first".to_owned(),
    }
}
