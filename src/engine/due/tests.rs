//! Both sides of each line that decides who is due.

use chrono::NaiveDate;

use crate::domain::clinic::Adopted;
use crate::domain::due::{ClinicWarning, Due, Listed, OrderState, SheetState, Warning};
use crate::domain::overtaken::SheetLine;
use crate::domain::quantity::Quantity;
use crate::domain::record::{Clearance, NextVisit, Order, OrderValue, Record, Until};
use crate::domain::recorded::Recorded::{NotRecorded, Yes};
use crate::domain::word::{DocumentState, How, ScreenAnswer, WeightBearing};
use crate::engine::sample;

use super::{clinic_due, in_order};

/// A record whose only visit is day 5, closed with a sheet to day 19.
fn issued() -> Record {
    let mut record = sample::record(40);
    sample::earlier(&mut record, 5, &[("bend", "b2")]);
    record.visits.truncate(1);
    record.visits[0].next_visit = Yes(NextVisit::Date(sample::on(19)));
    record
}

fn on(record: &Record, day: i64) -> Due {
    super::due(&sample::library(), record, sample::on(day))
}

fn warns(record: &Record, day: i64, kind: impl Fn(&Warning) -> bool) -> bool {
    on(record, day).warnings.iter().any(kind)
}

fn sheet(record: &Record, day: i64) -> Option<SheetState> {
    on(record, day).warnings.iter().find_map(|found| {
        if let Warning::Sheet { sheet: 1, state } = found {
            Some(*state)
        } else {
            None
        }
    })
}

fn order(record: &Record, day: i64) -> Vec<OrderState> {
    let found = on(record, day).warnings;
    let states = found.iter().filter_map(|found| {
        if let Warning::Order { state, .. } = found {
            Some(*state)
        } else {
            None
        }
    });
    states.collect()
}

fn clear(record: &mut Record, flag: &str, from: i64, until: i64) {
    record.clearances.push(Clearance {
        flag: sample::id(flag),
        by: "Ward".to_owned(),
        on: sample::on(from),
        until: sample::on(until),
        visits: 0,
    });
}

#[test]
fn a_sheet_is_named_two_days_before_its_end_and_after_it() {
    let record = issued();
    let until = sample::on(19);
    assert_eq!(sheet(&record, 16), None);
    assert_eq!(
        sheet(&record, 17),
        Some(SheetState::Ends { until, days: 2 })
    );
    assert_eq!(
        sheet(&record, 19),
        Some(SheetState::Ends { until, days: 0 })
    );
    let slips = SheetState::Slips {
        ended: until,
        until: sample::on(33),
    };
    assert_eq!(sheet(&record, 20), Some(slips));
    assert_eq!(sheet(&record, 33), Some(slips));
    let ended = sample::on(33);
    assert_eq!(
        sheet(&record, 34),
        Some(SheetState::Over { ended, days: 1 })
    );
}

#[test]
fn a_page_that_withholds_takes_the_sheet_back() {
    let mut record = issued();
    let mut second = record.visits[0].clone();
    second.n = 2;
    second.date = sample::on(18);
    if let Some(issued) = &mut second.issued {
        issued.sheet = 2;
        issued.phase = None;
    }
    record.visits.push(second);
    sample::answer(&mut record, "clot", ScreenAnswer::Yes);
    assert_eq!(sheet(&record, 19), None);
    let waits = |flags: &[&str]| {
        let flags = flags.iter().map(|flag| sample::id(flag)).collect();
        let since = sample::on(18);
        let still = None;
        Warning::Withheld {
            since,
            flags,
            still,
        }
    };
    assert!(warns(&record, 19, |w| *w == waits(&["clot"])));
    assert!(on(&record, 19).soonest == Some(sample::on(18)));
    clear(&mut record, "clot", 20, 27);
    assert!(
        warns(&record, 19, |w| *w == waits(&["clot"])),
        "not yet then"
    );
    assert!(
        warns(&record, 20, |w| *w == waits(&[])),
        "a sheet is missing"
    );
}

#[test]
fn a_flag_assessed_before_the_visit_does_not_count_for_it() {
    let mut record = sample::record(9);
    sample::answer(&mut record, "clot", ScreenAnswer::Yes);
    clear(&mut record, "clot", 1, 8);
    assert!(warns(&record, 9, |w| matches!(w, Warning::Withheld { .. })));
}

#[test]
fn the_next_visit_is_past_the_day_after() {
    let record = issued();
    let past = |w: &Warning| matches!(w, Warning::NextVisitPast { .. });
    assert!(!warns(&record, 19, past));
    let one = Warning::NextVisitPast {
        on: sample::on(19),
        days: 1,
    };
    assert!(warns(&record, 20, |w| *w == one));
}

#[test]
fn a_call_that_names_no_visit_leaves_the_one_named_before() {
    let mut record = issued();
    let mut call = record.visits[0].clone();
    (call.n, call.date, call.how) = (2, sample::on(8), How::Phone);
    (call.issued, call.next_visit) = (None, NotRecorded);
    record.visits.push(call);
    assert_eq!(on(&record, 9).next, Yes(NextVisit::Date(sample::on(19))));
    record.visits[1].date = sample::on(19);
    assert_eq!(on(&record, 20).next, NotRecorded, "used up");
}

#[test]
fn the_phone_check_is_due_from_day_two_to_five_of_the_sheet() {
    let mut record = issued();
    let check = |record: &Record, day| {
        on(record, day).warnings.iter().find_map(|found| {
            if let Warning::PhoneCheck { overdue, .. } = found {
                Some(*overdue)
            } else {
                None
            }
        })
    };
    for (day, overdue) in [(6, None), (7, Some(0)), (10, Some(0)), (11, Some(1))] {
        assert_eq!(check(&record, day), overdue, "day {day}");
    }
    let mut correction = record.visits[0].clone();
    (correction.n, correction.corrects) = (2, Some(1));
    correction.date = sample::on(6);
    record.visits.push(correction);
    assert_eq!(check(&record, 11), Some(1), "a correction is no contact");
    let mut call = record.visits[0].clone();
    (call.n, call.date, call.how, call.issued) = (3, sample::on(7), How::Phone, None);
    record.visits.push(call);
    assert_eq!(check(&record, 11), None);
}

#[test]
fn an_open_visit_and_its_blank_screen_are_named() {
    let mut record = sample::record(9);
    let open = |questions| Warning::VisitOpen {
        date: sample::on(9),
        questions,
    };
    assert!(warns(&record, 12, |w| *w == open(0)));
    record.visits[0].screen = NotRecorded;
    assert!(warns(&record, 12, |w| *w == open(1)));
    let blank = |w: &Warning| matches!(w, Warning::ScreenUnanswered { flags } if flags.len() == 4);
    assert!(warns(&record, 12, blank));
    let mut closed = issued();
    closed.visits[0].screen = NotRecorded;
    assert!(!warns(&closed, 12, blank), "a closed visit is done");
}

#[test]
fn two_flags_that_narrow_are_named_and_one_is_not() {
    let mut library = sample::library();
    let flags = &mut library.procedure.red_flags;
    for flag in flags.iter_mut() {
        flag.effect = crate::domain::word::FlagEffect::Restrict;
        flag.only_if_before = None;
    }
    let mut record = issued();
    let narrowed = |record: &Record| {
        let due = super::due(&library, record, sample::on(6));
        let mut found = due.warnings.iter();
        found.any(|w| matches!(w, Warning::Restricted { flags, .. } if flags.len() == 2))
    };
    sample::answer(&mut record, "wound", ScreenAnswer::Yes);
    assert!(!narrowed(&record));
    sample::answer(&mut record, "clot", ScreenAnswer::Yes);
    assert!(narrowed(&record));
    clear(&mut record, "clot", 6, 9);
    assert!(!narrowed(&record));
}

#[test]
fn an_order_is_named_a_week_before_its_end_when_over_and_when_open() {
    let mut record = issued();
    let until = sample::on(16);
    let end = Until::Date(until);
    record.orders = vec![sample::bears(WeightBearing::Partial, 1, end)];
    assert_eq!(order(&record, 8), []);
    assert_eq!(order(&record, 9), [OrderState::Ends { until, days: 7 }]);
    assert_eq!(order(&record, 16), [OrderState::Ends { until, days: 0 }]);
    assert_eq!(order(&record, 17), [OrderState::Ended { until, sheet: 1 }]);
    record.orders = vec![sample::bears(WeightBearing::Partial, 1, Until::Asked)];
    let from = sample::on(1);
    assert_eq!(order(&record, 6), [OrderState::Asked { on: from }]);
}

/// What a record with orders says on a day against the sheet of day 5, in short.
fn against_the_sheet(orders: &[Order], day: i64) -> Vec<String> {
    let mut record = issued();
    record.orders = orders.to_vec();
    let due = on(&record, day);
    let mut found = due.warnings.iter();
    let new = found.find_map(|warning| {
        if let Warning::Overtaken(new) = warning {
            Some(new)
        } else {
            None
        }
    });
    let lines = new.iter().flat_map(|new| &new.lines);
    let short = |line: &SheetLine| match line {
        SheetLine::Begins(limit) => format!("begins {}", limit.limit),
        SheetLine::Ends(limit) => format!("ends {}", limit.limit),
        SheetLine::Gone { exercise, .. } => format!("no {exercise}"),
        SheetLine::Changed { exercise, to, .. } => {
            format!("{exercise} to {:?}", to.limit.map(Quantity::get))
        }
        SheetLine::NoExercises(_)
        | SheetLine::MayExercise
        | SheetLine::Asks
        | SheetLine::MayCome { .. }
        | SheetLine::AdviceBegins(_)
        | SheetLine::AdviceEnds(_)
        | SheetLine::AdviceBarred(_) => format!("{line:?}"),
    };
    let advice =
        |line: &SheetLine| matches!(line, SheetLine::AdviceEnds(_) | SheetLine::AdviceBarred(_));
    let lines = lines.filter(|line| !advice(line));
    lines.map(short).collect()
}

#[test]
fn what_a_newer_order_does_to_the_sheet_at_home_is_named_from_that_very_day() {
    let cap = |degrees, on| sample::cap(degrees, on, Until::Open);
    let new = ["begins cap", "bend to Some(55)"];
    assert_eq!(against_the_sheet(&[cap(60, 7)], 6), [""; 0]);
    assert_eq!(against_the_sheet(&[cap(60, 7)], 7), new);
    assert_eq!(
        against_the_sheet(&[cap(60, 5)], 7),
        [""; 0],
        "it may hold to it"
    );
    let mut below = cap(60, 5);
    below.origin.line = 99;
    assert_eq!(
        against_the_sheet(&[below], 5),
        new,
        "written below the visit"
    );
    assert_eq!(
        against_the_sheet(&[cap(40, 7)], 7),
        ["begins cap", "no bend"]
    );
    let mut ahead = cap(60, 7);
    ahead.from = Some(sample::on(60));
    assert_eq!(against_the_sheet(&[ahead], 7), [""; 0], "after the sheet");
    let lift = Order {
        value: OrderValue::NotOrdered,
        ..cap(60, 7)
    };
    assert_eq!(against_the_sheet(&[cap(60, 1), lift], 7)[0], "ends cap");
}

#[test]
fn a_sheet_at_home_is_named_first_when_it_asks_for_more_than_may_be_done() {
    let mut record = issued();
    record.orders = vec![sample::cap(60, 7, Until::Open)];
    let due = on(&record, 8);
    let Warning::Overtaken(new) = &due.warnings[0] else {
        panic!("{:?}", due.warnings);
    };
    let cold = SheetLine::AdviceBarred(sample::id("cold"));
    assert!(cold.is_stricter() && new.lines.contains(&cold), "{new:?}");
    assert_eq!(due.soonest, Some(sample::on(8)));
}

#[test]
fn a_clearance_is_named_two_days_before_its_end_while_the_sign_is_there() {
    let mut record = issued();
    sample::answer(&mut record, "clot", ScreenAnswer::Known);
    clear(&mut record, "clot", 5, 12);
    let days = |record: &Record, day| {
        on(record, day).warnings.iter().find_map(|found| {
            if let Warning::Clearance { days, .. } = found {
                Some(*days)
            } else {
                None
            }
        })
    };
    for (day, left) in [(9, None), (10, Some(2)), (12, Some(0)), (13, Some(-1))] {
        assert_eq!(days(&record, day), left, "day {day}");
    }
    sample::answer(&mut record, "clot", ScreenAnswer::No);
    assert_eq!(days(&record, 12), None);
}

#[test]
fn a_review_line_crossed_and_the_end_of_the_library_are_named() {
    let mut record = sample::record(14);
    record.visits[0].measured.flexion = sample::degrees(Some(79));
    let review = |w: &Warning| matches!(w, Warning::Review { .. });
    assert!(warns(&record, 15, review));
    record.visits[0].measured.flexion = sample::degrees(Some(80));
    assert!(!warns(&record, 15, review));
    let last = sample::library().procedure.settings.last_day.get();
    let beyond = |w: &Warning| matches!(w, Warning::BeyondLibrary { .. });
    let record = issued();
    assert!(!warns(&record, last, beyond));
    assert!(warns(&record, last + 1, beyond));
    assert_eq!(sheet(&record, last + 1), None);
}

#[test]
fn somebody_never_seen_is_named_from_the_day_of_the_operation() {
    let mut record = sample::record(9);
    record.visits.clear();
    assert_eq!(on(&record, -1).warnings, []);
    assert_eq!(on(&record, 0).warnings, [Warning::NeverSeen]);
    assert_eq!(on(&record, 3).soonest, Some(sample::on(0)));
}

fn listed(path: &str, token: &str, soonest: Option<NaiveDate>) -> Listed {
    let record = issued();
    let mut due = on(&record, 6);
    due.soonest = soonest;
    Listed {
        path: path.to_owned(),
        token: token.to_owned(),
        procedure: record.episode.procedure.clone(),
        due,
    }
}

#[test]
fn the_list_goes_by_day_and_names_a_token_that_stands_twice() {
    let list = in_order(vec![
        listed("a", "X-3", None),
        listed("b", "X-2", Some(sample::on(9))),
        listed("c", "X-1", Some(sample::on(9))),
        listed("d", "X-3", Some(sample::on(8))),
    ]);
    let paths: Vec<&str> = list.iter().map(|one| one.path.as_str()).collect();
    assert_eq!(paths, ["d", "c", "b", "a"]);
    let twice = |one: &Listed| {
        let mut found = one.due.warnings.iter();
        found.any(|w| matches!(w, Warning::SameToken { also, more: 0 } if also.len() == 1))
    };
    let twins: Vec<bool> = list.iter().map(twice).collect();
    assert_eq!(twins, [true, false, false, true]);
}

#[test]
fn a_row_names_a_few_twins_and_counts_the_others() {
    let list = (0..400).map(|n| listed(&format!("f{n}"), "X-1", None));
    let list = in_order(list.collect());
    for one in &list {
        assert!(matches!(
            &one.due.warnings[..],
            [Warning::SameToken { also, more: 396 }] if also.len() == 3 && !also.contains(&one.path)
        ));
    }
}

#[test]
fn the_clinics_papers_are_named_the_day_after_their_date() {
    let mut library = sample::library();
    let day = |n| sample::on(n);
    library.clinic.adopted = Some(Adopted {
        library: library.digests.built_in.clone(),
        by: "Lead".to_owned(),
        on: day(0),
        review_due: day(300),
    });
    assert_eq!(clinic_due(&library, day(300)), []);
    let due = day(300);
    let past = [ClinicWarning::LibraryReviewPast { due }];
    assert_eq!(clinic_due(&library, day(301)), past);
    assert_eq!(clinic_due(&library, day(360)), past);
    assert_eq!(clinic_due(&library, day(361)).len(), 3);
    library.clinic.status.state = DocumentState::Expired;
    let state = DocumentState::Expired;
    assert_eq!(
        clinic_due(&library, day(9)),
        [ClinicWarning::Document { state }]
    );
    library.digests.built_in = "sha256:other".to_owned();
    let changed = |w: &ClinicWarning| matches!(w, ClinicWarning::LibraryChanged { .. });
    assert!(clinic_due(&library, day(9)).iter().any(changed));
    library.clinic.adopted = None;
    assert!(clinic_due(&library, day(9)).contains(&ClinicWarning::NotAdopted));
}
