//! Reads a clinic's own file.
//!
//! Next: `library` puts its overrides on top of the built-in files.

mod orders;
pub mod overrides;

use std::collections::BTreeSet;

use crate::domain::clinic::{Clinic, Phones, UsualSet};
use crate::domain::ids::{ClinicId, ExerciseId, ProcedureId, SetId};
use crate::domain::quantity::{DayMinutes, Days, Items};
use crate::domain::word::{Optional, Paper};

use super::control::{self, ADOPTED, CONTROL};
use super::head::{self, KIND_KEY, SCHEMA_KEY};
use super::kind::{Keys, Kind, may, may_as, need, need_as};
use super::node::Node;
use super::reader::{TableReader, each_once, in_table};
use super::reading::{Link, Reading};
use super::values::At;
use super::{language, window};
use overrides::Override;

static CLINIC: Keys = Keys {
    what: "a clinic file",
    keys: &[
        SCHEMA_KEY,
        KIND_KEY,
        need::<ClinicId>("id", "Its id, as records name it."),
        need::<String>("name", "Its name."),
        need_as("phones", Kind::Table(&PHONES), "Its telephone numbers."),
        need::<String>("hours", "Its hours, as printed."),
        may::<String>("emergency", "The local emergency number."),
        need::<Paper>("paper", "The paper it prints on."),
        need::<String>("language", "Its language, such as \"en-GB\"."),
        need::<Items>("items", "Items of a sheet."),
        need::<DayMinutes>("minutes_a_day", "Minutes of exercise in one day."),
        need::<Days>("sheet_days", "Days a sheet lives without a next visit."),
        may::<BTreeSet<Optional>>("also_ask", "Measures asked for besides the usual ones."),
        need_as(
            "status",
            Kind::Table(&CONTROL),
            "Where its own files stand.",
        ),
        may_as(
            "adopted",
            Kind::Table(&ADOPTED),
            "The built-in library it takes on.",
        ),
        may_as(
            "standing_orders",
            Kind::Tables(&orders::STANDING),
            "Standing orders by surgeon.",
        ),
        may_as(
            "usual_set",
            Kind::Tables(&USUAL_SET),
            "Sets of exercises it usually gives.",
        ),
        may_as(
            "override",
            Kind::Tables(&overrides::OVERRIDE),
            "Values it replaces.",
        ),
    ],
};

static PHONES: Keys = Keys {
    what: "telephone numbers",
    keys: &[
        need::<String>("same_day", "For the same day, while open."),
        need::<String>("closed", "When closed."),
    ],
};

static USUAL_SET: Keys = Keys {
    what: "a usual set",
    keys: &[
        need::<SetId>("id", "Its id."),
        need::<ProcedureId>("procedure", "For which operation."),
        need::<crate::domain::time::Day>("from_day", "The first day it is for."),
        may::<crate::domain::time::Day>("before_day", "The first day it is no longer for."),
        need::<Vec<ExerciseId>>("exercises", "What is in it."),
    ],
};

/// Reads a clinic file from its tree; `procedure` is the operation it is read for.
pub fn read(
    node: &Node,
    procedure: &ProcedureId,
    reading: &mut Reading,
) -> (Option<Clinic>, Vec<Override>) {
    let mut replaced = Vec::new();
    let clinic = in_table(node, &CLINIC, reading, |table| {
        replaced = table.tables("override", &overrides::OVERRIDE, overrides::read);
        clinic(table, procedure)
    });
    (clinic.flatten(), replaced)
}

fn clinic(table: &mut TableReader<'_>, procedure: &ProcedureId) -> Option<Clinic> {
    head::check(table, "clinic");
    let id = table.need("id");
    let name = table.need("name");
    let phones = table.need_table("phones", &PHONES, phones);
    let hours = table.need("hours");
    let emergency = table.may("emergency");
    let paper = table.need("paper");
    let language = language::need(table);
    let items = table.need("items");
    let minutes_a_day = table.need("minutes_a_day");
    let sheet_days = table.need("sheet_days");
    let also_ask = table
        .may::<BTreeSet<Optional>>("also_ask")
        .unwrap_or_default();
    let status = table.need_table("status", &CONTROL, control::control);
    let adopted = table.may_table("adopted", &ADOPTED, control::adopted);
    let standing_orders = orders::all(table);
    let sets = table.tables("usual_set", &USUAL_SET, |table| usual_set(table, procedure));
    let ids = sets.iter().map(|(id, _)| id.clone()).collect();
    each_once(ids, "usual set", table.reading());
    Some(Clinic {
        id: id?,
        name: name?,
        phones: phones?,
        hours: hours?,
        emergency,
        paper: paper?,
        language: language?,
        items: items?,
        minutes_a_day: minutes_a_day?,
        sheet_days: sheet_days?,
        also_ask,
        status: status?,
        adopted,
        standing_orders,
        usual_sets: sets.into_iter().map(|(_, set)| set).collect(),
        replaced: Vec::new(),
    })
}

fn phones(table: &mut TableReader<'_>) -> Option<Phones> {
    let same_day = table.need("same_day");
    let closed = table.need("closed");
    Some(Phones {
        same_day: same_day?,
        closed: closed?,
    })
}

fn usual_set(
    table: &mut TableReader<'_>,
    procedure: &ProcedureId,
) -> Option<(At<SetId>, UsualSet)> {
    let id = table.need::<At<SetId>>("id");
    let for_procedure = table.need::<At<ProcedureId>>("procedure");
    let window = window::need(table);
    let exercises = table.need::<Vec<At<ExerciseId>>>("exercises");
    let (id, for_procedure, exercises) = (id?, for_procedure?, exercises?);
    let link = Link::Procedure(for_procedure.value.clone());
    table.reading().link(link, for_procedure.at);
    for exercise in exercises
        .iter()
        .filter(|_| for_procedure.value == *procedure)
    {
        let link = Link::Exercise(exercise.value.clone());
        table.reading().link(link, exercise.at.clone());
    }
    let set = UsualSet {
        id: id.value.clone(),
        procedure: for_procedure.value,
        window: window?,
        exercises: exercises
            .into_iter()
            .map(|exercise| exercise.value)
            .collect(),
    };
    Some((id, set))
}
