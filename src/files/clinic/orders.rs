//! Reads a clinic's standing orders, by surgeon.

use chrono::NaiveDate;

use crate::domain::clinic::StandingOrders;
use crate::domain::ids::{Id, OrderKind, ProcedureId, SurgeonId};
use crate::domain::quantity::Degrees;
use crate::domain::record::{Order, OrderValue, Until};
use crate::domain::time::{Day, Window};
use crate::domain::word::WeightBearing;

use super::super::codes::Code;
use super::super::kind::{Keys, may, need};
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::reading::Link;
use super::super::values::{AnyOrder, At};

pub(super) static STANDING: Keys = Keys {
    what: "standing orders",
    keys: &[
        need::<SurgeonId>("surgeon", "Whose."),
        need::<ProcedureId>("procedure", "For which operation."),
        may::<WeightBearing>("weight_bearing", "How much the leg may bear."),
        may::<Day>(
            "weight_bearing_before_day",
            "The first day that no longer holds.",
        ),
        may::<Degrees>("flexion_cap_degrees", "The most the joint may bend."),
        may::<Day>(
            "flexion_cap_before_day",
            "The first day that no longer holds.",
        ),
        may::<AnyOrder>("profile", "The profile of the operation they go by."),
        need::<String>("by", "Who ordered it."),
        need::<NaiveDate>("on", "When."),
        need::<String>("document", "In which document."),
        need::<NaiveDate>("review_due", "When they must be read again."),
    ],
};

/// Reads the standing orders of every surgeon; one row for a surgeon and an operation.
pub(super) fn all(table: &mut TableReader<'_>) -> Vec<StandingOrders> {
    let mut seen: Vec<(SurgeonId, ProcedureId, super::super::source::Span)> = Vec::new();
    let rows = table.tables("standing_orders", &STANDING, standing);
    let mut all = Vec::new();
    for (at, row) in rows {
        let same = |known: &&(SurgeonId, ProcedureId, _)| {
            known.0 == row.surgeon && known.1 == row.procedure
        };
        if let Some((surgeon, procedure, first)) = seen.iter().find(same) {
            let message = format!("standing orders of {surgeon} for {procedure} stand twice");
            let problem = Problem::new(Code::Twice, at, message, "second time");
            table.tell(problem.also(first.clone(), "first time"));
        } else {
            seen.push((row.surgeon.clone(), row.procedure.clone(), at));
            all.push(row);
        }
    }
    all
}

fn standing(table: &mut TableReader<'_>) -> Option<(super::super::source::Span, StandingOrders)> {
    let surgeon = table.need::<At<SurgeonId>>("surgeon");
    let procedure = table.need::<At<ProcedureId>>("procedure");
    let by = table.need("by");
    let on = table.need("on");
    let document = table.need("document");
    let review_due = table.need("review_due");
    let weight = table.may("weight_bearing").map(OrderValue::WeightBearing);
    let cap = table.may("flexion_cap_degrees").map(OrderValue::Degrees);
    let weight_window = until(table, "weight_bearing_before_day", "weight_bearing");
    let cap_window = until(table, "flexion_cap_before_day", "flexion_cap_degrees");
    let profile = table.may::<At<AnyOrder>>("profile").map(At::kind);
    let (surgeon, procedure) = (surgeon?, procedure?);
    let link = Link::Procedure(procedure.value.clone());
    table.reading().link(link, procedure.at.clone());
    if let Some(profile) = &profile {
        let link = Link::Profile(Some(procedure.value.clone()), profile.value.clone());
        table.reading().link(link, profile.at.clone());
    }
    let (by, on, document): (String, NaiveDate, String) = (by?, on?, document?);
    let order = |what: &str, value: OrderValue, key: &str| {
        Some(Order {
            id: None,
            what: OrderKind::new(what).ok()?,
            value,
            by: by.clone(),
            on,
            from: None,
            document: document.clone(),
            until: Until::Open,
            replaces: None,
            origin: table.at_key(key).origin(),
        })
    };
    let weight = weight.and_then(|value| order("weight-bearing", value, "weight_bearing"));
    let cap = cap.and_then(|value| order("flexion-cap", value, "flexion_cap_degrees"));
    let always = Window {
        from: Day::new(0),
        before: None,
    };
    let profile =
        profile.and_then(|name| order(name.value.as_str(), OrderValue::Stands, "profile"));
    let orders = [
        (weight_window, weight),
        (cap_window, cap),
        (always, profile),
    ];
    let standing = StandingOrders {
        surgeon: surgeon.value,
        procedure: procedure.value,
        orders: orders
            .into_iter()
            .filter_map(|(window, order)| Some((window, order?)))
            .collect(),
        review_due: review_due?,
    };
    Some((surgeon.at, standing))
}

/// Reads the first day an order no longer holds; without its order it means nothing.
fn until(table: &mut TableReader<'_>, name: &'static str, order: &str) -> Window {
    let before = table.may::<Day>(name);
    if table.has(name) && !table.has(order) {
        let message = format!("`{name}` needs `{order}`");
        table.tell(Problem::new(
            Code::KeysClash,
            table.at_key(name),
            message,
            "",
        ));
    }
    Window {
        from: Day::new(0),
        before,
    }
}
