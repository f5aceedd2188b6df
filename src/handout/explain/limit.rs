//! The limits in force: what each says, until when, and by whose order.

use super::trade;
use crate::domain::limit::{Condition, Kinds, LimitRule};
use crate::domain::quantity::Quantity;
use crate::domain::record::LimitOverride;
use crate::domain::verdict::LimitInForce;

/// Writes a limit in force: what, until when, by whose order.
pub(super) fn limit(limit: &LimitInForce) -> String {
    let what = rule(limit);
    let who = limit.order.as_ref().map_or_else(String::new, |order| {
        format!(
            "; {} by {}, {}, {}",
            order.what,
            order.by,
            trade::date(order.on),
            order.document
        )
    });
    format!(
        "{}: {what}; {}{who}",
        limit.limit,
        trade::until(limit.until)
    )
}

/// Writes a limit that a named clinician has set aside.
pub(super) fn set_aside(said: &LimitOverride) -> String {
    format!(
        "limit {} set aside by {} on {}, until {}: {}",
        said.limit,
        said.by,
        trade::date(said.on),
        trade::date(said.until),
        said.because
    )
}

/// Writes what a limit says.
fn rule(limit: &LimitInForce) -> String {
    match &limit.rule {
        LimitRule::Motion {
            of, modes, margin, ..
        } => {
            let only = if modes.is_empty() {
                String::new()
            } else {
                format!(", {}", trade::words(modes))
            };
            format!(
                "{} {}{only} at most {}, stops at {}, margin {}°",
                of.joint,
                of.motion,
                degrees(limit.degrees.map(Quantity::get)),
                degrees(limit.stop_at.map(Quantity::get)),
                margin.get()
            )
        }
        LimitRule::Forbid(of) => format!("forbids {}", kinds(of)),
        LimitRule::AllOf(all) => {
            let all: Vec<_> = all.iter().map(condition).collect();
            format!("forbids at once {}", all.join(", and "))
        }
    }
}

fn condition(condition: &Condition) -> String {
    match condition {
        Condition::Beyond { of, degrees } => {
            format!("{} {} above {}°", of.joint, of.motion, degrees.get())
        }
        Condition::Kinds(of) => kinds(of),
    }
}

fn kinds(kinds: &Kinds) -> String {
    let tags: Vec<_> = kinds.tags.iter().map(ToString::to_string).collect();
    let modes = kinds.of.map_or_else(
        || "modes".to_owned(),
        |of| format!("{} {}", of.joint, of.motion),
    );
    let load = kinds
        .load_above
        .map_or_else(String::new, |load| format!("above {} g", load.get()));
    let lists = [
        ("leg load", trade::words(&kinds.weight_bearing)),
        ("tags", tags.join(", ")),
        (modes.as_str(), trade::words(&kinds.modes)),
        ("positions", trade::words(&kinds.positions)),
        ("weight", load),
    ];
    let lists = lists.into_iter().filter(|(_, list)| !list.is_empty());
    let lists: Vec<_> = lists.map(|(name, list)| format!("{name} {list}")).collect();
    lists.join("; ")
}

fn degrees(known: Option<i64>) -> String {
    known.map_or_else(|| trade::NOT_RECORDED.to_owned(), |n| format!("{n}°"))
}
