//! Who is due when a visit was given again, or the side or the day was put right.

use crate::domain::due::{Due, SheetState, Warning};
use crate::domain::record::{Clearance, NextVisit, Record, Visit};
use crate::domain::recorded::Recorded::Yes;
use crate::domain::word::{ClosedWith, ScreenAnswer};
use crate::engine::sample;

/// Two visits, each closed with a sheet: day 5 with sheet 1, day 18 with sheet 2 to day 32.
fn two_sheets() -> Record {
    let mut record = sample::record(40);
    sample::earlier(&mut record, 5, &[("bend", "b2")]);
    record.visits.truncate(1);
    record.visits[0].next_visit = Yes(NextVisit::Date(sample::on(18)));
    let second = add(&mut record, 18, None);
    second.next_visit = Yes(NextVisit::Date(sample::on(32)));
    let issued = sample::issued(&mut record, 1);
    (issued.sheet, issued.use_from, issued.use_until) = (2, sample::on(18), sample::on(32));
    record
}

/// Adds a copy of the first visit, with its sheet.
fn add(record: &mut Record, day: i64, corrects: Option<i64>) -> &mut Visit {
    let mut visit = record.visits[0].clone();
    visit.n = i64::try_from(record.visits.len()).unwrap() + 1;
    (visit.date, visit.corrects) = (sample::on(day), corrects);
    record.visits.push(visit);
    record.visits.last_mut().unwrap()
}

/// Gives visit 1 again after visit 2: closed at once, without a sheet.
fn give_first_again(record: &mut Record) {
    let late = add(record, 5, Some(1));
    (late.issued, late.closed) = (None, Some(ClosedWith::None));
}

fn withhold_second(record: &mut Record) {
    sample::issued(record, 1).phase = None;
    sample::answer(record, "clot", ScreenAnswer::Yes);
}

fn on(record: &Record, day: i64) -> Due {
    super::due(&sample::library(), record, sample::on(day))
}

fn withheld(since: i64, flags: &[&str], still: Option<i64>) -> Warning {
    Warning::Withheld {
        since: sample::on(since),
        flags: flags.iter().map(|flag| sample::id(flag)).collect(),
        still,
    }
}

fn is_open(warning: &Warning) -> bool {
    matches!(
        warning,
        Warning::VisitOpen { .. } | Warning::VisitOvertaken { .. }
    )
}

#[test]
fn a_late_correction_leaves_the_withheld_person_on_the_list() {
    let mut record = two_sheets();
    withhold_second(&mut record);
    let before = on(&record, 20);
    assert_eq!(before.warnings[0], withheld(18, &["clot"], None));
    give_first_again(&mut record);
    assert_eq!(on(&record, 20), before);
}

#[test]
fn a_late_correction_opens_nothing_and_leaves_the_last_sheet() {
    let mut record = two_sheets();
    let before = on(&record, 31);
    let ends = SheetState::Ends {
        until: sample::on(32),
        days: 1,
    };
    let sheet = Warning::Sheet {
        sheet: 2,
        state: ends,
    };
    assert_eq!(before.warnings, [sheet]);
    give_first_again(&mut record);
    assert_eq!(on(&record, 31), before);
    assert_eq!(before.last.unwrap().date, sample::on(18));
    assert_eq!(before.next, Yes(NextVisit::Date(sample::on(32))));
}

#[test]
fn a_late_correction_stands_in_the_place_of_the_visit_with_the_first_sheet() {
    let mut record = two_sheets();
    give_first_again(&mut record);
    let day_16 = on(&record, 16);
    assert_eq!(day_16.last.unwrap().date, sample::on(5));
    assert_eq!(day_16.phase, Some(sample::id("early")));
    let check = |warning: &Warning| matches!(warning, Warning::PhoneCheck { .. });
    assert!(day_16.warnings.iter().any(check), "{day_16:?}");
    assert!(!on(&record, 19).warnings.iter().any(check));
}

#[test]
fn a_flag_found_by_a_late_correction_is_told_with_the_sheet_still_at_home() {
    let mut record = two_sheets();
    give_first_again(&mut record);
    sample::answer(&mut record, "clot", ScreenAnswer::Yes);
    let told = withheld(18, &["clot"], Some(2));
    assert_eq!(on(&record, 20).warnings[0], told);
}

#[test]
fn an_open_visit_given_again_is_open_once() {
    let mut record = two_sheets();
    record.visits[1].issued = None;
    add(&mut record, 19, Some(2)).issued = None;
    let due = on(&record, 20);
    let open: Vec<&Warning> = due.warnings.iter().filter(|each| is_open(each)).collect();
    let date = sample::on(19);
    assert_eq!(open, [&Warning::VisitOpen { date, questions: 0 }]);
    record.visits[2].issued = record.visits[0].issued.clone();
    assert!(!on(&record, 20).warnings.iter().any(is_open));
}

#[test]
fn while_a_visit_given_again_is_open_the_page_before_it_is_at_home() {
    let mut record = two_sheets();
    withhold_second(&mut record);
    add(&mut record, 18, Some(2)).issued = None;
    let due = on(&record, 33);
    assert_eq!(due.warnings[0], withheld(18, &[], None));
    let of_sheet = |warning: &Warning| matches!(warning, Warning::Sheet { .. });
    assert!(!due.warnings.iter().any(of_sheet), "{due:?}");
}

#[test]
fn an_open_visit_after_a_page_that_withholds_brings_no_older_sheet_back() {
    let mut record = two_sheets();
    withhold_second(&mut record);
    record.clearances.push(Clearance {
        flag: sample::id("clot"),
        by: "Ward".to_owned(),
        on: sample::on(19),
        until: sample::on(26),
        visits: 1,
    });
    add(&mut record, 19, None).issued = None;
    let due = on(&record, 20);
    assert_eq!(due.warnings[0], withheld(18, &[], None));
    let of_sheet = |warning: &Warning| matches!(warning, Warning::Sheet { .. });
    assert!(!due.warnings.iter().any(of_sheet), "{due:?}");
}

#[test]
fn a_void_sheet_is_told_from_its_day_on_and_no_longer_ends() {
    let mut record = two_sheets();
    record.corrections = vec![sample::side_put_right(2)];
    let corrections = record.corrections.clone();
    let void = Warning::Void {
        sheet: 2,
        corrections,
    };
    let before = on(&record, 29);
    assert!(!before.warnings.contains(&void));
    assert_eq!(before.side, crate::domain::word::Side::Right);
    assert_eq!(before.day.get(), 29);
    let due = on(&record, 31);
    assert_eq!(due.warnings, [void], "nothing is said of its end");
    assert_eq!(due.side, crate::domain::word::Side::Left);
    assert_eq!(due.soonest, Some(sample::on(30)));
}

#[test]
fn a_void_sheet_is_told_until_another_one_went_out() {
    let mut record = two_sheets();
    record.corrections = vec![sample::day_put_right(2, 2)];
    let void = |record: &Record| {
        let due = on(record, 33);
        let found = due.warnings.iter();
        found.filter(|w| matches!(w, Warning::Void { .. })).count()
    };
    assert_eq!(void(&record), 1);
    add(&mut record, 31, None).issued = None;
    assert_eq!(void(&record), 1, "the visit is still open");
    let mut again = record.clone();
    (again.visits[2].date, again.visits[2].corrects) = (sample::on(18), Some(2));
    assert_eq!(void(&again), 1, "the void visit given again is still open");
    for mut closed in [record, again] {
        closed.visits[2].issued = closed.visits[0].issued.clone();
        assert_eq!(void(&closed), 0);
    }
}

#[test]
fn a_page_that_withholds_is_not_told_as_void() {
    let mut record = two_sheets();
    withhold_second(&mut record);
    record.corrections = vec![sample::side_put_right(2)];
    let due = on(&record, 31);
    assert_eq!(due.warnings[0], withheld(18, &["clot"], None));
    let void = |warning: &Warning| matches!(warning, Warning::Void { .. });
    assert!(!due.warnings.iter().any(void), "it gives no exercises");
}

#[test]
fn a_visit_that_was_open_at_the_correction_is_given_again() {
    let mut record = two_sheets();
    record.visits[1].issued = None;
    record.visits[1].screen = crate::domain::recorded::Recorded::NotRecorded;
    record.corrections = vec![sample::side_put_right(2)];
    let due = on(&record, 31);
    let (date, n) = (sample::on(18), 2);
    assert!(due.warnings.contains(&Warning::VisitOvertaken { date, n }));
    let asks = |w: &Warning| {
        matches!(
            w,
            Warning::VisitOpen { .. } | Warning::ScreenUnanswered { .. }
        )
    };
    assert!(!due.warnings.iter().any(asks), "{due:?}");
}

#[test]
fn a_measure_of_the_wrong_side_is_past_no_line() {
    let mut record = two_sheets();
    record.visits[1].measured.flexion = sample::degrees(Some(60));
    let review = |w: &Warning| matches!(w, Warning::Review { .. });
    record.corrections = vec![sample::day_put_right(1, 2)];
    assert!(on(&record, 31).warnings.iter().any(review));
    record.corrections = vec![sample::side_put_right(2)];
    assert!(!on(&record, 31).warnings.iter().any(review));
}
