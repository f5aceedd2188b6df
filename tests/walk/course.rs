//! What must hold from sheet to sheet: a stiff joint keeps its work, walks follow what is walked,
//! nothing is stood on before the leg lifts, and what was done is said.
//!
//! Measures are read off the visit itself; review lines off the procedure.

use banister::domain::exercise::{Exercise, Peak, Rung};
use banister::domain::procedure::ReviewLine;
use banister::domain::quantity::Quantity;
use banister::domain::record::{Issued, Visit};
use banister::domain::recorded::Recorded;
use banister::domain::verdict::Notice;
use banister::domain::word::{Did, Fact, LegLift, Row, Work};

use super::after::{has_the_word, last_sheet};
use super::check::{Property, Wrong, doses, lines, seconds, times};
use super::eyes::Scene;

fn measured(visit: &Visit, fact: Fact) -> Option<i64> {
    let measured = &visit.measured;
    match fact {
        Fact::Flexion => measured.flexion.known().map(Quantity::get),
        Fact::ExtensionDeficit => measured.extension_deficit.known().map(Quantity::get),
        Fact::Lag => measured.lag.known().map(Quantity::get),
        Fact::WalkMinutes => measured.walk_minutes.known().map(Quantity::get),
        _ => None,
    }
}

/// The measures past a plain review line today.
fn past(scene: &Scene<'_>) -> Vec<Fact> {
    let day = scene.record.day(scene.visit.date);
    let lines = scene.library.procedure.reviews.iter();
    let due = lines.filter(|review| review.window.holds(day) && day.get() >= 0);
    let past = due.filter(|review| {
        let value = measured(scene.visit, review.fact);
        match review.line {
            ReviewLine::Below(line) => value.is_some_and(|value| value < line),
            ReviewLine::Above(line) => value.is_some_and(|value| value > line),
            ReviewLine::NoGain { .. } | ReviewLine::Fell(_) | ReviewLine::Rose(_) => false,
        }
    });
    past.map(|review| review.fact).collect()
}

/// Says whether an exercise is range work for a measure: it stands for a domain that work with
/// that measure stands for.
fn works_at(scene: &Scene<'_>, exercise: &Exercise, fact: Fact) -> bool {
    let stands_for = |exercise: &Exercise| -> Vec<_> {
        let domains = exercise.domains.iter();
        let well = domains.filter(|(_, weight)| weight.get() >= 2);
        well.map(|(domain, _)| domain.clone()).collect()
    };
    let own = stands_for(exercise);
    exercise.work == Work::Range
        && scene.library.exercises.values().any(|other| {
            let measures = other
                .behind
                .as_ref()
                .is_some_and(|behind| behind.fact == fact);
            measures && stands_for(other).iter().any(|domain| own.contains(domain))
        })
}

/// Says whether an exercise is range work that a measure past its line, or its course, spares.
pub fn past_a_line(scene: &Scene<'_>, exercise: &Exercise) -> bool {
    let told = scene.program.reviews.iter().map(|due| due.fact);
    let behind = scene
        .library
        .procedure
        .courses
        .iter()
        .map(|course| course.measure);
    let mut facts = past(scene).into_iter().chain(told).chain(behind);
    facts.any(|fact| works_at(scene, exercise, fact))
}

/// A measure past its review line keeps its work and the minutes of it, or it is told.
pub fn end_of_range(scene: &Scene<'_>, wrong: &mut Vec<Wrong>) {
    let last = last_sheet(scene);
    for fact in past(scene) {
        let named = scene.library.exercises.values();
        let mut range = named.filter(|exercise| exercise.work == Work::Range);
        if !range.any(|exercise| exercise.behind.as_ref().is_some_and(|own| own.fact == fact)) {
            continue;
        }
        let at = |exercise: &Exercise| works_at(scene, exercise, fact);
        let now: i64 = lines(scene.program)
            .map(|item| (&scene.library.exercises[&item.exercise], &item.dose))
            .filter(|(exercise, _)| at(exercise))
            .map(|(exercise, dose)| seconds(exercise, dose))
            .sum();
        let then: i64 = last.map_or(0, |last| {
            let items = last.items.iter();
            let items = items.map(|item| (&scene.library.exercises[&item.exercise], &item.dose));
            let work = items.filter(|(exercise, _)| at(exercise));
            work.map(|(exercise, dose)| seconds(exercise, dose)).sum()
        });
        let mut told = scene.program.notices.iter();
        let told = told
            .any(|notice| matches!(notice, Notice::EndWorkLost { fact: of, .. } if *of == fact));
        if now == 0 || now < then {
            let what = format!("{fact}: {now} seconds a day after {then}");
            if !told || plain(scene) {
                wrong.push((Property::EndOfRange, what));
            }
        }
    }
}

/// Says whether nothing known stands against range work: no sign, limit, illness or word, a home
/// and a day that were asked, and an answer that was not too much.
fn plain(scene: &Scene<'_>) -> bool {
    let patient = &scene.visit.patient;
    let well = matches!(&patient.conditions, Recorded::Yes(none) if none.is_empty());
    let moves = matches!(&patient.positions_no, Recorded::Yes(none) if none.is_empty());
    let program = scene.program;
    let calm = program.response.known() <= Some(banister::domain::word::Response::Settled);
    let signs = program.flags.is_empty() && program.stood.is_empty();
    let printed = !program.limits.iter().any(|limit| limit.degrees.is_some());
    let own_day = patient.day.is_recorded();
    let large = scene.record.episode.needs.is_recorded();
    // A made-up sheet that holds everything has no day that could hold it.
    let room = scene.library.clinic.items.get();
    let real = last_sheet(scene).is_none_or(|last| {
        let rows = last.items.iter();
        let rows = rows.filter(|item| scene.library.exercises[&item.exercise].row == Row::Exercise);
        i64::try_from(rows.count()).is_ok_and(|rows| rows <= room)
    });
    well && moves
        && calm
        && signs
        && printed
        && !own_day
        && !large
        && real
        && patient.equipment.is_recorded()
        && scene.visit.adjust.is_empty()
        && scene.visit.phase.is_none()
}

/// Squats, steps and standing on one leg wait until the leg lifts alone, and deeper or higher ones
/// until it does so almost straight.
pub fn leg_lift_first(scene: &Scene<'_>, wrong: &mut Vec<Wrong>) {
    let lift = known(scene, |visit| visit.measured.leg_lift.known());
    let alone = matches!(lift, Some(LegLift::AloneStraight | LegLift::AloneLag));
    let lag = measured(scene.visit, Fact::Lag);
    for item in lines(scene.program) {
        let exercise = &scene.library.exercises[&item.exercise];
        let asked = has_the_word(scene, &item.exercise);
        if exercise.row != Row::Exercise || asked || scene.program.day.get() < 0 {
            continue;
        }
        for (rung, _) in doses(exercise, item) {
            let stands = has_tag(exercise, rung, &["squat", "step", "single-leg"]);
            let deep =
                has_tag(exercise, rung, &["step", "single-leg"]) || peak(exercise, rung) > 30;
            let too_soon = stands && !alone;
            if too_soon || (stands && deep && lag.is_some_and(|lag| lag > 10)) {
                let what = format!("{} at {}: {lift:?}, lag {lag:?}", item.exercise, rung.id);
                wrong.push((Property::LegLiftFirst, what));
            }
        }
    }
}

fn has_tag(exercise: &Exercise, rung: &Rung, tags: &[&str]) -> bool {
    let demands = exercise.demands.iter().flat_map(|demand| &demand.tags);
    let mut all = demands.chain(&rung.tags);
    all.any(|tag| tags.contains(&tag.to_string().as_str()))
}

fn peak(exercise: &Exercise, rung: &Rung) -> i64 {
    let bends = exercise.demands.iter();
    let bends = bends.filter(|demand| demand.motion == banister::domain::word::Motion::Flexion);
    let peaks = bends.map(|demand| match demand.peak {
        Peak::Fixed(degrees) => degrees.get(),
        Peak::OfRung => rung.range_degrees.map_or(0, Quantity::get),
    });
    peaks.max().unwrap_or(0)
}

/// The latest value on this side of the operation that still counts.
fn known<T>(scene: &Scene<'_>, of: impl Fn(&Visit) -> Option<T>) -> Option<T> {
    let counts = scene.library.procedure.settings.last_value_days.get();
    let today = scene.record.day(scene.visit.date).get();
    let mut visits = scene.record.visits.iter().rev();
    visits.find_map(|visit| {
        let then = scene.record.day(visit.date).get();
        let same_side = (then < 0) == (today < 0);
        of(visit).filter(|_| same_side && today - then <= counts)
    })
}

/// Work that people report the minutes of: at most the first rung that asks for more than they do.
pub fn as_reported(scene: &Scene<'_>, wrong: &mut Vec<Wrong>) {
    let last = last_sheet(scene);
    for item in lines(scene.program) {
        let exercise = &scene.library.exercises[&item.exercise];
        let asked = has_the_word(scene, &item.exercise);
        let Some(fact) = exercise.reported.filter(|_| !asked) else {
            continue;
        };
        let minutes = |dose: &banister::domain::dose::Dose| match dose.amount {
            banister::domain::dose::Amount::Timed { minutes } => minutes.get() * times(dose),
            banister::domain::dose::Amount::Counted { .. } => 0,
        };
        let of_rung = |rung: &Rung| match (rung.amount, rung.often) {
            (
                banister::domain::dose::Amount::Timed { minutes },
                banister::domain::dose::Often::Times(times),
            ) => minutes.get() * times.get(),
            _ => 0,
        };
        let above = |done: i64| {
            let mut asked = exercise.rungs.iter().map(of_rung);
            asked.find(|asked| *asked > done).unwrap_or(i64::MAX)
        };
        let unreported = || {
            let kept = &exercise.unreported_kept;
            let named = match &scene.visit.patient.conditions {
                Recorded::Yes(own) => kept.iter().any(|condition| own.contains(condition)),
                Recorded::NotRecorded => false,
            };
            let then = issued(exercise, last).filter(|_| named);
            then.map_or(i64::MAX, of_rung)
        };
        let reported = known(scene, |visit| measured(visit, fact));
        let most = reported.map_or_else(unreported, above);
        let hardest = doses(exercise, item)
            .into_iter()
            .map(|(_, dose)| minutes(dose));
        if let Some(asked) = hardest.max().filter(|asked| *asked > most) {
            let what = format!("{}: {asked} minutes a day, most {most}", item.exercise);
            wrong.push((Property::AsReported, what));
        }
    }
}

fn issued<'a>(exercise: &'a Exercise, last: Option<&Issued>) -> Option<&'a Rung> {
    let mut items = last?.items.iter();
    let item = items.find(|item| item.exercise == exercise.id)?;
    exercise.rung(&item.rung).map(|(_, rung)| rung)
}

/// Far more done, nothing done and a sheet that ran out are said; the last is not climbed from.
pub fn amount_said(scene: &Scene<'_>, wrong: &mut Vec<Wrong>) {
    let Some(last) = last_sheet(scene) else {
        return;
    };
    let said = |is: fn(&Notice) -> bool| scene.program.notices.iter().any(is);
    let mut tell = |what: &str| wrong.push((Property::AmountSaid, what.to_owned()));
    let did = scene.visit.did.known();
    if did == Some(Did::More) && !said(|notice| matches!(notice, Notice::FarMoreDone { .. })) {
        tell("far more was done, and nobody is told");
    }
    if did == Some(Did::None) && !said(|notice| matches!(notice, Notice::NothingDone { .. })) {
        tell("nothing was done, and nobody is told");
    }
    let slip = scene.library.procedure.settings.bounds.slip_days.get();
    if (scene.visit.date - last.use_until).num_days() <= slip {
        return;
    }
    if !said(|notice| matches!(notice, Notice::SheetRanOut { .. })) {
        tell("the last sheet ran out, and nobody is told");
    }
    for item in &scene.program.items {
        let exercise = &scene.library.exercises[&item.exercise];
        let word = has_the_word(scene, &item.exercise);
        let seen = scene
            .visit
            .done
            .iter()
            .any(|done| done.exercise == item.exercise);
        let place = |rung: &Rung| exercise.rung(&rung.id).map(|(at, _)| at);
        let then = issued(exercise, Some(last)).and_then(place);
        let now = exercise.rung(&item.rung).map(|(at, _)| at);
        if !word && !seen && then.is_some() && now > then {
            tell(&format!(
                "{} climbed from a sheet that ran out",
                item.exercise
            ));
        }
    }
}
