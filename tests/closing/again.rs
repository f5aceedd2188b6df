//! An old sheet is given back byte for byte, and what has changed since is said before it.

use std::fs;
use std::path::Path;

use super::{CALL, SECOND, ends, one_sheet, two_sheets};
use crate::support::{has, lacks};

/// Gives a sheet back and checks its bytes; returns what was said before "exactly as".
fn again(folder: &Path, sheet: i64, code: i32) -> String {
    let (printed, said) = ends(
        folder,
        &format!("handout r.toml --sheet {sheet} --as text"),
        code,
    );
    let name = format!("r.sheets/EX-0088-E1-sheet-{sheet:02}.txt");
    assert!(printed == fs::read_to_string(folder.join(name)).unwrap());
    let (before, _) = said.split_once("exactly as it was issued").unwrap();
    before.to_owned()
}

#[test]
fn a_sheet_that_was_replaced_or_has_ended_is_given_back_with_a_warning() {
    let folder = two_sheets();
    let folder = folder.path();
    let said = again(folder, 1, 0);
    has(
        &said,
        "warning: sheet 1 is not the latest: sheet 2 of Mon 16 Mar 2026 took its place",
    );
    has(&said, "warning: sheet 1 ended on Mon 16 Mar 2026");
    let said = again(folder, 2, 0);
    lacks(&said, "not the latest");
    has(&said, "warning: sheet 2 ended on Mon 30 Mar 2026");
    let (_, plain) = ends(folder, "handout r.toml --as text", 0);
    has(&plain, "sheet 2 ended");
}

#[test]
fn an_older_program_ends_with_three_while_exercises_are_withheld() {
    let folder = one_sheet();
    let folder = folder.path();
    assert!(!again(folder, 1, 0).contains("NO EXERCISES"));
    ends(folder, &CALL.replace("none", "calf=yes"), 0);
    let said = again(folder, 1, 3);
    has(
        &said,
        "NO EXERCISES since Mon 9 Mar 2026: calf not assessed since",
    );
    has(&said, "Sheet 1 must not be used");
    ends(folder, "handout r.toml --as text", 3);
    assert!(said.find("NO EXERCISES") < said.find("ended"), "{said}");
    has(
        &again(folder, 1, 3),
        "sheet 2 of Mon 9 Mar 2026 took its place",
    );
    lacks(&again(folder, 2, 3), "NO EXERCISES since");
    ends(folder, "clear r.toml calf --by Ward --on 2026-03-10", 0);
    has(
        &again(folder, 2, 3),
        "calf was assessed after sheet 2: Ward, Tue 10 Mar 2026",
    );
    has(
        &again(folder, 1, 3),
        "NO EXERCISES since Mon 9 Mar 2026: no new sheet was made since",
    );
    let after = SECOND.replace("none", "calf=known");
    ends(folder, &after, 0);
    ends(folder, "handout r.toml --as text", 0);
    lacks(&again(folder, 1, 0), "NO EXERCISES");
}

#[test]
fn an_order_that_came_after_the_sheet_is_named_also_when_its_letter_is_older() {
    let folder = one_sheet();
    let folder = folder.path();
    let order = "order r.toml flexion-cap 60 --by Mx_Example --on 2026-03-03 --document letter";
    ends(folder, order, 0);
    let said = again(folder, 1, 0);
    has(
        &said,
        "an order was written down after sheet 1: O1 flexion-cap 60° by Mx Example",
    );
    ends(folder, SECOND, 0);
    ends(folder, "handout r.toml --as text", 0);
    lacks(&again(folder, 2, 0), "an order was written down");
}

#[test]
fn a_void_sheet_ends_with_three_and_the_warning_stands_first() {
    let folder = one_sheet();
    let folder = folder.path();
    let side = "correct r.toml side right --because Slip. --by PT-2 --on 2026-03-09";
    ends(folder, side, 0);
    let said = again(folder, 1, 3);
    has(
        &said,
        "warning: sheet 1 is void and must not be used: side right, was left",
    );
    let (_, said) = ends(folder, "handout r.toml --as pdf -o again.pdf", 3);
    assert!(
        said.find("is void") < said.find("written: again.pdf"),
        "{said}"
    );
    let pdf = fs::read(folder.join("r.sheets/EX-0088-E1-sheet-01.pdf")).unwrap();
    assert!(fs::read(folder.join("again.pdf")).unwrap() == pdf);
}
