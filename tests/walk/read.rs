//! Turns a state into a record by the product's own reader, and decides it.
//!
//! What stands above the visits and the visit itself are read apart and remembered, because most
//! states differ in one of them only. `text` writes the whole file, and a check reads it back.

use std::cell::RefCell;
use std::collections::BTreeMap;

use banister::domain::dose::{Dose, Often};
use banister::domain::exercise::{Exercise, Rung};
use banister::domain::quantity::{Quantity, TimesADay};
use banister::domain::record::{Issued, IssuedItem, Record, Visit};
use banister::domain::source::Origin;
use banister::domain::time::VisitDate;
use banister::domain::verdict::{Program, Verdict};
use banister::domain::word::Slot;
use banister::files::record;
use banister::files::source::SourceFile;
use banister::store::{NewIssued, Sheet as SheetFile, SheetKind};
use chrono::NaiveDate;

use super::state::{Before, Sheet, State, Table, date, operation};
use super::world::{Measures, World};

/// Why there is no record of a state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoRecord {
    /// The reader takes no visit of that day.
    Refused,
    /// There was no program on the day of the last sheet.
    NoSheet,
    /// The reader found something wrong that should be right.
    Wrong(String),
}

/// A state with its record and what was decided.
#[derive(Debug, Clone)]
pub struct Decided {
    pub record: Record,
    pub verdict: Verdict,
}

/// The sheet of an earlier visit.
#[derive(Debug, Clone)]
pub struct Issue {
    pub issued: Issued,
    /// The visit it was given at, as a state.
    pub state: State,
}

impl Decided {
    /// The program, when there is one.
    pub fn program(&self) -> Option<&Program> {
        match &self.verdict {
            Verdict::Program(program) => Some(program),
            Verdict::Withheld(_) | Verdict::Unanswered(_) => None,
        }
    }

    /// The visit that was decided.
    pub fn visit(&self) -> &Visit {
        self.record.visits.last().expect("a state has a visit")
    }
}

type Read<T> = Result<T, NoRecord>;

thread_local! {
    static HEADS: RefCell<BTreeMap<String, Read<Record>>> = const { RefCell::new(BTreeMap::new()) };
    static VISITS: RefCell<BTreeMap<String, Read<Visit>>> = const { RefCell::new(BTreeMap::new()) };
}

/// Forgets what was read; called between days.
pub fn forget() {
    HEADS.with_borrow_mut(BTreeMap::clear);
    VISITS.with_borrow_mut(BTreeMap::clear);
}

fn parse(world: &World, text: &str) -> Read<Record> {
    record::read(&SourceFile::new("record.toml", text), &world.library).map_err(|problems| {
        let told = problems.short();
        let only_before = told.lines().all(|line| line.contains("BN064"));
        if only_before {
            NoRecord::Refused
        } else {
            NoRecord::Wrong(told)
        }
    })
}

fn head(world: &World, state: &State, operation: NaiveDate) -> Read<Record> {
    let text = state.head(operation);
    HEADS.with_borrow_mut(|heads| {
        heads
            .entry(text.clone())
            .or_insert_with(|| parse(world, &text))
            .clone()
    })
}

fn visit(world: &World, state: &State, operation: NaiveDate, n: i64) -> Read<Visit> {
    let plain = world.usual.head(operation);
    let text = state.visit(operation, 1);
    let found = VISITS.with_borrow_mut(|visits| {
        visits
            .entry(format!("{}{operation}{text}", world.name))
            .or_insert_with(|| {
                let mut record = parse(world, &format!("{plain}{text}"))?;
                Ok(record.visits.remove(0))
            })
            .clone()
    })?;
    Ok(Visit { n, ..found })
}

/// Reads a state with day 0 on some date.
pub fn record_on(world: &World, state: &State, operation: NaiveDate) -> Read<Record> {
    let mut record = head(world, state, operation)?;
    let mut visits = Vec::new();
    if let Some(before) = state.before {
        let issue = sheet(world, state.day - before.days, before)?;
        let mut first = visit(world, &issue.state, operation, 1)?;
        let shift = operation - super::state::operation();
        first.issued = Some(Issued {
            use_from: issue.issued.use_from + shift,
            use_until: issue.issued.use_until + shift,
            ..issue.issued
        });
        visits.push(first);
    }
    let n = i64::try_from(visits.len()).unwrap() + 1;
    visits.push(visit(world, state, operation, n)?);
    for visit in &mut visits {
        visit.patient = record.patient.clone();
    }
    record.visits = visits;
    Ok(record)
}

/// Reads a state and decides it.
pub fn decide(world: &World, state: &State) -> Read<Decided> {
    let record = record_on(world, state, operation())?;
    let date = VisitDate(date(operation(), state.day));
    let verdict = banister::engine::decide(&world.library, &record, date);
    Ok(Decided { record, verdict })
}

/// Returns the sheet somebody calm was given on a day.
fn sheet(world: &World, day: i64, before: Before) -> Read<Issue> {
    let key = (day, before);
    if let Some(made) = world.sheets.lock().unwrap().get(&key) {
        return made.clone().ok_or(NoRecord::NoSheet);
    }
    let made = make_sheet(world, day, before.sheet);
    world.sheets.lock().unwrap().insert(key, made.clone());
    made.ok_or(NoRecord::NoSheet)
}

fn make_sheet(world: &World, day: i64, sheet: Sheet) -> Option<Issue> {
    let mut state = world.on(&world.usual, day, Measures::Usual);
    for key in ["did", "swelling"] {
        state = state.without(Table::Visit, key);
    }
    let decided = decide(world, &state).ok()?;
    let program = decided.program()?;
    let items = match sheet {
        Sheet::Own => lines(program),
        Sheet::Lowest => world.everything(false),
        Sheet::Highest => world.everything(true),
    };
    let issued = Issued {
        sheet: 1,
        use_from: program.life.from,
        use_until: program.life.until,
        program: "0.1.0".to_owned(),
        library: world.library.digests.built_in.clone(),
        clinic_files: world.library.digests.clinic.clone(),
        phase: Some(program.phase.clone()),
        items,
        files: Vec::new(),
        origin: Origin {
            path: "r.toml".to_owned(),
            line: 1,
            column: 1,
        },
    };
    Some(Issue { issued, state })
}

fn lines(program: &Program) -> Vec<IssuedItem> {
    let all = program
        .items
        .iter()
        .chain(&program.background)
        .chain(&program.daily);
    all.map(|item| IssuedItem {
        exercise: item.exercise.clone(),
        rung: item.rung.clone(),
        dose: item.dose.clone(),
        slots: item.slots.clone(),
        may_reach: program.may_reach(item),
    })
    .collect()
}

/// The dose a rung names, at the first slots of the day, as a line of a sheet.
pub fn issued(exercise: &Exercise, rung: &Rung, slots: &[Slot]) -> IssuedItem {
    let (often, slots) = match rung.often {
        Often::Hourly => (Often::Hourly, Vec::new()),
        Often::Times(times) => {
            let count = usize::try_from(times.get()).unwrap().min(slots.len());
            let times = TimesADay::nearest(i64::try_from(count).unwrap());
            (Often::Times(times), slots[..count].to_vec())
        }
    };
    IssuedItem {
        exercise: exercise.id.clone(),
        rung: rung.id.clone(),
        dose: Dose {
            amount: rung.amount,
            often,
            days_a_week: rung.days_a_week,
            aim: None,
            limit: None,
            range_degrees: rung.range_degrees,
            height_cm: rung.height_cm,
            seat_cm: rung.seat_cm,
            load_g: rung.load_g,
            band: rung.band,
            support: rung.support,
            lower_s: rung.lower_s,
            how: rung.how.clone(),
        },
        slots,
        may_reach: Vec::new(),
    }
}

/// Writes the whole record of a state, sealed sheet and all.
pub fn text(world: &World, state: &State) -> Read<String> {
    let mut text = state.head(operation());
    let mut n = 1;
    if let Some(before) = state.before {
        let issue = sheet(world, state.day - before.days, before)?;
        text.push_str(&issue.state.visit(operation(), 1));
        let new = NewIssued {
            visit: 1,
            sheet: 1,
            use_from: issue.issued.use_from,
            use_until: issue.issued.use_until,
            program: issue.issued.program,
            library: issue.issued.library,
            clinic_files: issue.issued.clinic_files,
            phase: issue.issued.phase,
            items: issue.issued.items,
            sheets: vec![SheetFile {
                kind: SheetKind::Text,
                bytes: b"made up".to_vec(),
            }],
        };
        let sealed = banister::store::compose_issue(text.as_bytes(), &new)
            .map_err(|fault| NoRecord::Wrong(fault.to_string()))?;
        text = String::from_utf8(sealed.bytes).unwrap();
        n = 2;
    }
    text.push_str(&state.visit(operation(), n));
    Ok(text)
}

/// Says whether the written record is read as the one that was decided.
pub fn reads_back(world: &World, state: &State, record: &Record) -> Result<(), String> {
    let text = text(world, state).map_err(|error| format!("{error:?}"))?;
    let mut read = parse(world, &text).map_err(|error| format!("{error:?}"))?;
    let mut record = record.clone();
    for record in [&mut read, &mut record] {
        for order in &mut record.orders {
            order.origin.line = 0;
        }
        for visit in &mut record.visits {
            visit.origin.line = 0;
            visit.seal = None;
            if let Some(issued) = &mut visit.issued {
                issued.files.clear();
                issued.origin = visit.origin.clone();
            }
        }
    }
    if read == record {
        Ok(())
    } else {
        Err("the record written is read as another one".to_owned())
    }
}
