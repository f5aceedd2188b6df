//! The clinician's word said again, taken back, and what becomes of it.

use super::{FIRST, clinic, done, has, intake, lacks, refused, run, said};

#[test]
fn the_last_word_on_an_exercise_counts_and_can_be_taken_back() {
    let folder = clinic();
    let folder = folder.path();
    intake(folder, "left", "2026-03-02", FIRST);
    let decided = done(folder, "explain r.toml");
    has(&decided, "(heel-slide");
    let adjust = |rest: &str| format!("adjust r.toml {rest} --by PT-1");
    done(folder, &adjust("quad-set --leave-out --because Sore."));
    let why = done(folder, "explain r.toml");
    let left = crate::support::left_out(&why, "quad-set").unwrap();
    assert!(left.starts_with("left out by PT-1: Sore."), "{left}");
    done(folder, &adjust("quad-set --add --because Better."));
    let why = done(folder, "explain r.toml");
    lacks(&why, "left out by PT-1");
    has(&why, "by PT-1: Better.");
    let told = said(
        folder,
        &adjust("quad-set --as-decided --because Not_after_all."),
    );
    has(&told, "the word on quad-set is taken back");
    assert_eq!(
        done(folder, "explain r.toml"),
        decided,
        "as if nothing had been said"
    );
    refused(
        folder,
        &adjust("quad-set --as-decided --because Again."),
        1,
        &["BN029", "no word on `quad-set` to take back"],
    );
    refused(
        folder,
        &adjust("quad-set --because Nothing."),
        2,
        &["--as-decided"],
    );
    let (code, _, _) = run(
        folder,
        &adjust("quad-set --add --as-decided --because Both."),
    );
    assert_eq!(code, 2);
}

#[test]
fn a_word_that_a_hard_limit_stops_is_told_at_once() {
    let folder = clinic();
    let folder = folder.path();
    let calm = "--date 2026-04-13 --by PT-1 --screen none --flexion 100 --extension-deficit 3 \
        --leg-lift alone-straight --walking-aid none --stance-s 12 --limp no --pain 2 \
        --next-visit 2026-04-20";
    intake(folder, "left", "2026-03-02", calm);
    done(
        folder,
        "order r.toml weight-bearing none --by SURG-A --on 2026-04-12 --document note",
    );
    let told = said(
        folder,
        "adjust r.toml step-up --add --because Wants_it. --by PT-1",
    );
    has(&told, "step-up: it is left out all the same:");
    has(&told, "forbidden by limit");
    let told = said(
        folder,
        "adjust r.toml quad-set --leave-out --because Bored. --by PT-1",
    );
    lacks(&told, "all the same");
}

#[test]
fn a_word_says_which_entry_test_it_sets_aside() {
    let folder = clinic();
    let folder = folder.path();
    let lagging = FIRST.replace("--lag 8", "--lag 20");
    intake(folder, "left", "2026-03-02", &lagging);
    let told = said(
        folder,
        "adjust r.toml straight-leg-raise --add --because Ready. --by PT-1",
    );
    has(&told, "straight-leg-raise: sets aside");
    has(&told, "needs lag");
    has(
        &done(folder, "explain r.toml"),
        "straight-leg-raise: sets aside",
    );
}
