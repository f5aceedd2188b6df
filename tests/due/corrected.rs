//! Who is due after a visit was given again, or the side or the day was put right.

use std::fs;
use std::path::Path;

use super::{block, clinic, due, rows};

const R: &str = "records/04-hot-calf-day-20/record.toml";
const FIRST: &str = "records/01-discharge-day-2/record.toml";

/// Runs a line that must succeed; a text in it that has spaces has `_` instead.
fn done(folder: &Path, line: &str) -> String {
    let words: Vec<String> = line
        .split_whitespace()
        .map(|w| w.replace('_', " "))
        .collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let run = crate::support::banister_in(folder, &words);
    let said = crate::support::talk(&run);
    assert!(matches!(run.status.code(), Some(0 | 3)), "{line}: {said}");
    said
}

fn row(printed: &str, token: &str) -> String {
    let found = rows(printed).into_iter();
    let mut found = found.filter(|row| row.starts_with(token));
    found.next().unwrap()
}

/// Gives the first visit of the person with the sore calf again, with another bend.
fn first_visit_again(folder: &Path) {
    let text = fs::read_to_string(folder.join(R)).unwrap();
    assert_eq!(
        text.matches("[[visit]]").count(),
        3,
        "the calf is the third"
    );
    let again = format!(
        "visit {R} --corrects 1 --by PT-2 --screen none --block-gone yes --flexion 70 \
         --extension-deficit 8 --leg-lift alone-lag --lag 8 --walking-aid two-crutches --pain 4"
    );
    assert!(done(folder, &again).contains("closed"));
}

#[test]
fn a_late_correction_hides_nobody_whose_exercises_were_withheld() {
    let folder = clinic();
    let folder = folder.path();
    let before = block(&due(folder, "2026-05-03"), "EX-0004-E1");
    assert!(before.contains("calf not yet assessed"), "{before}");
    first_visit_again(folder);
    assert_eq!(block(&due(folder, "2026-05-03"), "EX-0004-E1"), before);
}

#[test]
fn a_late_correction_is_left_out_before_the_visit_above_it() {
    let folder = clinic();
    let folder = folder.path();
    let day = "2026-04-25";
    let before = block(&due(folder, day), "EX-0004-E1");
    first_visit_again(folder);
    assert_eq!(block(&due(folder, day), "EX-0004-E1"), before);
}

#[test]
fn a_void_sheet_is_told_with_its_reason_until_another_one_went_out() {
    let folder = clinic();
    let folder = folder.path();
    done(
        folder,
        &format!("correct {FIRST} side right --because Typed_wrongly. --by PT-2 --on 2026-03-10"),
    );
    let before = row(&due(folder, "2026-03-09"), "EX-0001-E1");
    assert!(before.contains("knee-total, left"), "{before}");
    assert!(!before.contains("void"), "{before}");
    let printed = due(folder, "2026-03-15");
    let told = row(&printed, "EX-0001-E1");
    assert!(
        told.contains(
            "- Sheet 1 is void and still at home: the side is right, not left (\"Typed \
             wrongly.\", PT-2, 2026-03-10). Ring the patient today: they must not use it. See \
             them, and make a new sheet."
        ),
        "{told}"
    );
    assert!(told.contains("knee-total, right"), "{told}");
    assert!(!told.contains("is for use until"), "{told}");
    let typed = block(&printed, "EX-0001-E1");
    assert!(
        typed.contains(&format!("      banister visit {FIRST}\n")),
        "{typed}"
    );
    let visit = format!(
        "visit {FIRST} --date 2026-03-16 --by PT-1 --screen none --pain 3 --flexion 90 \
         --extension-deficit 5 --leg-lift alone-straight --walking-aid two-crutches \
         --next-visit 2026-03-30"
    );
    done(folder, &visit);
    let open = block(&due(folder, "2026-03-16"), "EX-0001-E1");
    assert!(open.contains("Sheet 1 is void"), "{open}");
    assert!(!open.contains("banister visit"), "one is open: {open}");
    done(folder, &format!("handout {FIRST} --as text"));
    let closed = row(&due(folder, "2026-03-16"), "EX-0001-E1");
    assert!(!closed.contains("void"), "{closed}");
}

#[test]
fn a_visit_open_at_the_correction_is_given_again_with_the_command_named() {
    let folder = clinic();
    let folder = folder.path();
    let visit = "--date 2026-03-16 --by PT-1 --screen none --pain 3 --flexion 90";
    done(folder, &format!("visit {FIRST} {visit}"));
    done(
        folder,
        &format!(
            "correct {FIRST} operation 2026-03-01 --because Misread. --by PT-2 --on 2026-03-16"
        ),
    );
    let list = due(folder, "2026-03-16");
    let told = row(&list, "EX-0001-E1");
    let printed = block(&list, "EX-0001-E1");
    assert!(
        told.contains("the operation was on 2026-03-01, not on 2026-03-02"),
        "{told}"
    );
    let typed: Vec<&str> = printed
        .lines()
        .filter(|line| line.contains("  banister "))
        .collect();
    let again = format!("banister visit {FIRST} --corrects 2");
    assert_eq!(typed[0].trim(), again, "{printed}");
    assert_eq!(printed.matches(&again).count(), 1, "{printed}");
    done(
        folder,
        &format!("{} {visit}", again.trim_start_matches("banister ")),
    );
    let printed = block(&due(folder, "2026-03-16"), "EX-0001-E1");
    assert!(!printed.contains("--corrects"), "{printed}");
}
