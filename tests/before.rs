//! Before the operation: its own phase, its own words, and nothing of it after the operation.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use banister::domain::correction::{Correction, PutRight};
use banister::domain::ids::{ExerciseId, FlagId, Id, PhaseId};
use banister::domain::library::Library;
use banister::domain::procedure::TimedLine;
use banister::domain::quantity::Quantity;
use banister::domain::record::{NextVisit, Record};
use banister::domain::recorded::Recorded;
use banister::domain::source::Origin;
use banister::domain::time::{OperationDate, VisitDate, Window};
use banister::domain::verdict::{Notice, Program, Question, Verdict, Why};
use banister::domain::word::{Fact, ScreenAnswer, Side};
use banister::handout::model::Document;
use chrono::{NaiveDate, TimeDelta};

use crate::support;
use crate::support::people::{Answers, decide_and_issue, document, operation, person, record, see};

fn on(day: i64) -> NaiveDate {
    operation() + TimeDelta::days(day)
}

/// Adds a visit on any day, with the red flags of that day asked.
fn visit(library: &Library, record: &mut Record, day: i64, flags: &[(&'static str, ScreenAnswer)]) {
    see(library, record, &Answers::calm(0, 95));
    let date = record.episode.operation.0 + TimeDelta::days(day);
    let counted = record.day(date);
    let visit = record.visits.last_mut().unwrap();
    visit.date = date;
    visit.next_visit = Recorded::Yes(NextVisit::Date(date + TimeDelta::days(7)));
    let asked = library.procedure.red_flags.iter();
    let mut screen: BTreeMap<FlagId, ScreenAnswer> = asked
        .filter(|flag| flag.window.holds(counted))
        .map(|flag| (flag.id.clone(), ScreenAnswer::No))
        .collect();
    for (flag, answer) in flags {
        screen.insert(FlagId::new(flag).unwrap(), *answer);
    }
    visit.screen = Recorded::Yes(screen);
}

fn decided(library: &Library, record: &mut Record) -> Verdict {
    let date = VisitDate(record.visits.last().unwrap().date);
    decide_and_issue(library, record, date)
}

/// The library, read once.
fn library() -> &'static Library {
    static LIBRARY: OnceLock<Library> = OnceLock::new();
    LIBRARY.get_or_init(support::plain_library)
}

fn on_day(day: i64) -> (Record, Verdict) {
    let mut record = record(person(), Side::Left);
    visit(library(), &mut record, day, &[]);
    let verdict = decided(library(), &mut record);
    (record, verdict)
}

fn program(verdict: &Verdict) -> &Program {
    match verdict {
        Verdict::Program(program) => program,
        other => panic!("{other:?}"),
    }
}

fn text(library: &Library, record: &Record, verdict: &Verdict) -> String {
    let document = document(library, record, verdict);
    assert!(matches!(document, Document::Handout(_)));
    support::flat(&banister::render::text::text(&document))
}

#[test]
fn the_phase_runs_from_day_minus_90_to_the_day_before_the_operation() {
    for (day, phase) in [
        (-90, "before"),
        (-89, "before"),
        (-1, "before"),
        (0, "protect"),
        (1, "protect"),
    ] {
        let (_, verdict) = on_day(day);
        assert_eq!(program(&verdict).phase.as_str(), phase, "day {day}");
    }
    let (_, verdict) = on_day(-91);
    let Verdict::Unanswered(page) = verdict else {
        panic!("day -91 has a program");
    };
    let beyond = |question: &Question| matches!(question, Question::BeyondLibrary { .. });
    assert!(page.questions.iter().any(|(question, _)| beyond(question)));
}

#[test]
fn a_sheet_ends_the_day_before_the_operation_also_when_the_visit_slips() {
    for day in -90..0 {
        let (_, verdict) = on_day(day);
        let life = program(&verdict).life;
        assert!(
            life.until < operation() && life.slip_until < operation(),
            "day {day}"
        );
        assert_eq!(life.until, on((day + 7).min(-1)), "day {day}");
    }
    let (_, verdict) = on_day(0);
    assert_eq!(program(&verdict).life.until, on(7));
}

/// Words that are true on one side of the operation alone.
const AFTER: [&str; 15] = [
    "for your new",
    "your new knee",
    "wound",
    "stitch",
    "clips",
    "dressing",
    "scar",
    "nerve block",
    "the block",
    "surgeon set",
    "week ",
    "after surgery",
    "the ward",
    "your other leg counts",
    "surgeon and your insurer",
];
const BEFORE: [&str; 6] = [
    "get ready",
    "before your operation",
    "before the operation",
    "is planned for",
    "days before",
    "to the hospital",
];

fn shown(lines: &[TimedLine], window: impl Fn(Window) -> bool) -> Vec<String> {
    let lines = lines.iter().filter(|line| window(line.window));
    lines.map(|line| line.words["en"].clone()).collect()
}

/// Lists every timed sentence of the library whose days are picked.
fn sentences(library: &Library, picked: impl Fn(Window) -> bool + Copy) -> Vec<String> {
    let procedure = &library.procedure;
    let mut all = shown(&procedure.usual, picked);
    all.extend(shown(&procedure.not_usual, picked));
    all.extend(shown(&procedure.milestones, picked));
    let care = procedure.home_care.iter().filter(|row| picked(row.window));
    all.extend(care.map(|row| row.words["en"].text.clone()));
    let flags = procedure
        .red_flags
        .iter()
        .filter(|flag| picked(flag.window));
    all.extend(flags.map(|flag| flag.words["en"].hazard.clone()));
    let sided = |text: String| text.replace("{side}", "left").replace("{other}", "right");
    let whole = all
        .into_iter()
        .filter(|text| !text.contains("{minutes}") && !text.contains("{times}"));
    whole.map(sided).collect()
}

#[test]
fn no_sentence_of_one_side_of_the_operation_stands_on_a_sheet_of_the_other() {
    let early = |window: Window| window.before.is_some_and(|before| before.get() <= 0);
    let late = |window: Window| window.from.get() >= 0;
    let library = library();
    let (before, after) = (sentences(library, early), sentences(library, late));
    assert!(
        before.len() > 15 && after.len() > 40,
        "{} {}",
        before.len(),
        after.len()
    );
    for day in -90..=180 {
        let (record, verdict) = on_day(day);
        let sheet = text(library, &record, &verdict);
        let (words, lines, own) = if day < 0 {
            (&AFTER[..], &after, &before)
        } else {
            (&BEFORE[..], &before, &after)
        };
        let low = sheet
            .to_lowercase()
            .replace("get ready for your new left knee", "");
        let low = if day < 0 { low } else { sheet.to_lowercase() };
        for word in words {
            assert!(!low.contains(word), "day {day} says `{word}`:\n{sheet}");
        }
        for line in lines {
            assert!(!sheet.contains(line), "day {day} says `{line}`");
        }
        assert!(own.iter().any(|line| sheet.contains(line)), "day {day}");
        assert!(
            program(&verdict).reviews.is_empty() || day >= 0,
            "day {day}"
        );
        assert!(
            program(&verdict).targets_unmet.is_empty() || day >= 0,
            "day {day}"
        );
    }
}

#[test]
fn nothing_before_the_operation_goes_past_the_highest_rung_of_the_phase_or_more_than_once_a_day() {
    let library = library();
    let (_, phase) = library
        .procedure
        .phase(&PhaseId::new("before").unwrap())
        .unwrap();
    let mut record = record(person(), Side::Left);
    for week in 0..12 {
        visit(library, &mut record, -90 + 7 * week, &[]);
        let verdict = decided(library, &mut record);
        for item in &program(&verdict).items {
            let exercise = &library.exercises[&item.exercise];
            let named = phase
                .candidates
                .iter()
                .find(|named| named.exercise == item.exercise);
            let most = exercise
                .rung(named.unwrap().most.as_ref().unwrap())
                .unwrap()
                .0;
            let ahead = item.next.iter().map(|next| &next.rung);
            for rung in ahead.chain([&item.rung]) {
                assert!(
                    exercise.rung(rung).unwrap().0 <= most,
                    "{} {rung:?}",
                    item.exercise
                );
            }
            assert_eq!(item.dose.times_a_day().map(Quantity::get), Some(1));
        }
    }
    let last = &record.visits.last().unwrap().issued.as_ref().unwrap().items;
    let first = &record.visits[0].issued.as_ref().unwrap().items;
    assert_ne!(first, last, "the ladders were climbed");
}

#[test]
fn after_the_operation_the_first_visit_starts_by_test() {
    let library = library();
    let mut lived = record(person(), Side::Left);
    for day in [-40, -33, -26, -19, -12, -5] {
        visit(library, &mut lived, day, &[]);
        decided(library, &mut lived);
    }
    visit(library, &mut lived, 2, &[]);
    lived.visits.last_mut().unwrap().measured.flexion = Recorded::NotRecorded;
    let verdict = decided(library, &mut lived);
    let after = program(&verdict);
    assert!(
        !after.facts.get(Fact::Flexion).is_recorded(),
        "measured on the old joint"
    );
    assert!(
        after.gone.is_empty(),
        "nothing of the sheet before is compared"
    );
    let mut fresh = record(person(), Side::Left);
    visit(library, &mut fresh, 2, &[]);
    fresh.visits.last_mut().unwrap().measured.flexion = Recorded::NotRecorded;
    let verdict = decided(library, &mut fresh);
    assert_eq!(after, program(&verdict));
}

fn move_to(record: &mut Record, what: fn(OperationDate, OperationDate) -> PutRight, days: i64) {
    let was = record.episode.operation;
    let now = OperationDate(was.0 + TimeDelta::days(days));
    record.episode.operation = now;
    record.corrections.push(Correction {
        what: what(was, now),
        because: "Put off.".to_owned(),
        by: "PT-1".to_owned(),
        on: was.0,
        visits: i64::try_from(record.visits.len()).unwrap(),
        origin: Origin {
            path: "made-up".to_owned(),
            line: 1,
            column: 1,
        },
    });
}

fn after(what: fn(OperationDate, OperationDate) -> PutRight) -> (Record, Verdict) {
    let library = library();
    let mut record = record(person(), Side::Left);
    visit(library, &mut record, -8, &[]);
    decided(library, &mut record);
    move_to(&mut record, what, 35);
    visit(library, &mut record, -30, &[]);
    let verdict = decided(library, &mut record);
    (record, verdict)
}

#[test]
fn an_operation_put_off_is_gone_on_before_and_no_sheet_is_void() {
    let (record, verdict) = after(|was, now| PutRight::Moved { was, now });
    let moved = program(&verdict);
    assert_eq!((moved.phase.as_str(), moved.day.get()), ("before", -30));
    assert!(record.voided_by(&record.visits[0]).next().is_none());
    let steps = moved.items.iter().flat_map(|item| &item.steps);
    let whys: Vec<&Why> = steps.map(|step| &step.why).collect();
    assert!(whys.iter().any(|why| matches!(why, Why::LastSheet { .. })));
    assert!(!whys.iter().any(|why| matches!(why, Why::VoidSheet { .. })));
    let (record, verdict) = after(|was, now| PutRight::Operation { was, now });
    let corrected = program(&verdict);
    assert!(record.voided_by(&record.visits[0]).next().is_some());
    let steps = corrected.items.iter().flat_map(|item| &item.steps);
    assert!(
        steps
            .map(|step| &step.why)
            .any(|why| matches!(why, Why::VoidSheet { .. }))
    );
}

#[test]
fn the_screen_before_the_operation_is_its_own() {
    let library = library();
    let verdict = |day: i64, flag: &'static str| {
        let mut record = record(person(), Side::Left);
        visit(library, &mut record, day, &[(flag, ScreenAnswer::Yes)]);
        decided(library, &mut record)
    };
    for flag in ["chest", "calf", "foot-cold", "fall-hurt"] {
        assert!(matches!(verdict(-20, flag), Verdict::Withheld(_)), "{flag}");
    }
    for flag in ["infection", "skin", "foot", "giving-way", "fall"] {
        let verdict = verdict(-20, flag);
        let flags: Vec<&str> = program(&verdict)
            .flags
            .iter()
            .map(|raised| raised.flag.as_str())
            .collect();
        assert_eq!(flags, [flag]);
    }
    let asked = |day: i64, flag: &str| {
        let flag = library
            .procedure
            .red_flags
            .iter()
            .find(|known| known.id.as_str() == flag);
        flag.unwrap()
            .window
            .holds(banister::domain::time::Day::new(day))
    };
    for flag in ["wound", "wound-open", "leg-lift-lost", "fever", "rest-pain"] {
        assert!(!asked(-1, flag), "{flag}");
    }
    for flag in ["infection", "skin"] {
        assert!(asked(-1, flag) && !asked(0, flag), "{flag}");
    }
}

#[test]
fn a_sign_that_nobody_assessed_is_not_cleared_by_the_operation() {
    let library = library();
    let mut record = record(person(), Side::Left);
    visit(library, &mut record, -3, &[("calf", ScreenAnswer::Yes)]);
    decided(library, &mut record);
    visit(library, &mut record, 2, &[]);
    assert!(matches!(
        decided(library, &mut record),
        Verdict::Withheld(_)
    ));
}

#[test]
fn a_phase_of_the_other_side_of_the_operation_is_not_taken() {
    for (day, set, stays) in [(-10, "protect", "before"), (10, "before", "protect")] {
        let library = library();
        let mut record = record(person(), Side::Left);
        visit(library, &mut record, day, &[]);
        let visit = record.visits.last_mut().unwrap();
        visit.phase = Some(banister::domain::record::PhaseSet {
            id: PhaseId::new(set).unwrap(),
            because: "Tried.".to_owned(),
            by: "PT-1".to_owned(),
        });
        let verdict = decided(library, &mut record);
        let program = program(&verdict);
        assert_eq!(program.phase.as_str(), stays);
        let told = |notice: &Notice| matches!(notice, Notice::PhaseNotTaken { .. });
        assert!(program.notices.iter().any(told), "day {day}");
    }
}

#[test]
fn with_no_order_before_the_operation_nobody_is_told_to_put_no_weight_on_the_leg() {
    let library = library();
    let mut record = record(person(), Side::Left);
    record.patient.surgeon = Recorded::NotRecorded;
    visit(library, &mut record, -20, &[]);
    let verdict = decided(library, &mut record);
    assert!(program(&verdict).limits.is_empty());
    let stands = ExerciseId::new("sit-to-stand").unwrap();
    assert!(
        program(&verdict)
            .items
            .iter()
            .any(|item| item.exercise == stands)
    );
}
