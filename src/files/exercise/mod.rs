//! Reads one exercise file.
//!
//! Next: `checks` looks at its ladder and words.

pub mod demand;
mod how;
pub mod keys;
mod pose;
mod pose_keys;
mod pose_values;
mod rung;
pub mod words;

pub use rung::amount;

use std::collections::{BTreeMap, BTreeSet};

use crate::domain::exercise::{AimRule, Behind, Exercise, Hands};
use crate::domain::fact::Test;
use crate::domain::ids::{ConditionId, DomainId, EquipmentId, ExerciseId, OrderKind, StopSignId};
use crate::domain::quantity::Weight;
use crate::domain::word::Fact;

use super::codes::Code;
use super::node::Node;
use super::problem::Problem;
use super::reader::{TableReader, each_once, in_table};
use super::reading::{Link, Reading};
use super::values::At;
use super::{control, head};

/// Reads an exercise from its file's tree; `name` is what the file's name says its id is.
pub fn read(node: &Node, name: &str, reading: &mut Reading) -> Option<Exercise> {
    let exercise = in_table(node, &keys::EXERCISE, reading, |table| {
        exercise(table, name)
    });
    reading.end_of_file();
    exercise.flatten()
}

fn exercise(table: &mut TableReader<'_>, name: &str) -> Option<Exercise> {
    head::check(table, "exercise");
    let id = own_id::<ExerciseId>(table, name);
    control::status(table);
    let trade_name = table.need("trade_name");
    let aim = table.need("aim");
    let row = table.need("row");
    let family = table.may("family");
    let domains = domains(table);
    let work = table.need("work");
    let position = table.need("position");
    let sides = table.need("sides");
    let needs = table.need::<Vec<At<EquipmentId>>>("needs");
    let needs = needs.map(|needs| equipment(table, needs));
    let needs_orders = orders(table);
    let loaded = table.need("loaded");
    let effort = table.need("effort");
    let tempo_s = table.need("tempo_s");
    let changeover_s = table.need("changeover_s");
    let entry = entry_tests(table, "entry", true);
    let leave = table.need::<Vec<Test>>("leave");
    let behind = table.may_table("behind", &keys::BEHIND, behind);
    let aim_rule = table.may_table("aim_degrees", &keys::AIM, aim_rule);
    let stay = table.may::<Vec<Test>>("stay").unwrap_or_default();
    let reported = table.may::<Fact>("reported");
    let unreported_kept = unreported_kept(table);
    let swaps = swaps(table);
    let gentler = gentler(table, swaps.as_deref().unwrap_or_default());
    let demands = table.tables("demand", &keys::DEMAND, demand::read);
    let rungs = table.tables("rung", &keys::RUNG, |rung| rung::read(rung, loaded));
    let hands = table.tables("hands", &keys::HANDS, |table| {
        let (support, how) = (table.need("support"), table.need("how"));
        Some(Hands {
            support: support?,
            how: how?,
        })
    });
    let stop = table.need_table("stop", &keys::STOP, |stop| {
        stop.need::<Vec<StopSignId>>("signs")
    });
    let pose = table.need_table("pose", pose::KEYS, pose::read);
    let mut ways = Vec::new();
    let words = table.by_language("words", &keys::WORDS, |table| {
        ways.push((table.at(), table.key_places("how")));
        words::read(table)
    });
    table.not_empty("demand");
    table.not_empty("rung");
    table.not_empty("words");
    let rung_ids = rungs.iter().map(|rung| rung.id.clone()).collect();
    each_once(rung_ids, "rung", table.reading());
    how::check(&rungs, &ways, table.reading());
    if let Some(id) = &id {
        for rung in &rungs {
            let (rung, places) = (rung.id.value.clone(), rung.places.clone());
            table.reading().place_rung(id.clone(), rung, places);
        }
    }
    Some(Exercise {
        id: id?,
        trade_name: trade_name?,
        aim: aim?,
        row: row?,
        family,
        domains: domains?,
        work: work?,
        position: position?,
        sides: sides?,
        needs: needs?,
        needs_orders,
        effort: effort?,
        tempo_s: tempo_s?,
        changeover_s: changeover_s?,
        entry: entry?,
        leave: leave?,
        behind,
        aim_rule,
        stay,
        reported,
        unreported_kept,
        swaps: swaps?,
        gentler,
        demands,
        hands,
        rungs: rungs.into_iter().filter_map(|rung| rung.rung).collect(),
        stop: stop?,
        pose: pose?,
        words,
        source: table.need_source()?,
        origin: table.at().origin(),
    })
}

/// Reads the id of a file, which must equal the file's name.
pub fn own_id<T: super::values::Readable + std::fmt::Display>(
    table: &mut TableReader<'_>,
    name: &str,
) -> Option<T> {
    let id = table.need::<At<T>>("id")?;
    if id.value.to_string() != name {
        let message = format!(
            "the id `{}` is not the name of the file, `{name}`",
            id.value
        );
        let problem = Problem::new(Code::FileName, id.at, message, "");
        table.tell(problem.help("give the id and the file one name"));
    }
    Some(id.value)
}

/// Reads entry tests and notes each, since a blank fact needs a rule.
pub fn entry_tests(
    table: &mut TableReader<'_>,
    name: &'static str,
    must: bool,
) -> Option<Vec<Test>> {
    let tests = if must {
        table.need::<Vec<At<Test>>>(name)
    } else {
        Some(table.may::<Vec<At<Test>>>(name).unwrap_or_default())
    };
    let tests = tests?;
    for test in &tests {
        table
            .reading()
            .link(Link::Entry(test.value.clone()), test.at.clone());
    }
    Some(tests.into_iter().map(|test| test.value).collect())
}

/// Reads the orders it waits for, and notes each, since somebody must be able to give it.
fn orders(table: &mut TableReader<'_>) -> BTreeSet<OrderKind> {
    let orders = table.may::<Vec<At<OrderKind>>>("needs_orders");
    let orders = orders.unwrap_or_default();
    for order in &orders {
        let link = Link::Waits(order.value.clone());
        table.reading().link(link, order.at.clone());
    }
    orders.into_iter().map(|order| order.value).collect()
}

/// Notes each thing an exercise needs, since the clinician must be asked about it.
pub fn equipment(
    table: &mut TableReader<'_>,
    needs: Vec<At<EquipmentId>>,
) -> BTreeSet<EquipmentId> {
    for thing in &needs {
        let link = Link::Equipment(thing.value.clone());
        table.reading().link(link, thing.at.clone());
    }
    needs.into_iter().map(|thing| thing.value).collect()
}

fn domains(table: &mut TableReader<'_>) -> Option<BTreeMap<DomainId, Weight>> {
    table.not_empty("domains");
    table.map::<DomainId, Weight>("domains")
}

fn behind(table: &mut TableReader<'_>) -> Option<Behind> {
    let fact = table.need("fact");
    let times_a_day = table.need("times_a_day");
    Some(Behind {
        fact: fact?,
        times_a_day: times_a_day?,
        source: table.need_source()?,
    })
}

fn aim_rule(table: &mut TableReader<'_>) -> Option<AimRule> {
    let fact = table.need("fact");
    let round_down_to = table.need::<super::values::Whole<1, 30>>("round_down_to");
    let plus = table.need("plus");
    let at_most = table.need("at_most");
    Some(AimRule {
        fact: fact?,
        round_down_to: crate::domain::quantity::Quantity::nearest(round_down_to?.0),
        plus: plus?,
        at_most: at_most?,
        source: table.need_source()?,
    })
}

fn swaps(table: &mut TableReader<'_>) -> Option<Vec<ExerciseId>> {
    let swaps = table.need::<Vec<At<ExerciseId>>>("swaps")?;
    for swap in &swaps {
        let link = Link::ExerciseFile(swap.value.clone());
        table.reading().link(link, swap.at.clone());
    }
    Some(swaps.into_iter().map(|swap| swap.value).collect())
}

/// Reads which swaps are gentler; each must be a swap.
fn gentler(table: &mut TableReader<'_>, swaps: &[ExerciseId]) -> BTreeSet<ExerciseId> {
    let gentler = table.may::<Vec<At<ExerciseId>>>("gentler");
    let gentler = gentler.unwrap_or_default();
    for each in gentler.iter().filter(|each| !swaps.contains(&each.value)) {
        let message = format!("`{}` is not among the `swaps`", each.value);
        let problem = Problem::new(Code::UnknownName, each.at.clone(), message, "no swap");
        table.tell(problem.help("name it in `swaps` too: it takes the place of the exercise"));
    }
    gentler.into_iter().map(|each| each.value).collect()
}

/// Reads the conditions with which unreported minutes are kept, and notes each.
fn unreported_kept(table: &mut TableReader<'_>) -> BTreeSet<ConditionId> {
    let conditions = table.may::<Vec<At<ConditionId>>>("unreported_kept");
    let conditions = conditions.unwrap_or_default();
    for condition in &conditions {
        let link = Link::Condition(condition.value.clone());
        table.reading().link(link, condition.at.clone());
    }
    conditions.into_iter().map(|each| each.value).collect()
}
