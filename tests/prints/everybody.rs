//! Made-up people of every kind the library can tell apart, each by one change of a usual person.
//!
//! All of it is read from the library: a new illness, order, flag or thing at home is tried
//! without a word here.

use banister::domain::phrase::Phrases;
use banister::domain::word::{Position, Slot, WalkingAid, Word};
use banister::handout::model::Document;
use banister::handout::{Issue, IssueKind};

use crate::walk::plan::{order_values, sheet};
use crate::walk::read;
use crate::walk::state::{Ends, NEXT_IN, Order, Sheet, State, Table};
use crate::walk::world::{Measures, World};

/// Days of every phase: the first ones, when most turns, and one well inside each later phase.
pub const DAYS: [i64; 7] = [-10, 0, 3, 12, 20, 50, 110];

/// What one thing alone makes of a usual person.
pub struct Change {
    /// What it is, for a message.
    pub name: String,
    /// What it is about: two of one kind take each other's place.
    pub about: String,
    make: Box<dyn Fn(&State) -> State>,
}

impl Change {
    fn new(about: &str, name: &str, make: impl Fn(&State) -> State + 'static) -> Self {
        Self {
            name: format!("{about} {name}"),
            about: about.to_owned(),
            make: Box::new(make),
        }
    }

    /// Returns the person changed.
    pub fn of(&self, state: &State) -> State {
        (self.make)(state)
    }
}

/// A usual person on a day, who measures as people do then.
pub fn usual(world: &World, day: i64) -> State {
    let state = world.on(&world.usual, day, Measures::Usual);
    if day < 0 {
        state.without(Table::Visit, "block_gone")
    } else {
        state
    }
}

/// Every change alone.
pub fn changes(world: &World) -> Vec<Change> {
    let mut all = vec![Change::new("nothing", "else", State::clone)];
    all.extend(of_the_person(world));
    all.extend(of_the_screen(world));
    all.extend(of_the_day());
    all
}

fn of_the_person(world: &World) -> Vec<Change> {
    let procedure = &world.library.procedure;
    let mut all = Vec::new();
    for id in procedure.conditions.keys().map(ToString::to_string) {
        let make = {
            let id = id.clone();
            move |state: &State| state.with_condition(&id)
        };
        all.push(Change::new(&format!("condition {id}"), "", make));
    }
    for position in Position::ALL {
        let list = format!("[\"{}\"]", position.as_str());
        let make = move |state: &State| state.with(Table::Patient, "positions_no", &list);
        all.push(Change::new("never", position.as_str(), make));
    }
    let kit: Vec<String> = procedure
        .equipment
        .iter()
        .map(|thing| thing.id.to_string())
        .collect();
    for missing in &kit {
        let quoted: Vec<String> = kit
            .iter()
            .filter(|id| *id != missing)
            .map(|id| format!("\"{id}\""))
            .collect();
        let list = format!("[{}]", quoted.join(", "));
        let make = move |state: &State| state.with(Table::Patient, "equipment", &list);
        all.push(Change::new("a home without", missing, make));
    }
    let nothing = |state: &State| state.with(Table::Patient, "equipment", "[]");
    all.push(Change::new("a home without", "anything", nothing));
    let none = |state: &State| state.with(Table::Patient, "pain_medicine", "\"no\"");
    all.push(Change::new("pain medicine", "none", none));
    let long = concat!(
        "\"Walk to Llanfairpwllgwyngyllgogerychwyrndrobwllllantysiliogogogoch, see ",
        "https://www.example.org/walks/of-the-north/with-no-steps-and-with-many-benches.html\""
    );
    let goal = move |state: &State| state.with(Table::Patient, "goal", long);
    all.push(Change::new("goal", "of a long word", goal));
    for tag in ["en-GB", "en-US"] {
        let quoted = format!("\"{tag}\"");
        let make = move |state: &State| state.with(Table::Episode, "language", &quoted);
        all.push(Change::new("language", tag, make));
    }
    all
}

fn of_the_screen(world: &World) -> Vec<Change> {
    let mut all = Vec::new();
    for flag in &world.library.procedure.red_flags {
        for word in ["yes", "known"] {
            let (id, quoted) = (flag.id.to_string(), format!("\"{word}\""));
            let make = move |state: &State| {
                if state.get(Table::Screen, &id).is_some() {
                    state.with(Table::Screen, &id, &quoted)
                } else {
                    state.clone()
                }
            };
            all.push(Change::new(&format!("flag {}", flag.id), word, make));
        }
    }
    for (what, value) in order_values(world, false) {
        for ends in [Ends::Open, Ends::Asked] {
            let (kind, says) = (what.clone(), value.clone());
            let make = move |state: &State| {
                state.ordered(Order {
                    from: None,
                    what: kind.clone(),
                    value: says.clone(),
                    on: 0.min(state.day - 1),
                    ends,
                })
            };
            all.push(Change::new(
                &format!("order {what}"),
                &format!("{value} {ends:?}"),
                make,
            ));
        }
    }
    all
}

fn of_the_day() -> Vec<Change> {
    let mut all = Vec::new();
    for aid in WalkingAid::ALL {
        let word = format!("\"{}\"", aid.as_str());
        let make = move |state: &State| state.with(Table::Measured, "walking_aid", &word);
        all.push(Change::new("aid", aid.as_str(), make));
    }
    for next in ["\"none\"", "\"unknown\"", "1", "3", "28"] {
        let make = move |state: &State| state.with(Table::Visit, NEXT_IN, next);
        all.push(Change::new("next visit", next, make));
    }
    for count in 1..=Slot::ALL.len() {
        let quoted: Vec<String> = Slot::ALL[..count]
            .iter()
            .map(|slot| format!("\"{}\"", slot.as_str()))
            .collect();
        let day = format!("{{ slots = [{}], minutes = 30 }}", quoted.join(", "));
        let make = move |state: &State| state.with(Table::Patient, "day", &day);
        all.push(Change::new("slots", &count.to_string(), make));
    }
    for last in [Sheet::Own, Sheet::Lowest, Sheet::Highest] {
        for (pain, morning) in [("2", "\"same\""), ("9", "\"much-more\"")] {
            let make = move |state: &State| {
                let mut state =
                    state
                        .with(Table::Pain, "exercise", pain)
                        .with(Table::Pain, "morning", morning);
                state.before = Some(sheet(7, last)).filter(|_| state.day >= 7);
                state
            };
            all.push(Change::new(
                "came with",
                &format!("{last:?}, pain {pain}"),
                make,
            ));
        }
    }
    let numb = |state: &State| {
        if state.day < 0 {
            return state.clone();
        }
        state.with(Table::Visit, "block_gone", "\"no\"")
    };
    all.push(Change::new("block", "still working", numb));
    all
}

/// Picks from lists, always in the same way from the same seed.
pub struct Pick(u64);

impl Pick {
    /// Begins a row of picks.
    pub fn seeded(seed: u64) -> Self {
        Self(seed)
    }

    /// Picks one.
    pub fn one<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        // Numbers of Knuth's MMIX; the upper half turns over slowest.
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let at = usize::try_from(self.0 >> 33).unwrap();
        &from[at % from.len()]
    }
}

/// Puts what is decided for somebody into words; none when nothing is printed: the reader takes
/// no such visit, or there are questions.
pub fn document(
    world: &World,
    state: &State,
    phrases: &Phrases,
) -> Result<Option<Document>, String> {
    let decided = match read::decide(world, state) {
        Ok(decided) => decided,
        Err(read::NoRecord::Refused | read::NoRecord::NoSheet) => return Ok(None),
        Err(read::NoRecord::Wrong(told)) => return Err(told),
    };
    let issue = Issue {
        sheet: 1,
        replaces: None,
        kind: IssueKind::Issued,
    };
    let built = banister::handout::build(
        &decided.verdict,
        &world.library,
        &decided.record,
        phrases,
        &issue,
    );
    match built {
        Ok(document) => Ok(Some(document)),
        Err(banister::handout::HandoutError::Unanswered) => Ok(None),
        Err(error) => Err(error.to_string()),
    }
}
