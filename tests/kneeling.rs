//! Kneeling, the floor, and getting up after a fall: the surgeon's word first.

use banister::domain::ids::{ConditionId, EquipmentId, ExerciseId, Id};
use banister::domain::record::{Adjust, Home, OrderValue, Record, Until};
use banister::domain::recorded::Recorded;
use banister::domain::verdict::{Program, Verdict, WhyNot};
use banister::domain::word::{AdjustAction, Fact, ScreenAnswer, Side, YesNo};

use crate::support;
use crate::support::people::{Answers, decide_and_issue, operation, order, person, record, see};

const KNEEL: &str = "kneeling";
const FLOOR: &str = "floor-and-up";

/// Someone with the surgeon's yes, a helper and a safe floor; the clinician may ask by name.
fn decided(day: u64, wanted: Option<&str>, change: impl Fn(&mut Record, &mut Answers)) -> Program {
    let library = support::plain_library();
    let mut record = record(person(), Side::Left);
    let mut allowed = order(0, "kneeling-allowed", OrderValue::Stands);
    (allowed.on, allowed.until) = (operation(), Until::Open);
    record.orders.push(allowed);
    if let Recorded::Yes(kit) = &mut record.patient.equipment {
        kit.insert(EquipmentId::new("helper").unwrap());
    }
    record.patient.home = home(YesNo::Yes);
    let mut answers = Answers::calm(day, 115);
    change(&mut record, &mut answers);
    let date = see(&library, &mut record, &answers);
    let visit = record.visits.last_mut().unwrap();
    visit.adjust.extend(wanted.map(|exercise| Adjust {
        exercise: ExerciseId::new(exercise).unwrap(),
        action: AdjustAction::Add,
        rung: Recorded::NotRecorded,
        because: "To garden again.".to_owned(),
        by: "PT-1".to_owned(),
    }));
    match decide_and_issue(&library, &mut record, date) {
        Verdict::Program(program) => *program,
        other => panic!("{other:?}"),
    }
}

fn home(floor_safe: YesNo) -> Recorded<Home> {
    Recorded::Yes(Home {
        alone: Recorded::NotRecorded,
        stairs: Recorded::NotRecorded,
        bed: Recorded::NotRecorded,
        floor_safe: Recorded::Yes(floor_safe),
    })
}

fn stands(program: &Program, exercise: &str) -> bool {
    program
        .items
        .iter()
        .any(|item| item.exercise.as_str() == exercise)
}

fn why_not(program: &Program, exercise: &str) -> Option<WhyNot> {
    let left = program
        .left_out
        .iter()
        .find(|left| left.exercise.as_str() == exercise);
    left.map(|left| left.reason.clone())
}

fn nothing(_: &mut Record, _: &mut Answers) {}

#[test]
fn with_the_surgeons_yes_it_opens() {
    assert!(stands(&decided(60, Some(KNEEL), nothing), KNEEL));
    assert!(stands(&decided(70, Some(FLOOR), nothing), FLOOR));
}

#[test]
fn without_it_nobody_kneels_whoever_asks_and_the_reason_says_so() {
    for exercise in [KNEEL, FLOOR] {
        for wanted in [None, Some(exercise)] {
            let none = decided(70, wanted, |record, _| record.orders.clear());
            let open = decided(70, wanted, |record, _| {
                record.orders[0].until = Until::Asked;
            });
            for program in [none, open] {
                let reason = why_not(&program, exercise);
                assert!(
                    matches!(reason, Some(WhyNot::NotOrdered { .. })),
                    "{reason:?}"
                );
            }
        }
    }
}

/// The test that keeps an exercise out when nobody asks for it by name.
fn kept_out(exercise: &str, day: u64, change: impl Fn(&mut Record, &mut Answers)) -> Option<Fact> {
    let program = decided(day, None, change);
    assert!(!stands(&program, exercise));
    match why_not(&program, exercise) {
        Some(WhyNot::NotYet { test, .. }) => Some(test.fact),
        _ => None,
    }
}

/// The limit that keeps kneeling out, also when the clinician asks for it by name.
fn limit(exercise: &str, day: u64, change: &dyn Fn(&mut Record, &mut Answers)) -> String {
    let program = decided(day, Some(exercise), change);
    match why_not(&program, exercise) {
        Some(WhyNot::Forbidden { limit, .. }) => limit.to_string(),
        other => panic!("{exercise} on day {day}: {other:?}"),
    }
}

#[test]
fn nothing_but_the_surgeons_yes_the_day_and_a_dry_wound_opens_it() {
    for exercise in [KNEEL, FLOOR] {
        let kept = limit(exercise, 41, &nothing);
        assert!(
            ["kneel-day", "squat-depth"].contains(&kept.as_str()),
            "{kept}"
        );
        for answer in [ScreenAnswer::Known, ScreenAnswer::Yes] {
            let wound = move |_: &mut Record, answers: &mut Answers| {
                answers.flags.push(("wound", answer));
            };
            let kept = decided(70, Some(exercise), wound);
            assert!(!stands(&kept, exercise), "{answer:?}");
        }
    }
    let known = |_: &mut Record, answers: &mut Answers| {
        answers.flags.push(("wound", ScreenAnswer::Known));
    };
    let program = decided(60, Some(KNEEL), known);
    let mut limits = program.limits.iter();
    assert!(limits.any(|limit| limit.limit.as_str() == "kneel-wound"));
    assert!(stands(&decided(42, Some(KNEEL), nothing), KNEEL));
}

#[test]
fn a_wound_nobody_asked_about_gives_no_program_at_all() {
    let library = support::plain_library();
    let mut record = record(person(), Side::Left);
    let date = see(&library, &mut record, &Answers::calm(60, 115));
    let visit = record.visits.last_mut().unwrap();
    if let Recorded::Yes(screen) = &mut visit.screen {
        screen.retain(|flag, _| flag.as_str() != "wound");
    }
    let verdict = banister::engine::decide(&library, &record, date);
    assert!(matches!(verdict, Verdict::Unanswered(_)), "{verdict:?}");
}

#[test]
fn it_is_kept_from_those_whom_it_could_make_fall() {
    let ill = |name: &'static str| {
        move |record: &mut Record, _: &mut Answers| {
            let id = ConditionId::new(name).unwrap();
            record.patient.conditions = Recorded::Yes([id].into());
        }
    };
    for name in ["other-knee", "frail", "numb-feet"] {
        for exercise in [KNEEL, FLOOR] {
            let kept = limit(exercise, 70, &ill(name));
            assert_eq!(kept, format!("kneel-{name}"));
        }
    }
    for name in ["heart", "memory", "shoulder"] {
        assert!(
            stands(&decided(70, Some(KNEEL), ill(name)), KNEEL),
            "{name}"
        );
        assert_eq!(limit(FLOOR, 70, &ill(name)), format!("floor-{name}"));
    }
    let thin = limit(FLOOR, 70, &ill("osteoporosis"));
    assert_eq!(thin, "soft-bones");
    for flag in ["fall", "giving-way"] {
        let fell = move |_: &mut Record, answers: &mut Answers| {
            answers.flags.push((flag, ScreenAnswer::Yes));
        };
        for exercise in [KNEEL, FLOOR] {
            assert!(
                !stands(&decided(70, Some(exercise), fell), exercise),
                "{flag}"
            );
        }
    }
}

#[test]
fn the_bend_the_floor_and_a_helper_hold_it_back() {
    let stiff = |_: &mut Record, answers: &mut Answers| answers.flexion = Some(95);
    assert_eq!(kept_out(KNEEL, 60, stiff), Some(Fact::Flexion));
    assert_eq!(kept_out(FLOOR, 50, nothing), Some(Fact::Day));
    let unsafe_floor = |record: &mut Record, _: &mut Answers| {
        record.patient.home = home(YesNo::No);
    };
    assert_eq!(kept_out(FLOOR, 70, unsafe_floor), Some(Fact::FloorSafe));
    let unasked = |record: &mut Record, _: &mut Answers| {
        record.patient.home = Recorded::NotRecorded;
    };
    assert_eq!(kept_out(FLOOR, 70, unasked), Some(Fact::FloorSafe));
    let alone = |record: &mut Record, _: &mut Answers| {
        if let Recorded::Yes(kit) = &mut record.patient.equipment {
            kit.remove(&EquipmentId::new("helper").unwrap());
        }
    };
    let reason = why_not(&decided(70, None, alone), FLOOR);
    assert!(
        matches!(reason, Some(WhyNot::NoEquipment { .. })),
        "{reason:?}"
    );
}

#[test]
fn a_partial_replacement_opens_no_earlier_and_others_not_at_all() {
    let day = |procedure: &str, exercise: &str| {
        let library = support::plain_library_of(procedure);
        let id = ExerciseId::new(exercise).unwrap();
        let tests = library.exercises.get(&id)?.entry.iter();
        let mut days = tests.filter(|test| test.fact == Fact::Day);
        days.next().map(|test| test.comparison.clone())
    };
    for exercise in [KNEEL, FLOOR] {
        assert!(day("knee-total", exercise).is_some());
        assert_eq!(day("knee-partial", exercise), day("knee-total", exercise));
        for procedure in ["knee-both", "knee-revision"] {
            assert_eq!(day(procedure, exercise), None, "{procedure}");
        }
    }
}

#[test]
fn what_to_do_after_a_fall_stands_on_every_sheet_whether_kneeling_is_allowed_or_not() {
    for day in [0, 10, 30, 60, 120, 180] {
        for allowed in [true, false] {
            let program = decided(day, None, |record, _| {
                if !allowed {
                    record.orders.clear();
                }
            });
            let row = |name: &str| program.care.iter().any(|care| care.as_str() == name);
            assert!(row("after-a-fall"), "day {day}");
            assert_eq!(row("kneeling-allowed"), allowed && day >= 42, "day {day}");
        }
    }
}
