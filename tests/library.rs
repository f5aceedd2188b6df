//! What every exercise of the library must say of itself, and that no order lets a wrong one through.

use std::collections::BTreeSet;
use std::fs;

use banister::domain::exercise::{Exercise, Peak, Rung};
use banister::domain::fact::{Comparison, Test};
use banister::domain::ids::{ConditionId, EquipmentId, ExerciseId, Id, TagId};
use banister::domain::library::Library;
use banister::domain::quantity::{Degrees, Quantity};
use banister::domain::record::{Adjust, OrderValue, Record};
use banister::domain::recorded::Recorded;
use banister::domain::verdict::{Item, Program, Verdict};
use banister::domain::word::{
    AdjustAction, Fact, Joint, LegLoad, Motion, Position, Row, Side, Support, WalkingAid,
    WeightBearing, Work, YesNo,
};

use crate::support;
use crate::support::people::{Answers, order, person, record, see};

fn on_the_sheet(library: &Library) -> impl Iterator<Item = &Exercise> {
    library
        .exercises
        .values()
        .filter(|exercise| exercise.row == Row::Exercise)
}

fn tags<'a>(exercise: &'a Exercise, rung: &'a Rung) -> BTreeSet<&'a str> {
    let demands = exercise.demands.iter().flat_map(|demand| &demand.tags);
    demands.chain(&rung.tags).map(TagId::as_str).collect()
}

fn loads(exercise: &Exercise, rung: &Rung) -> BTreeSet<LegLoad> {
    match rung.weight_bearing {
        Some(load) => [load].into(),
        None => exercise
            .demands
            .iter()
            .map(|demand| demand.weight_bearing)
            .collect(),
    }
}

fn bends(exercise: &Exercise) -> bool {
    exercise
        .demands
        .iter()
        .any(|demand| demand.joint == Joint::Knee && demand.motion == Motion::Flexion)
}

/// Tells of every rung of every exercise that breaks a rule.
fn none_breaks(library: &Library, what: &str, breaks: impl Fn(&Exercise, &Rung) -> bool) {
    let wrong: Vec<String> = on_the_sheet(library)
        .flat_map(|exercise| exercise.rungs.iter().map(move |rung| (exercise, rung)))
        .filter(|(exercise, rung)| breaks(exercise, rung))
        .map(|(exercise, rung)| format!("{} {}", exercise.id, rung.id))
        .collect();
    assert!(wrong.is_empty(), "{what}: {}", wrong.join(", "));
}

#[test]
fn more_than_forty_exercises_stand_in_a_phase() {
    let library = support::plain_library();
    let named: BTreeSet<&ExerciseId> = library
        .procedure
        .phases
        .iter()
        .flat_map(|phase| &phase.candidates)
        .map(|candidate| &candidate.exercise)
        .collect();
    assert!(named.len() > 40, "{} stand in a phase", named.len());
    let all: BTreeSet<&ExerciseId> = library.exercises.keys().collect();
    assert_eq!(named, all, "each file has its place");
}

#[test]
fn each_demand_carries_the_words_that_limits_look_for() {
    let library = support::plain_library();
    let upright =
        |exercise: &Exercise| [Position::Standing, Position::Walking].contains(&exercise.position);
    none_breaks(
        &library,
        "on the feet, but not `standing`",
        |exercise, rung| upright(exercise) && !tags(exercise, rung).contains("standing"),
    );
    none_breaks(&library, "a step, but not `step`", |exercise, rung| {
        let step = rung.height_cm.is_some()
            || exercise
                .needs
                .iter()
                .any(|id| id.as_str().starts_with("step-"));
        step && !tags(exercise, rung).contains("step")
    });
    none_breaks(
        &library,
        "on one leg, but not `single-leg` or `step`",
        |exercise, rung| {
            let words = tags(exercise, rung);
            loads(exercise, rung).contains(&LegLoad::SingleLeg)
                && !words.contains("single-leg")
                && !words.contains("step")
        },
    );
    none_breaks(
        &library,
        "a squat or step that does not say how far it bends",
        |exercise, rung| {
            let words = tags(exercise, rung);
            ["squat", "step", "bike"]
                .iter()
                .any(|word| words.contains(word))
                && !bends(exercise)
        },
    );
    none_breaks(
        &library,
        "a squat or step that does not straighten the knee",
        |exercise, rung| {
            let words = tags(exercise, rung);
            let lifts = words.contains("squat") || rung.height_cm.is_some();
            lifts && !words.contains("active-extension")
        },
    );
    none_breaks(&library, "a strap that is not pulled", |exercise, rung| {
        let strap = exercise.needs.iter().any(|id| id.as_str() == "strap");
        strap && !tags(exercise, rung).contains("strap-pull")
    });
    none_breaks(
        &library,
        "lying on the front does not arch the back",
        |exercise, rung| {
            exercise.position == Position::Prone && !tags(exercise, rung).contains("back-arch")
        },
    );
}

#[test]
fn weights_bands_high_steps_and_deep_squats_are_loaded_work_with_days_off() {
    let library = support::plain_library();
    none_breaks(&library, "hard, but not loaded", |_, rung| {
        let high = rung.height_cm.is_some_and(|height| height.get() >= 15);
        let deep = rung.range_degrees.is_some_and(|range| range.get() > 45);
        let hard = rung.load_g.is_some() || rung.band.is_some() || high || deep;
        hard && rung.loaded == YesNo::No
    });
    none_breaks(&library, "loaded on more than three days", |_, rung| {
        rung.loaded == YesNo::Yes && rung.days_a_week.get() > 3
    });
    none_breaks(
        &library,
        "weight or band without its word",
        |exercise, rung| {
            let words = tags(exercise, rung);
            (rung.load_g.is_some() || rung.band.is_some())
                && !words.contains("resisted")
                && !words.contains("resisted-extension")
        },
    );
    none_breaks(&library, "more than 2 kg at home", |_, rung| {
        rung.load_g.is_some_and(|load| load.get() > 2000)
    });
    none_breaks(
        &library,
        "a weight or band at home needs one there",
        |exercise, rung| {
            let at_home = |thing: &str| {
                let mut needs = exercise.needs.iter().chain(&rung.needs);
                needs.any(|id| id.as_str() == thing)
            };
            rung.load_g.is_some() && !at_home("ankle-weight")
                || rung.band.is_some() && !at_home("band")
        },
    );
}

/// Says whether a test keeps an exercise from the first days, or asks for the block itself.
fn heeds_the_block(test: &Test) -> bool {
    match &test.comparison {
        Comparison::AtLeast(day) => test.fact == Fact::Day && *day >= 4,
        Comparison::AtMost(_) => false,
        Comparison::Is(words) => test.fact == Fact::BlockGone && words == &["yes"],
    }
}

#[test]
fn a_leg_numb_from_the_block_gets_no_work_on_the_feet() {
    let library = support::plain_library();
    none_breaks(
        &library,
        "on the feet with the block unasked",
        |exercise, _| {
            exercise.position == Position::Standing && !exercise.entry.iter().any(heeds_the_block)
        },
    );
}

/// The heart's modifier holds for all work of some effort that is not a stretch or a bend.
#[test]
fn the_heart_is_spared_in_all_strength_work() {
    let library = support::plain_library();
    let heart = library
        .procedure
        .modifiers
        .iter()
        .find(|modifier| modifier.id.as_str() == "heart")
        .unwrap();
    let strength = [
        "quadriceps-activation",
        "quadriceps-strength",
        "hip-strength",
        "calf-strength",
    ];
    for exercise in on_the_sheet(&library) {
        let strong = exercise
            .domains
            .keys()
            .any(|domain| strength.contains(&domain.as_str()));
        let bend = exercise.work == Work::Range;
        assert!(
            !strong || bend || heart.exercises.contains(&exercise.id),
            "{} is not in the heart's modifier",
            exercise.id
        );
    }
}

/// What nobody acts on need not be asked.
#[test]
fn every_condition_that_is_asked_about_changes_a_sheet() {
    let library = support::plain_library();
    let page = |day: u64, conditions: BTreeSet<ConditionId>| {
        let mut patient = person();
        patient.conditions = Recorded::Yes(conditions);
        let mut record = record(patient, Side::Left);
        let date = see(&library, &mut record, &fit(day));
        let verdict = banister::engine::decide(&library, &record, date);
        banister::render::text::text(&support::people::document(&library, &record, &verdict))
    };
    for condition in library.procedure.conditions.keys() {
        let changes = [2, 20, 60]
            .iter()
            .any(|day| page(*day, [condition.clone()].into()) != page(*day, BTreeSet::new()));
        assert!(changes, "{condition} changes no sheet");
    }
}

/// Everything at once: a long stance, a fine bend, a straight leg, so that only a limit can bar.
fn fit(day: u64) -> Answers {
    let mut answers = Answers::calm(day, 118);
    answers.deficit = Some(6);
    answers.aid = Some(WalkingAid::None);
    answers
}

/// Decides day 90 with one rung asked for by the clinician's word.
fn asked(library: &Library, mut record: Record, exercise: &Exercise, rung: &Rung) -> Program {
    let date = see(library, &mut record, &fit(90));
    record.visits[0].adjust.push(Adjust {
        exercise: exercise.id.clone(),
        action: AdjustAction::Add,
        rung: Recorded::Yes(rung.id.clone()),
        because: "Tried today.".to_owned(),
        by: "PT-1".to_owned(),
    });
    match banister::engine::decide(library, &record, date) {
        Verdict::Program(program) => *program,
        other => panic!("{} {}: {other:?}", exercise.id, rung.id),
    }
}

/// Asks for every rung of every exercise and looks at the program that comes of it.
fn each_asked(change: impl Fn(&mut Record), look: impl Fn(&Library, &Exercise, &Rung, &Program)) {
    let library = support::plain_library();
    for exercise in on_the_sheet(&library) {
        for rung in &exercise.rungs {
            let mut base = record(person(), Side::Left);
            change(&mut base);
            look(
                &library,
                exercise,
                rung,
                &asked(&library, base, exercise, rung),
            );
        }
    }
}

/// Asks for every rung of every exercise under an order or a condition: nothing wrong is given.
fn none_given(change: impl Fn(&mut Record), wrong: impl Fn(&Exercise, &Rung, &Item) -> bool) {
    each_asked(change, |library, _, _, program| {
        for item in &program.items {
            let own = &library.exercises[&item.exercise];
            let (_, at) = own.rung(&item.rung).unwrap();
            assert!(!wrong(own, at, item), "{} {} was given", own.id, at.id);
        }
    });
}

#[test]
fn with_nothing_against_it_each_exercise_is_given_as_asked() {
    let library = support::plain_library();
    each_asked(
        |record| {
            let waits = on_the_sheet(&library).flat_map(|exercise| &exercise.needs_orders);
            let yes = waits.map(|kind| order(200, kind.as_str(), OrderValue::Stands));
            record.orders.extend(yes);
            if let Recorded::Yes(kit) = &mut record.patient.equipment {
                kit.insert(EquipmentId::new("helper").unwrap());
            }
        },
        |_, exercise, rung, program| {
            let given = program
                .items
                .iter()
                .find(|item| item.exercise == exercise.id);
            assert_eq!(
                given.map(|item| &item.rung),
                Some(&rung.id),
                "{}",
                exercise.id
            );
        },
    );
}

#[test]
fn no_clinicians_word_puts_weight_on_a_leg_that_may_bear_none() {
    none_given(
        |record| {
            let none = OrderValue::WeightBearing(WeightBearing::None);
            record.orders.push(order(170, "weight-bearing", none));
        },
        |exercise, rung, _| loads(exercise, rung) != [LegLoad::None].into(),
    );
}

#[test]
fn no_clinicians_word_bends_a_knee_in_a_locked_brace() {
    none_given(
        |record| {
            record
                .orders
                .push(order(170, "brace-locked", OrderValue::Stands));
        },
        |exercise, _, _| bends(exercise),
    );
}

#[test]
fn no_clinicians_word_straightens_a_knee_that_may_not() {
    none_given(
        |record| {
            record
                .orders
                .push(order(170, "no-active-extension", OrderValue::Stands));
        },
        |exercise, rung, _| {
            let words = tags(exercise, rung);
            words.contains("active-extension") || words.contains("resisted-extension")
        },
    );
}

#[test]
fn no_clinicians_word_bends_past_the_surgeons_limit() {
    none_given(
        |record| {
            let cap = OrderValue::Degrees(Degrees::nearest(70));
            record.orders.push(order(170, "flexion-cap", cap));
        },
        |exercise, rung, item| {
            let peaks = exercise.demands.iter().filter_map(|demand| {
                let knee = demand.joint == Joint::Knee && demand.motion == Motion::Flexion;
                knee.then_some(match demand.peak {
                    Peak::Fixed(degrees) => degrees.get(),
                    Peak::OfRung => rung.range_degrees.map_or(180, Quantity::get),
                })
            });
            let most = peaks.max().unwrap_or(0);
            most > 65 && item.dose.limit.is_none_or(|limit| limit.get() > 65)
        },
    );
}

#[test]
fn thin_bones_never_lunge_and_always_hold_on() {
    none_given(
        |record| {
            let thin = ConditionId::new("osteoporosis").unwrap();
            record.patient.conditions = Recorded::Yes([thin].into());
        },
        |exercise, rung, item| {
            let free = item.dose.support == Some(Support::None);
            let high = item.dose.height_cm.is_some_and(|height| height.get() > 15);
            tags(exercise, rung).contains("deep-lunge") || free || high
        },
    );
}

/// "left" and "right" are put in as they are, so a sentence that begins with one has no capital.
#[test]
fn no_sentence_begins_with_a_side() {
    for folder in ["protocols/exercises", "protocols/procedures"] {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let text = fs::read_to_string(&path).unwrap();
            for (at, line) in text.lines().enumerate() {
                let starts = ["\"", ". ", "? ", "! "].into_iter().any(|before| {
                    line.contains(&format!("{before}{{side}}"))
                        || line.contains(&format!("{before}{{other}}"))
                });
                assert!(!starts, "{}:{}: {line}", path.display(), at + 1);
            }
        }
    }
}
