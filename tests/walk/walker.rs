//! Decides states, looks at every answer and pair of answers, and keeps what was wrong.

use std::collections::BTreeMap;

use super::check::{self, Property, Wrong};
use super::pairs::{self, Relation};
use super::read::{self, Decided, NoRecord};
use super::same;
use super::state::State;
use super::words;
use super::world::World;

/// A state, or two of which the second differs in one thing.
#[derive(Debug, Clone)]
pub enum Case {
    One(State),
    Two(Relation, State, State),
}

/// What was wrong, and where.
#[derive(Debug, Clone)]
pub struct Finding {
    pub wrong: Wrong,
    pub case: Case,
    /// Said before the record when it is printed.
    pub note: String,
}

/// What became of the states of one block.
#[derive(Debug, Clone, Copy, Default)]
pub struct Count {
    pub programs: u64,
    pub withheld: u64,
    pub unanswered: u64,
    /// The reader takes no visit of that day, or there was no sheet before.
    pub refused: u64,
    pub pairs: u64,
    /// States also decided again, shifted, reordered and read back.
    pub again: u64,
}

impl Count {
    /// States that were decided.
    pub fn decided(&self) -> u64 {
        self.programs + self.withheld + self.unanswered
    }

    /// Adds another count.
    pub fn add(&mut self, other: &Self) {
        self.programs += other.programs;
        self.withheld += other.withheld;
        self.unanswered += other.unanswered;
        self.refused += other.refused;
        self.pairs += other.pairs;
        self.again += other.again;
    }
}

/// Walks the states of one procedure.
pub struct Walker<'a> {
    pub world: &'a World,
    /// One of so many groups of states is walked.
    one_of: u64,
    groups: u64,
    block: &'static str,
    pub counts: BTreeMap<&'static str, Count>,
    /// The first findings of each kind, and how many there were.
    pub found: BTreeMap<Property, (u64, Vec<Finding>)>,
    /// Every rule that took part in any answer.
    pub fired: BTreeMap<&'static str, [u64; 2]>,
}

/// Findings of one kind that are kept.
const KEPT: usize = 3;
/// One state of so many is also decided again, shifted, reordered and read back.
const AGAIN: u64 = 24;

impl<'a> Walker<'a> {
    /// Starts with nothing walked; one of so many groups is taken, on each day from another one.
    pub fn new(world: &'a World, one_of: u64, day: i64) -> Self {
        Self {
            world,
            one_of,
            groups: day.unsigned_abs(),
            block: "",
            counts: BTreeMap::new(),
            found: BTreeMap::new(),
            fired: BTreeMap::new(),
        }
    }

    /// Begins a block of states.
    pub fn block(&mut self, name: &'static str) {
        self.block = name;
        self.counts.entry(name).or_default();
    }

    /// Says whether the next group is walked.
    pub fn group(&mut self) -> bool {
        self.groups += 1;
        self.groups.is_multiple_of(self.one_of)
    }

    fn count(&mut self) -> &mut Count {
        self.counts.entry(self.block).or_default()
    }

    /// Decides a state and looks at the answer.
    pub fn see(&mut self, state: &State) -> Option<Decided> {
        let world = self.world;
        let decided = match read::decide(world, state) {
            Ok(decided) => decided,
            Err(NoRecord::Refused | NoRecord::NoSheet) => {
                self.count().refused += 1;
                return None;
            }
            Err(NoRecord::Wrong(told)) => {
                self.tell((Property::Readable, told), &Case::One(state.clone()));
                return None;
            }
        };
        let (visit, verdict) = (decided.visit(), &decided.verdict);
        for wrong in check::answer(&world.library, &decided.record, visit, verdict) {
            self.tell(wrong, &Case::One(state.clone()));
        }
        match &decided.verdict {
            banister::domain::verdict::Verdict::Program(program) => {
                for rule in &program.fired {
                    self.fired.entry(rule.0).or_default()[0] += 1;
                }
                self.count().programs += 1;
            }
            banister::domain::verdict::Verdict::Withheld(_) => self.count().withheld += 1,
            banister::domain::verdict::Verdict::Unanswered(_) => self.count().unanswered += 1,
        }
        if self.count().decided().is_multiple_of(AGAIN) {
            self.count().again += 1;
            for wrong in same::again(world, state, &decided) {
                self.tell(wrong, &Case::One(state.clone()));
            }
        }
        Some(decided)
    }

    /// Compares two answers.
    pub fn relate(
        &mut self,
        relation: Relation,
        (first, one): (&State, Option<&Decided>),
        (second, other): (&State, Option<&Decided>),
    ) {
        let (Some(one), Some(other)) = (one, other) else {
            return;
        };
        self.count().pairs += 1;
        let mut wrong = Vec::new();
        pairs::compare(self.world, relation, one, other, &mut wrong);
        for wrong in wrong {
            self.tell(wrong, &Case::Two(relation, first.clone(), second.clone()));
        }
    }

    /// Decides a second state and compares it with a first one.
    pub fn see_against(
        &mut self,
        relation: Relation,
        first: &State,
        one: Option<&Decided>,
        second: &State,
    ) -> Option<Decided> {
        let other = self.see(second);
        self.relate(relation, (first, one), (second, other.as_ref()));
        other
    }

    /// Walks a chain of states, each a step further than the one before it.
    pub fn chain(&mut self, relation: Relation, states: impl IntoIterator<Item = State>) {
        let mut before: Option<(State, Option<Decided>)> = None;
        for state in states {
            let now = self.see(&state);
            if let Some((first, one)) = &before {
                self.relate(relation, (first, one.as_ref()), (&state, now.as_ref()));
            }
            before = Some((state, now));
        }
    }

    /// Keeps what was wrong.
    pub fn tell(&mut self, wrong: Wrong, case: &Case) {
        let (count, kept) = self.found.entry(wrong.0).or_default();
        *count += 1;
        if kept.len() < KEPT {
            kept.push(Finding {
                note: format!("{}, block `{}`", self.world.name, self.block),
                wrong,
                case: case.clone(),
            });
        }
    }
}

/// Looks at a case again and says what is wrong with one property of it.
pub fn recheck(world: &World, case: &Case, property: Property) -> Option<String> {
    let mut wrong = Vec::new();
    match case {
        Case::One(state) => match read::decide(world, state) {
            Ok(decided) => {
                let (visit, verdict) = (decided.visit(), &decided.verdict);
                wrong = check::answer(&world.library, &decided.record, visit, verdict);
                wrong.extend(same::again(world, state, &decided));
                wrong.extend(words::look(world, &words::Press::load(world), &decided));
            }
            Err(NoRecord::Wrong(told)) => wrong.push((Property::Readable, told)),
            Err(NoRecord::Refused | NoRecord::NoSheet) => {}
        },
        Case::Two(relation, first, second) => {
            let first = read::decide(world, first).ok()?;
            let second = read::decide(world, second).ok()?;
            pairs::compare(world, *relation, &first, &second, &mut wrong);
        }
    }
    let mut own = wrong.into_iter().filter(|(found, _)| *found == property);
    own.next().map(|(_, what)| what)
}

/// Makes a case as plain as it can be while the same property is violated.
pub fn shrink(world: &World, finding: &Finding) -> Finding {
    let property = finding.wrong.0;
    let mut best = finding.clone();
    let mut changed = true;
    while changed {
        changed = false;
        for simpler in simpler(world, &best.case) {
            if let Some(what) = recheck(world, &simpler, property) {
                best.case = simpler;
                best.wrong.1 = what;
                changed = true;
                break;
            }
        }
    }
    best
}

/// A change that takes one thing out of a state.
type Less = Box<dyn Fn(&mut State)>;

/// The same case with one thing less, in both states alike.
fn simpler(world: &World, case: &Case) -> Vec<Case> {
    let state = match case {
        Case::One(state) | Case::Two(_, state, _) => state,
    };
    let mut less: Vec<Less> = vec![
        Box::new(|state| state.before = None),
        Box::new(|state| state.orders.clear()),
        Box::new(|state| state.cleared.clear()),
        Box::new(|state| state.words.clear()),
        Box::new(|state| state.done.clear()),
    ];
    for key in state.keys.keys() {
        let key = key.clone();
        match world.usual.keys.get(&key).cloned() {
            Some(usual) => less.push(Box::new(move |state| {
                state.keys.insert(key.clone(), usual.clone());
            })),
            None => less.push(Box::new(move |state| {
                state.keys.remove(&key);
            })),
        }
    }
    let without = |state: &State, change: &Less| {
        let mut state = state.clone();
        change(&mut state);
        state
    };
    less.iter()
        .filter_map(|change| match case {
            Case::One(state) => {
                let simpler = without(state, change);
                (simpler != *state).then_some(Case::One(simpler))
            }
            Case::Two(relation, first, second) => {
                let (one, other) = (without(first, change), without(second, change));
                let plainer = (&one, &other) != (first, second);
                plainer.then_some(Case::Two(*relation, one, other))
            }
        })
        .collect()
}
