//! The limits in force: what each says, until when, and by whose order.

use super::trade;
use crate::domain::library::Library;
use crate::domain::limit::{Condition, Kinds, LimitRule};
use crate::domain::quantity::Quantity;
use crate::domain::record::{LimitOverride, Order, OrderValue};
use crate::domain::verdict::{LimitInForce, OrderInForce, Program};

/// Writes a limit in force: what, until when, by whose order or what else vouches for it.
fn sourced(in_force: &LimitInForce, library: &Library) -> String {
    let line = limit(in_force);
    let mut known = library.procedure.limits.iter();
    let known = known.find(|known| known.id == in_force.limit);
    match (known, &in_force.order) {
        (Some(known), None) => format!("{line} [{}]", trade::source(&known.source)),
        (None, _) | (_, Some(_)) => line,
    }
}

/// Writes a limit in force: what, until when, by whose order.
pub(in crate::handout) fn limit(limit: &LimitInForce) -> String {
    let what = rule(limit);
    let who = limit.order.as_ref().map_or_else(String::new, |order| {
        let id = named(order);
        format!(
            "; {id}{} by {}, {}, {}",
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

/// Writes the limits in force, and of those that stop one motion which one holds.
pub(super) fn lines(program: &Program, library: &Library) -> Vec<String> {
    let line = |each: &LimitInForce| {
        let said = sourced(each, library);
        let stop = match &each.rule {
            LimitRule::Motion { of, .. } => program.stop(*of),
            LimitRule::Forbid(_) | LimitRule::AllOf(_) => None,
        };
        match stop.filter(|stop| stop.set_by != each) {
            Some(stop) => format!("{said}; a stricter one holds: {}°", stop.degrees.get()),
            None => said,
        }
    };
    program.limits.iter().map(line).collect()
}

/// Writes an order that stands, with its own last day on this sheet.
pub(super) fn standing(standing: &OrderInForce, program: &Program) -> String {
    let mut said = standing.order.clone();
    said.until = standing.until;
    let clinics = if said.id.is_none() {
        "standing order, "
    } else {
        ""
    };
    let beside = if of_kind(program, &said).count() > 1 {
        "; stands beside another one, the strictest holds"
    } else {
        ""
    };
    format!("{clinics}{}{beside}", order(&said))
}

/// Writes the orders of one kind that stand beside each other.
pub(super) fn beside(program: &Program) -> Vec<String> {
    let all = program.orders.iter();
    let several = all.filter(|each| of_kind(program, &each.order).count() > 1);
    several.map(|each| standing(each, program)).collect()
}

fn of_kind<'a>(program: &'a Program, order: &Order) -> impl Iterator<Item = &'a OrderInForce> {
    let what = order.what.clone();
    let all = program.orders.iter();
    all.filter(move |each| each.order.what == what)
}

/// Writes the name an order has in its record, before its kind.
fn named(order: &Order) -> String {
    let id = order.id.as_ref();
    id.map_or_else(String::new, |id| format!("{id} "))
}

/// Writes an order: its name, what it says, who gave it, and from when to when.
pub(super) fn order(order: &Order) -> String {
    let value = match order.value {
        OrderValue::WeightBearing(bearing) => format!(" {bearing}"),
        OrderValue::Degrees(most) => format!(" {}°", most.get()),
        OrderValue::Stands => String::new(),
        OrderValue::NotOrdered => " lifted, or not ordered".to_owned(),
    };
    let from = if order.begins() > order.on {
        format!("from {}, ", trade::date(order.begins()))
    } else {
        String::new()
    };
    let replaces = order.replaces.as_ref();
    let replaces = replaces.map_or_else(String::new, |id| format!("; replaces {id}"));
    format!(
        "{}{}{value} by {}, {}, {}; {from}{}{replaces}",
        named(order),
        order.what,
        order.by,
        trade::date(order.on),
        order.document,
        trade::until(order.until)
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
