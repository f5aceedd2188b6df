//! One made-up person on one day, as the keys of a record file.
//!
//! Values are TOML as written, so that a state is the very record it is read from.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use chrono::{NaiveDate, TimeDelta};

/// Which table of a record a key stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Table {
    Episode,
    Patient,
    Visit,
    Screen,
    Measured,
    Pain,
}

/// When an order ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ends {
    /// On this day since the operation, included.
    On(i64),
    Asked,
    Open,
}

/// A surgeon's order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Order {
    pub what: String,
    /// The key that says how much, with its value; empty when the kind says it all.
    pub value: String,
    /// The day it was given.
    pub on: i64,
    /// Its first day, when that is another.
    pub from: Option<i64>,
    pub ends: Ends,
}

/// What the last sheet held.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sheet {
    /// What the engine gives a calm person on that day.
    Own,
    /// Everything the procedure reads, at its lowest rung.
    Lowest,
    /// Everything the procedure reads, at its highest rung.
    Highest,
}

/// The last sheet, and how many days ago it was given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Before {
    pub days: i64,
    pub sheet: Sheet,
}

/// An assessment of a red flag, both days since the operation and included.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cleared {
    pub flag: String,
    pub on: i64,
    pub until: i64,
}

/// The clinician's word on one exercise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Word {
    pub exercise: String,
    pub action: &'static str,
    pub rung: Option<String>,
}

/// One made-up person on one day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct State {
    pub day: i64,
    pub before: Option<Before>,
    pub keys: BTreeMap<(Table, String), String>,
    pub orders: Vec<Order>,
    pub cleared: Vec<Cleared>,
    /// Rows of what was done: the exercise, and its other keys.
    pub done: Vec<(String, String)>,
    pub words: Vec<Word>,
}

/// The day of the operation in every state that is not shifted.
pub fn operation() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 3, 2).unwrap()
}

impl State {
    /// Returns the state with a key set.
    pub fn with(&self, table: Table, key: &str, value: &str) -> Self {
        let mut state = self.clone();
        state.keys.insert((table, key.to_owned()), value.to_owned());
        state
    }

    /// Returns the state with a key left out: not recorded.
    pub fn without(&self, table: Table, key: &str) -> Self {
        let mut state = self.clone();
        state.keys.remove(&(table, key.to_owned()));
        state
    }

    /// Returns the state with one more order.
    pub fn ordered(&self, order: Order) -> Self {
        let mut state = self.clone();
        state.orders.retain(|own| own.what != order.what);
        state.orders.push(order);
        state
    }

    /// Looks a key up.
    pub fn get(&self, table: Table, key: &str) -> Option<&str> {
        self.keys.get(&(table, key.to_owned())).map(String::as_str)
    }

    /// Returns the other illnesses as a list of ids.
    pub fn conditions(&self) -> Vec<&str> {
        let list = self.get(Table::Patient, "conditions").unwrap_or("[]");
        let ids = list.split('"').skip(1).step_by(2);
        ids.collect()
    }

    /// Returns the state with one more illness.
    pub fn with_condition(&self, id: &str) -> Self {
        let mut ids = self.conditions();
        if !ids.contains(&id) {
            ids.push(id);
        }
        let quoted: Vec<String> = ids.iter().map(|id| format!("\"{id}\"")).collect();
        self.with(
            Table::Patient,
            "conditions",
            &format!("[{}]", quoted.join(", ")),
        )
    }

    fn table(&self, table: Table) -> impl Iterator<Item = (&str, &str)> {
        self.keys
            .iter()
            .filter(move |((own, _), _)| *own == table)
            .map(|((_, key), value)| (key.as_str(), value.as_str()))
    }

    fn lines(&self, table: Table) -> String {
        self.table(table)
            .fold(String::new(), |mut text, (key, value)| {
                let _ = writeln!(text, "{key} = {value}");
                text
            })
    }

    fn inline(&self, table: Table, name: &str) -> String {
        let keys: Vec<String> = self
            .table(table)
            .map(|(key, value)| format!("{key} = {value}"))
            .collect();
        if keys.is_empty() {
            return String::new();
        }
        format!("{name} = {{ {} }}\n", keys.join(", "))
    }

    /// Writes what stands above the visits.
    pub fn head(&self, operation: NaiveDate) -> String {
        let mut text = format!(
            "schema = 1\nkind = \"record\"\n\n[episode]\ntoken = \"EX-9000-E1\"\n\
             operation = {operation}\n{}\n[patient]\n{}",
            self.lines(Table::Episode),
            self.lines(Table::Patient)
        );
        for (n, order) in self.orders.iter().enumerate() {
            let _ = write!(
                text,
                "\n[[order]]\nid = \"O{}\"\nwhat = \"{}\"\n{}by = \"Dr Example\"\non = {}\n\
                 document = \"operation note\"\n",
                n + 1,
                order.what,
                line(&order.value),
                date(operation, order.on)
            );
            if let Some(from) = order.from {
                let _ = writeln!(text, "from = {}", date(operation, from));
            }
            let _ = match order.ends {
                Ends::On(day) => writeln!(text, "until = {}", date(operation, day)),
                Ends::Asked => writeln!(text, "until = \"asked\""),
                Ends::Open => Ok(()),
            };
        }
        for clear in &self.cleared {
            let _ = write!(
                text,
                "\n[[clear]]\nflag = \"{}\"\nby = \"scan\"\non = {}\nuntil = {}\n",
                clear.flag,
                date(operation, clear.on),
                date(operation, clear.until)
            );
        }
        text
    }

    /// Writes the visit of the day, number `n`.
    pub fn visit(&self, operation: NaiveDate, n: i64) -> String {
        let mut text = format!(
            "\n[[visit]]\nn = {n}\ndate = {}\nby = \"PT-1\"\n{}{}{}{}",
            date(operation, self.day),
            self.next_visit(operation),
            self.inline(Table::Screen, "screen"),
            self.inline(Table::Measured, "measured"),
            self.inline(Table::Pain, "pain"),
        );
        let own = self.table(Table::Visit).filter(|(key, _)| *key != NEXT_IN);
        for (key, value) in own {
            let _ = writeln!(text, "{key} = {value}");
        }
        for (exercise, keys) in &self.done {
            let _ = write!(
                text,
                "[[visit.done]]\nexercise = \"{exercise}\"\n{}",
                line(keys)
            );
        }
        for word in &self.words {
            let rung = word.rung.as_ref();
            let rung = rung.map_or_else(String::new, |rung| format!("rung = \"{rung}\"\n"));
            let _ = write!(
                text,
                "[[visit.adjust]]\nexercise = \"{}\"\naction = \"{}\"\n{rung}\
                 because = \"Made up.\"\nby = \"PT-1\"\n",
                word.exercise, word.action
            );
        }
        text
    }

    /// A next visit in so many days is dated; words stand as they are.
    fn next_visit(&self, operation: NaiveDate) -> String {
        let Some(next) = self.get(Table::Visit, NEXT_IN) else {
            return String::new();
        };
        match next.parse::<i64>() {
            Ok(days) => format!("next_visit = {}\n", date(operation, self.day + days)),
            Err(_) => format!("next_visit = {next}\n"),
        }
    }
}

/// The key of a visit that says in how many days the next one is, or a word.
pub const NEXT_IN: &str = "next_in";

/// The calendar date of a day since the operation.
pub fn date(operation: NaiveDate, day: i64) -> NaiveDate {
    operation + TimeDelta::days(day)
}

fn line(keys: &str) -> String {
    if keys.is_empty() {
        String::new()
    } else {
        format!("{keys}\n")
    }
}
