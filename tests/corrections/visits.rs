//! Visits given again: the latest, an earlier one, an open one.

use std::fs;

use super::{FIRST, SECOND, clinic, done, has, one_sheet, refused, run, said};

#[test]
fn a_bend_put_right_after_a_later_visit_is_closed_at_once_and_counts_in_its_place() {
    let folder = clinic();
    let folder = folder.path();
    one_sheet(folder);
    done(
        folder,
        &format!("visit r.toml {SECOND} --flexion 90 --leg-lift alone-straight"),
    );
    let second = done(folder, "handout r.toml --as text");
    let before = fs::read(folder.join("r.toml")).unwrap();
    let again = FIRST
        .replace("--flexion 82", "--flexion 28")
        .replace("--date 2026-03-05 ", "");
    let told = said(folder, &format!("visit r.toml --corrects 1 {again}"));
    has(&told, "date of the visit: that of visit 1, 2026-03-05");
    has(
        &told,
        "visit 3 of 2026-03-05 added in the place of visit 1 and closed",
    );
    has(&told, "no sheet goes out for it");
    has(
        &told,
        "sheet 2 (visit 2 of 2026-03-16) was decided with what visit 1 said",
    );
    has(&told, "visit --corrects 2");
    let after = fs::read(folder.join("r.toml")).unwrap();
    assert!(after.starts_with(&before), "only appended to");
    let text = String::from_utf8(after).unwrap();
    assert!(text.contains("flexion = 82"), "the old value is kept");
    assert!(text.contains("\n[visit.closed]\nsheet = \"none\"\n[visit.seal]\n"));
    has(&done(folder, "check r.toml"), "1 sound, 0 wrong");
    // The latest visit in time is still the second one, and its sheet comes back.
    assert_eq!(done(folder, "handout r.toml --as text"), second);
    let why = done(folder, "explain r.toml");
    has(
        &why,
        "visit 1 was corrected by visit 3 (PT-1): flexion 28°, was 82°",
    );
    has(&why, "sheet 2 was decided with the old value");
    refused(
        folder,
        "handout r.toml --date 2026-03-05 --as text",
        2,
        &["closed without a sheet", "--sheet 1"],
    );
    has(
        &done(folder, "explain r.toml --date 2026-03-05 --fresh"),
        "flexion 28°",
    );
    done(
        folder,
        "handout r.toml --date 2026-03-05 --preview --as text",
    );
    // The next visit looks back on the corrected value and goes on from the last sheet.
    done(
        folder,
        "visit r.toml --date 2026-03-18 --by PT-1 --screen none --did all --pain 3 --morning same \
         --swelling less --leg-lift alone-straight --next-visit 2026-03-30",
    );
    has(&done(folder, "explain r.toml"), "as on sheet 2");
    done(folder, "handout r.toml --as text");
    has(&done(folder, "check r.toml"), "1 sound, 0 wrong");
}

#[test]
fn a_value_put_right_late_is_the_one_that_later_visits_look_back_on() {
    let folder = clinic();
    let folder = folder.path();
    one_sheet(folder);
    done(
        folder,
        &format!("visit r.toml {SECOND} --leg-lift alone-straight"),
    );
    has(
        &done(folder, "explain r.toml"),
        "flexion 82°, seen on day 3",
    );
    done(folder, "handout r.toml --as text");
    let again = FIRST.replace("--flexion 82", "--flexion 28");
    done(folder, &format!("visit r.toml --corrects 1 {again}"));
    has(
        &done(folder, "explain r.toml --fresh"),
        "flexion 28°, seen on day 3",
    );
}

#[test]
fn a_visit_is_corrected_within_its_place_in_time_only() {
    let folder = clinic();
    let folder = folder.path();
    one_sheet(folder);
    done(
        folder,
        &format!("visit r.toml {SECOND} --flexion 90 --leg-lift alone-straight"),
    );
    refused(
        folder,
        &format!("visit r.toml --corrects 1 {FIRST}"),
        2,
        &["visit 2 of 2026-03-16 is still open", "visit --corrects 2"],
    );
    done(folder, "handout r.toml --as text");
    let late = FIRST
        .replace("2026-03-05", "2026-03-17")
        .replace("2026-03-16", "2026-03-20");
    refused(
        folder,
        &format!("visit r.toml --corrects 1 {late}"),
        1,
        &[
            "BN063",
            "the visit after the corrected one was on 2026-03-16",
        ],
    );
    let early = SECOND.replace("2026-03-16", "2026-03-04");
    refused(
        folder,
        &format!("visit r.toml --corrects 2 {early}"),
        1,
        &[
            "BN063",
            "the visit before the corrected one was on 2026-03-05",
        ],
    );
    refused(
        folder,
        &format!("visit r.toml --corrects 7 {SECOND}"),
        1,
        &["BN067", "no visit 7"],
    );
    done(folder, &format!("visit r.toml --corrects 1 {FIRST}"));
    refused(
        folder,
        &format!("visit r.toml --corrects 1 {FIRST}"),
        1,
        &["BN067", "has been corrected already"],
    );
    // A correction is corrected in its turn, and the latest visit gets a new sheet.
    done(folder, &format!("visit r.toml --corrects 3 {FIRST}"));
    done(
        folder,
        &format!("visit r.toml --corrects 2 {SECOND} --flexion 91"),
    );
    let page = done(folder, "handout r.toml --as text");
    has(&page, "Sheet: 3, replaces 2");
    has(&done(folder, "check r.toml"), "1 sound, 0 wrong");
}

#[test]
fn an_altered_late_correction_is_named() {
    let folder = clinic();
    let folder = folder.path();
    one_sheet(folder);
    done(
        folder,
        &format!("visit r.toml {SECOND} --flexion 90 --leg-lift alone-straight"),
    );
    done(folder, "handout r.toml --as text");
    let again = FIRST.replace("--flexion 82", "--flexion 28");
    done(folder, &format!("visit r.toml --corrects 1 {again}"));
    let text = fs::read_to_string(folder.join("r.toml")).unwrap();
    fs::write(
        folder.join("r.toml"),
        text.replace("flexion = 28", "flexion = 29"),
    )
    .unwrap();
    let (code, printed, _) = run(folder, "check r.toml");
    assert_eq!(code, 1);
    has(&printed, "the seal of visit 3 does not hold");
}

#[test]
fn an_open_visit_is_given_again_and_stays_without_a_sheet() {
    let folder = clinic();
    let folder = folder.path();
    one_sheet(folder);
    done(
        folder,
        &format!("visit r.toml {SECOND} --flexion 19 --leg-lift alone-straight"),
    );
    refused(
        folder,
        &format!("visit r.toml {SECOND} --flexion 91"),
        2,
        &[
            "visit 2 of 2026-03-16 is still open",
            "`visit --corrects 2`",
        ],
    );
    let told = said(
        folder,
        &format!("visit r.toml --corrects 2 {SECOND} --flexion 91 --leg-lift alone-straight"),
    );
    has(&told, "in the place of visit 2; it is open");
    let why = done(folder, "explain r.toml");
    has(
        &why,
        "visit 2 was corrected by visit 3 (PT-1): flexion 91°, was 19°",
    );
    let page = done(folder, "handout r.toml --as text");
    has(&page, "Sheet: 2, replaces 1");
    has(&done(folder, "check r.toml"), "1 sound, 0 wrong");
    let text = fs::read_to_string(folder.join("r.toml")).unwrap();
    assert_eq!(text.matches("[visit.issued]\n").count(), 2);
    // Only its correction may follow an open visit.
    let stray = text.replace("corrects = 2", "corrects = 1");
    fs::write(folder.join("r.toml"), stray).unwrap();
    let (code, printed, _) = run(folder, "check r.toml");
    assert_eq!(code, 1);
    has(&printed, "BN065");
}

#[test]
fn a_visit_given_again_keeps_the_changes_of_the_sheet_before_it() {
    let folder = clinic();
    let folder = folder.path();
    one_sheet(folder);
    done(folder, &format!("visit r.toml {SECOND} --flexion 88"));
    let change = "adjust r.toml quad-set --leave-out --because Sore_after_it. --by PT-1";
    done(folder, change);
    done(folder, "handout r.toml --as text");
    let third = "--date 2026-03-30 --by PT-1 --screen none --did all --pain 3 --morning same \
        --swelling less --next-visit 2026-04-13";
    done(folder, &format!("visit r.toml {third} --flexion 19"));
    let line = format!("visit r.toml --corrects 3 {third} --flexion 91 --keep-changes yes");
    done(folder, &line);
    let text = fs::read_to_string(folder.join("r.toml")).unwrap();
    assert_eq!(
        text.matches("because = \"Sore after it.\"").count(),
        2,
        "{text}"
    );
}
