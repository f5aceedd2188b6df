//! A nerve block that still works: what holds, and that it ends by a test and by no date.

use banister::domain::library::Library;
use banister::domain::record::Record;
use banister::domain::recorded::Recorded;
use banister::domain::verdict::{Program, Verdict};
use banister::domain::word::{LegLift, Position, Side, WalkingAid, YesNo};
use banister::handout::explain::explain_program;
use banister::render::text::text;

use crate::support;
use crate::support::people::{Answers, decide_and_issue, document, had, person, record, see};

/// Adds a visit on a day with an answer to the block, or none, and issues its sheet.
fn visit(library: &Library, record: &mut Record, day: u64, gone: Option<YesNo>) -> Verdict {
    let mut answers = Answers::calm(day, 75);
    answers.leg_lift = Some(LegLift::AloneLag);
    answers.aid = Some(WalkingAid::Frame);
    let date = see(library, record, &answers);
    record.visits.last_mut().unwrap().block_gone = Recorded::from(gone);
    decide_and_issue(library, record, date)
}

fn program(verdict: Verdict) -> Program {
    match verdict {
        Verdict::Program(program) => *program,
        other => panic!("no program: {other:?}"),
    }
}

/// Says whether the limit of the block stands, and checks what it forbids.
fn stands(library: &Library, program: &Program) -> bool {
    let stands = program
        .limits
        .iter()
        .any(|limit| limit.limit.to_string() == "block-working");
    let standing = program
        .items
        .iter()
        .filter(|item| library.exercises[&item.exercise].position == Position::Standing);
    assert!(!stands || standing.count() == 0, "{:?}", program.items);
    stands
}

#[test]
fn it_holds_until_a_visit_has_tested_the_leg_however_late() {
    for name in ["knee-total", "knee-partial", "knee-revision", "knee-both"] {
        let library = support::plain_library_of(name);
        let mut record = record(person(), Side::Right);
        had(&mut record, &library);
        let first = program(visit(&library, &mut record, 1, Some(YesNo::No)));
        assert!(stands(&library, &first), "{name}");
        for (day, gone, numb) in [
            (9, None, true),
            (30, None, true),
            (31, Some(YesNo::No), true),
            (32, Some(YesNo::Yes), false),
            (40, None, false),
        ] {
            let next = program(visit(&library, &mut record, day, gone));
            assert_eq!(stands(&library, &next), numb, "{name}, day {day}");
        }
    }
}

#[test]
fn in_the_first_days_it_is_asked_again_at_each_visit() {
    let library = support::plain_library();
    let mut record = record(person(), Side::Right);
    visit(&library, &mut record, 1, Some(YesNo::No));
    let second = visit(&library, &mut record, 3, None);
    assert!(matches!(second, Verdict::Unanswered(_)), "{second:?}");
}

#[test]
fn the_page_names_standing_and_ends_by_the_test() {
    let library = support::plain_library();
    let mut record = record(person(), Side::Right);
    let verdict = visit(&library, &mut record, 2, Some(YesNo::No));
    let page = support::flat(&text(&document(&library, &record, &verdict)));
    let rule = "Until we have tested your leg, stand and walk only with your aid and a helper. No \
                stairs alone.";
    assert_eq!(
        page.matches(rule).count(),
        2,
        "first page and rules\n{page}"
    );
    let gone = visit(&library, &mut record, 4, Some(YesNo::Yes));
    let page = support::flat(&text(&document(&library, &record, &gone)));
    assert!(!page.contains("tested your leg"), "{page}");
}

#[test]
fn the_clinician_is_told_to_test_before_the_person_goes() {
    let library = support::plain_library();
    let told = |gone: YesNo| {
        let mut record = record(person(), Side::Right);
        let verdict = visit(&library, &mut record, 2, Some(gone));
        support::flat(&explain_program(&verdict, &library, &record))
    };
    let act = "test feeling and leg lift before the person goes";
    assert!(told(YesNo::No).contains(act), "{}", told(YesNo::No));
    assert!(!told(YesNo::Yes).contains(act));
}

#[test]
fn a_block_that_still_works_is_not_set_aside_untested() {
    let folder = support::clinic();
    let (code, _, said) = support::run(
        folder.path(),
        "intake r.toml --token EX-0001-E1 --side left --operation 2026-03-02 --surgeon SURG-A \
         --conditions none --equipment bed,chair --date 2026-03-03 --by PT-1 --screen none \
         --block-gone no --next-visit 2026-03-09",
    );
    assert_eq!(code, 0, "{said}");
    let before = std::fs::read(folder.path().join("r.toml")).unwrap();
    let (code, _, said) = support::run(
        folder.path(),
        "override r.toml block-working --by PT-1 --on 2026-03-03 --until 2026-03-10 \
         --because seems_fine",
    );
    assert_eq!(code, 2, "{said}");
    assert!(
        support::flat(&said).contains("ends by a test: test feeling and leg lift"),
        "{said}"
    );
    assert_eq!(std::fs::read(folder.path().join("r.toml")).unwrap(), before);
}
