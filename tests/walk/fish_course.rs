//! Engines and libraries broken on purpose in what must hold from sheet to sheet.

use banister::domain::ids::Id as _;
use banister::domain::library::Library;
use banister::domain::quantity::Quantity;
use banister::domain::recorded::Recorded;
use banister::domain::verdict::Notice;
use banister::domain::word::{BandWork, Work, YesNo};

use crate::walk::check::Property;
use crate::walk::state::{Sheet, State, Table};
use crate::walk_fish::{caught, changed, decided, decided_by, person, world, wrong};

fn clean(state: &State) {
    assert_eq!(wrong(&decided(state)), []);
}

#[test]
fn an_engine_that_forgets_what_loads_is_caught() {
    let forgets = |library: &mut Library| library.procedure.settings.loading_tags.clear();
    let found = (14..28).any(|day| {
        let sore = person(day, Some(Sheet::Own)).with(Table::Pain, "exercise", "6");
        clean(&sore);
        let wrong = wrong(&decided_by(&sore, forgets));
        wrong
            .iter()
            .any(|(found, _)| *found == Property::NothingNewOrHigher)
    });
    assert!(found, "no squat and no chair rise was missed");
}

#[test]
fn an_engine_that_takes_a_bad_morning_for_calm_is_caught() {
    let sore = person(20, Some(Sheet::Own))
        .with(Table::Pain, "exercise", "6")
        .with(Table::Pain, "morning", "\"more\"");
    clean(&sore);
    let deaf = |library: &mut Library| {
        for band in &mut library.procedure.bands {
            band.calm_after = YesNo::No;
            if band.work == BandWork::Loaded {
                band.tolerable = Quantity::nearest(7);
            }
        }
    };
    caught(&decided_by(&sore, deaf), Property::NothingNewOrHigher);
}

#[test]
fn a_new_bend_after_too_much_and_new_work_under_a_red_flag_are_caught() {
    let calm = person(20, Some(Sheet::Own));
    let sore = calm.with(Table::Pain, "exercise", "9");
    let flagged = calm.with(Table::Screen, "giving-way", "\"yes\"");
    let none = calm.with(Table::Visit, "did", "\"none\"");
    for (state, gone) in [
        (&sore, Work::Range),
        (&flagged, Work::Range),
        (&none, Work::Other),
    ] {
        clean(state);
        let mut new = decided(state);
        let issued = new.record.visits[0].issued.as_mut().unwrap();
        let lines = &mut issued.items;
        lines.retain(|line| world().library.exercises[&line.exercise].work != gone);
        caught(&new, Property::NothingNewOrHigher);
    }
    let any = |library: &mut Library| {
        library.procedure.settings.bounds.gentle_effort = Quantity::nearest(5);
    };
    let first = person(50, None).with(Table::Screen, "giving-way", "\"yes\"");
    clean(&first);
    caught(&decided_by(&first, any), Property::NothingNewOrHigher);
}

#[test]
fn an_engine_that_lets_a_stiff_knee_go_without_bending_is_caught() {
    let stiff = person(50, Some(Sheet::Own)).with(Table::Measured, "flexion", "85");
    clean(&stiff);
    let quiet = changed(&stiff, |program| {
        let library = &world().library;
        program
            .items
            .retain(|item| library.exercises[&item.exercise].work != Work::Range);
        program.notices.clear();
    });
    caught(&quiet, Property::EndOfRange);
    let told = decided_by(&stiff, |library| {
        library.procedure.courses.clear();
        library.procedure.reviews.clear();
        for exercise in library.exercises.values_mut() {
            if exercise.work == Work::Range {
                exercise
                    .domains
                    .values_mut()
                    .for_each(|weight| *weight = Quantity::nearest(1));
            }
        }
    });
    caught(&told, Property::EndOfRange);
}

#[test]
fn an_engine_that_lets_somebody_squat_before_the_leg_lifts_is_caught() {
    let weak = person(50, None)
        .with(Table::Measured, "leg_lift", "\"with-help\"")
        .with(Table::Measured, "lag", "15");
    clean(&weak);
    let forgets = |library: &mut Library| {
        for exercise in library.exercises.values_mut() {
            exercise.entry.clear();
            exercise
                .rungs
                .iter_mut()
                .for_each(|rung| rung.entry.clear());
        }
    };
    caught(&decided_by(&weak, forgets), Property::LegLiftFirst);
}

#[test]
fn an_engine_that_walks_by_the_calendar_is_caught() {
    let slow = person(50, Some(Sheet::Highest)).with(Table::Measured, "walk_minutes", "10");
    clean(&slow);
    let forgets = |library: &mut Library| {
        for exercise in library.exercises.values_mut() {
            exercise.reported = None;
        }
    };
    caught(&decided_by(&slow, forgets), Property::AsReported);
}

#[test]
fn what_was_done_and_is_not_said_is_caught() {
    let calm = person(50, Some(Sheet::Own));
    for did in ["\"more\"", "\"none\""] {
        let state = calm.with(Table::Visit, "did", did);
        clean(&state);
        let quiet = changed(&state, |program| {
            program.notices.retain(|notice| {
                !matches!(
                    notice,
                    Notice::FarMoreDone { .. } | Notice::NothingDone { .. }
                )
            });
        });
        caught(&quiet, Property::AmountSaid);
    }
    let mut ran_out = decided(&calm);
    let issued = ran_out.record.visits[0].issued.as_mut().unwrap();
    issued.use_until -= chrono::TimeDelta::days(40);
    caught(&ran_out, Property::AmountSaid);
}

#[test]
fn hands_that_let_go_of_a_frail_person_are_caught() {
    let frail = person(70, Some(Sheet::Highest)).with_condition("frail");
    clean(&frail);
    let forgets = |library: &mut Library| {
        let hands_on = banister::domain::ids::LimitId::new("frail-hands-on").unwrap();
        library
            .procedure
            .limits
            .retain(|limit| limit.id != hands_on);
        library.clinic.items = Quantity::nearest(8);
    };
    let decided = decided_by(&frail, forgets);
    assert!(matches!(
        decided.record.visits[1].patient.conditions,
        Recorded::Yes(_)
    ));
    caught(&decided, Property::ForbiddenDemand);
}
