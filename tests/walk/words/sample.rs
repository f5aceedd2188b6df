//! Made-up people for their words: everything a sheet looks at, mixed by a seeded draw.

use banister::domain::ids::Id as _;
use banister::domain::word::{Fact, Word as _};

use super::super::plan::order_values;
use super::super::state::{Before, Ends, NEXT_IN, Order, Sheet, State, Table};
use super::super::world::{DAYS, Measures, World};

/// A draw of numbers that is the same on every machine (`SplitMix64`, Steele 2014).
struct Draw(u64);

impl Draw {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn below(&mut self, most: usize) -> usize {
        usize::try_from(self.next() % most as u64).unwrap()
    }

    /// True so many times in a hundred.
    fn percent(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }

    fn of<T: Clone>(&mut self, all: &[T]) -> T {
        all[self.below(all.len())].clone()
    }
}

/// Makes the person of one number.
pub fn person(world: &World, number: usize) -> State {
    let mut draw = Draw(number as u64);
    let day = day(world, &mut draw);
    let all = [
        Measures::Usual,
        Measures::Usual,
        Measures::Best,
        Measures::Worst,
        Measures::Blank,
    ];
    let mut state = world.on(&world.usual, day, draw.of(&all));
    illnesses(world, &mut draw, &mut state);
    signs(world, &mut draw, &mut state);
    orders(world, &mut draw, &mut state);
    home(world, &mut draw, &mut state);
    visit(world, &mut draw, &mut state);
    state.before = sheet(&mut draw);
    state
}

fn day(world: &World, draw: &mut Draw) -> i64 {
    let within = |day: &&i64| (DAYS[0]..=DAYS[1]).contains(*day);
    let edges: Vec<i64> = world.edges.iter().filter(within).copied().collect();
    match draw.below(10) {
        0 => i64::try_from(draw.below(4)).unwrap(),
        1..=4 => draw.of(&edges),
        _ => i64::try_from(draw.below(120)).unwrap(),
    }
}

fn illnesses(world: &World, draw: &mut Draw, state: &mut State) {
    let all: Vec<String> = world
        .library
        .procedure
        .conditions
        .keys()
        .map(ToString::to_string)
        .collect();
    let count = [0, 0, 0, 1, 1, 1, 1, 2, 2, 3][draw.below(10)];
    for _ in 0..count {
        *state = state.with_condition(&draw.of(&all));
    }
}

fn signs(world: &World, draw: &mut Draw, state: &mut State) {
    let asked: Vec<String> = world
        .library
        .procedure
        .red_flags
        .iter()
        .map(|flag| flag.id.as_str().to_owned())
        .filter(|id| state.get(Table::Screen, id).is_some())
        .collect();
    let count = [0, 0, 0, 0, 0, 1, 1, 1, 1, 2][draw.below(10)];
    for _ in 0..count {
        let answer = if draw.percent(75) {
            "\"yes\""
        } else {
            "\"known\""
        };
        *state = state.with(Table::Screen, &draw.of(&asked), answer);
    }
}

fn orders(world: &World, draw: &mut Draw, state: &mut State) {
    let values = order_values(world, false);
    let count = [0, 0, 0, 0, 0, 0, 1, 1, 1, 2][draw.below(10)];
    for _ in 0..count {
        let (what, value) = draw.of(&values);
        let ends = [Ends::Open, Ends::Open, Ends::On(state.day + 3), Ends::Asked];
        *state = state.ordered(Order {
            from: None,
            what,
            value,
            on: 0.min(state.day - 1),
            ends: draw.of(&ends),
        });
    }
}

fn home(world: &World, draw: &mut Draw, state: &mut State) {
    let kit: Vec<String> = world
        .library
        .procedure
        .equipment
        .iter()
        .map(|thing| format!("\"{}\"", thing.id))
        .collect();
    let nobody = draw.percent(40);
    let left: Vec<String> = kit
        .into_iter()
        .filter(|thing| !(nobody && thing == "\"helper\""))
        .filter(|_| !draw.percent(15))
        .collect();
    let alone = if nobody { "yes" } else { "no" };
    *state = state
        .with(
            Table::Patient,
            "equipment",
            &format!("[{}]", left.join(", ")),
        )
        .with(
            Table::Patient,
            "home",
            &format!(
                "{{ alone = \"{alone}\", stairs = \"{}\" }}",
                draw.of(&["yes", "no"])
            ),
        );
    let both = state.get(Table::Episode, "side") == Some("\"both\"");
    if !both && draw.percent(50) {
        *state = state.with(Table::Episode, "side", "\"right\"");
    }
    if draw.percent(10) {
        *state = state.with(Table::Episode, "needs", "[\"large-print\"]");
    }
}

fn visit(world: &World, draw: &mut Draw, state: &mut State) {
    let next = ["7", "14", "14", "\"none\"", "\"unknown\""];
    *state = state.with(Table::Visit, NEXT_IN, draw.of(&next));
    if draw.percent(20) {
        *state = state.with(Table::Visit, "how", "\"phone\"");
    }
    if state.day <= 3 && draw.percent(50) {
        *state = state.with(Table::Visit, "block_gone", "\"no\"");
    }
    for fact in [Fact::WalkingAid, Fact::LegLift, Fact::StairsPractised] {
        let turning = world.turning.iter().find(|turning| turning.fact == fact);
        if let Some(turning) = turning
            && draw.percent(60)
            && !turning.values.is_empty()
        {
            *state = state.with(turning.table, &turning.key, &draw.of(&turning.values));
            if fact == Fact::LegLift {
                // What the leg does says how far it lags; two answers might not agree.
                *state = state.without(Table::Measured, "lag");
            }
        }
    }
    if draw.percent(50) {
        let pain = draw.below(11).to_string();
        let morning = banister::domain::word::Morning::ALL;
        let swelling = banister::domain::word::Swelling::ALL;
        let quoted = |word: &str| format!("\"{word}\"");
        *state = state
            .with(Table::Pain, "exercise", &pain)
            .with(Table::Pain, "morning", &quoted(draw.of(morning).as_str()))
            .with(
                Table::Visit,
                "swelling",
                &quoted(draw.of(swelling).as_str()),
            );
    }
}

fn sheet(draw: &mut Draw) -> Option<Before> {
    let (days, sheet) = match draw.below(10) {
        0..=3 => return None,
        4..=6 => (7, Sheet::Own),
        7 => (3, Sheet::Lowest),
        8 => (7, Sheet::Highest),
        _ => (60, Sheet::Own),
    };
    Some(Before { days, sheet })
}
