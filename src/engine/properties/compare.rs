//! What the properties compare: lines, limits, doses and programs without their dates.

use std::collections::BTreeMap;

use chrono::Days;

use crate::domain::correction::PutRight;
use crate::domain::dose::{Amount, Dose};
use crate::domain::exercise::{Demand, Exercise, Peak, Rung};
use crate::domain::library::Library;
use crate::domain::limit::{Condition, Kinds, LimitRule};
use crate::domain::quantity::Degrees;
use crate::domain::record::{IssuedItem, Record};
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Item, LimitInForce, Program};
use crate::domain::word::{BandWork, Morning, Response, Swelling};
use crate::engine::answer::work_of;
use crate::engine::sample;

pub(super) fn items(program: &Program) -> impl Iterator<Item = &Item> {
    program
        .items
        .iter()
        .chain(&program.background)
        .chain(&program.daily)
}

/// Every rung and dose a line gives, now and later on the sheet.
pub(super) fn given<'a>(exercise: &'a Exercise, item: &'a Item) -> Vec<(&'a Rung, &'a Dose)> {
    let next = item.next.iter().map(|next| (&next.rung, &next.dose));
    next.chain([(&item.rung, &item.dose)])
        .map(|(rung, dose)| (exercise.rung(rung).unwrap().1, dose))
        .collect()
}

pub(super) fn keeps(exercise: &Exercise, rung: &Rung, dose: &Dose, limit: &LimitInForce) -> bool {
    match &limit.rule {
        LimitRule::Motion { of, modes, .. } => {
            let stop = limit.stop_at.unwrap();
            exercise
                .demands
                .iter()
                .filter(|demand| demand.joint == of.joint && demand.motion == of.motion)
                .filter(|demand| modes.is_empty() || modes.contains(&demand.mode))
                .all(|demand| {
                    let peak = peak(demand, rung);
                    let reached = dose.limit.map_or(peak, |limit| limit.min(peak));
                    reached <= stop && dose.aim.is_none_or(|aim| aim <= stop)
                })
        }
        LimitRule::Forbid(kinds) => !of_kinds(exercise, rung, kinds),
        LimitRule::AllOf(conditions) => !conditions.iter().all(|condition| match condition {
            Condition::Beyond { of, degrees } => exercise.demands.iter().any(|demand| {
                demand.joint == of.joint
                    && demand.motion == of.motion
                    && peak(demand, rung) > *degrees
            }),
            Condition::Kinds(kinds) => of_kinds(exercise, rung, kinds),
        }),
    }
}

fn peak(demand: &Demand, rung: &Rung) -> Degrees {
    match demand.peak {
        Peak::Fixed(peak) => peak,
        Peak::OfRung => rung.range_degrees.unwrap(),
    }
}

fn of_kinds(exercise: &Exercise, rung: &Rung, kinds: &Kinds) -> bool {
    let heavy = kinds.load_above.is_some() && rung.load_g > kinds.load_above;
    let rung_tags = rung.tags.iter().any(|tag| kinds.tags.contains(tag));
    let demanded = exercise.demands.iter().any(|demand| {
        let load = rung.weight_bearing.unwrap_or(demand.weight_bearing);
        let of = kinds
            .of
            .is_none_or(|of| of.joint == demand.joint && of.motion == demand.motion);
        kinds.weight_bearing.contains(&load)
            || demand.tags.iter().any(|tag| kinds.tags.contains(tag))
            || of && kinds.modes.contains(&demand.mode)
    });
    heavy || rung_tags || demanded || kinds.positions.contains(&exercise.position)
}

pub(super) fn places(library: &Library, record: &Record) -> BTreeMap<String, (usize, Dose)> {
    sample::program(library, record)
        .offers()
        .map(|(id, rung, dose)| {
            let (at, _) = library.exercises[id].rung(rung).unwrap();
            (id.to_string(), (at, dose.clone()))
        })
        .collect()
}

/// Says whether nothing in a dose is above the other one, times a day left aside.
pub(super) fn no_more_work(dose: &Dose, than: &Dose) -> bool {
    let counts = match (dose.amount, than.amount) {
        (
            Amount::Counted {
                sets,
                repetitions,
                hold_s,
                ..
            },
            Amount::Counted {
                sets: s,
                repetitions: r,
                hold_s: h,
                ..
            },
        ) => sets <= s && repetitions <= r && hold_s <= h,
        (Amount::Timed { minutes }, Amount::Timed { minutes: m }) => minutes <= m,
        _ => false,
    };
    counts && dose.load_g <= than.load_g
}

pub(super) fn shifted(record: &Record, days: u64) -> Record {
    let mut later = record.clone();
    let step = Days::new(days);
    later.episode.operation.0 = later.episode.operation.0 + step;
    for order in &mut later.orders {
        order.on = order.on + step;
    }
    for correction in &mut later.corrections {
        correction.on = correction.on + step;
        if let PutRight::Operation { was, now } | PutRight::Moved { was, now } =
            &mut correction.what
        {
            was.0 = was.0 + step;
            now.0 = now.0 + step;
        }
    }
    for visit in &mut later.visits {
        visit.date = visit.date + step;
        if let Some(issued) = &mut visit.issued {
            issued.use_from = issued.use_from + step;
            issued.use_until = issued.use_until + step;
        }
    }
    later
}

/// Everything of one line that is not a date; days are counted from the visit.
fn undated_line(program: &Program, item: &Item) -> impl PartialEq + std::fmt::Debug + use<> {
    let next: Vec<_> = item
        .next
        .iter()
        .map(|next| {
            let from = next.from - program.date.0;
            (from, next.rung.clone(), next.dose.clone())
        })
        .collect();
    let rests = item.rests_until.map(|until| until - program.date.0);
    let place = (item.slots.clone(), item.weekdays.clone());
    (item.rung.clone(), item.dose.clone(), place, rests, next)
}

/// Everything of a program that is not a date.
pub(super) fn undated(program: &Program) -> impl PartialEq + std::fmt::Debug + use<> {
    let lines: Vec<_> = items(program)
        .map(|item| undated_line(program, item))
        .collect();
    let life = (
        program.life.until - program.date.0,
        program.life.slip_until - program.date.0,
    );
    (
        lines,
        life,
        program.phase.clone(),
        program.left_out.clone(),
        program.load,
        (
            program.notices.clone(),
            program.fired.clone(),
            program.facts.clone(),
        ),
    )
}

/// Says whether nothing but the pain of work that loads made the answer worse than settled: what
/// does not load is then free.
pub(super) fn only_loading_hurts(library: &Library, record: &Record, program: &Program) -> bool {
    let (Some(visit), Some(sheet)) = (record.visits.last(), &record.visits[0].issued) else {
        return false;
    };
    let morning = visit.pain.morning.known();
    let more = morning.is_some_and(|morning| morning > Morning::Same)
        || visit.swelling == Recorded::Yes(Swelling::More);
    let calm = |item: &IssuedItem| {
        let work = work_of(library, &library.exercises[&item.exercise], &item.rung);
        let mut bands = library.procedure.bands.iter();
        let band = bands.find(|band| band.work == work && band.window.holds(program.day));
        let pain = visit.pain.exercise.known();
        work == BandWork::Loaded || pain.is_none_or(|pain| band.is_some_and(|b| pain <= b.settled))
    };
    program.response == Recorded::Yes(Response::Tolerable)
        && program.flags.is_empty()
        && !more
        && sheet.items.iter().all(calm)
}
