//! What must not matter: the calendar, the order of rows, what was written later, a second run.

use std::sync::Mutex;

use banister::domain::library::Library;
use banister::domain::record::{Record, Until};
use banister::domain::recorded::Recorded;
use banister::domain::time::VisitDate;
use banister::domain::verdict::Verdict;
use chrono::{NaiveDate, TimeDelta};
use serde_json::Value;

use super::check::{Property, Wrong};
use super::read::{self, Decided};
use super::state::{State, date, operation};
use super::world::World;

/// Days by which dates are shifted: whole weeks keep the named days, others leave them out.
const SHIFTS: [i64; 2] = [371, 1000];

/// Decides a state again in other ways, and says what came out otherwise.
pub fn again(world: &World, state: &State, decided: &Decided) -> Vec<Wrong> {
    let mut wrong = Vec::new();
    let at = VisitDate(date(operation(), state.day));
    let record = &decided.record;
    let decide = |record: &Record| banister::engine::decide(&world.library, record, at);
    if decide(record) != decided.verdict {
        wrong.push((
            Property::EqualInputs,
            "another answer the second time".to_owned(),
        ));
    }
    if let Err(what) = read::reads_back(world, state, record) {
        wrong.push((Property::Readable, what));
    }
    for days in SHIFTS {
        if let Some(what) = shifted(world, state, &decided.verdict, days) {
            wrong.push((Property::ShiftedDates, what));
        }
    }
    if answer_of(&decide(&rows_turned(record))) != answer_of(&decided.verdict) {
        let what = "rows of the record in another order".to_owned();
        wrong.push((Property::OrderOfRows, what));
    }
    let turned = library_turned(&world.library);
    let turned = banister::engine::decide(&turned, record, at);
    if answer_of(&turned) != answer_of(&decided.verdict) {
        let what = "rows of the library in another order".to_owned();
        wrong.push((Property::OrderOfRows, what));
    }
    if decide(&later_added(record)) != decided.verdict {
        let what = "a visit and an order of a later day".to_owned();
        wrong.push((Property::WhatComesLater, what));
    }
    wrong
}

/// The same record with the rows whose order says nothing turned round.
fn rows_turned(record: &Record) -> Record {
    let mut record = record.clone();
    record.orders.reverse();
    record.clearances.reverse();
    for visit in &mut record.visits {
        visit.done.reverse();
        visit.adjust.reverse();
    }
    record
}

/// The same library with its limits, modifiers, candidates and flags turned round; the order of
/// the core domains says which comes first.
fn library_turned(library: &Library) -> Library {
    let mut library = library.clone();
    let procedure = &mut library.procedure;
    procedure.limits.reverse();
    procedure.modifiers.reverse();
    procedure.exercises.reverse();
    procedure.red_flags.reverse();
    procedure.courses.reverse();
    for phase in &mut procedure.phases {
        phase.candidates.reverse();
    }
    library
}

/// The same record with a visit and orders of a later day, which nobody knew yet.
fn later_added(record: &Record) -> Record {
    let mut record = record.clone();
    let Some(last) = record.visits.last() else {
        return record;
    };
    let mut later = last.clone();
    later.n += 1;
    later.date = last.date + TimeDelta::days(3);
    later.pain.exercise = Recorded::NotRecorded;
    for order in record.orders.clone() {
        record.orders.push(banister::domain::record::Order {
            on: later.date,
            until: Until::Open,
            ..order
        });
    }
    record.visits.push(later);
    record
}

/// What a verdict comes to, whatever the order in which its parts are told.
fn answer_of(verdict: &Verdict) -> Value {
    match verdict {
        Verdict::Program(program) => {
            let mut offers: Vec<Value> = program
                .offers()
                .map(|(id, rung, dose)| serde_json::json!([id, rung, dose]))
                .collect();
            offers.sort_by_key(Value::to_string);
            let lines: Vec<Value> = super::check::lines(program)
                .map(|item| {
                    serde_json::json!([
                        item.exercise,
                        item.slots,
                        item.weekdays,
                        item.rests_until,
                        item.next
                    ])
                })
                .collect();
            serde_json::json!([program.phase, program.life, program.response, offers, lines])
        }
        Verdict::Withheld(withheld) => serde_json::json!([withheld.level]),
        Verdict::Unanswered(unanswered) => unordered(serde_json::json!(unanswered.questions)),
    }
}

/// The same value with every list in one fixed order.
fn unordered(value: Value) -> Value {
    match value {
        Value::Array(rows) => {
            let mut rows: Vec<Value> = rows.into_iter().map(unordered).collect();
            rows.sort_by_key(Value::to_string);
            Value::Array(rows)
        }
        Value::Object(keys) => keys
            .into_iter()
            .map(|(key, value)| (key, unordered(value)))
            .collect(),
        other => other,
    }
}

static SHIFTED: Mutex<Vec<(String, i64, Library)>> = Mutex::new(Vec::new());

/// The library with its own dates shifted too.
fn shifted_library(world: &World, days: i64) -> Library {
    let mut kept = SHIFTED.lock().unwrap();
    if let Some((_, _, library)) = kept
        .iter()
        .find(|(name, by, _)| *name == world.name && *by == days)
    {
        return library.clone();
    }
    let mut library = world.library.clone();
    let by = TimeDelta::days(days);
    for set in &mut library.clinic.standing_orders {
        for (_, order) in &mut set.orders {
            order.on += by;
            if let Until::Date(last) = &mut order.until {
                *last += by;
            }
        }
    }
    kept.push((world.name.clone(), days, library.clone()));
    library
}

fn shifted(world: &World, state: &State, verdict: &Verdict, days: i64) -> Option<String> {
    let by = TimeDelta::days(days);
    let library = shifted_library(world, days);
    let record = read::record_on(world, state, operation() + by).ok()?;
    let at = date(operation(), state.day);
    let there = banister::engine::decide(&library, &record, VisitDate(at + by));
    let weeks = days % 7 == 0;
    let here = undated(verdict, at, weeks);
    let there = undated(&there, at + by, weeks);
    (here != there).then(|| format!("another answer {days} days later"))
}

/// A verdict with every date as days from the visit; named days are left out unless weeks count.
fn undated(verdict: &Verdict, at: NaiveDate, weeks: bool) -> Value {
    let mut value = serde_json::to_value(verdict).unwrap();
    undate(&mut value, at, weeks);
    value
}

fn undate(value: &mut Value, at: NaiveDate, weeks: bool) {
    match value {
        Value::String(text) => {
            if let Ok(date) = text.parse::<NaiveDate>() {
                *value = Value::from((date - at).num_days());
            }
        }
        Value::Array(rows) => rows.iter_mut().for_each(|row| undate(row, at, weeks)),
        Value::Object(keys) => {
            if !weeks {
                keys.remove("weekdays");
            }
            keys.remove("origin");
            keys.values_mut().for_each(|value| undate(value, at, weeks));
        }
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}
