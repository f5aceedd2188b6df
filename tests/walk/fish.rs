//! The net catches fish: engines and libraries broken on purpose, each found by the checker.
//!
//! A library changed behind the engine's back is an engine that forgot a rule: it decides by the
//! changed one, and the checker looks with the right one.

use std::sync::LazyLock;

use banister::domain::ids::Id as _;
use banister::domain::library::Library;
use banister::domain::limit::{LimitDegrees, LimitRule};
use banister::domain::quantity::Quantity;
use banister::domain::recorded::Recorded;
use banister::domain::time::VisitDate;
use banister::domain::verdict::{Program, Verdict};
use banister::domain::word::{Fact, FlagEffect, ScreenAnswer};
use chrono::TimeDelta;

use crate::walk::check::{self, Property, Wrong};
use crate::walk::pairs::{self, Relation};
use crate::walk::read::{self, Decided};
use crate::walk::same;
use crate::walk::state::{
    Before, Cleared, Ends, Order, Sheet, State, Table, Word, date, operation,
};
use crate::walk::walker::{Case, Finding, Walker, recheck, shrink};
use crate::walk::world::{Measures, World, all};

static WORLDS: LazyLock<Vec<World>> = LazyLock::new(all);

pub fn world() -> &'static World {
    let knee = WORLDS.iter().find(|world| world.name == "knee-total");
    knee.unwrap_or(&WORLDS[0])
}

pub fn person(day: i64, before: Option<Sheet>) -> State {
    let mut state = world().on(&world().usual, day, Measures::Usual);
    state.before = before.map(|sheet| Before { days: 7, sheet });
    state
}

pub fn decided(state: &State) -> Decided {
    read::decide(world(), state).unwrap_or_else(|error| panic!("{error:?}"))
}

/// Decides with a library broken behind the checker's back.
pub fn decided_by(state: &State, broken: impl Fn(&mut Library)) -> Decided {
    let mut library = world().library.clone();
    broken(&mut library);
    let Decided { record, .. } = decided(state);
    let at = VisitDate(date(operation(), state.day));
    let verdict = banister::engine::decide(&library, &record, at);
    Decided { record, verdict }
}

/// Changes the program of an answer.
pub fn changed(state: &State, change: impl Fn(&mut Program)) -> Decided {
    let mut decided = decided(state);
    if let Verdict::Program(program) = &mut decided.verdict {
        change(program);
    }
    decided
}

pub fn wrong(decided: &Decided) -> Vec<Wrong> {
    let library = &world().library;
    check::answer(library, &decided.record, decided.visit(), &decided.verdict)
}

pub fn caught(decided: &Decided, property: Property) {
    let wrong = wrong(decided);
    let found = wrong.iter().any(|(found, _)| *found == property);
    assert!(found, "{property:?} was not caught: {wrong:?}");
}

fn ordered(state: &State, what: &str, value: &str) -> State {
    state.ordered(Order {
        what: what.to_owned(),
        value: value.to_owned(),
        on: 0,
        from: None,
        ends: Ends::Open,
    })
}

#[test]
fn an_honest_answer_is_left_alone() {
    for before in [None, Some(Sheet::Own), Some(Sheet::Highest)] {
        for day in [8, 20, 50, 100] {
            let state = person(day, before);
            let decided = decided(&state);
            assert!(decided.program().is_some(), "day {day}");
            assert_eq!(wrong(&decided), [], "day {day}");
            assert_eq!(same::again(world(), &state, &decided), [], "day {day}");
        }
    }
}

#[test]
fn an_engine_that_forgets_a_limit_is_caught() {
    let capped = ordered(&person(20, None), "flexion-cap", "degrees = 60");
    let forgets = |library: &mut Library| library.procedure.limits.clear();
    caught(&decided_by(&capped, forgets), Property::ForbiddenDemand);
    let lame = ordered(
        &person(20, None),
        "weight-bearing",
        "weight_bearing = \"none\"",
    );
    caught(&decided_by(&lame, forgets), Property::ForbiddenDemand);
}

#[test]
fn an_engine_that_forgets_which_profile_was_picked_is_caught() {
    let profiles = world().library.procedure.profiles.iter();
    let mut picked = profiles.map(|profile| ordered(&person(8, None), profile.id.as_str(), ""));
    let forgets = |library: &mut Library| {
        for limit in &mut library.procedure.limits {
            let usual = library.procedure.default_profile.as_ref();
            let other = limit.profile.is_some() && limit.profile.as_ref() != usual;
            if let (true, LimitRule::Motion { degrees, .. }) = (other, &mut limit.rule) {
                *degrees = LimitDegrees::Fixed(Quantity::nearest(180));
            }
        }
    };
    let found = picked.any(|state| {
        let wrong = wrong(&decided_by(&state, forgets));
        wrong
            .iter()
            .any(|(found, _)| *found == Property::ForbiddenDemand)
    });
    assert!(found, "no profile was missed");
}

#[test]
fn an_engine_that_takes_silence_for_the_surgeons_yes_is_caught() {
    let mut wants = world().on(&world().usual, 70, Measures::Best);
    let exercises = world().library.exercises.values();
    let kneels = exercises.filter(|exercise| !exercise.needs_orders.is_empty());
    wants.words.extend(kneels.map(|exercise| Word {
        exercise: exercise.id.to_string(),
        action: "add",
        rung: None,
    }));
    assert!(!wants.words.is_empty());
    assert_eq!(wrong(&decided(&wants)), []);
    let forgets = |library: &mut Library| {
        for exercise in library.exercises.values_mut() {
            exercise.needs_orders.clear();
        }
    };
    caught(&decided_by(&wants, forgets), Property::ForbiddenDemand);
}

#[test]
fn an_engine_that_takes_off_no_margin_is_caught() {
    let capped = ordered(&person(20, None), "flexion-cap", "degrees = 90");
    let no_margin = |library: &mut Library| {
        for limit in &mut library.procedure.limits {
            if let banister::domain::limit::LimitRule::Motion { margin, .. } = &mut limit.rule {
                *margin = Quantity::nearest(0);
            }
        }
    };
    caught(&decided_by(&capped, no_margin), Property::ForbiddenDemand);
}

#[test]
fn a_demand_that_was_read_wrongly_is_caught() {
    let lame = ordered(
        &person(20, None),
        "weight-bearing",
        "weight_bearing = \"none\"",
    );
    let misreads = |library: &mut Library| {
        for exercise in library.exercises.values_mut() {
            for demand in &mut exercise.demands {
                demand.weight_bearing = banister::domain::word::LegLoad::None;
            }
            for rung in &mut exercise.rungs {
                rung.weight_bearing = None;
            }
        }
    };
    caught(&decided_by(&lame, misreads), Property::ForbiddenDemand);
}

#[test]
fn an_engine_that_forgets_a_modifier_is_caught() {
    let frail = person(20, None).with_condition("frail");
    let forgets = |library: &mut Library| library.procedure.modifiers.clear();
    caught(&decided_by(&frail, forgets), Property::Cap);
}

#[test]
fn a_dose_above_its_rung_is_caught() {
    let more = changed(&person(20, None), |program| {
        let often = banister::domain::dose::Often::Times(Quantity::nearest(6));
        program.items[0].dose.often = often;
    });
    caught(&more, Property::Cap);
}

#[test]
fn a_day_too_long_is_caught() {
    let busy = person(50, None).with(Table::Patient, "day", "{ minutes = 10 }");
    let mut long = decided(&person(50, None));
    long.record.visits[0].patient = decided(&busy).record.visits[0].patient.clone();
    caught(&long, Property::RoomOfTheDay);
    let all_in = decided_by(&person(50, None), |library| {
        library.clinic.items = Quantity::nearest(8);
        library.clinic.minutes_a_day = Quantity::nearest(240);
    });
    caught(&all_in, Property::RoomOfTheDay);
}

#[test]
fn a_clot_or_chest_sign_that_does_not_withhold_is_caught() {
    for flag in ["calf", "chest"] {
        let sign = person(20, None).with(Table::Screen, flag, "\"yes\"");
        let mild = decided_by(&sign, |library| {
            for flag in &mut library.procedure.red_flags {
                flag.effect = FlagEffect::Tell;
            }
        });
        caught(&mild, Property::RedFlagWithholds);
    }
}

#[test]
fn a_new_sign_under_an_old_assessment_is_caught() {
    let (yes, known) = (ScreenAnswer::Yes, ScreenAnswer::Known);
    for (said, heard, until) in [(yes, known, 25), (known, ScreenAnswer::No, 19)] {
        let state = person(20, None).with(Table::Screen, "calf", &format!("\"{said}\""));
        let mut state = state;
        state.cleared.push(Cleared {
            flag: "calf".to_owned(),
            on: 18,
            until,
        });
        let mut deaf = decided(&state);
        let mut record = deaf.record.clone();
        if let Recorded::Yes(screen) = &mut record.visits[0].screen {
            screen
                .values_mut()
                .filter(|answer| **answer == said)
                .for_each(|answer| *answer = heard);
        }
        let at = VisitDate(date(operation(), state.day));
        deaf.verdict = banister::engine::decide(&world().library, &record, at);
        assert!(deaf.program().is_some(), "{said}");
        caught(&deaf, Property::RedFlagWithholds);
    }
}

#[test]
fn a_knee_that_is_worse_and_loaded_more_is_caught() {
    let state = person(50, None).with(Table::Pain, "rest", "9");
    let forgets = |library: &mut Library| library.procedure.reviews.clear();
    caught(&decided_by(&state, forgets), Property::WorseKeeps);
    assert_eq!(wrong(&decided(&state)), []);
    let numb = person(9, None).with(Table::Visit, "block_gone", "\"no\"");
    let forgets = |library: &mut Library| {
        library.procedure.limits.clear();
        for exercise in library.exercises.values_mut() {
            exercise.entry.retain(|test| test.fact != Fact::BlockGone);
        }
    };
    caught(&decided_by(&numb, forgets), Property::WorseKeeps);
    assert_eq!(wrong(&decided(&numb)), []);
}

#[test]
fn a_question_nobody_asked_is_caught() {
    let mut blank = decided(&person(20, None));
    let screen = &mut blank.record.visits[0].screen;
    if let Recorded::Yes(screen) = screen {
        screen.retain(|_, answer| *answer != ScreenAnswer::No);
    }
    caught(&blank, Property::UnknownIsNotNo);
    let mut ill = decided(&person(20, None));
    ill.record.visits[0].patient.conditions = Recorded::NotRecorded;
    caught(&ill, Property::UnknownIsNotNo);
}

#[test]
fn a_step_that_is_missing_is_caught() {
    let state = person(20, Some(Sheet::Own));
    caught(
        &changed(&state, |program| {
            program.items[0].steps.pop();
        }),
        Property::StepsReplay,
    );
    caught(
        &changed(&state, |program| {
            let step = program.items[0].steps[0].clone();
            program.items[0].steps.push(step);
        }),
        Property::StepsReplay,
    );
}

#[test]
fn an_empty_core_domain_that_nobody_told_is_caught() {
    let empty = changed(&person(20, None), |program| {
        program.items.clear();
        program.notices.clear();
    });
    caught(&empty, Property::CoreServedOrTold);
}

#[test]
fn a_sheet_across_the_operation_is_caught() {
    let across = changed(&person(2, None), |program| {
        program.life.from -= TimeDelta::days(5);
    });
    caught(&across, Property::OwnSideOfTheOperation);
}

#[test]
fn an_engine_that_does_not_hear_pain_is_caught() {
    let sore = person(50, Some(Sheet::Own)).with(Table::Pain, "exercise", "9");
    let deaf = decided_by(&sore, |library| {
        for band in &mut library.procedure.bands {
            (band.settled, band.tolerable) = (Quantity::nearest(10), Quantity::nearest(10));
        }
    });
    caught(&deaf, Property::NothingNewOrHigher);
}

#[test]
fn something_new_or_higher_after_a_bad_answer_is_caught() {
    let sore = person(50, Some(Sheet::Lowest)).with(Table::Pain, "exercise", "9");
    let mut climbs = decided(&sore);
    if let Verdict::Program(program) = &mut climbs.verdict {
        let item = program
            .items
            .iter_mut()
            .find(|item| world().library.exercises[&item.exercise].rungs.len() > 1)
            .unwrap();
        let rungs = &world().library.exercises[&item.exercise].rungs;
        item.rung = rungs[rungs.len() - 1].id.clone();
    }
    caught(&climbs, Property::NothingNewOrHigher);
    let mut new = decided(&sore);
    let items = new.record.visits[0].issued.as_mut().unwrap();
    items.items.retain(|line| {
        let exercise = &world().library.exercises[&line.exercise];
        exercise.work == banister::domain::word::Work::Range
    });
    caught(&new, Property::NothingNewOrHigher);
}

fn compared(relation: Relation, first: &Decided, second: &Decided) -> Vec<Wrong> {
    let mut wrong = Vec::new();
    pairs::compare(world(), relation, first, second, &mut wrong);
    wrong
}

/// Pairs in the wrong order are engines that answer the wrong way round.
#[test]
fn an_answer_the_wrong_way_round_is_caught() {
    let calm = person(50, Some(Sheet::Own));
    let sore = calm.with(Table::Pain, "exercise", "9");
    let ill = calm.with_condition("frail");
    let blank = calm.without(Table::Patient, "equipment");
    for (relation, other, property) in [
        (Relation::MoreSigns, &sore, Property::MoreSigns),
        (Relation::Precaution, &ill, Property::OneMorePrecaution),
        (Relation::Blank, &blank, Property::UnknownIsNotNo),
    ] {
        let (calm, other) = (decided(&calm), decided(other));
        assert_eq!(compared(relation, &calm, &other), []);
        let wrong = compared(relation, &other, &calm);
        assert!(
            wrong.iter().any(|(found, _)| *found == property),
            "{property:?} was not caught"
        );
    }
}

#[test]
fn range_work_that_is_eased_early_is_caught() {
    let calm = person(20, Some(Sheet::Own));
    let sore = calm.with(Table::Pain, "exercise", "9");
    let eases = decided_by(&sore, |library| {
        let none = banister::domain::time::Day::new(0);
        library.procedure.settings.range_protected_before = none;
    });
    let calm = decided(&calm);
    assert_eq!(compared(Relation::RangeWork, &calm, &decided(&sore)), []);
    let wrong = compared(Relation::RangeWork, &calm, &eases);
    assert!(
        wrong
            .iter()
            .any(|(found, _)| *found == Property::RangeIsNotEased)
    );
}

#[test]
fn what_was_before_the_operation_and_changes_the_sheet_is_caught() {
    let (with, without) = (person(20, Some(Sheet::Highest)), person(20, None));
    let wrong = compared(Relation::NotBefore, &decided(&with), &decided(&without));
    assert_eq!(wrong.len(), 1);
}

#[test]
fn an_answer_that_differs_when_nothing_does_is_caught() {
    let state = person(20, Some(Sheet::Own));
    let chance = changed(&state, |program| {
        program.items.pop();
    });
    let wrong = same::again(world(), &state, &chance);
    for property in [
        Property::EqualInputs,
        Property::ShiftedDates,
        Property::OrderOfRows,
        Property::WhatComesLater,
    ] {
        assert!(
            wrong.iter().any(|(found, _)| *found == property),
            "{property:?} was not caught: {wrong:?}"
        );
    }
}

#[test]
fn a_record_that_cannot_be_read_is_caught() {
    let mut walker = Walker::new(world(), 1, 0);
    walker.block("made up");
    walker.see(&person(20, None).with(Table::Screen, "no-such-flag", "\"no\""));
    assert!(walker.found.contains_key(&Property::Readable));
}

#[test]
fn what_is_printed_is_the_smallest_record_that_still_shows_it() {
    let state =
        person(20, Some(Sheet::Own))
            .with_condition("heart")
            .with(Table::Pain, "exercise", "4");
    let state = state.with(Table::Visit, "no-such-key", "1");
    let finding = Finding {
        wrong: (Property::Readable, String::new()),
        case: Case::One(state.clone()),
        note: String::new(),
    };
    let small = shrink(world(), &finding);
    let Case::One(small) = small.case else {
        panic!("one state")
    };
    assert_eq!(small.before, None);
    assert!(small.conditions().is_empty());
    assert!(recheck(world(), &Case::One(small.clone()), Property::Readable).is_some());
    let text = read::text(world(), &person(20, Some(Sheet::Own))).unwrap();
    assert!(text.contains("[visit.seal]"), "the sheet before is sealed");
}

#[test]
fn the_record_decided_is_the_record_written() {
    let state = person(20, Some(Sheet::Highest)).with_condition("frail");
    let mut decided = decided(&state);
    assert_eq!(read::reads_back(world(), &state, &decided.record), Ok(()));
    decided.record.visits[1].by = "PT-2".to_owned();
    assert!(read::reads_back(world(), &state, &decided.record).is_err());
}
