//! A wrong side and a wrong day of the operation put right.

use std::fs;

use super::{
    FIRST, SECOND, WRONG_SIDE, clinic, done, has, intake, lacks, one_sheet, refused, run, said,
};

#[test]
fn a_wrong_side_makes_the_sheet_void_and_the_next_one_a_first_one() {
    let folder = clinic();
    let folder = folder.path();
    let first = one_sheet(folder);
    has(&first, "left knee");
    let old = fs::read(folder.join("r.toml")).unwrap();
    let told = said(folder, WRONG_SIDE);
    for text in [
        "the side is right",
        "void now: sheet 1",
        "throw away sheet 1",
        "add a visit",
    ] {
        has(&told, text);
    }
    let new = fs::read(folder.join("r.toml")).unwrap();
    assert!(new.starts_with(&old), "only appended to");
    // The kept bytes come back, and say that they are void.
    for line in [
        "handout r.toml --as text",
        "handout r.toml --sheet 1 --as text",
    ] {
        let (code, printed, talked) = run(folder, line);
        assert_eq!((code, &printed), (3, &first));
        has(&talked, "sheet 1 is void");
        has(&talked, "side right, was left: by PT-2");
    }
    let checked = done(folder, "check r.toml");
    has(&checked, "remark: sheet 1 is void");
    has(&checked, "1 sound, 0 wrong");

    // Neither bend nor walking aid is typed again: nothing of the wrong leg stands in for them.
    done(
        folder,
        &format!("visit r.toml {SECOND} --extension-deficit 5 --leg-lift alone-straight"),
    );
    let page = done(folder, "handout r.toml --as text");
    has(&page, "Sheet 1 is wrong. Do not use it.");
    has(
        &page,
        "We named the wrong knee. Your exercises are for your right knee.",
    );
    has(&page, "Sheet: 2, replaces 1");
    let above = page.find("Sheet 1 is wrong").unwrap();
    assert!(
        above < page.find("Your day").unwrap_or(usize::MAX),
        "near the top"
    );
    let why = done(folder, "explain r.toml");
    has(
        &why,
        "side right, was left: by PT-2, Mon 9 Mar 2026: Typed wrongly at intake.",
    );
    has(&why, "visit 1 was of the wrong side");
    has(&why, "Response to the last dose: not recorded");
    lacks(&why, "flexion 82");
    lacks(&why, "as on sheet 1");
    has(&why, "first sheet");
}

#[test]
fn the_sheet_after_next_says_nothing_of_it_any_more() {
    let folder = clinic();
    let folder = folder.path();
    one_sheet(folder);
    said(folder, WRONG_SIDE);
    done(
        folder,
        &format!("visit r.toml {SECOND} --flexion 90 --leg-lift alone-straight"),
    );
    let page = done(folder, "handout r.toml --as text");
    has(&page, "Sheet 1 is wrong");
    done(
        folder,
        "visit r.toml --date 2026-03-30 --by PT-1 --screen none --did all --flexion 96 --pain 3 \
         --morning same --swelling less --leg-lift alone-straight --next-visit 2026-04-10",
    );
    let page = done(folder, "handout r.toml --as text");
    lacks(&page, "is wrong");
    has(&done(folder, "explain r.toml"), "as on sheet 2");
    // Both sheets were given back as they were, and only the first is void.
    let (_, _, talked) = run(folder, "handout r.toml --sheet 2 --as text");
    lacks(&talked, "void");
}

#[test]
fn giving_the_void_visit_again_brings_a_sheet_that_says_so() {
    let folder = clinic();
    let folder = folder.path();
    one_sheet(folder);
    said(folder, WRONG_SIDE);
    done(folder, &format!("visit r.toml --corrects 1 {FIRST}"));
    let page = done(folder, "handout r.toml --as text");
    has(&page, "Sheet: 2, replaces 1");
    has(&page, "Sheet 1 is wrong. Do not use it.");
    let why = done(folder, "explain r.toml");
    has(&why, "flexion 82°, seen on day 3");
    lacks(&why, "of the wrong side:");
}

#[test]
fn a_withheld_page_says_it_too() {
    let folder = clinic();
    let folder = folder.path();
    one_sheet(folder);
    said(folder, WRONG_SIDE);
    done(
        folder,
        "visit r.toml --date 2026-03-16 --by PT-1 --screen calf=yes --flexion 90 --pain 3",
    );
    let (code, page, _) = run(folder, "handout r.toml --as text");
    assert_eq!(code, 3);
    has(&page, "Sheet 1 is wrong. Do not use it.");
    has(&page, "Your operation was on your right knee.");
    lacks(&page, "Do not use sheet 1 for now.");
    let (_, why, _) = run(folder, "explain r.toml");
    has(&why, "side right, was left");
}

#[test]
fn a_visit_that_was_open_when_the_side_was_put_right_is_given_again() {
    let folder = clinic();
    let folder = folder.path();
    intake(folder, "left", "2026-03-02", FIRST);
    let told = said(folder, WRONG_SIDE);
    has(&told, "visit 1 is open");
    has(&told, "visit --corrects 1");
    lacks(&told, "void now");
    refused(
        folder,
        "handout r.toml --as text",
        2,
        &["visit --corrects 1", "side right, was left"],
    );
    let told = said(folder, &format!("visit r.toml --corrects 1 {FIRST}"));
    has(&told, "in the place of visit 1");
    let page = done(folder, "handout r.toml --as text");
    has(&page, "right knee");
    lacks(&page, "is wrong");
    has(&done(folder, "check r.toml"), "1 sound");
}

#[test]
fn corrections_that_do_not_fit_are_refused() {
    let folder = clinic();
    let folder = folder.path();
    one_sheet(folder);
    let correct =
        |rest: &str| format!("correct r.toml {rest} --because Slip. --by PT-2 --on 2026-03-09");
    refused(folder, &correct("sied right"), 2, &["did you mean `side`?"]);
    refused(
        folder,
        &correct("side rihgt"),
        2,
        &["did you mean `right`?"],
    );
    refused(
        folder,
        &correct("side left"),
        1,
        &["BN075", "nothing is put right"],
    );
    refused(
        folder,
        &correct("side both"),
        1,
        &["BN061", "an operation of one side"],
    );
    refused(
        folder,
        &correct("operation yesterday"),
        2,
        &["a date such as"],
    );
    refused(
        folder,
        &correct("operation-moved 2026-04-06"),
        1,
        &["BN064", "a visit was held on 2026-03-05"],
    );
    refused(folder, &correct("operation 2026-03-02"), 1, &["BN075"]);
    refused(
        folder,
        "correct r.toml side right --because _ --by PT-2 --on 2026-03-09",
        2,
        &["--because must not be empty"],
    );
    let (code, _, _) = run(folder, "correct r.toml side right --by PT-2");
    assert_eq!(code, 2, "a reason is needed");
    // Written by hand after the fact, or with another count, it is a problem with its place.
    let text = fs::read_to_string(folder.join("r.toml")).unwrap();
    let block = "[[correction]]\nwhat = \"side\"\nwas = \"right\"\nnow = \"left\"\n\
        because = \"Slip.\"\nby = \"PT-2\"\non = 2026-03-09\nvisits = 4\n";
    fs::write(folder.join("r.toml"), format!("{text}{block}")).unwrap();
    let (code, printed, _) = run(folder, "check r.toml");
    assert_eq!(code, 1);
    has(&printed, "`was` is right, but left is in force");
    has(&printed, "`visits` is 4, but 1 stand above it");
}

/// The rung of an exercise on a sheet, as `explain` tells it.
fn rung(why: &str, exercise: &str) -> Option<String> {
    let at = format!("({exercise}), rung ");
    let rest = why.split(&at).nth(1)?;
    rest.split(',').next().map(str::to_owned)
}

#[test]
fn days_counted_too_high_leave_nothing_that_is_too_early() {
    let folder = clinic();
    let folder = folder.path();
    // The operation was on 20 March; typed as ten days earlier, the person stood on day 20.
    let calm = "--by PT-1 --screen none --block-gone yes --flexion 95 --extension-deficit 3 \
        --leg-lift alone-straight --walking-aid one-stick --stance-s 12 --limp no --pain 2";
    intake(
        folder,
        "left",
        "2026-03-10",
        &format!("--date 2026-03-30 --next-visit 2026-04-02 {calm}"),
    );
    let before = done(folder, "handout r.toml --as text");
    let early = done(folder, "explain r.toml");
    has(&early, "day 20, week 3");
    done(
        folder,
        "correct r.toml operation 2026-03-20 --because Misread. --by PT-2 --on 2026-04-01",
    );
    done(
        folder,
        &format!(
            "visit r.toml --date 2026-04-02 --did all --morning same --swelling same --next-visit 2026-04-09 {calm}"
        ),
    );
    let page = done(folder, "handout r.toml --as text");
    has(&page, "Sheet 1 is wrong. Do not use it.");
    has(
        &page,
        "We counted the days wrongly. Your operation was on 20 March.",
    );
    lacks(&page, "wrong knee");
    let why = done(folder, "explain r.toml");
    has(
        &why,
        "operation Fri 20 Mar 2026, was Tue 10 Mar 2026: by PT-2, Wed 1 Apr 2026: Misread.",
    );
    has(&why, "day 13, week 2");
    has(
        &why,
        "sheet 1 counted the days wrongly and is void: entered by test again",
    );
    lacks(&why, "as on sheet 1");
    lacks(&why, "climbed");
    // What the wrong count had opened is easier, or gone.
    for (exercise, was, now) in [
        ("heel-slide-strap", Some("s2"), Some("s1")),
        ("heel-prop", Some("hp2"), Some("hp1")),
        ("chair-bend", Some("c4"), Some("c3")),
        ("walking", Some("wk2"), Some("wk1")),
        ("mini-squat", Some("m1"), None),
    ] {
        let found = (rung(&early, exercise), rung(&why, exercise));
        assert_eq!(
            (found.0.as_deref(), found.1.as_deref()),
            (was, now),
            "{exercise}"
        );
    }
    has(&early, "Phase motion");
    has(&why, "Phase protect");
    has(&page, "Do not do for now: Small squat.");
    has(&before, "Small squat");
}

#[test]
fn days_counted_too_low_give_no_more_than_the_sheet_did() {
    let folder = clinic();
    let folder = folder.path();
    intake(
        folder,
        "left",
        "2026-03-12",
        &FIRST.replace("2026-03-05", "2026-03-15"),
    );
    done(folder, "handout r.toml --as text");
    let low = done(folder, "explain r.toml");
    has(&low, "day 3, week 1");
    done(
        folder,
        "correct r.toml operation 2026-03-02 --because Misread. --by PT-2 --on 2026-03-16",
    );
    done(folder, &format!("visit r.toml {SECOND}"));
    let why = done(folder, "explain r.toml");
    has(&why, "day 14, week 3");
    has(&why, "flexion 82°, seen on day 13");
    // By its day the slide would begin at s2; the sheet gave s1, and nobody gains by a mistake.
    for (exercise, at) in [
        ("quad-set", "q1"),
        ("heel-slide-strap", "s1"),
        ("heel-prop", "hp1"),
    ] {
        let found = (rung(&low, exercise), rung(&why, exercise));
        assert_eq!(
            (found.0.as_deref(), found.1.as_deref()),
            (Some(at), Some(at)),
            "{exercise}"
        );
    }
    has(&why, "Phase motion");
    let page = done(folder, "handout r.toml --as text");
    has(&page, "Your operation was on 2 March.");
    has(&done(folder, "check r.toml"), "1 sound");
}
