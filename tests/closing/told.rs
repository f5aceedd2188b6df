//! What is told at a call and asks for less than the sheet does: the sheet never stays at home.

use banister::domain::keep::NotKept;
use banister::domain::library::Library;
use banister::domain::procedure::{Review, ReviewLine};
use banister::domain::quantity::{Degrees, PainScore, Quantity};
use banister::domain::record::{Record, Visit};
use banister::domain::recorded::Recorded;
use banister::domain::time::VisitDate;
use banister::domain::verdict::Verdict;
use banister::domain::word::{Fact, How, Side};
use banister::engine::{decide, keep::keep};

use super::{CALL, ends, one_sheet, refused};
use crate::support;
use crate::support::people::{Answers, decide_and_issue, had, person, record, see};

fn set(visit: &mut Visit, fact: Fact, value: i64) {
    let degrees = Recorded::Yes(Degrees::new(value).unwrap());
    if fact == Fact::Flexion {
        visit.measured.flexion = degrees;
    } else if fact == Fact::ExtensionDeficit {
        visit.measured.extension_deficit = degrees;
    } else if fact == Fact::Lag {
        (visit.measured.leg_lift, visit.measured.lag) = (Recorded::NotRecorded, degrees);
    } else if fact == Fact::RestPain {
        visit.pain.rest = Recorded::Yes(PainScore::new(value).unwrap());
    } else {
        panic!("{fact}: how is it told?");
    }
}

/// A value that crosses no line, and one that crosses this line when it comes after the other.
fn around(line: ReviewLine) -> (i64, i64) {
    match line {
        ReviewLine::Below(line) => (line + 5, line - 1),
        ReviewLine::Above(line) => (line.min(5), line + 1),
        ReviewLine::NoGain { below, .. } => (below - 1, below - 1),
        ReviewLine::Fell(by) => (110, 110 - by),
        ReviewLine::Rose(by) => (0, by),
    }
}

/// A sheet of some days before, and a call that tells of nothing but one measure.
fn call(library: &Library, review: &Review) -> Record {
    let (before, now) = around(review.line);
    let from = u64::try_from(review.window.from.get().max(6)).unwrap();
    let apart = match review.line {
        ReviewLine::NoGain { days, .. } => u64::try_from(days.get()).unwrap(),
        ReviewLine::Below(_) | ReviewLine::Above(_) | ReviewLine::Fell(_) | ReviewLine::Rose(_) => {
            3
        }
    };
    let mut record = record(person(), Side::Right);
    had(&mut record, library);
    let mut answers = Answers::calm(from, 112);
    answers.next_in = 20;
    let date = see(library, &mut record, &answers);
    set(record.visits.last_mut().unwrap(), review.fact, before);
    decide_and_issue(library, &mut record, date);
    answers.day = from + apart;
    (answers.flexion, answers.deficit, answers.leg_lift) = (None, None, None);
    see(library, &mut record, &answers);
    let call = record.visits.last_mut().unwrap();
    call.how = How::Phone;
    call.next_visit = Recorded::NotRecorded;
    set(call, review.fact, now);
    record
}

#[test]
fn a_measure_told_at_a_call_and_past_any_review_line_never_leaves_the_sheet_at_home() {
    let library = support::plain_library();
    let reviews = &library.procedure.reviews;
    assert!(reviews.len() > 8);
    for review in reviews {
        let record = call(&library, review);
        let visit = record.visits.last().unwrap();
        let verdict = decide(&library, &record, VisitDate(visit.date));
        let Verdict::Program(program) = verdict else {
            panic!("{review:?}: no program");
        };
        let due = program.reviews.iter();
        let due = due.filter(|due| (due.fact, due.line) == (review.fact, review.line));
        assert_eq!(due.count(), 1, "{review:?}");
        let against = keep(&library, &record, visit).unwrap_err();
        assert!(
            against.contains(&NotKept::Action),
            "{review:?}: {against:?}"
        );
    }
}

#[test]
fn a_call_that_tells_what_the_sheet_must_not_be_done_with_leaves_it_not() {
    for (told, why) in [
        ("--pain-rest 9", "asks for something to be done"),
        (
            "--leg-lift alone-lag --lag 15",
            "Straight leg raise: not any more",
        ),
        ("--block-gone no", "new limit block-working"),
    ] {
        let folder = one_sheet();
        ends(folder.path(), &format!("{CALL} {told}"), 0);
        refused(folder.path(), "handout r.toml --keep", 2, &[why]);
    }
    for told in [
        "--leg-lift alone-lag --lag 6",
        "--block-gone yes",
        "--flexion 84",
    ] {
        let folder = one_sheet();
        ends(folder.path(), &format!("{CALL} {told}"), 0);
        ends(folder.path(), "handout r.toml --keep", 0);
    }
}
