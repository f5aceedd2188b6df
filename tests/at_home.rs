//! What is new says at once what it does to the sheet at home, and `due` shows it from that day.

use std::path::Path;

use crate::support::{self, copy_tree, flat, run};

const RECORD: &str = "record.toml";

/// The made-up clinic with the record of a stiff knee on day 14, its sheet given.
fn at_home() -> tempfile::TempDir {
    let folder = support::clinic();
    let mut examples = support::examples().into_iter();
    let stiff = examples.find(|example| example.ends_with("02-behind-day-14"));
    copy_tree(&stiff.unwrap(), folder.path());
    folder
}

/// Gives an order in the surgeon's name, and returns what was said.
fn ordered(folder: &Path, order: &str, on: &str) -> (i32, String) {
    let by = "--by Surgeon --document letter --on";
    let (code, _, said) = run(folder, &format!("order {RECORD} {order} {by} {on}"));
    (code, flat(&said))
}

fn due(folder: &Path, on: &str) -> String {
    flat(&run(folder, &format!("due . --date {on}")).1)
}

fn holds(said: &str, all: &[&str]) {
    for words in all {
        assert!(said.contains(words), "{words}: {said}");
    }
}

#[test]
fn an_order_names_each_line_of_the_sheet_that_no_longer_holds() {
    let folder = at_home();
    assert!(!due(folder.path(), "2026-03-24").contains("does not hold"));
    let (code, said) = ordered(folder.path(), "flexion-cap 60", "2026-03-25");
    assert_eq!(code, 0);
    let lines = [
        "new limit flexion-cap: knee flexion at most 60°, stops at 55°",
        "Heel slide with strap assistance: was ",
        "; now ",
        "Seated knee flexion: not any more",
        "Stairs: not any more",
        "ring the patient today",
        "banister visit record.toml --phone",
        "banister handout record.toml",
    ];
    holds(&said, &lines);
    assert!(!due(folder.path(), "2026-03-24").contains("does not hold"));
    let listed = due(folder.path(), "2026-03-25");
    holds(
        &listed,
        &["Sheet 2 at home does not hold", "no chair-bend", "--phone"],
    );
}

#[test]
fn a_second_order_stands_beside_the_first_until_it_replaces_it() {
    let folder = at_home();
    ordered(folder.path(), "flexion-cap 60", "2026-03-25");
    let (_, said) = ordered(folder.path(), "flexion-cap 90", "2026-03-26");
    let both = ["stands beside", "O1 flexion-cap 60°", "--replaces O1"];
    holds(&said, &both);
    holds(&said, &["new limit flexion-cap: knee flexion at most 60°"]);
    let before = std::fs::read(folder.path().join(RECORD)).unwrap();
    for (name, words) in [
        ("O9", "no order `O9` stands above"),
        ("O3", "no order `O3`"),
    ] {
        let order = format!("flexion-cap 100 --replaces {name}");
        let (code, said) = ordered(folder.path(), &order, "2026-03-26");
        assert_eq!(code, 1);
        holds(&said, &[words]);
    }
    let (code, said) = ordered(
        folder.path(),
        "weight-bearing partial --replaces O1",
        "2026-03-26",
    );
    assert_eq!(code, 1);
    holds(&said, &["is an order of `flexion-cap`"]);
    assert_eq!(std::fs::read(folder.path().join(RECORD)).unwrap(), before);
    let (_, said) = ordered(folder.path(), "flexion-cap lifted", "2026-03-27");
    holds(&said, &["nothing on sheet 2 at home changes by it"]);
    assert!(!due(folder.path(), "2026-03-27").contains("does not hold"));
}

#[test]
fn an_order_with_an_odd_beginning_or_end_says_so() {
    let folder = at_home();
    let ahead = "weight-bearing partial --from 2026-03-27 --until 2026-03-28";
    let (_, said) = ordered(folder.path(), ahead, "2026-03-25");
    let lines = [
        "it begins on 2026-03-27",
        "before sheet 2 ends on 2026-03-30",
        "it ends on 2026-03-28, before sheet 2 does",
        "the surgeon's standing order gives way to it",
    ];
    holds(&said, &lines);
    let early = "flexion-cap 90 --until 2026-03-08";
    let (_, said) = ordered(folder.path(), early, "2026-03-01");
    holds(
        &said,
        &["it ends on 2026-03-08, before the operation of 2026-03-09"],
    );
}

#[test]
fn what_changes_nothing_says_that() {
    let folder = at_home();
    let (code, said) = ordered(folder.path(), "flexion-cap 150", "2026-03-25");
    assert_eq!(code, 0);
    let only = said.split("does not hold: ").nth(1).unwrap_or_default();
    assert!(!only.contains("not any more"), "{said}");
    let folder = at_home();
    let until = "--until 2026-03-26 --because wish --by PT-1 --on 2026-03-25";
    let (code, _, said) = run(
        folder.path(),
        &format!("override {RECORD} squat-depth {until}"),
    );
    assert_eq!(code, 0, "{said}");
    holds(&flat(&said), &["nothing on sheet 2 at home changes by it"]);
}

#[test]
fn a_correction_names_what_may_not_be_done_any_more() {
    let folder = at_home();
    let words = "correct record.toml side left --because slip --by PT-1 --on 2026-03-25";
    let (code, _, said) = run(folder.path(), words);
    assert_eq!(code, 0, "{said}");
    let lines = [
        "void now: sheet 1, 2",
        "nothing on sheet 2 may be done any more:",
        "chair-bend",
    ];
    holds(&flat(&said), &lines);
}

#[test]
fn an_order_in_the_place_of_another_is_told_as_the_sheet_at_home_must_hear_it() {
    let folder = at_home();
    ordered(folder.path(), "flexion-cap 60", "2026-03-25");
    let (_, said) = ordered(folder.path(), "flexion-cap 90 --replaces O1", "2026-03-26");
    holds(&said, &["new limit flexion-cap: knee flexion at most 90°"]);
    assert!(!said.contains("no longer a limit"), "{said}");
}

#[test]
fn an_order_written_below_a_sheet_is_told_however_old_its_letter_is() {
    let folder = at_home();
    ordered(folder.path(), "flexion-cap 60", "2026-03-10");
    holds(
        &due(folder.path(), "2026-03-25"),
        &["Sheet 2 at home does not hold"],
    );
}

#[test]
fn an_order_between_a_visit_and_its_sheet_of_one_day_is_not_told_as_new() {
    let folder = at_home();
    let visit = format!(
        "visit {RECORD} --date 2026-03-30 --by PT-1 --screen none --did all \
        --pain 3 --morning same --swelling same --flexion 90 --extension-deficit 5 \
        --leg-lift alone-straight --walking-aid two-sticks --next-visit 2026-04-13"
    );
    let (code, _, said) = run(folder.path(), &visit);
    assert_eq!(code, 0, "{said}");
    ordered(folder.path(), "flexion-cap 60", "2026-03-30");
    let (code, _, said) = run(folder.path(), &format!("handout {RECORD} --as text"));
    assert!(
        code == 0 && !said.contains("does not know this order"),
        "{said}"
    );
    let listed = due(folder.path(), "2026-03-31");
    assert!(!listed.contains("does not hold"), "{listed}");
}

#[test]
fn a_sheet_issued_late_names_the_orders_that_its_visit_does_not_know() {
    let folder = at_home();
    let visit = format!(
        "visit {RECORD} --date 2026-03-30 --by PT-1 --screen none --did all \
        --pain 3 --morning same --swelling same --flexion 90 --extension-deficit 5 \
        --leg-lift alone-straight --walking-aid two-sticks --next-visit 2026-04-13"
    );
    run(folder.path(), &visit);
    ordered(folder.path(), "flexion-cap 60", "2026-03-31");
    let before = std::fs::read(folder.path().join(RECORD)).unwrap();
    let (code, told, said) = run(folder.path(), &format!("handout {RECORD} --as text"));
    assert!(code != 0 && told.is_empty(), "{told}");
    let warns = [
        "does not know this order",
        "O1 flexion-cap 60°",
        "visit --corrects",
        "no sheet went out",
    ];
    holds(&flat(&said), &warns);
    let after = std::fs::read(folder.path().join(RECORD)).unwrap();
    assert_eq!(after, before, "nothing is written");
    let (code, told, _) = run(
        folder.path(),
        &format!("handout {RECORD} --preview --as text"),
    );
    assert!(code == 0 && !told.is_empty(), "a preview may be looked at");
}

#[test]
fn a_sheet_that_is_void_over_or_a_page_is_never_said_to_hold() {
    let folder = at_home();
    let (_, said) = ordered(folder.path(), "flexion-cap 60", "2026-06-25");
    holds(&said, &["sheet 2 at home has run out", "banister visit"]);
    run(
        folder.path(),
        "correct record.toml side left --because slip --by PT-1 --on 2026-06-25",
    );
    let (_, said) = ordered(folder.path(), "flexion-cap 50", "2026-06-25");
    holds(&said, &["sheet 2 at home is void", "banister visit"]);
    let folder = at_home();
    let visit = format!(
        "visit {RECORD} --date 2026-03-25 --by PT-1 --screen calf=yes --did all \
        --pain 3 --morning same --swelling same --next-visit 2026-04-13"
    );
    run(folder.path(), &visit);
    run(folder.path(), &format!("handout {RECORD} --as text"));
    let clear = format!("clear {RECORD} calf --by Ward --on 2026-03-26");
    let (code, _, said) = run(folder.path(), &clear);
    assert_eq!(code, 0, "{said}");
    let said = flat(&said);
    holds(&said, &["see the patient", "SIGN=known"]);
    assert!(
        !said.contains("changes by it") && !said.contains("--phone"),
        "{said}"
    );
}

#[test]
fn an_order_that_begins_before_it_was_given_is_refused() {
    let folder = at_home();
    let (code, said) = ordered(
        folder.path(),
        "flexion-cap 60 --from 2026-03-20",
        "2026-03-25",
    );
    assert_eq!(code, 2);
    holds(&said, &["--from 2026-03-20 lies before --on 2026-03-25"]);
}

/// Gives visit 2 once more, as it was but for its screen.
fn again(folder: &Path, screen: &str) -> String {
    let line = format!(
        "visit {RECORD} --corrects 2 --date 2026-03-23 --by PT-2 --screen {screen} --did most \
         --pain 6 --medicine-before no --morning same --swelling same --flexion 74 \
         --extension-deficit 8 --leg-lift alone-lag --lag 6 --walking-aid two-sticks \
         --next-visit 2026-03-30"
    );
    let (code, _, said) = run(folder, &line);
    assert_eq!(code, 0, "{said}");
    flat(&said)
}

#[test]
fn a_visit_given_once_more_names_what_of_the_sheet_no_longer_holds() {
    let folder = at_home();
    let lines = [
        "what sheet 2 at home says and now does not hold",
        "no exercises",
        "calf",
        "ring the patient today",
        "banister handout",
    ];
    holds(&again(folder.path(), "calf=yes"), &lines);
    let folder = at_home();
    let said = again(folder.path(), "none");
    assert!(!said.contains("does not hold"), "nothing differs: {said}");
}

#[test]
fn an_older_visit_given_once_more_is_told_as_well() {
    let folder = at_home();
    let line = format!(
        "visit {RECORD} --corrects 1 --date 2026-03-11 --by PT-2 --screen pop=yes --pain 6 \
         --pain-rest 4 --medicine-before yes --flexion 55 --extension-deficit 12 \
         --leg-lift alone-lag --lag 9 --walking-aid frame --block-gone yes \
         --stairs-practised yes --next-visit 2026-03-23"
    );
    let (code, _, said) = run(folder.path(), &line);
    assert_eq!(code, 0, "{said}");
    let lines = ["sheet 2 at home says and now does not hold", "no exercises"];
    holds(&flat(&said), &lines);
}

#[test]
fn what_is_dated_ahead_of_today_says_so() {
    let folder = at_home();
    let (_, said) = ordered(folder.path(), "flexion-cap 90", "2099-03-25");
    holds(&said, &["the order is dated ahead of today"]);
    let (_, said) = ordered(folder.path(), "flexion-cap 90", "2026-03-25");
    assert!(!said.contains("ahead of today"), "{said}");
}

#[test]
fn a_cap_outside_the_body_is_refused() {
    let folder = at_home();
    for (cap, taken) in [("29", false), ("30", true), ("160", true), ("161", false)] {
        let (code, said) = ordered(folder.path(), &format!("flexion-cap {cap}"), "2026-03-25");
        assert_eq!(code == 0, taken, "{cap}: {said}");
        assert!(taken || said.contains("from 30 to 160 degrees"), "{said}");
    }
}

#[test]
fn an_order_whose_end_was_asked_stands_beside_a_milder_one() {
    let folder = at_home();
    ordered(folder.path(), "flexion-cap 60 --until asked", "2026-03-25");
    let milder = "flexion-cap 100 --until 2026-04-30";
    let (_, said) = ordered(folder.path(), milder, "2026-03-26");
    holds(
        &said,
        &["stands beside", "O1 flexion-cap 60°", "--replaces O1"],
    );
    assert!(!said.contains("no longer a limit"), "{said}");
    let listed = due(folder.path(), "2026-03-27");
    holds(&listed, &["new limit flexion-cap"]);
}

#[test]
fn an_order_keeps_the_day_it_was_given_whatever_is_said_beside_it() {
    let folder = at_home();
    ordered(folder.path(), "flexion-cap 60", "2026-03-25");
    let (_, said) = ordered(folder.path(), "weight-bearing partial", "2026-03-20");
    assert!(said.contains("Wed 25 Mar 2026"), "{said}");
    assert!(
        !said.contains("O1 flexion-cap 60° by Surgeon, Fri 20 Mar 2026"),
        "{said}"
    );
}

#[test]
fn a_void_sheet_is_followed_by_a_visit_in_person() {
    let folder = at_home();
    let words = "correct record.toml side left --because slip --by PT-1 --on 2026-03-25";
    run(folder.path(), words);
    let (_, said) = ordered(folder.path(), "flexion-cap 60", "2026-03-25");
    holds(&said, &["is void", "see the patient", "banister visit"]);
    assert!(!said.contains("--phone"), "{said}");
}

#[test]
fn a_sign_that_is_gone_though_nobody_assessed_it_is_said() {
    let folder = at_home();
    let visit = |date: &str, screen: &str, next: &str| {
        let line = format!(
            "visit {RECORD} --date {date} --by PT-2 --screen {screen} --did most --pain 4 \
             --medicine-before no --morning same --swelling same --flexion 76 \
             --extension-deficit 8 --leg-lift alone-lag --lag 6 --walking-aid two-sticks \
             --next-visit {next}"
        );
        let (code, _, said) = run(folder.path(), &line);
        assert_eq!(code, 0, "{said}");
        run(folder.path(), &format!("handout {RECORD} --as text"));
        flat(&said)
    };
    let raised = visit("2026-03-30", "wound=yes", "2026-04-06");
    assert!(!raised.contains("nobody is on record"), "{raised}");
    let gone = visit("2026-04-06", "none", "2026-04-13");
    holds(
        &gone,
        &["wound was yes on 2026-03-30 and nobody is on record as having assessed it"],
    );
    let later = visit("2026-04-13", "none", "2026-04-20");
    assert!(!later.contains("nobody is on record"), "said once: {later}");
}
