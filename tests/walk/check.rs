//! What must hold of every single answer, read with the checker's own eyes.

use std::collections::BTreeSet;

use banister::domain::dose::{Amount, Dose};
use banister::domain::exercise::{Exercise, Rung};
use banister::domain::library::Library;
use banister::domain::limit::Modifier;
use banister::domain::quantity::Quantity;
use banister::domain::record::{Record, Visit};
use banister::domain::recorded::Recorded;
use banister::domain::verdict::{Item, Notice, Program, Verdict};
use banister::domain::word::{FlagEffect, PrintNeed, ScreenAnswer, Work};

use super::after;
use super::course;
use super::eyes::{self, Scene};
use super::world::number;
use super::worse;

/// What a state can violate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Property {
    Readable,
    RedFlagWithholds,
    UnknownIsNotNo,
    ForbiddenDemand,
    Cap,
    RoomOfTheDay,
    StepsReplay,
    CoreServedOrTold,
    OwnSideOfTheOperation,
    NothingNewOrHigher,
    EndOfRange,
    LegLiftFirst,
    AsReported,
    AmountSaid,
    WorseKeeps,
    MoreSigns,
    OneMorePrecaution,
    RangeIsNotEased,
    EqualInputs,
    ShiftedDates,
    OrderOfRows,
    WhatComesLater,
    WhatWasBefore,
    SomebodyIsServed,
    SheetIsMade,
    OneLimitAMotion,
    OneAnswerASign,
    WordsFit,
}

/// What was found wrong.
pub type Wrong = (Property, String);

/// Looks at one answer to one record.
pub fn answer(library: &Library, record: &Record, visit: &Visit, verdict: &Verdict) -> Vec<Wrong> {
    let mut wrong = Vec::new();
    red_flags(library, record, visit, verdict, &mut wrong);
    if let Verdict::Program(program) = verdict {
        let scene = Scene {
            library,
            record,
            visit,
            program,
        };
        demands(&scene, &mut wrong);
        caps(&scene, &mut wrong);
        room(&scene, &mut wrong);
        replay(program, &mut wrong);
        core(&scene, &mut wrong);
        side_of_the_operation(&scene, &mut wrong);
        after::worse_than_settled(&scene, &mut wrong);
        after::first_under_a_flag(&scene, &mut wrong);
        course::end_of_range(&scene, &mut wrong);
        course::leg_lift_first(&scene, &mut wrong);
        course::as_reported(&scene, &mut wrong);
        course::amount_said(&scene, &mut wrong);
        worse::keeps(&scene, &mut wrong);
        worse::block(&scene, &mut wrong);
    }
    wrong
}

/// Every line of a program.
pub fn lines(program: &Program) -> impl Iterator<Item = &Item> {
    program
        .items
        .iter()
        .chain(&program.background)
        .chain(&program.daily)
}

/// Every dose a line gives, now or later on the sheet.
pub fn doses<'a>(exercise: &'a Exercise, item: &'a Item) -> Vec<(&'a Rung, &'a Dose)> {
    let next = item.next.iter().map(|next| (&next.rung, &next.dose));
    next.chain([(&item.rung, &item.dose)])
        .filter_map(|(rung, dose)| Some((exercise.rung(rung)?.1, dose)))
        .collect()
}

fn red_flags(
    library: &Library,
    record: &Record,
    visit: &Visit,
    verdict: &Verdict,
    wrong: &mut Vec<Wrong>,
) {
    let day = record.day(visit.date);
    let withheld = matches!(verdict, Verdict::Withheld(_));
    for flag in &library.procedure.red_flags {
        let answer = match &visit.screen {
            Recorded::Yes(screen) => screen.get(&flag.id),
            Recorded::NotRecorded => None,
        };
        let id = &flag.id;
        let raised = match answer {
            Some(ScreenAnswer::Yes) => true,
            Some(ScreenAnswer::Known) => {
                flag.effect == FlagEffect::Withhold && !eyes::assessed(library, record, visit, flag)
            }
            Some(ScreenAnswer::No) | None => false,
        };
        let withholds = flag.effect == FlagEffect::Withhold && flag.only_if_before.is_none();
        let deadly = ["calf", "chest"].contains(&id.to_string().as_str());
        if raised && (withholds || deadly) && !withheld {
            let said = answer.map_or("blank".to_owned(), ToString::to_string);
            wrong.push((
                Property::RedFlagWithholds,
                format!("{id} is answered {said}"),
            ));
        }
        let concerned = flag.concerns(visit.patient.conditions.as_ref());
        let unasked = answer.is_none() && flag.window.holds(day) && concerned;
        if unasked && matches!(verdict, Verdict::Program(_)) {
            wrong.push((Property::UnknownIsNotNo, format!("{id} was not asked")));
        }
    }
    let unasked = !visit.patient.conditions.is_recorded();
    if unasked && matches!(verdict, Verdict::Program(_)) {
        let what = "other illnesses were not asked".to_owned();
        wrong.push((Property::UnknownIsNotNo, what));
    }
}

fn demands(scene: &Scene<'_>, wrong: &mut Vec<Wrong>) {
    let stands = scene.limits();
    let set: BTreeSet<_> = scene
        .visit
        .adjust
        .iter()
        .map(|word| &word.exercise)
        .collect();
    for item in lines(scene.program) {
        let exercise = &scene.library.exercises[&item.exercise];
        if let Some(order) = scene.not_allowed(exercise) {
            let what = format!("{}: no order {order} on every day", item.exercise);
            wrong.push((Property::ForbiddenDemand, what));
        }
        for (rung, dose) in doses(exercise, item) {
            for stands in &stands {
                let soft = stands.limit.level == banister::domain::word::LimitLevel::Soft;
                if soft && set.contains(&item.exercise) {
                    continue;
                }
                let (stop, aim) = (number(dose.limit), number(dose.aim));
                if let Some(why) = eyes::breaks(exercise, rung, stands, stop, aim) {
                    let what = format!("{} at {}: {why}", item.exercise, rung.id);
                    wrong.push((Property::ForbiddenDemand, what));
                }
            }
        }
    }
}

/// The numbers of a dose that a cap speaks of: sets, repetitions, hold, minutes.
pub fn counts(amount: Amount) -> [i64; 4] {
    match amount {
        Amount::Counted {
            sets,
            repetitions,
            hold_s,
            ..
        } => [sets.get(), repetitions.get(), hold_s.get(), 0],
        Amount::Timed { minutes } => [0, 0, 0, minutes.get()],
    }
}

/// Times a day at slots; hourly work has none.
pub fn times(dose: &Dose) -> i64 {
    dose.times_a_day().map_or(0, Quantity::get)
}

fn caps(scene: &Scene<'_>, wrong: &mut Vec<Wrong>) {
    let modifiers = &scene.library.procedure.modifiers;
    let in_force: Vec<&Modifier> = modifiers
        .iter()
        .filter(|modifier| scene.holds(&modifier.when))
        .collect();
    for item in lines(scene.program) {
        let exercise = &scene.library.exercises[&item.exercise];
        for (rung, dose) in doses(exercise, item) {
            let own = in_force.iter().filter(|modifier| {
                modifier.exercises.is_empty() || modifier.exercises.contains(&exercise.id)
            });
            let caps = own.filter_map(|modifier| Some((&modifier.id, over(dose, rung, modifier)?)));
            for (id, what) in caps {
                let what = format!("{} at {}: {what}, {id}", item.exercise, rung.id);
                wrong.push((Property::Cap, what));
            }
            if let Some(what) = above_rung(scene, exercise, rung, dose) {
                let what = format!("{} at {}: {what}", item.exercise, rung.id);
                wrong.push((Property::Cap, what));
            }
        }
    }
}

/// Says what in a dose is above a modifier.
fn over(dose: &Dose, rung: &Rung, modifier: &Modifier) -> Option<String> {
    let [sets, repetitions, hold, minutes] = counts(dose.amount);
    let share = modifier.repetitions_percent.map(|percent| {
        let [_, of_rung, ..] = counts(rung.amount);
        (of_rung * percent.get() / 100).max(1)
    });
    let numbers = [
        ("sets", sets, number(modifier.sets_at_most)),
        ("repetitions", repetitions, share),
        ("hold", hold, number(modifier.hold_s_at_most)),
        ("minutes", minutes, number(modifier.minutes_at_most)),
        (
            "load",
            number(dose.load_g).unwrap_or(0),
            number(modifier.load_g_at_most),
        ),
        (
            "height",
            number(dose.height_cm).unwrap_or(0),
            number(modifier.height_cm_at_most),
        ),
        ("times", times(dose), number(modifier.times_at_most)),
    ];
    let mut high = numbers
        .into_iter()
        .filter_map(|(what, own, most)| Some((what, own, most?)));
    let number = high.find(|(_, own, most)| own > most);
    let support = match (dose.support, modifier.support_at_least) {
        (Some(own), Some(least)) if own > least => Some(format!("support {own}, not {least}")),
        _ => None,
    };
    let rest = match (dose.amount, modifier.rest_s_at_least) {
        (Amount::Counted { sets, rest_s, .. }, Some(least)) if sets.get() > 1 && rest_s < least => {
            Some(format!("rest {rest_s}, not {least}"))
        }
        _ => None,
    };
    number
        .map(|(what, own, most)| format!("{what} {own}, most {most}"))
        .or(support)
        .or(rest)
}

/// Says what in a dose is above the rung it stands on.
fn above_rung(scene: &Scene<'_>, exercise: &Exercise, rung: &Rung, dose: &Dose) -> Option<String> {
    let names = ["sets", "repetitions", "hold", "minutes"];
    let (own, most) = (counts(dose.amount), counts(rung.amount));
    for (at, what) in names.iter().enumerate() {
        if own[at] > most[at] {
            return Some(format!("{what} {} above the rung's {}", own[at], most[at]));
        }
    }
    let of_rung = match rung.often {
        banister::domain::dose::Often::Times(times) => times.get(),
        banister::domain::dose::Often::Hourly => 0,
    };
    let bounds = &scene.library.procedure.settings.bounds;
    let behind = exercise
        .behind
        .as_ref()
        .map(|behind| behind.times_a_day.get());
    let range = (exercise.work == Work::Range).then_some(bounds.times_a_day_most.get());
    let often = of_rung.max(behind.unwrap_or(0)).max(range.unwrap_or(0));
    if times(dose) > often {
        return Some(format!("{} times a day, most {often}", times(dose)));
    }
    let heavier = number(dose.load_g) > number(rung.load_g);
    let higher = number(dose.height_cm) > number(rung.height_cm);
    let further = number(dose.range_degrees) > number(rung.range_degrees);
    let freer = dose.support > rung.support;
    let band = dose.band > rung.band;
    (heavier || higher || further || freer || band)
        .then(|| "load, height, range, band or support above the rung's".to_owned())
}

/// Seconds a day of a dose.
pub fn seconds(exercise: &Exercise, dose: &Dose) -> i64 {
    let session = dose.seconds(
        exercise.tempo_s,
        exercise.changeover_s,
        exercise.sides_worked(),
    );
    session * times(dose)
}

fn room(scene: &Scene<'_>, wrong: &mut Vec<Wrong>) {
    let Scene {
        library,
        record,
        visit,
        program,
    } = *scene;
    let asked_for = visit.adjust.iter().any(|word| {
        matches!(
            word.action,
            banister::domain::word::AdjustAction::Add | banister::domain::word::AdjustAction::Set
        )
    });
    let settings = &library.procedure.settings;
    let mut most = library.clinic.items.min(settings.items_most).get();
    if matches!(&record.episode.needs, Recorded::Yes(needs) if needs.contains(&PrintNeed::LargePrint))
    {
        most = most.min(settings.bounds.large_print_items.get());
    }
    for modifier in &library.procedure.modifiers {
        if let (Some(items), true) = (modifier.max_items, scene.holds(&modifier.when)) {
            most = most.min(items.get());
        }
    }
    let mut minutes = library.clinic.minutes_a_day.get();
    if let Recorded::Yes(day) = &visit.patient.day
        && let Recorded::Yes(own) = day.minutes
    {
        minutes = minutes.min(own.get());
    }
    if asked_for {
        return;
    }
    let items = i64::try_from(program.items.len()).unwrap();
    if items > most {
        wrong.push((
            Property::RoomOfTheDay,
            format!("{items} items, most {most}"),
        ));
    }
    let hardest: i64 = program
        .items
        .iter()
        .map(|item| {
            let exercise = &library.exercises[&item.exercise];
            let doses = doses(exercise, item).into_iter();
            doses
                .map(|(_, dose)| seconds(exercise, dose))
                .max()
                .unwrap_or(0)
        })
        .sum();
    if hardest > minutes * 60 {
        let what = format!("{hardest} seconds, most {}", minutes * 60);
        wrong.push((Property::RoomOfTheDay, what));
    }
    for item in &program.items {
        let slots = i64::try_from(item.slots.len()).unwrap();
        if slots != times(&item.dose) {
            let what = format!(
                "{}: {slots} slots for {} times",
                item.exercise,
                times(&item.dose)
            );
            wrong.push((Property::RoomOfTheDay, what));
        }
    }
}

fn replay(program: &Program, wrong: &mut Vec<Wrong>) {
    for item in lines(program) {
        let mut now = None;
        let mut joined = true;
        for step in &item.steps {
            joined &= step.before.as_ref() == now;
            now = Some(&step.after);
        }
        let end = now.is_some_and(|end| end.rung == item.rung && end.dose == item.dose);
        if !(joined && end) {
            wrong.push((Property::StepsReplay, item.exercise.to_string()));
        }
    }
}

fn core(scene: &Scene<'_>, wrong: &mut Vec<Wrong>) {
    let Some((_, phase)) = scene.library.procedure.phase(&scene.program.phase) else {
        let what = format!("no phase {}", scene.program.phase);
        return wrong.push((Property::CoreServedOrTold, what));
    };
    for domain in &phase.core {
        let served = scene.program.items.iter().any(|item| {
            scene.library.exercises[&item.exercise]
                .domains
                .contains_key(domain)
        });
        let told = scene.program.notices.iter().any(
            |notice| matches!(notice, Notice::CoreEmpty { domain: empty, .. } if empty == domain),
        );
        if !served && !told {
            wrong.push((Property::CoreServedOrTold, domain.to_string()));
        }
    }
}

/// A sheet lies on one side of the operation, with a phase of that side.
fn side_of_the_operation(scene: &Scene<'_>, wrong: &mut Vec<Wrong>) {
    let program = scene.program;
    let first = scene.record.day(program.life.from).get();
    let last = scene
        .record
        .day(program.life.until.max(program.life.slip_until))
        .get();
    let mut tell = |what: String| wrong.push((Property::OwnSideOfTheOperation, what));
    if first < 0 && last >= 0 {
        tell(format!("a sheet from day {first} reaches day {last}"));
    }
    let Some((_, phase)) = scene.library.procedure.phase(&program.phase) else {
        return;
    };
    let before = phase.window.before.is_some_and(|end| end.get() <= 0);
    if before != (first < 0) {
        tell(format!("phase {} on day {first}", phase.id));
    }
}
