//! A call leaves the sheet at home: no number, no file, no other appointment.

use std::fs;

use super::{CALL, SECOND, ends, kept, one_sheet, refused};
use crate::support::{has, lacks};

#[test]
fn a_calm_call_is_closed_and_nothing_goes_out() {
    let folder = one_sheet();
    let folder = folder.path();
    let before = kept(folder);
    let (_, said) = ends(folder, CALL, 0);
    has(
        &said,
        "if the sheet at home stays as it is: `handout --keep`",
    );
    let (printed, said) = ends(folder, "handout r.toml --keep", 0);
    assert!(printed.is_empty(), "{printed}");
    has(
        &said,
        "sheet 1 stays at home as it is, until 2026-03-16; the next visit is on 2026-03-16",
    );
    assert_eq!(kept(folder), before);
    let text = fs::read_to_string(folder.join("r.toml")).unwrap();
    let end = text.split("[visit.kept]\n").nth(1).unwrap();
    assert!(
        end.starts_with("sheet = 1\n[visit.seal]\nsha256 = \""),
        "{end}"
    );
    has(&ends(folder, "check r.toml", 0).0, "1 sound, 0 wrong");
    refused(
        folder,
        "handout r.toml --keep",
        2,
        &["visit 2 of 2026-03-09 is closed already"],
    );
    let (page, said) = ends(folder, "handout r.toml --as text", 0);
    has(&said, "visit 2 (a call) left sheet 1 at home");
    has(&page, "Sheet: 1");
}

#[test]
fn who_was_rung_is_still_due_on_the_day_agreed_before() {
    let folder = one_sheet();
    let folder = folder.path();
    has(
        &ends(folder, "due . --date 2026-03-08", 0).0,
        "Ring the patient",
    );
    ends(folder, CALL, 0);
    ends(folder, "handout r.toml --keep", 0);
    let (printed, _) = ends(folder, "due . --date 2026-03-10", 0);
    has(
        &printed,
        "last visit 2026-03-09, yesterday, by phone; next visit 2026-03-16, in 6 days",
    );
    lacks(&printed, "Ring the patient");
    let (late, _) = ends(folder, "due . --date 2026-03-18", 0);
    has(&late, "The next visit was to be on 2026-03-16");
    has(&late, "Sheet 1 ended on 2026-03-16");
}

#[test]
fn a_measure_past_its_line_keeps_its_day_when_somebody_rings_later() {
    let folder = one_sheet();
    let folder = folder.path();
    ends(folder, &SECOND.replace("--flexion 92", "--flexion 70"), 0);
    ends(folder, "handout r.toml --as text", 0);
    ends(folder, &CALL.replace("2026-03-09", "2026-03-19"), 0);
    ends(folder, "handout r.toml --keep", 0);
    let (printed, _) = ends(folder, "due . --date 2026-03-20", 0);
    has(&printed, "At the visit of 2026-03-16 the flexion was 70°");
}

#[test]
fn the_next_visit_answers_to_the_same_sheet_and_hears_the_call() {
    let folder = one_sheet();
    let folder = folder.path();
    ends(
        folder,
        &CALL.replace("--date 2026-03-09", "--date 2026-03-11"),
        0,
    );
    ends(folder, "handout r.toml --keep", 0);
    ends(folder, SECOND, 0);
    let (why, _) = ends(folder, "explain r.toml", 0);
    has(&why, "as on sheet 1, 11 days ago");
    let (page, _) = ends(folder, "handout r.toml --as text", 0);
    has(&page, "Sheet: 2, replaces 1");
    has(&ends(folder, "check r.toml", 0).0, "1 sound, 0 wrong");
}

#[test]
fn the_changes_of_the_last_sheet_are_kept_across_a_call() {
    let folder = one_sheet();
    let folder = folder.path();
    ends(folder, SECOND, 0);
    let word = "adjust r.toml quad-set --leave-out --because Sore. --by PT-1";
    ends(folder, word, 0);
    ends(folder, "handout r.toml --as text", 0);
    let call = CALL.replace("2026-03-09", "2026-03-18");
    ends(folder, &format!("{call} --keep-changes yes"), 0);
    ends(folder, "handout r.toml --keep", 0);
    let third = SECOND
        .replace("2026-03-30", "2026-04-13")
        .replace("2026-03-16", "2026-03-30");
    ends(folder, &format!("{third} --keep-changes yes"), 0);
    let text = fs::read_to_string(folder.join("r.toml")).unwrap();
    assert_eq!(text.matches("because = \"Sore.\"").count(), 3, "{text}");
}

#[test]
fn what_is_new_at_the_call_needs_a_new_sheet_and_all_of_it_is_named() {
    let order = "order r.toml flexion-cap 60 --by Mx_Example --on 2026-03-03 --document letter";
    for (call, more, why) in [
        (
            CALL.replace("none", "wound=yes"),
            "",
            &["a sign is new or worse: wound"][..],
        ),
        (
            CALL.replace("none", "calf=yes"),
            "",
            &["calf", "exercises are withheld"],
        ),
        (
            CALL.replace("--pain 4", "--pain 9"),
            "",
            &["the last dose was too much"],
        ),
        (
            CALL.to_owned(),
            order,
            &["the order flexion-cap of Tue 3 Mar 2026 is newer"],
        ),
        (
            format!(
                "{} --flexion 50 --next-visit 2026-05-01",
                CALL.replace("2026-03-09", "2026-03-23")
            ),
            "",
            &[
                "asks for something to be done",
                "the next visit is on Fri 1 May 2026",
            ],
        ),
        (
            CALL.replace("2026-03-09", "2026-04-20"),
            "",
            &["sheet 1 ended, and stood until"],
        ),
        (
            CALL.replace("--screen none", ""),
            "",
            &["questions must be answered first"],
        ),
        (
            format!("{CALL} --conditions osteoporosis"),
            "",
            &["other conditions"],
        ),
        (
            CALL.replace("--phone", ""),
            "",
            &["in person, and has a sheet of its own"],
        ),
    ] {
        let folder = one_sheet();
        let folder = folder.path();
        ends(folder, &call, 0);
        if !more.is_empty() {
            ends(folder, more, 0);
        }
        refused(folder, "handout r.toml --keep", 2, why);
    }
    let folder = one_sheet();
    for with in ["--preview", "--sheet 1", "-o x.pdf", "--as text"] {
        let line = format!("handout r.toml --keep {with}");
        refused(folder.path(), &line, 2, &["cannot be used with"]);
    }
}

#[test]
fn a_call_that_does_issue_a_sheet_leaves_the_appointment_where_it_was() {
    let folder = one_sheet();
    let folder = folder.path();
    ends(folder, &CALL.replace("--pain 4", "--pain 9"), 0);
    let (page, _) = ends(folder, "handout r.toml --as text", 0);
    has(&page, "16 March");
    let text = fs::read_to_string(folder.join("r.toml")).unwrap();
    let second = text.split("\nn = 2\n").nth(1).unwrap();
    assert!(second.contains("use_until = 2026-03-16"), "{second}");
}

#[test]
fn a_call_typed_wrongly_is_given_again_and_may_leave_the_sheet_once_more() {
    let folder = one_sheet();
    let folder = folder.path();
    ends(folder, CALL, 0);
    ends(folder, "handout r.toml --keep", 0);
    let again = CALL.replace("visit r.toml", "visit r.toml --corrects 2");
    ends(folder, &again.replace("--pain 4", "--pain 3"), 0);
    ends(folder, "handout r.toml --keep", 0);
    has(&ends(folder, "check r.toml", 0).0, "1 sound, 0 wrong");
    let late = SECOND.replace(
        "visit r.toml",
        "visit r.toml --corrects 1 --date 2026-03-05",
    );
    let late = late
        .replacen("--date 2026-03-16 ", "", 1)
        .replace("--did all", "");
    ends(folder, &late, 0);
    has(&ends(folder, "check r.toml", 0).0, "1 sound, 0 wrong");
    ends(folder, SECOND, 0);
    let (page, _) = ends(folder, "handout r.toml --as text", 0);
    has(&page, "Sheet: 2, replaces 1");
}

#[test]
fn a_call_that_needs_a_new_sheet_is_told_why_and_offered_nothing_else() {
    let folder = one_sheet();
    let call = CALL.replace("--screen none", "--screen calf=yes");
    assert_ne!(call, CALL);
    let (_, said) = ends(folder.path(), &call, 0);
    has(&said, "the sheet at home does not stay as it is:");
    lacks(&said, "nothing is printed");
}
