//! What is walked on edge days alone: things in pairs, every value, every exercise.

use super::pairs::Relation;
use super::plan::{
    ANSWERS, CAME_WITH, Usual, answered, blank_keys, order_values, pains, worse_mornings,
    worse_swellings,
};
use super::read::Decided;
use super::state::{Ends, NEXT_IN, Order, State, Table, Word};
use super::walker::Walker;
use super::world::{Measures, World};

/// Walks what one edge day brings beside what every day does.
pub fn day(walker: &mut Walker<'_>, usual: &Usual<'_>) {
    pairs(walker, usual);
    every_answer(walker, usual);
    every_blank(walker, usual);
    facts(walker, usual);
    clinicians_word(walker, usual);
    beside(walker, usual);
    lives(walker, usual);
}

/// A precaution: what it is about, and the change of a state.
struct Change {
    about: String,
    make: Box<dyn Fn(&State) -> State>,
}

fn precautions(world: &World) -> Vec<Change> {
    let mut found: Vec<Change> = Vec::new();
    let mut put = |about: &str, make: Box<dyn Fn(&State) -> State>| {
        let about = about.to_owned();
        found.push(Change { about, make });
    };
    for id in world.library.procedure.conditions.keys() {
        let id = id.to_string();
        put(
            &id.clone(),
            Box::new(move |state| state.with_condition(&id)),
        );
    }
    for flag in &world.library.procedure.red_flags {
        for word in ["\"yes\"", "\"known\""] {
            let id = flag.id.to_string();
            let make = move |state: &State| state.with(Table::Screen, &id, word);
            put(flag.id.to_string().as_str(), Box::new(make));
        }
    }
    let orders = order_values(world, false).into_iter();
    for (what, value) in orders.filter(|(what, _)| world.takes_away(what)) {
        let order = Order {
            what: what.clone(),
            value,
            on: 0,
            from: None,
            ends: Ends::Open,
        };
        let make = move |state: &State| {
            let on = 0.min(state.day - 1);
            state.ordered(Order {
                on,
                ..order.clone()
            })
        };
        put(&what, Box::new(make));
    }
    found
}

/// Every two precautions together, each compared with the first one alone.
fn pairs(walker: &mut Walker<'_>, usual: &Usual<'_>) {
    walker.block("two precautions, edge days");
    let precautions = precautions(walker.world);
    for (before, answer) in [(CAME_WITH[0], 0), (CAME_WITH[1], 0), (CAME_WITH[2], 2)] {
        let state = answered(&usual(before, Measures::Usual), ANSWERS[answer]);
        for (at, one) in precautions.iter().enumerate() {
            if !walker.group() {
                continue;
            }
            let first = (one.make)(&state);
            let Some(base) = walker.see(&first) else {
                continue;
            };
            // A program that is withheld stays withheld, whatever comes on top.
            if base.program().is_none() {
                continue;
            }
            let base = Some(base);
            // Two of one kind take each other's place.
            let others = precautions[at + 1..].iter();
            for other in others.filter(|other| other.about != one.about) {
                let second = (other.make)(&first);
                walker.see_against(Relation::Precaution, &first, base.as_ref(), &second);
            }
        }
    }
}

/// Every pain with every morning and every swelling, blanks too.
fn every_answer(walker: &mut Walker<'_>, usual: &Usual<'_>) {
    walker.block("pain x morning x swelling, edge days");
    for before in [CAME_WITH[1], CAME_WITH[2]] {
        let state = usual(before, Measures::Usual);
        let put = |state: &State, table, key: &str, value: Option<&String>| match value {
            Some(value) => state.with(table, key, value),
            None => state.without(table, key),
        };
        let mornings: Vec<Option<String>> = worse_mornings().map(Some).chain([None]).collect();
        let swellings: Vec<Option<String>> = worse_swellings().map(Some).chain([None]).collect();
        for morning in &mornings {
            if !walker.group() {
                continue;
            }
            let state = put(&state, Table::Pain, "morning", morning.as_ref());
            let mut rows: Vec<(State, Option<Decided>)> = Vec::new();
            for swelling in &swellings {
                let state = put(&state, Table::Visit, "swelling", swelling.as_ref());
                let now: Vec<(State, Option<Decided>)> = pains()
                    .map(|pain| {
                        let state = state.with(Table::Pain, "exercise", &pain);
                        let decided = walker.see(&state);
                        (state, decided)
                    })
                    .collect();
                walker.see(&state.without(Table::Pain, "exercise"));
                let steps = now.iter().zip(now.iter().skip(1));
                let more_swollen = rows.iter().zip(&now).filter(|_| swelling.is_some());
                for ((first, one), (second, other)) in steps.chain(more_swollen) {
                    walker.relate(
                        Relation::MoreSigns,
                        (first, one.as_ref()),
                        (second, other.as_ref()),
                    );
                }
                rows = now;
            }
        }
    }
}

/// Every set of blanks.
fn every_blank(walker: &mut Walker<'_>, usual: &Usual<'_>) {
    walker.block("every set of blanks, edge days");
    let keys: Vec<(Table, &str)> = blank_keys()[..7].to_vec();
    let state = usual(CAME_WITH[1], Measures::Usual);
    let base = walker.see(&state);
    for mask in 1_u32..1 << keys.len() {
        if !walker.group() {
            continue;
        }
        let mut blank = state.clone();
        let mut answers_only = true;
        for (at, (table, key)) in keys.iter().enumerate() {
            if mask & (1 << at) != 0 {
                blank = blank.without(*table, key);
                answers_only &= !["block_gone", "equipment"].contains(key);
            }
        }
        let other = walker.see_against(Relation::Blank, &state, base.as_ref(), &blank);
        if answers_only {
            walker.relate(
                Relation::RangeWork,
                (&state, base.as_ref()),
                (&blank, other.as_ref()),
            );
        }
    }
}

/// Every turning value of every fact a visit holds.
fn facts(walker: &mut Walker<'_>, usual: &Usual<'_>) {
    walker.block("turning values of facts, edge days");
    for before in CAME_WITH {
        let state = usual(before, Measures::Best);
        for turning in &walker.world.turning {
            if !walker.group() {
                continue;
            }
            for value in &turning.values {
                walker.see(&state.with(turning.table, &turning.key, value));
            }
        }
    }
}

/// The clinician's word on every exercise, with every kind of order: a hard limit stays.
fn clinicians_word(walker: &mut Walker<'_>, usual: &Usual<'_>) {
    walker.block("the clinician's word, edge days");
    let world = walker.world;
    let first: Vec<(String, String)> = order_values(world, false);
    for before in [CAME_WITH[0], CAME_WITH[2]] {
        for exercise in world.library.exercises.values() {
            if !walker.group() {
                continue;
            }
            let mut state = usual(before, Measures::Worst);
            let top = exercise.rungs.last().map(|rung| rung.id.to_string());
            state.words.push(Word {
                exercise: exercise.id.to_string(),
                action: "add",
                rung: top,
            });
            walker.see(&state);
            for (what, value) in &first {
                walker.see(&state.ordered(Order {
                    what: what.clone(),
                    value: value.clone(),
                    on: 0.min(state.day - 1),
                    from: None,
                    ends: Ends::Open,
                }));
            }
        }
    }
}

/// Two orders of one kind beside each other, in both orders, and one that begins within the sheet.
fn beside(walker: &mut Walker<'_>, usual: &Usual<'_>) {
    walker.block("two orders of one kind, edge days");
    let values = order_values(walker.world, false);
    let order = |(what, value): &(String, String), on: i64, from: Option<i64>| Order {
        what: what.clone(),
        value: value.clone(),
        on,
        from,
        ends: Ends::Open,
    };
    for first in &values {
        if !walker.group() {
            continue;
        }
        let state = usual(CAME_WITH[1], Measures::Usual);
        let given = 0.min(state.day - 1);
        let alone = state.ordered(order(first, given, None));
        for second in values.iter().filter(|second| second.0 == first.0) {
            walker.see(&alone.ordered(order(second, given, None)));
            walker.see(&alone.ordered(order(second, given, Some(state.day + 3))));
        }
    }
}

/// How long the sheet lives, against orders that end within it; how much room there is.
fn lives(walker: &mut Walker<'_>, usual: &Usual<'_>) {
    walker.block("life and room of the sheet, edge days");
    let world = walker.world;
    for next in ["\"none\"", "\"unknown\"", "1", "3", "14", "28", "29"] {
        for before in [CAME_WITH[0], CAME_WITH[1]] {
            if !walker.group() {
                continue;
            }
            let state = usual(before, Measures::Usual).with(Table::Visit, NEXT_IN, next);
            let day = state.day;
            walker.see(&state);
            for (what, value) in order_values(world, false) {
                for ends in [day, day + 1, day + 14, day + 29] {
                    walker.see(&state.ordered(Order {
                        what: what.clone(),
                        value: value.clone(),
                        on: 0.min(day - 1),
                        from: None,
                        ends: Ends::On(ends),
                    }));
                }
            }
        }
    }
    for needs in ["[]", "[\"large-print\"]"] {
        for slots in ["", "slots = [\"evening\"], "] {
            for minutes in [5, 10, 15, 20, 30, 45, 60, 240] {
                if !walker.group() {
                    continue;
                }
                let day = format!("{{ {slots}minutes = {minutes} }}");
                let state = usual(CAME_WITH[1], Measures::Worst)
                    .with(Table::Patient, "day", &day)
                    .with(Table::Episode, "needs", needs);
                for answer in ANSWERS {
                    walker.see(&answered(&state, answer));
                }
            }
        }
    }
}
