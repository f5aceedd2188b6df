//! Reasons are kept with the sheet and given back; deciding afresh is asked for and said.

use std::fs;
use std::path::Path;

use super::{CALL, SECOND, ends, kept, one_sheet, refused, two_sheets};
use crate::support::{has, lacks};

const FILE: &str = "r.sheets/EX-0088-E1-sheet-01.json";

fn json(folder: &Path) -> serde_json::Value {
    let (printed, _) = ends(folder, "explain r.toml --as json", 0);
    serde_json::from_str(&printed).unwrap()
}

#[test]
fn what_was_decided_is_kept_beside_the_sheet_and_read_back() {
    let folder = one_sheet();
    let folder = folder.path();
    assert!(kept(folder).contains(&"EX-0088-E1-sheet-01.json".to_owned()));
    let kept = json(folder);
    assert_eq!(
        (&kept["schema"], &kept["kind"]),
        (&1.into(), &"reasons".into())
    );
    assert_eq!(kept["verdict"]["verdict"], "program");
    for part in ["limits", "left_out", "items", "notices", "facts"] {
        assert!(!kept["verdict"][part].is_null(), "{part}");
    }
    assert_eq!(kept["answers"]["measured"]["flexion"]["yes"], 82);
    assert_eq!(kept["replaced"][0]["decision"]["by"], "clinical lead");
    let text = fs::read_to_string(folder.join(FILE)).unwrap();
    assert!(
        !text.contains("\"origin\"") && !text.contains("r.toml"),
        "no places of files"
    );
    assert!(!text.contains(folder.to_str().unwrap()));
}

#[test]
fn a_changed_library_changes_no_reason_that_was_kept() {
    let folder = two_sheets();
    let folder = folder.path();
    let (whole, _) = ends(folder, "explain r.toml", 0);
    let (one, _) = ends(folder, "explain r.toml quad-set", 0);
    let (early, _) = ends(folder, "explain r.toml --date 2026-03-05", 0);
    has(&early, "Thu 5 Mar 2026, day 3");
    let clinic = folder.join("shared/clinic.toml");
    let text = fs::read_to_string(&clinic).unwrap();
    let fewer = text
        .replace("items = 6", "items = 4")
        .replace("[10, 15]", "[5, 10]");
    fs::write(&clinic, fewer).unwrap();
    assert_eq!(ends(folder, "explain r.toml", 0).0, whole);
    assert_eq!(ends(folder, "explain r.toml quad-set", 0).0, one);
    assert_eq!(ends(folder, "explain r.toml --date 2026-03-05", 0).0, early);
    let (fresh, said) = ends(folder, "explain r.toml --fresh", 0);
    has(
        &said,
        "decided afresh with what is known and installed today; not what was issued",
    );
    assert_ne!(fresh, whole);
    has(&fresh, "the sheet holds 4 items");
    ends(
        folder,
        &SECOND
            .replace("2026-03-30", "2026-04-13")
            .replace("2026-03-16", "2026-03-30"),
        0,
    );
    let (open, said) = ends(folder, "explain r.toml", 0);
    has(&open, "the sheet holds 4 items");
    assert!(said.is_empty(), "an open visit is decided as ever: {said}");
}

#[test]
fn reasons_that_are_gone_or_altered_are_said_and_nothing_is_made_in_their_place() {
    let folder = one_sheet();
    let folder = folder.path();
    let bytes = fs::read(folder.join(FILE)).unwrap();
    let altered = String::from_utf8(bytes).unwrap().replace("PT-1", "PT-2");
    fs::write(folder.join(FILE), altered).unwrap();
    refused(
        folder,
        "explain r.toml",
        1,
        &["altered after it was issued"],
    );
    has(&ends(folder, "check r.toml", 1).0, "altered");
    fs::remove_file(folder.join(FILE)).unwrap();
    for line in [
        "explain r.toml",
        "explain r.toml quad-set",
        "explain r.toml --as json",
    ] {
        refused(folder, line, 1, &["is gone; nothing was made in its place"]);
    }
    has(&ends(folder, "check r.toml", 1).0, "gone");
    assert!(!folder.join(FILE).exists());
    ends(folder, "explain r.toml --fresh", 0);
}

/// Takes the reasons out of the record, as if the sheet had gone out before they were kept.
fn without_reasons(folder: &Path) {
    let record = folder.join("r.toml");
    let text = fs::read_to_string(&record).unwrap();
    let (above, rest) = text
        .split_once("[[visit.issued.file]]\nname = \"EX-0088-E1-sheet-01.json\"")
        .unwrap();
    let (_, seal) = rest.split_once("[visit.seal]").unwrap();
    let sealed = banister::store::seal_of(above, 1).unwrap();
    let after = seal.split_once('\n').unwrap().1;
    let after = after.split_once('\n').unwrap().1;
    fs::write(
        &record,
        format!("{above}[visit.seal]\nsha256 = \"{sealed}\"\n{after}"),
    )
    .unwrap();
    fs::remove_file(folder.join(FILE)).unwrap();
}

#[test]
fn a_sheet_from_before_says_that_reasons_were_not_kept() {
    let folder = one_sheet();
    let folder = folder.path();
    without_reasons(folder);
    has(&ends(folder, "check r.toml", 0).0, "1 sound");
    let (printed, _) = ends(folder, "explain r.toml", 0);
    has(
        &printed,
        "Reasons were not kept with sheet 1 of 2026-03-05.",
    );
    has(&printed, "`banister explain r.toml --fresh` decides afresh");
    assert_eq!(ends(folder, "explain r.toml --as json", 0).0, "null\n");
    lacks(&printed, "quad-set");
}

#[test]
fn a_page_that_withholds_keeps_its_reasons_and_a_call_has_those_of_the_sheet_at_home() {
    let folder = one_sheet();
    let folder = folder.path();
    let (first, _) = ends(folder, "explain r.toml", 0);
    ends(folder, CALL, 0);
    ends(folder, "handout r.toml --keep", 0);
    let (printed, said) = ends(folder, "explain r.toml", 0);
    assert_eq!(printed, first);
    has(
        &said,
        "visit 2 (a call) left sheet 1 at home: these are the reasons of that sheet",
    );
    ends(folder, &SECOND.replace("none", "calf=yes"), 0);
    ends(folder, "handout r.toml --as text", 3);
    let (why, _) = ends(folder, "explain r.toml", 3);
    has(&why, "NO EXERCISES.");
    ends(folder, "clear r.toml calf --by Ward --on 2026-03-16", 0);
    assert_eq!(ends(folder, "explain r.toml", 3).0, why);
}

#[test]
fn what_was_put_right_since_stands_under_the_reasons() {
    let folder = two_sheets();
    let folder = folder.path();
    let (before, _) = ends(folder, "explain r.toml", 0);
    let late = "visit r.toml --corrects 1 --by PT-1 --screen none --block-gone yes --flexion 62 \
        --extension-deficit 8 --leg-lift alone-lag --lag 8 --walking-aid two-crutches --pain 4 \
        --next-visit 2026-03-16";
    ends(folder, late, 0);
    let (after, _) = ends(folder, "explain r.toml", 0);
    let since = after.strip_prefix(&before).unwrap();
    has(since, "Put right since sheet 2 was made");
    has(
        since,
        "visit 1 was corrected by visit 3 (PT-1): flexion 62°, was 82°",
    );
    let (old, said) = ends(folder, "explain r.toml --date 2026-03-05", 0);
    has(&old, "flexion 82°");
    has(&said, "decided with what visit 1 said");
    has(&said, "explain r.toml --date 2026-03-05 --fresh");
}

#[test]
fn a_clinics_decision_is_named_and_not_the_source_of_the_value_it_replaced() {
    let folder = super::clinic();
    let folder = folder.path();
    let clinic = folder.join("shared/clinic.toml");
    let mut text = fs::read_to_string(&clinic).unwrap();
    for (path, at, was, now) in [
        ("exercises/quad-set.toml", "rung.q1.pause_s", "5", "4"),
        ("procedures/knee-total.toml", "bounds.slip_days", "14", "7"),
    ] {
        text.push_str(&format!(
            "\n[[override]]\npath = \"{path}\"\nat = \"{at}\"\nwas = {was}\nnow = {now}\n\
             because = \"Our way.\"\nby = \"physio lead\"\non = 2026-02-01\n"
        ));
    }
    fs::write(&clinic, text).unwrap();
    ends(folder, super::INTAKE, 0);
    let (why, _) = ends(folder, "explain r.toml", 0);
    let own = "[clinic: Local skin-care policy, clinical lead, 2026-01-10]";
    has(
        &why,
        &format!("home_care.cold.minutes: [10, 15], was [15, 20] {own}"),
    );
    has(
        &why,
        "bounds.slip_days: 7, was 14 [clinic: Our way, physio lead, 2026-02-01]",
    );
    let (one, _) = ends(folder, "explain r.toml quad-set", 0);
    has(
        &one,
        "q1: 1 x 10, hold 3 s, pause 4 s, 2/day, how both [clinic: Our way, physio lead, \
         2026-02-01 (pause_s); the rest exknee2020, home list",
    );
    has(
        &one,
        "exercises/quad-set.toml, rung.q1.pause_s: 4, was 5 [clinic: Our way, physio lead",
    );
    let (other, _) = ends(folder, "explain r.toml heel-prop", 0);
    lacks(&other, "clinic: Our way");
}
