//! A case file as a record: days become dates, a short sheet becomes what was issued, and the
//! ordinary person stands wherever the case says nothing else.

use std::collections::BTreeMap;

use banister::domain::dose::{Amount, Dose, Often};
use banister::domain::exercise::Rung;
use banister::domain::ids::{ExerciseId, Id, RungId};
use banister::domain::library::Library;
use banister::domain::quantity::Quantity;
use banister::domain::time::Day;
use banister::domain::word::{Slot, Word};
use chrono::{Days, NaiveDate};
use toml::{Table, Value};

use super::Case;
use crate::support;

/// The day of the operation of every case.
const OPERATION: &str = "2026-03-02";
/// The keys of a case that are not a record's own.
const SHORT: &[&str] = &[
    "day",
    "next_day",
    "until_day",
    "sheet",
    "sheet_phase",
    "seen_well",
];

/// Writes the record a case stands for, as the program would read it from a file.
pub fn record_of(case: &Case, library: &Library) -> String {
    let ordinary: Table = toml::from_str(&support::read("tests/cases/ordinary.toml")).unwrap();
    let mut record = Table::new();
    record.insert("schema".to_owned(), Value::Integer(1));
    record.insert("kind".to_owned(), Value::String("record".to_owned()));
    for part in ["episode", "patient"] {
        let mut table = ordinary[part].as_table().unwrap().clone();
        if let Some(own) = case.table.get(part) {
            table.extend(own.as_table().unwrap().clone());
        }
        record.insert(part.to_owned(), Value::Table(table));
    }
    let patient = record["patient"].as_table_mut().unwrap();
    for key in case.words("blank") {
        patient.remove(&key).expect("a key to leave blank");
    }
    let orders = tables(case, "order").enumerate().map(order).collect();
    let clears = tables(case, "clear").map(dated).collect();
    let slots = slots_of(&record);
    let visits = (1..)
        .zip(tables(case, "visit"))
        .map(|(n, table)| visit(n, table, library, &slots))
        .collect();
    for (name, list) in [("order", orders), ("clear", clears), ("visit", visits)] {
        record.insert(name.to_owned(), Value::Array(list));
    }
    toml::to_string(&record).unwrap()
}

/// The rungs of the last sheet before the visit that is decided.
pub fn last_sheet(case: &Case) -> BTreeMap<ExerciseId, RungId> {
    let visits: Vec<Table> = tables(case, "visit").collect();
    let sheets = visits.iter().rev().filter_map(|visit| visit.get("sheet"));
    let last = sheets.take(1).flat_map(|sheet| sheet.as_array().unwrap());
    last.map(|line| named(line.as_str().unwrap())).collect()
}

fn tables(case: &Case, name: &str) -> impl Iterator<Item = Table> {
    let found = case.table.get(name).and_then(Value::as_array).cloned();
    let found = found.unwrap_or_default().into_iter();
    found.map(|value| value.as_table().unwrap().clone())
}

/// Returns the calendar day of a day since the operation.
pub fn date(day: i64) -> NaiveDate {
    let operation: NaiveDate = OPERATION.parse().unwrap();
    let days = Days::new(day.unsigned_abs());
    if day < 0 {
        operation - days
    } else {
        operation + days
    }
}

fn put_date(table: &mut Table, key: &str, day: i64) {
    let date = date(day).to_string().parse().unwrap();
    table.insert(key.to_owned(), Value::Datetime(date));
}

fn take_day(table: &mut Table, key: &str) -> Option<i64> {
    table.remove(key).map(|day| day.as_integer().unwrap())
}

fn put(table: &mut Table, key: &str, value: impl Into<Value>) {
    table.entry(key).or_insert_with(|| value.into());
}

fn dated(mut table: Table) -> Value {
    let day = take_day(&mut table, "day").expect("a day");
    put_date(&mut table, "on", day);
    if let Some(until) = take_day(&mut table, "until_day") {
        put_date(&mut table, "until", until);
    }
    Value::Table(table)
}

fn order((at, mut table): (usize, Table)) -> Value {
    put(&mut table, "id", format!("O{}", at + 1));
    put(&mut table, "by", "Mx Example, surgeon");
    put(&mut table, "document", "operation note");
    dated(table)
}

fn visit(n: i64, mut table: Table, library: &Library, slots: &[Slot]) -> Value {
    let day = take_day(&mut table, "day").expect("the day of a visit");
    let next = take_day(&mut table, "next_day");
    let sheet = table.remove("sheet");
    let phase = table.remove("sheet_phase");
    put_date(&mut table, "date", day);
    if let Some(next) = next {
        put_date(&mut table, "next_visit", next);
    }
    put(&mut table, "n", n);
    put(&mut table, "how", "seen");
    put(&mut table, "by", "PT-1");
    screen(&mut table, library, day);
    seen_well(&mut table);
    if let Some(sheet) = sheet {
        let until = next.unwrap_or(day + 14);
        let mut issued = issued(n, library, slots, sheet.as_array().unwrap());
        put_date(&mut issued, "use_from", day);
        put_date(&mut issued, "use_until", until);
        let phase = phase.unwrap_or_else(|| phase_of(library, day).into());
        issued.insert("phase".to_owned(), phase);
        table.insert("issued".to_owned(), Value::Table(issued));
        let seal = Table::from_iter([("sha256".to_owned(), "ab".repeat(32).into())]);
        table.insert("seal".to_owned(), Value::Table(seal));
    }
    let left: Vec<_> = SHORT
        .iter()
        .filter(|key| table.contains_key(**key))
        .collect();
    assert!(left.is_empty(), "{left:?}");
    Value::Table(table)
}

/// The phase a sheet of that day would have come from.
fn phase_of(library: &Library, day: i64) -> String {
    let phases = &library.procedure.phases;
    let phase = phases
        .iter()
        .find(|phase| phase.window.holds(Day::new(day)));
    phase.expect("a phase of that day").id.to_string()
}

/// Every flag of the day is asked and answered no, except where the case says otherwise.
fn screen(table: &mut Table, library: &Library, day: i64) {
    let own = table.remove("screen");
    if own.as_ref().and_then(Value::as_str) == Some("not-asked") {
        return;
    }
    let flags = library.procedure.red_flags.iter();
    let asked = flags.filter(|flag| flag.window.holds(Day::new(day)));
    let mut screen: Table = asked
        .map(|flag| (flag.id.to_string(), Value::String("no".to_owned())))
        .collect();
    if let Some(own) = own {
        screen.extend(own.as_table().unwrap().clone());
    }
    table.insert("screen".to_owned(), Value::Table(screen));
}

fn seen_well(table: &mut Table) {
    let Some(seen) = table.remove("seen_well") else {
        return;
    };
    let rows = seen.as_array().unwrap().iter().map(|exercise| {
        Value::Table(Table::from_iter([
            ("exercise".to_owned(), exercise.clone()),
            ("seen".to_owned(), "yes".into()),
        ]))
    });
    let done = table
        .entry("done")
        .or_insert_with(|| Value::Array(Vec::new()));
    done.as_array_mut().unwrap().extend(rows);
}

fn issued(n: i64, library: &Library, slots: &[Slot], sheet: &[Value]) -> Table {
    let digest = format!("sha256:{}", "cd".repeat(32));
    let items = sheet.iter().map(|line| {
        let (exercise, rung) = named(line.as_str().unwrap());
        let exercise = &library.exercises[&exercise];
        let (_, rung) = exercise.rung(&rung).expect("a rung of the exercise");
        Value::Table(Table::from_iter([
            ("exercise".to_owned(), exercise.id.to_string().into()),
            ("rung".to_owned(), rung.id.to_string().into()),
            ("dose".to_owned(), Value::Table(printed(rung, slots))),
        ]))
    });
    let file = Table::from_iter([
        (
            "name".to_owned(),
            format!("EX-0100-E1-sheet-{n:02}.pdf").into(),
        ),
        ("sha256".to_owned(), "ef".repeat(32).into()),
    ]);
    Table::from_iter([
        ("sheet".to_owned(), n.into()),
        ("program".to_owned(), "0.1.0".into()),
        ("library".to_owned(), digest.clone().into()),
        ("clinic_files".to_owned(), digest.into()),
        ("item".to_owned(), Value::Array(items.collect())),
        ("file".to_owned(), Value::Array(vec![Value::Table(file)])),
    ])
}

fn named(line: &str) -> (ExerciseId, RungId) {
    let (exercise, rung) = line.split_once(' ').expect("an exercise and a rung");
    (Id::new(exercise).unwrap(), Id::new(rung).unwrap())
}

/// A dose as the library's rung gives it, at so many slots of the day.
fn printed(rung: &Rung, slots: &[Slot]) -> Table {
    let mut dose = Table::new();
    let mut number = |key: &str, value: Option<i64>| {
        if let Some(value) = value {
            dose.insert(key.to_owned(), value.into());
        }
    };
    number("days_a_week", Some(rung.days_a_week.get()));
    number("range_degrees", rung.range_degrees.map(Quantity::get));
    number("height_cm", rung.height_cm.map(Quantity::get));
    number("seat_cm", rung.seat_cm.map(Quantity::get));
    number("load_g", rung.load_g.map(Quantity::get));
    number("lower_s", rung.lower_s.map(Quantity::get));
    match rung.amount {
        Amount::Counted {
            sets,
            repetitions,
            hold_s,
            pause_s,
            rest_s,
        } => {
            number("sets", Some(sets.get()));
            number("repetitions", Some(repetitions.get()));
            number("hold_s", Some(hold_s.get()));
            number("pause_s", Some(pause_s.get()));
            number("rest_s", Some(rest_s.get()));
        }
        Amount::Timed { minutes } => number("minutes", Some(minutes.get())),
    }
    let mut word = |key: &str, value: Option<String>| {
        if let Some(value) = value {
            dose.insert(key.to_owned(), value.into());
        }
    };
    word("band", rung.band.map(|band| band.to_string()));
    word("support", rung.support.map(|support| support.to_string()));
    word("how", rung.how.as_ref().map(ToString::to_string));
    match rung.often {
        Often::Hourly => word("often", Some("hourly".to_owned())),
        Often::Times(times) => {
            let at = at_slots(usize::try_from(times.get()).unwrap(), slots);
            let at = at.into_iter().map(|slot| slot.to_string().into()).collect();
            dose.insert("slots".to_owned(), Value::Array(at));
        }
    }
    dose
}

/// The person's own slots first, the first and the last before those between.
fn at_slots(times: usize, slots: &[Slot]) -> Vec<Slot> {
    let mut order: Vec<Slot> = slots
        .first()
        .into_iter()
        .chain(slots.last())
        .copied()
        .collect();
    order.extend(slots);
    order.extend(Slot::ALL);
    let mut taken: Vec<Slot> = Vec::new();
    for slot in order {
        if taken.len() < times && !taken.contains(&slot) {
            taken.push(slot);
        }
    }
    taken.sort();
    taken
}

fn slots_of(record: &Table) -> Vec<Slot> {
    let day = record["patient"].as_table().unwrap().get("day");
    let slots = day.and_then(|day| day.get("slots"));
    let named = slots.and_then(Value::as_array).into_iter().flatten();
    named
        .map(|slot| Slot::find(slot.as_str().unwrap()).unwrap())
        .collect()
}

/// Returns the dose of an item in plain numbers; what a dose has not is missing.
pub fn numbers(dose: &Dose) -> BTreeMap<&'static str, i64> {
    let mut found: BTreeMap<&'static str, i64> = BTreeMap::new();
    match dose.amount {
        Amount::Counted {
            sets,
            repetitions,
            hold_s,
            rest_s,
            ..
        } => {
            found.insert("sets", sets.get());
            found.insert("repetitions", repetitions.get());
            found.insert("hold_s", hold_s.get());
            if sets.get() > 1 {
                found.insert("rest_s", rest_s.get());
            }
        }
        Amount::Timed { minutes } => {
            found.insert("minutes", minutes.get());
        }
    }
    found.insert("days_a_week", dose.days_a_week.get());
    let maybe = [
        ("times_a_day", dose.times_a_day().map(Quantity::get)),
        ("daily_repetitions", dose.daily_repetitions()),
        ("aim_degrees", dose.aim.map(Quantity::get)),
        ("limit_degrees", dose.limit.map(Quantity::get)),
        ("range_degrees", dose.range_degrees.map(Quantity::get)),
        ("height_cm", dose.height_cm.map(Quantity::get)),
        ("seat_cm", dose.seat_cm.map(Quantity::get)),
        ("load_g", dose.load_g.map(Quantity::get)),
    ];
    found.extend(
        maybe
            .into_iter()
            .filter_map(|(key, value)| Some((key, value?))),
    );
    found
}
