//! What must hold between two answers to people who differ in one thing.

use std::collections::BTreeMap;

use banister::domain::dose::Dose;
use banister::domain::exercise::Exercise;
use banister::domain::ids::ExerciseId;
use banister::domain::verdict::{Program, Why, WhyNot};
use banister::domain::word::{Row, Work};

use super::check::{Property, Wrong, counts, times};
use super::read::Decided;
use super::world::{World, number};

/// How the second person differs from the first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Relation {
    /// More pain, a worse morning or more swelling.
    MoreSigns,
    /// One more illness, order or red flag.
    Precaution,
    /// Something that was known and harmless is not recorded.
    Blank,
    /// A blank, or pain of whatever size, for early range work.
    RangeWork,
    /// The same person without what stood in the record before the operation.
    NotBefore,
}

type Offers<'a> = BTreeMap<&'a ExerciseId, (usize, &'a Dose)>;

fn offers<'a>(world: &World, program: &'a Program) -> Offers<'a> {
    program
        .offers()
        .filter_map(|(id, rung, dose)| {
            // Advice is no exercise: what to hold on to may come in with a rule for the leg.
            let exercise = world.library.exercises.get(id)?;
            let (at, _) = exercise.rung(rung)?;
            (exercise.row != Row::Advice).then_some((id, (at, dose)))
        })
        .collect()
}

/// Compares what two people are offered.
pub fn compare(
    world: &World,
    relation: Relation,
    first: &Decided,
    second: &Decided,
    wrong: &mut Vec<Wrong>,
) {
    let (Some(one), Some(other)) = (first.program(), second.program()) else {
        return;
    };
    let before = offers(world, one);
    let now = offers(world, other);
    match relation {
        Relation::MoreSigns => {
            let property = Property::MoreSigns;
            no_higher(world, property, (one, &before), (other, &now), wrong);
        }
        Relation::Precaution => {
            let property = Property::OneMorePrecaution;
            no_higher(world, property, (one, &before), (other, &now), wrong);
        }
        Relation::Blank => {
            let property = Property::UnknownIsNotNo;
            no_higher(world, property, (one, &before), (other, &now), wrong);
        }
        Relation::RangeWork => range_kept(world, first, &before, &now, wrong),
        Relation::NotBefore => {
            if before != now {
                let what = "what was before the operation changes what comes after".to_owned();
                wrong.push((Property::WhatWasBefore, what));
            }
        }
    }
}

/// Says whether a line was offered higher and the choice took it back for the room of the day: what
/// is compared is what was offered before choosing.
fn kept_for_room(program: &Program, id: &ExerciseId) -> bool {
    let mut own = super::check::lines(program).filter(|item| item.exercise == *id);
    own.any(|item| {
        let mut steps = item.steps.iter();
        steps.any(|step| matches!(step.why, Why::KeptForRoom))
    })
}

fn no_higher(
    world: &World,
    property: Property,
    (one, before): (&Program, &Offers<'_>),
    (other, now): (&Program, &Offers<'_>),
    wrong: &mut Vec<Wrong>,
) {
    let held = held_back(world, one, other);
    for (id, (at, dose)) in now {
        let exercise = &world.library.exercises[*id];
        let what = match before.get(id) {
            Some(_) if kept_for_room(one, id) => None,
            Some((was, less)) => higher(property, exercise, (*at, dose), (*was, less)),
            None if held || gentler_swap(world, other, exercise) => None,
            None => Some("comes in".to_owned()),
        };
        if let Some(what) = what {
            wrong.push((property, format!("{id}: {what}")));
        }
    }
}

/// Says whether the second person is held in an earlier phase than the first one: that phase's
/// own exercises come in then.
fn held_back(world: &World, one: &Program, other: &Program) -> bool {
    let place = |program: &Program| {
        let found = world.library.procedure.phase(&program.phase);
        found.map(|(index, _)| index)
    };
    place(other) < place(one)
}

/// Says whether an exercise is a named gentler swap for one that stood on the last sheet and is now
/// left out.
fn gentler_swap(world: &World, program: &Program, exercise: &Exercise) -> bool {
    program.left_out.iter().any(|left| {
        let old = &world.library.exercises[&left.exercise];
        let chosen = matches!(left.reason, WhyNot::LessNeeded);
        left.was_issued && !chosen && old.gentler.contains(&exercise.id)
    })
}

/// Says what is higher: the rung, or a number on the same rung. A lower rung may be asked for more
/// often than the higher one was, since a rung raises one thing and may lower others.
fn higher(
    property: Property,
    exercise: &Exercise,
    (at, dose): (usize, &Dose),
    (was, less): (usize, &Dose),
) -> Option<String> {
    if at > was {
        return Some(format!("rung {at} instead of {was}"));
    }
    if at < was || dose.how != less.how {
        return None;
    }
    let names = ["sets", "repetitions", "hold", "minutes"];
    let (own, most) = (counts(dose.amount), counts(less.amount));
    let number_up = (0..4).find(|at| own[*at] > most[*at]);
    if let Some(at_number) = number_up {
        let name = names[at_number];
        return Some(format!(
            "{name} {} instead of {}",
            own[at_number], most[at_number]
        ));
    }
    if number(dose.load_g) > number(less.load_g) {
        return Some("more load".to_owned());
    }
    let more_often_is_less =
        property != Property::OneMorePrecaution && exercise.work == Work::Range;
    (times(dose) > times(less) && !more_often_is_less)
        .then(|| format!("{} times a day instead of {}", times(dose), times(less)))
}

/// Early range work stays: no lower rung than both the last sheet's and the calm person's.
fn range_kept(
    world: &World,
    first: &Decided,
    before: &Offers<'_>,
    now: &Offers<'_>,
    wrong: &mut Vec<Wrong>,
) {
    let day = first.record.day(first.visit().date);
    let early = world.library.procedure.settings.range_protected_before;
    let visits = &first.record.visits;
    let sheet = visits
        .iter()
        .rev()
        .skip(1)
        .find_map(|visit| visit.issued.as_ref());
    let Some(sheet) = sheet.filter(|_| day < early) else {
        return;
    };
    for line in &sheet.items {
        let exercise = &world.library.exercises[&line.exercise];
        let Some((calm, dose)) = before.get(&line.exercise) else {
            continue;
        };
        if exercise.work != Work::Range {
            continue;
        }
        let last = exercise.rung(&line.rung).map_or(0, |(at, _)| at);
        let kept = last.min(*calm);
        let what = match now.get(&line.exercise) {
            None => Some("left out".to_owned()),
            Some((at, _)) if *at < kept => Some(format!("rung {at}, not {kept}")),
            Some((at, own)) if at == calm && times(own) < times(dose) => {
                Some(format!("{} times a day, not {}", times(own), times(dose)))
            }
            Some((at, own)) if at == calm && fewer(own, dose) => {
                Some("fewer repetitions".to_owned())
            }
            Some(_) => None,
        };
        if let Some(what) = what {
            let what = format!("{}: {what}", line.exercise);
            wrong.push((Property::RangeIsNotEased, what));
        }
    }
}

/// Says whether there are fewer repetitions in all; a shorter hold is not less bending.
fn fewer(own: &Dose, than: &Dose) -> bool {
    let [sets, repetitions, ..] = counts(own.amount);
    let [most_sets, most_repetitions, ..] = counts(than.amount);
    sets * repetitions < most_sets * most_repetitions
}
