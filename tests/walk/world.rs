//! What one procedure brings: its library, the bounds in it, and a usual person.
//!
//! All of it is read from the library, so that a new procedure, phase, limit or illness is
//! walked without a word here.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Mutex;

use banister::domain::exercise::Exercise;
use banister::domain::fact::{Comparison, Test};
use banister::domain::ids::{Id, ProcedureId};
use banister::domain::library::Library;
use banister::domain::limit::{LimitSpan, When};
use banister::domain::order_kind::OrderSays;
use banister::domain::quantity::Quantity;
use banister::domain::record::IssuedItem;
use banister::domain::time::Window;
use banister::domain::word::{Better, Fact, Word};
use banister::files::kind::{Keys, Kind};
use banister::files::record::RECORD;

use super::read::Issue;
use super::state::{Before, NEXT_IN, State, Table};

/// The first and the last day walked.
pub const DAYS: [i64; 2] = [-30, 180];

/// A fact of a visit, where it is written, and the values at which anything turns.
#[derive(Debug, Clone)]
pub struct Turning {
    pub fact: Fact,
    pub table: Table,
    pub key: String,
    /// As TOML.
    pub values: Vec<String>,
    best: String,
    worst: String,
}

/// How somebody measures against the usual course.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measures {
    Usual,
    Best,
    Worst,
    Blank,
}

/// One procedure and what can be varied in it.
pub struct World {
    pub library: Library,
    pub name: String,
    pub turning: Vec<Turning>,
    pub edges: Vec<i64>,
    /// Sheets made so far, by the day they were given.
    pub sheets: Mutex<BTreeMap<(i64, Before), Option<Issue>>>,
    pub usual: State,
}

impl World {
    /// Reads a procedure with the made-up clinic on top.
    pub fn of(library: Library) -> Self {
        let name = library.procedure.id.as_str().to_owned();
        let turning = turning(&library);
        let edges = edge_days(&library);
        let mut world = Self {
            name,
            turning,
            edges,
            sheets: Mutex::default(),
            usual: anybody(&library),
            library,
        };
        world.usual = world.served();
        world
    }

    /// Adds what the usual person must have before any program is made: orders, as a rule.
    fn served(&self) -> State {
        let answered = self.library.procedure.order_kinds().into_iter();
        let answered = answered.fold(self.usual.clone(), |state, kind| {
            let nothing_strict = match self.library.procedure.order_says(kind) {
                OrderSays::Bearing => "weight_bearing = \"as-tolerated\"",
                OrderSays::Degrees | OrderSays::Stands => "ordered = \"no\"",
            };
            state.ordered(super::state::Order {
                what: kind.to_owned(),
                value: nothing_strict.to_owned(),
                on: 0,
                from: None,
                ends: super::state::Ends::Open,
            })
        });
        let surgeons = self.library.clinic.standing_orders.iter();
        let surgeons = surgeons.filter(|set| set.procedure.as_str() == self.name);
        let mut tried: Vec<State> = surgeons
            .map(|set| {
                let surgeon = format!("\"{}\"", set.surgeon);
                self.usual.with(Table::Patient, "surgeon", &surgeon)
            })
            .collect();
        tried.push(answered);
        let day = 10;
        let found = tried.iter().find(|state| {
            let state = self.on(state, day, Measures::Usual);
            super::read::decide(self, &state).is_ok_and(|decided| decided.program().is_some())
        });
        found.unwrap_or(&tried[0]).clone()
    }

    /// Puts a person on a day: the flags asked on it, and measures as they are then.
    pub fn on(&self, state: &State, day: i64, measures: Measures) -> State {
        let mut state = state.clone();
        state.day = day;
        for order in &mut state.orders {
            order.on = order.on.min(day);
        }
        state.keys.retain(|(table, _), _| *table != Table::Screen);
        for flag in &self.library.procedure.red_flags {
            if flag.window.holds(banister::domain::time::Day::new(day)) {
                state
                    .keys
                    .insert((Table::Screen, flag.id.to_string()), "\"no\"".to_owned());
            }
        }
        for turning in &self.turning {
            let value = match measures {
                Measures::Blank => continue,
                Measures::Best => turning.best.clone(),
                Measures::Worst => self.reviewed(turning, day),
                Measures::Usual => self.usual(turning, day),
            };
            if turning.table == Table::Measured {
                state = state.with(Table::Measured, &turning.key, &value);
            }
        }
        state
    }

    fn usual(&self, turning: &Turning, day: i64) -> String {
        match self.library.procedure.course(turning.fact) {
            Some(course) => nearest(course, day).0.to_string(),
            None => turning.best.clone(),
        }
    }

    /// A value past the review line of the day.
    fn reviewed(&self, turning: &Turning, day: i64) -> String {
        match self.library.procedure.course(turning.fact) {
            Some(course) => {
                let line = nearest(course, day).1;
                let past = match course.better {
                    Better::Higher => line - 1,
                    Better::Lower => line + 1,
                };
                past.to_string()
            }
            None => turning.worst.clone(),
        }
    }

    /// Says whether an order of a kind can only take away: one that picks a profile may give too,
    /// and so may the surgeon's yes to an exercise.
    pub fn takes_away(&self, kind: &str) -> bool {
        let mut profiles = self.library.procedure.profiles.iter();
        let mut exercises = self.library.exercises.values();
        profiles.all(|profile| profile.id.as_str() != kind)
            && exercises.all(|exercise| !allows(exercise, kind))
    }

    /// Says whether a day is one at which something in the library turns.
    pub fn is_edge(&self, day: i64) -> bool {
        self.edges.contains(&day)
    }

    /// Lists every exercise the procedure reads at one of its rungs, as a sheet.
    pub fn everything(&self, highest: bool) -> Vec<IssuedItem> {
        let exercises = self.library.procedure.exercises.iter();
        let exercises = exercises.filter_map(|id| self.library.exercises.get(id));
        exercises
            .filter_map(|exercise| {
                let rung = if highest {
                    exercise.rungs.last()
                } else {
                    exercise.rungs.first()
                }?;
                let slots = &self.library.procedure.settings.default_slots;
                Some(super::read::issued(exercise, rung, slots))
            })
            .collect()
    }
}

/// The point of a course nearest to a day: outside its points the first or last one.
fn nearest(course: &banister::domain::procedure::Course, day: i64) -> (i64, i64) {
    let day = banister::domain::time::Day::new(day);
    course.at(day).unwrap_or_else(|| {
        let first = &course.points[0];
        let last = &course.points[course.points.len() - 1];
        let point = if day < first.day { first } else { last };
        (point.usual, point.review)
    })
}

/// A person to whom nothing special applies.
fn anybody(library: &Library) -> State {
    let mut state = State {
        day: 0,
        before: None,
        keys: BTreeMap::new(),
        orders: Vec::new(),
        cleared: Vec::new(),
        done: Vec::new(),
        words: Vec::new(),
    };
    let procedure = &library.procedure;
    let kit: Vec<String> = procedure
        .equipment
        .iter()
        .map(|thing| format!("\"{}\"", thing.id))
        .collect();
    let side = if procedure.id.as_str().ends_with("-both") {
        "both"
    } else {
        "left"
    };
    for (table, key, value) in [
        (
            Table::Episode,
            "clinic",
            format!("\"{}\"", library.clinic.id),
        ),
        (Table::Episode, "procedure", format!("\"{}\"", procedure.id)),
        (Table::Episode, "joint", format!("\"{}\"", procedure.joint)),
        (Table::Episode, "side", format!("\"{side}\"")),
        (Table::Episode, "language", "\"en\"".to_owned()),
        (Table::Patient, "conditions", "[]".to_owned()),
        (Table::Patient, "positions_no", "[]".to_owned()),
        (Table::Patient, "equipment", format!("[{}]", kit.join(", "))),
        (Table::Visit, "how", "\"seen\"".to_owned()),
        (Table::Visit, "block_gone", "\"yes\"".to_owned()),
        (Table::Visit, "did", "\"all\"".to_owned()),
        (Table::Visit, "swelling", "\"same\"".to_owned()),
        (Table::Visit, NEXT_IN, "7".to_owned()),
        (Table::Pain, "exercise", "2".to_owned()),
        (Table::Pain, "medicine_before", "\"yes\"".to_owned()),
        (Table::Pain, "morning", "\"same\"".to_owned()),
    ] {
        state.keys.insert((table, key.to_owned()), value);
    }
    state
}

/// Says whether an exercise waits for an order of a kind.
fn allows(exercise: &Exercise, kind: &str) -> bool {
    let mut kinds = exercise.needs_orders.iter();
    kinds.any(|own| own.as_str() == kind)
}

/// Every test the library makes on a fact.
fn tests(library: &Library) -> Vec<&Test> {
    let procedure = &library.procedure;
    let exercises = library.exercises.values();
    let own = exercises.flat_map(|exercise| {
        let rungs = exercise.rungs.iter().flat_map(|rung| &rung.entry);
        exercise.entry.iter().chain(&exercise.leave).chain(rungs)
    });
    let phases = procedure.phases.iter().flat_map(|phase| {
        let safety = phase.safety.iter().map(|criterion| &criterion.test);
        phase.targets.iter().chain(safety)
    });
    let whens = procedure.limits.iter().map(|limit| &limit.when);
    let whens = whens.chain(procedure.modifiers.iter().map(|modifier| &modifier.when));
    let whens = whens.filter_map(|when| match when {
        When::Fact(test) => Some(test),
        _ => None,
    });
    let derives = procedure.derives.iter().map(|derive| &derive.when);
    own.chain(phases).chain(whens).chain(derives).collect()
}

/// Finds a table of keys inside another, by its name.
fn inside(keys: &Keys, name: &str) -> Option<&'static Keys> {
    let key = keys.keys.iter().find(|key| key.name == name)?;
    match key.kind {
        Kind::Table(inner) | Kind::Tables(inner) => Some(inner),
        _ => None,
    }
}

/// Lists the facts a visit can hold, with the values at which anything turns.
fn turning(library: &Library) -> Vec<Turning> {
    let visit = inside(&RECORD, "visit").expect("a record has visits");
    let tables = [
        (Table::Measured, inside(visit, "measured")),
        (Table::Pain, inside(visit, "pain")),
        (Table::Visit, Some(visit)),
    ];
    let tests = tests(library);
    let mut found = Vec::new();
    for (table, keys) in tables {
        for key in keys.into_iter().flat_map(|keys| keys.keys) {
            let Some(fact) = Fact::find(key.name) else {
                continue;
            };
            let own: Vec<&Test> = tests.iter().copied().filter(|t| t.fact == fact).collect();
            let values = values(&key.kind, &own, library, fact);
            let better = |value: &&String| {
                let passed = own.iter().filter(|test| passes(test, value)).count();
                (passed, value.parse::<i64>().unwrap_or(0))
            };
            let (Some(best), Some(worst)) = (
                values.iter().max_by_key(better),
                values.iter().min_by_key(better),
            ) else {
                continue;
            };
            found.push(Turning {
                fact,
                table,
                key: key.name.to_owned(),
                best: best.clone(),
                worst: worst.clone(),
                values,
            });
        }
    }
    found
}

fn passes(test: &Test, value: &str) -> bool {
    match (&test.comparison, value.parse::<i64>()) {
        (Comparison::AtLeast(least), Ok(value)) => value >= *least,
        (Comparison::AtMost(most), Ok(value)) => value <= *most,
        (Comparison::Is(words), Err(_)) => words.iter().any(|word| value == format!("\"{word}\"")),
        _ => false,
    }
}

fn values(kind: &Kind, tests: &[&Test], library: &Library, fact: Fact) -> Vec<String> {
    match kind {
        Kind::Number { min, max, .. } => {
            let mut turns: BTreeSet<i64> = BTreeSet::new();
            for test in tests {
                match test.comparison {
                    Comparison::AtLeast(n) | Comparison::AtMost(n) => {
                        turns.extend([n - 1, n, n + 1]);
                    }
                    Comparison::Is(_) => {}
                }
            }
            if let Some(course) = library.procedure.course(fact) {
                for point in &course.points {
                    turns.extend([
                        point.usual,
                        point.review - 1,
                        point.review,
                        point.review + 1,
                    ]);
                }
            }
            turns.retain(|n| min <= n && n <= max);
            turns.iter().map(ToString::to_string).collect()
        }
        Kind::Word(words) => words().iter().map(|word| format!("\"{word}\"")).collect(),
        _ => Vec::new(),
    }
}

/// Lists the days at which anything in the library begins or ends, with a day to either side.
fn edge_days(library: &Library) -> Vec<i64> {
    let procedure = &library.procedure;
    let settings = &procedure.settings;
    let mut days: BTreeSet<i64> = [0, settings.range_protected_before.get()].into();
    days.insert(settings.last_day.get());
    let mut window = |window: Window| {
        days.extend(Some(window.from.get()).filter(|from| *from > i64::MIN));
        days.extend(window.before.map(banister::domain::time::Day::get));
    };
    for phase in &procedure.phases {
        window(phase.window);
    }
    for limit in &procedure.limits {
        if let LimitSpan::Days(span) = limit.span {
            window(span);
        }
    }
    procedure.missing.iter().for_each(|row| window(row.window));
    procedure.bands.iter().for_each(|row| window(row.window));
    procedure.reviews.iter().for_each(|row| window(row.window));
    procedure
        .red_flags
        .iter()
        .for_each(|row| window(row.window));
    for set in &library.clinic.standing_orders {
        set.orders.iter().for_each(|(span, _)| window(*span));
    }
    for test in tests(library) {
        if let (Fact::Day, Comparison::AtLeast(day) | Comparison::AtMost(day)) =
            (test.fact, &test.comparison)
        {
            days.insert(*day);
        }
    }
    let around: BTreeSet<i64> = days
        .iter()
        .flat_map(|day| [day - 1, *day, day + 1])
        .collect();
    around
        .into_iter()
        .filter(|day| DAYS[0] <= *day && *day <= DAYS[1] + 1)
        .collect()
}

/// Loads every procedure of the built-in library with the made-up clinic on top.
pub fn all() -> Vec<World> {
    let shelf = banister::files::shelf::Shelf::built_in();
    let clinic = super::root().join("shared/clinic.toml");
    shelf
        .ids("protocols/procedures")
        .iter()
        .map(|id| {
            let id = ProcedureId::new(id).unwrap();
            let library = banister::files::library::load(&id, &clinic);
            World::of(library.unwrap_or_else(|problems| panic!("{problems}")))
        })
        .collect()
}

/// Minutes of a number type, for printing.
pub fn number<Q: Quantity>(value: Option<Q>) -> Option<i64> {
    value.map(Quantity::get)
}
