//! The operations beside the first: what they take over, what is theirs, what they wait for.

use banister::domain::fact::{Comparison, Test};
use banister::domain::ids::ExerciseId;
use banister::domain::library::Library;
use banister::domain::procedure::Procedure;
use banister::domain::time::Day;
use banister::domain::verdict::{LeftOut, Verdict, WhyNot};
use banister::domain::word::{Fact, Side, Sides};
use banister::engine::decide;

use banister::domain::recorded::Recorded;
use banister::render::text;

use crate::support;
use crate::support::people::{Answers, document, had, person, record, see};

/// Every operation of the library.
const ALL: [&str; 4] = ["knee-total", "knee-partial", "knee-revision", "knee-both"];

fn opens(library: &Library, exercise: &str) -> i64 {
    let exercise = library
        .exercises
        .values()
        .find(|known| known.id.to_string() == exercise)
        .unwrap();
    let day = |test: &Test| match (test.fact, &test.comparison) {
        (Fact::Day, Comparison::AtLeast(day)) => Some(*day),
        _ => None,
    };
    exercise.entry.iter().find_map(day).unwrap()
}

/// The phase on a day by its window alone.
fn phase(procedure: &Procedure, day: i64) -> String {
    let mut phases = procedure.phases.iter();
    let phase = phases.find(|phase| phase.window.holds(Day::new(day)));
    phase.unwrap().id.to_string()
}

#[test]
fn phases_and_exercises_open_on_their_own_days() {
    let expected = [
        ("knee-total", [14, 42, 84], 14),
        ("knee-partial", [7, 35, 77], 7),
        ("knee-revision", [35, 63, 105], 35),
        ("knee-both", [14, 56, 98], 28),
    ];
    for (id, [motion, strength, back], squat) in expected {
        let library = support::plain_library_of(id);
        let procedure = &library.procedure;
        for (day, before, after) in [
            (motion, "protect", "motion"),
            (strength, "motion", "strength"),
            (back, "strength", "return"),
        ] {
            assert_eq!(phase(procedure, day - 1), before, "{id} {day}");
            assert_eq!(phase(procedure, day), after, "{id} {day}");
            assert_eq!(phase(procedure, day + 1), after, "{id} {day}");
        }
        assert_eq!(opens(&library, "mini-squat"), squat, "{id}");
        assert_eq!(
            opens(&library, "chair-bend"),
            1,
            "{id}: the first days stay"
        );
    }
}

/// What is offered on a day to somebody who does well.
fn offered(library: &Library, day: u64, exercise: &str) -> bool {
    let mut record = record(person(), Side::Left);
    had(&mut record, library);
    let date = see(library, &mut record, &Answers::calm(day, 110));
    let Verdict::Program(program) = decide(library, &record, date) else {
        panic!("day {day}: no program")
    };
    let is = |id: &ExerciseId| id.to_string() == exercise;
    let not_yet = |left: &LeftOut| matches!(left.reason, WhyNot::NotYet { .. });
    program.items.iter().any(|item| is(&item.exercise))
        || program
            .left_out
            .iter()
            .any(|left| is(&left.exercise) && !not_yet(left))
}

#[test]
fn a_window_is_shut_the_day_before_and_open_on_its_day_and_after() {
    for (id, day) in [
        ("knee-total", 14),
        ("knee-partial", 7),
        ("knee-revision", 35),
        ("knee-both", 28),
    ] {
        let library = support::plain_library_of(id);
        let open = [day - 1, day, day + 1].map(|day| offered(&library, day, "mini-squat"));
        assert_eq!(open, [false, true, true], "{id}");
    }
}

#[test]
fn what_is_taken_over_keeps_its_own_place_and_what_is_not_is_gone() {
    let library = support::plain_library_of("knee-partial");
    let procedure = &library.procedure;
    assert_eq!(
        procedure.based_on.as_ref().unwrap().to_string(),
        "knee-total"
    );
    assert!(procedure.origin.path.ends_with("knee-partial.toml"));
    let total = support::plain_library();
    let said = |library: &Library| -> Vec<_> {
        let limits = library.procedure.limits.iter();
        limits
            .map(|limit| (limit.id.clone(), limit.rule.clone(), limit.span))
            .collect()
    };
    assert_eq!(said(&library), said(&total));
    let limit = &procedure.limits[0];
    assert!(limit.origin.path.ends_with("knee-total.toml"), "{limit:?}");
    assert!(procedure.courses.is_empty() && !total.procedure.courses.is_empty());
    for (own, base) in procedure.phases.iter().zip(&total.procedure.phases) {
        assert_eq!(own.candidates, base.candidates);
    }
}

#[test]
fn each_operation_is_sound_and_its_numbers_are_told() {
    let folder = support::clinic();
    let (code, said, talk) = support::run(folder.path(), "protocol check");
    assert_eq!(code, 0, "{talk}");
    for id in ALL {
        assert!(said.contains(&format!("{id}: sound")), "{said}");
    }
}

const REVISION: &str = "intake r.toml --procedure knee-revision --token EX-0042-E1 --side left \
    --operation 2026-03-02 --conditions none --positions-no none --equipment bed,chair,strap,towel \
    --date 2026-03-06 --by PT-1 --screen none --block-gone yes --flexion 50 --extension-deficit 8 \
    --leg-lift with-help --walking-aid two-crutches --pain 4 --order-by Surgeon \
    --order-document note --order";

const ANSWERS: [&str; 4] = [
    "weight-bearing=partial",
    "flexion-cap=not-ordered",
    "brace-locked=not-ordered",
    "no-active-extension=not-ordered",
];

#[test]
fn after_a_revision_every_order_is_answered_before_there_is_a_program() {
    let folder = support::clinic();
    let (code, _, talk) = support::run(folder.path(), &format!("{REVISION} {}", ANSWERS.join(",")));
    assert_eq!(code, 0, "{talk}");
    let (code, said, talk) = support::run(folder.path(), "handout r.toml --preview --as text");
    assert_eq!(code, 0, "{said}{talk}");
    for gap in ANSWERS {
        let folder = support::clinic();
        let rest: Vec<&str> = ANSWERS
            .into_iter()
            .filter(|answer| *answer != gap)
            .collect();
        let (code, _, talk) =
            support::run(folder.path(), &format!("{REVISION} {}", rest.join(",")));
        assert_eq!(code, 0, "{gap}: {talk}");
        let (code, said, talk) = support::run(folder.path(), "handout r.toml --preview --as text");
        assert_eq!(code, 3, "{gap}: {said}{talk}");
        let (code, said, _) = support::run(folder.path(), "explain r.toml");
        assert_eq!(code, 3, "{gap}");
        let kind = gap.split('=').next().unwrap();
        let asked = format!("Order {kind}: is it ordered or not");
        assert!(
            support::flat(&said).contains(&asked) || kind == "weight-bearing",
            "{gap}: {said}"
        );
        let (code, slip, talk) = support::run(folder.path(), "form orders r.toml --as text");
        assert_eq!(code, 0, "{gap}: {talk}");
        assert!(
            slip.contains(&format!("order RECORD {kind}")),
            "{gap}: {slip}"
        );
        assert_eq!(slip.matches("order RECORD").count(), 1, "{gap}: {slip}");
    }
}

#[test]
fn what_the_leg_may_bear_is_never_answered_with_nothing() {
    let folder = support::clinic();
    let line = format!("{REVISION} weight-bearing=not-ordered");
    let (code, _, talk) = support::run(folder.path(), &line);
    assert_eq!(code, 2, "{talk}");
    assert!(!folder.path().join("r.toml").exists());
}

/// What must not stand on a sheet of somebody with two new knees.
const ONE_SIDED: [&str; 12] = [
    "other leg",
    "other knee",
    "other foot",
    "other side",
    "other hand",
    "other heel",
    "good leg",
    "good knee",
    "operated",
    "left",
    "right leg",
    "right knee",
];

#[test]
fn no_sheet_for_two_new_knees_speaks_of_a_leg_that_was_not_operated_on() {
    let library = support::plain_library_of("knee-both");
    let mut sheets = 0;
    for day in [2, 5, 9, 16, 25, 30, 45, 60, 75, 99, 120, 150] {
        for bend in [60, 85, 115] {
            let mut record = record(person(), Side::Both);
            had(&mut record, &library);
            if day % 2 == 0 {
                let helper = banister::domain::ids::Id::new("helper").unwrap();
                if let Recorded::Yes(kit) = &mut record.patient.equipment {
                    kit.insert(helper);
                }
            }
            let date = see(&library, &mut record, &Answers::calm(day, bend));
            let verdict = decide(&library, &record, date);
            if matches!(verdict, Verdict::Unanswered(_)) {
                continue;
            }
            let page = text::text(&document(&library, &record, &verdict)).to_lowercase();
            let page = support::flat(&page);
            for words in ONE_SIDED {
                let found = page.find(words);
                let near = found.map(|at| &page[at.saturating_sub(60)..(at + 40).min(page.len())]);
                assert_eq!(near, None, "day {day}: {words}");
            }
            sheets += 1;
        }
    }
    assert!(sheets > 20, "{sheets}");
}

#[test]
fn every_text_of_an_exercise_for_two_new_knees_can_be_said() {
    let library = support::plain_library_of("knee-both");
    for exercise in library.exercises.values() {
        assert_ne!(exercise.sides, Sides::Operated, "{}", exercise.id);
        for words in exercise.words.values() {
            let lines = [
                &words.name,
                &words.why,
                &words.why_if_no_pain,
                &words.set_up,
                &words.feel,
            ];
            let lists = words
                .steps
                .iter()
                .chain(&words.errors)
                .chain(words.how.values());
            for text in lines.into_iter().chain(lists).chain(words.make_do.values()) {
                let said = text.replace("{side} ", "");
                assert!(!said.contains('{'), "{}: {text}", exercise.id);
                for one_sided in ONE_SIDED {
                    assert!(!said.contains(one_sided), "{}: {text}", exercise.id);
                }
            }
        }
        for rung in &exercise.rungs {
            let tags = exercise.demands.iter().flat_map(|demand| &demand.tags);
            let mut tags = tags.chain(&rung.tags).map(ToString::to_string);
            let barred = ["other-leg-press", "single-leg"];
            assert!(
                !tags.any(|tag| barred.contains(&tag.as_str())),
                "{} {}",
                exercise.id,
                rung.id
            );
        }
    }
}

#[test]
fn legs_worked_in_turn_count_twice_in_minutes() {
    let one = support::plain_library();
    let both = support::plain_library_of("knee-both");
    let sides = |library: &Library, id: &str| {
        let mut all = library.exercises.values();
        all.find(|known| known.id.to_string() == id)
            .unwrap()
            .sides_worked()
    };
    assert_eq!(
        (sides(&one, "chair-bend"), sides(&both, "chair-bend")),
        (1, 2)
    );
    assert_eq!((sides(&one, "walking"), sides(&both, "walking")), (1, 1));
}

#[test]
fn the_side_fits_the_operation_and_no_other() {
    for (procedure, side, fits) in [
        ("knee-both", "both", 0),
        ("knee-both", "left", 1),
        ("knee-total", "both", 1),
        ("knee-partial", "both", 1),
    ] {
        let folder = support::clinic();
        let line = format!(
            "intake r.toml --procedure {procedure} --token EX-0042-E1 --side {side} \
             --operation 2026-03-02 --surgeon SURG-A"
        );
        let (code, _, talk) = support::run(folder.path(), &line);
        assert_eq!(code == 0, fits == 0, "{procedure} {side}: {talk}");
        assert_eq!(folder.path().join("r.toml").exists(), fits == 0);
    }
}
