//! Which states are walked on one day: the blocks of the enumeration.
//!
//! Every day: each illness, flag, order and answer by itself. Edge days, on which something in the
//! library turns: every two precautions together, every answer with every other, every blank with
//! every other, every turning value of a fact, the clinician's word on every exercise.

use banister::domain::limit::{LimitDegrees, LimitRule};
use banister::domain::order_kind::OrderSays;
use banister::domain::word::{Did, Morning, Swelling, Word as _};

use super::edges;
use super::pairs::Relation;
use super::state::{Before, Cleared, Ends, NEXT_IN, Order, Sheet, State, Table};
use super::walker::Walker;
use super::world::{Measures, World};

/// Last sheets a person may come with.
pub const CAME_WITH: [Option<Before>; 3] = [
    None,
    Some(sheet(7, Sheet::Own)),
    Some(sheet(7, Sheet::Highest)),
];

pub const fn sheet(days: i64, sheet: Sheet) -> Before {
    Before { days, sheet }
}

/// Answers of three kinds: settled, tolerable, overdone.
pub const ANSWERS: [[&str; 2]; 3] = [["2", "\"same\""], ["6", "\"same\""], ["9", "\"much-more\""]];

/// Walks one day.
pub fn day(walker: &mut Walker<'_>, day: i64) {
    let world = walker.world;
    let usual = |before: Option<Before>, measures| {
        let mut state = world.on(&world.usual, day, measures);
        state.before = before;
        state
    };
    modifiers(walker, &usual);
    flags(walker, &usual);
    orders(walker, &usual);
    answers(walker, &usual);
    blanks(walker, &usual);
    leaks(walker, &usual);
    if world.is_edge(day) {
        edges::day(walker, &usual);
    }
}

pub type Usual<'a> = dyn Fn(Option<Before>, Measures) -> State + 'a;

pub fn answered(state: &State, [pain, morning]: [&str; 2]) -> State {
    state
        .with(Table::Pain, "exercise", pain)
        .with(Table::Pain, "morning", morning)
}

/// Every illness by itself, with and without a last sheet, measures good and bad, every answer.
fn modifiers(walker: &mut Walker<'_>, usual: &Usual<'_>) {
    walker.block("one illness");
    let all = [
        Measures::Usual,
        Measures::Best,
        Measures::Worst,
        Measures::Blank,
    ];
    for before in CAME_WITH {
        for measures in all {
            for answer in ANSWERS {
                let first_visit = before.is_none() && answer != ANSWERS[0];
                if first_visit || !walker.group() {
                    continue;
                }
                let state = answered(&usual(before, measures), answer);
                let base = walker.see(&state);
                for id in walker.world.library.procedure.conditions.keys() {
                    let more = state.with_condition(id.to_string().as_str());
                    walker.see_against(Relation::Precaution, &state, base.as_ref(), &more);
                }
            }
        }
    }
}

/// Every red flag by itself: yes, known, not asked, assessed in time, assessed too long ago or for
/// too long.
fn flags(walker: &mut Walker<'_>, usual: &Usual<'_>) {
    walker.block("one red flag");
    for before in CAME_WITH {
        if !walker.group() {
            continue;
        }
        let state = usual(before, Measures::Usual);
        let base = walker.see(&state);
        for flag in &walker.world.library.procedure.red_flags {
            let id = flag.id.to_string();
            let yes = state.with(Table::Screen, &id, "\"yes\"");
            walker.see_against(Relation::Precaution, &state, base.as_ref(), &yes);
            let known = state.with(Table::Screen, &id, "\"known\"");
            walker.see_against(Relation::Precaution, &state, base.as_ref(), &known);
            let blank = state.without(Table::Screen, &id);
            walker.see_against(Relation::Blank, &state, base.as_ref(), &blank);
            for (on, until) in [(-2, 0), (-9, -1), (0, 7), (-20, 400)] {
                let mut cleared = yes.clone();
                cleared.cleared.push(Cleared {
                    flag: id.clone(),
                    on: state.day + on,
                    until: state.day + until,
                });
                walker.see(&cleared);
                cleared.keys = known.keys.clone();
                walker.see(&cleared);
            }
        }
    }
}

/// Kinds of order the procedure acts on, with values that narrow.
pub fn order_values(world: &World, all: bool) -> Vec<(String, String)> {
    let procedure = &world.library.procedure;
    let mut found = Vec::new();
    for kind in procedure.order_kinds() {
        let values: Vec<String> = match procedure.order_says(kind) {
            OrderSays::Bearing => ["none", "touch", "partial"]
                .map(|word| format!("weight_bearing = \"{word}\""))
                .to_vec(),
            OrderSays::Degrees => angles(world, kind, all)
                .iter()
                .map(|degrees| format!("degrees = {degrees}"))
                .collect(),
            OrderSays::Stands => vec![String::new()],
        };
        found.extend(values.into_iter().map(|value| (kind.to_owned(), value)));
    }
    found
}

/// Angles of an order: a few, or every one at which some exercise is stopped, less one and plus one.
fn angles(world: &World, kind: &str, all: bool) -> Vec<i64> {
    use banister::domain::exercise::Peak;
    use banister::domain::quantity::Quantity as _;
    let few = vec![30, 60, 90, 110];
    if !all {
        return few;
    }
    let mut found: std::collections::BTreeSet<i64> = few.into_iter().collect();
    for limit in &world.library.procedure.limits {
        let LimitRule::Motion {
            degrees, margin, ..
        } = &limit.rule
        else {
            continue;
        };
        let own = matches!(&limit.when, banister::domain::limit::When::Order(own) if own.to_string() == kind);
        if *degrees != LimitDegrees::FromOrder || !own {
            continue;
        }
        for exercise in world.library.exercises.values() {
            let floors = exercise
                .demands
                .iter()
                .filter_map(|demand| demand.clip_floor);
            let fixed = exercise
                .demands
                .iter()
                .filter_map(|demand| match demand.peak {
                    Peak::Fixed(degrees) => Some(degrees),
                    Peak::OfRung => None,
                });
            let rungs = exercise.rungs.iter().filter_map(|rung| rung.range_degrees);
            for peak in floors.chain(fixed).chain(rungs) {
                let turns = peak.get() + margin.get();
                found.extend([turns - 1, turns, turns + 1]);
            }
        }
    }
    found.retain(|degrees| (0..=180).contains(degrees));
    found.into_iter().collect()
}

/// Every order by itself, as it may end: today, within the sheet, never, yesterday, asked.
fn orders(walker: &mut Walker<'_>, usual: &Usual<'_>) {
    walker.block("one order");
    let edge = |walker: &Walker<'_>, state: &State| walker.world.is_edge(state.day);
    for before in CAME_WITH {
        let state = usual(before, Measures::Usual);
        if !walker.group() {
            continue;
        }
        let base = walker.see(&state);
        let day = state.day;
        let all = edge(walker, &state);
        for (what, value) in order_values(walker.world, all) {
            let ends = [
                Ends::On(day),
                Ends::On(day + 3),
                Ends::Open,
                Ends::On(day - 1),
                Ends::Asked,
            ];
            for ends in ends {
                let ordered = state.ordered(Order {
                    what: what.clone(),
                    value: value.clone(),
                    on: 0.min(day - 1),
                    from: None,
                    ends,
                });
                if walker.world.takes_away(&what) {
                    walker.see_against(Relation::Precaution, &state, base.as_ref(), &ordered);
                } else {
                    walker.see(&ordered);
                }
            }
        }
    }
}

pub fn pains() -> impl Iterator<Item = String> {
    (0..=10).map(|pain| pain.to_string())
}

pub fn worse_mornings() -> impl Iterator<Item = String> {
    Morning::ALL
        .iter()
        .map(|word| format!("\"{}\"", word.as_str()))
}

pub fn worse_swellings() -> impl Iterator<Item = String> {
    Swelling::ALL
        .iter()
        .map(|word| format!("\"{}\"", word.as_str()))
}

/// Every answer by itself, each chain from the best to the worst.
fn answers(walker: &mut Walker<'_>, usual: &Usual<'_>) {
    walker.block("one answer");
    let came = [
        sheet(7, Sheet::Own),
        sheet(7, Sheet::Highest),
        sheet(3, Sheet::Lowest),
        sheet(60, Sheet::Own),
    ];
    for before in came {
        if !walker.group() {
            continue;
        }
        let state = usual(Some(before), Measures::Usual);
        let base = walker.see(&state);
        for medicine in ["\"yes\"", "\"no\""] {
            let state = state.with(Table::Pain, "medicine_before", medicine);
            walker.chain(
                Relation::MoreSigns,
                pains().map(|pain| state.with(Table::Pain, "exercise", &pain)),
            );
        }
        walker.chain(
            Relation::MoreSigns,
            worse_mornings().map(|word| state.with(Table::Pain, "morning", &word)),
        );
        walker.chain(
            Relation::MoreSigns,
            worse_swellings().map(|word| state.with(Table::Visit, "swelling", &word)),
        );
        walker.chain(
            Relation::MoreSigns,
            (0..=3).map(|bad| state.with(Table::Pain, "bad_mornings", &bad.to_string())),
        );
        for did in Did::ALL {
            walker.see(&state.with(Table::Visit, "did", &format!("\"{}\"", did.as_str())));
        }
        for pain in pains() {
            let pained = state.with(Table::Pain, "exercise", &pain);
            walker.see_against(Relation::RangeWork, &state, base.as_ref(), &pained);
        }
        seen(walker, &state);
    }
}

/// What was seen done well today, and the same by phone.
fn seen(walker: &mut Walker<'_>, state: &State) {
    let exercises = &walker.world.library.exercises;
    let rows = |keys: &dyn Fn(&banister::domain::exercise::Exercise) -> String| {
        let rows = exercises
            .values()
            .map(|exercise| (exercise.id.to_string(), keys(exercise)));
        rows.collect::<Vec<_>>()
    };
    let well = |exercise: &banister::domain::exercise::Exercise| {
        let top = &exercise.rungs[exercise.rungs.len() - 1];
        format!("seen = \"yes\"\nwell_at = \"{}\"", top.id)
    };
    for (done, how) in [
        (rows(&|_| "seen = \"yes\"".to_owned()), "\"seen\""),
        (rows(&|_| "seen = \"corrected\"".to_owned()), "\"seen\""),
        (rows(&well), "\"seen\""),
        (rows(&well), "\"phone\""),
        (Vec::new(), "\"phone\""),
    ] {
        let mut state = state.with(Table::Visit, "how", how);
        state.done = done;
        for answer in ANSWERS {
            walker.see(&answered(&state, answer));
        }
    }
}

/// Keys that may be blank, with what a blank of them may never bring.
pub fn blank_keys() -> [(Table, &'static str); 9] {
    [
        (Table::Pain, "exercise"),
        (Table::Pain, "morning"),
        (Table::Pain, "medicine_before"),
        (Table::Visit, "swelling"),
        (Table::Visit, "did"),
        (Table::Visit, "block_gone"),
        (Table::Patient, "equipment"),
        (Table::Visit, NEXT_IN),
        (Table::Patient, "conditions"),
    ]
}

/// Every blank by itself: never more than for the one who answered well.
fn blanks(walker: &mut Walker<'_>, usual: &Usual<'_>) {
    walker.block("one blank");
    for before in CAME_WITH {
        if !walker.group() {
            continue;
        }
        let state = usual(before, Measures::Usual);
        let base = walker.see(&state);
        for (table, key) in blank_keys() {
            let blank = state.without(table, key);
            let other = walker.see_against(Relation::Blank, &state, base.as_ref(), &blank);
            let answer = matches!(table, Table::Pain) || ["swelling", "did"].contains(&key);
            if answer {
                walker.relate(
                    Relation::RangeWork,
                    (&state, base.as_ref()),
                    (&blank, other.as_ref()),
                );
            }
        }
        let measured = walker.world.turning.iter();
        for turning in measured.filter(|turning| turning.table == Table::Measured) {
            walker.see(&state.without(Table::Measured, &turning.key));
        }
        walker.see(&state.without(Table::Patient, "positions_no"));
        walker.see(&state.with(Table::Patient, "equipment", "[]"));
    }
}

/// Across the operation: the sheet from before it says nothing to the time after it.
fn leaks(walker: &mut Walker<'_>, usual: &Usual<'_>) {
    walker.block("across the operation");
    for days in [1, 7, 14, 28] {
        for kind in [Sheet::Own, Sheet::Highest] {
            let state = usual(Some(sheet(days, kind)), Measures::Usual);
            let crosses = state.day >= 0 && state.day - days < 0;
            if !crosses || !walker.group() {
                continue;
            }
            for answer in ANSWERS {
                let state = answered(&state, answer);
                let with = walker.see(&state);
                let mut without = state.clone();
                without.before = None;
                walker.see_against(Relation::NotBefore, &state, with.as_ref(), &without);
            }
        }
    }
}
