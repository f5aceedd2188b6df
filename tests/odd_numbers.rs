//! Numbers outside the body, and numbers that contradict each other: refused at every door.

use std::fs;
use std::path::Path;

use crate::support;

const INTAKE: &str = "intake r.toml --token EX-7002-E1 --side right --operation 2026-03-02 \
     --surgeon SURG-A --needs none --conditions none --positions-no none \
     --equipment bed,chair,chair-arms,towel,strap --alone no --slots breakfast,midday,evening \
     --minutes 45 --date 2026-03-09 --by PT-1 --screen none --walking-aid frame --pain 3 \
     --next-visit 2026-03-16";

fn run(folder: &Path, line: &str) -> (i32, String) {
    let (code, told, said) = support::run(folder, line);
    (code, support::flat(&format!("{told} {said}")))
}

/// Begins a record with these measures; returns the exit code, what was said and whether it is there.
fn begin(measures: &str) -> (i32, String, bool) {
    let folder = support::clinic();
    let (code, said) = run(folder.path(), &format!("{INTAKE} {measures}"));
    (code, said, folder.path().join("r.toml").exists())
}

#[test]
fn no_knee_bends_further_than_a_body_can() {
    for (bend, taken) in [
        ("160", true),
        ("161", false),
        ("170", false),
        ("999", false),
    ] {
        let (code, said, there) = begin(&format!("--flexion {bend}"));
        assert_eq!((code == 0, there), (taken, taken), "{bend}: {said}");
        assert!(taken || said.contains("160") || bend == "999", "{said}");
    }
    let folder = support::clinic();
    run(folder.path(), &format!("{INTAKE} --flexion 88"));
    let record = folder.path().join("r.toml");
    let text = fs::read_to_string(&record).unwrap();
    fs::write(&record, text.replace("flexion = 88", "flexion = 165")).unwrap();
    let (code, said) = run(folder.path(), "check r.toml");
    assert!(
        code == 1 && said.contains("BN023") && said.contains("from 0 to 160"),
        "{said}"
    );
}

#[test]
fn a_closed_visit_of_an_earlier_version_is_read_with_the_bend_it_has() {
    for (bend, read) in [(160, true), (161, true), (180, true), (181, false)] {
        let folder = support::clinic();
        let path = folder.path();
        run(path, &format!("{INTAKE} --flexion 88"));
        run(path, "handout r.toml --as text");
        let record = path.join("r.toml");
        let text = fs::read_to_string(&record).unwrap();
        let text = text.replace("flexion = 88", &format!("flexion = {bend}"));
        let (body, _) = text.split_once("[visit.seal]").unwrap();
        let unsealed = format!("{body}[visit.seal]\nsha256 = \"{}\"\n", "0".repeat(64));
        let seal = banister::store::seal_of(&unsealed, 1).unwrap();
        fs::write(&record, unsealed.replace(&"0".repeat(64), &seal)).unwrap();
        let (code, said) = run(path, "check r.toml");
        assert_eq!(code == 0, read, "{bend}: {said}");
        assert_eq!(said.contains("BN023"), !read, "{bend}: {said}");
        let visit = "visit r.toml --date 2026-03-16 --by PT-1 --screen none --flexion";
        let (code, said) = run(path, &format!("{visit} 161"));
        assert!(code != 0, "{said}");
        let (code, said) = run(path, &format!("{visit} 96"));
        assert_eq!(code == 0, read, "{bend}: {said}");
    }
}

#[test]
fn how_a_leg_lifts_and_its_lag_fit() {
    for (lift, lag, taken) in [
        ("alone-straight", 0, true),
        ("alone-straight", 5, true),
        ("alone-straight", 6, false),
        ("alone-straight", 9, false),
        ("alone-lag", 0, false),
        ("alone-lag", 1, true),
        ("alone-lag", 30, true),
        ("with-help", 9, false),
        ("no", 0, false),
    ] {
        let flags = format!("--flexion 80 --leg-lift {lift} --lag {lag}");
        let (code, said, there) = begin(&flags);
        assert_eq!((code == 0, there), (taken, taken), "{flags}: {said}");
        let both = format!("leg lift {lift} and lag {lag} cannot both be");
        assert!(taken || said.contains(&both), "{said}");
    }
}

#[test]
fn beyond_straight_is_said_in_words() {
    let folder = support::clinic();
    let path = folder.path();
    run(
        path,
        &format!("{INTAKE} --flexion 80 --extension-deficit -7"),
    );
    let (_, why) = run(path, "explain r.toml");
    assert!(
        why.contains("extension deficit 7° beyond straight"),
        "{why}"
    );
    assert!(!why.contains("deficit -7"), "{why}");
    run(path, "handout r.toml --as text");
    run(
        path,
        "visit r.toml --date 2026-03-16 --by PT-1 --screen none --flexion 82 --extension-deficit 5",
    );
    let (_, why) = run(path, "explain r.toml");
    let line = "extension deficit 5° is 12° more than 7° beyond straight 7 days before";
    assert!(why.contains(line), "{why}");
    let (_, due) = run(path, "due . --date 2026-03-17");
    assert!(due.contains(line), "{due}");
    assert!(!due.contains(" -7"), "{due}");
}

#[test]
fn a_bend_that_is_lost_in_steps_is_told() {
    let folder = support::clinic();
    let path = folder.path();
    run(path, &format!("{INTAKE} --flexion 88"));
    for (date, bend) in [("2026-03-30", 115), ("2026-04-06", 102), ("2026-04-13", 90)] {
        run(path, "handout r.toml --as text");
        let visit = format!("visit r.toml --date {date} --by PT-1 --screen none --flexion {bend}");
        let (code, said) = run(path, &visit);
        assert_eq!(code, 0, "{said}");
    }
    let lost = "flexion 90° is 25° less than 115° 14 days before";
    let (_, why) = run(path, "explain r.toml");
    let (_, due) = run(path, "due . --date 2026-04-14");
    for said in [&why, &due] {
        assert!(said.contains(&format!("{lost} and below 110°")), "{said}");
        assert!(said.contains("linician looks within 2 days"), "{said}");
        assert!(!said.contains("error of measuring"), "{said}");
    }
}

#[test]
fn a_judged_frailty_is_named_among_the_other_illnesses() {
    for (frailty, conditions, taken) in [
        ("4", "none", true),
        ("5", "none", false),
        ("7", "heart", false),
        ("7", "heart,frail", true),
        ("3", "frail", true),
    ] {
        let folder = support::clinic();
        let line = INTAKE.replace("--conditions none", &format!("--conditions {conditions}"));
        let (code, said) = run(folder.path(), &format!("{line} --frailty {frailty}"));
        assert_eq!(code == 0, taken, "{frailty} {conditions}: {said}");
        let why = format!("frailty {frailty} counts as frail from 5 on");
        assert!(taken || said.contains(&why), "{said}");
    }
}

#[test]
fn a_leg_that_lifted_and_does_not_is_no_answered_no() {
    let folder = support::clinic();
    let path = folder.path();
    run(path, &format!("{INTAKE} --flexion 88 --leg-lift alone-lag"));
    run(path, "handout r.toml --as text");
    let visit = |screen: &str, lift: &str| {
        run(
            path,
            &format!(
                "visit r.toml --date 2026-03-16 --by PT-1 --screen {screen} --leg-lift {lift} \
                 --did all --pain 3 --morning same --swelling same --flexion 90 \
                 --walking-aid frame --next-visit 2026-03-23"
            ),
        )
    };
    for lift in ["with-help", "no"] {
        let (code, said) = visit("none", lift);
        assert!(code != 0, "{lift}");
        let why = format!("leg lift {lift} now and alone-lag on 2026-03-09");
        assert!(
            said.contains(&why) && said.contains("leg-lift-lost"),
            "{said}"
        );
    }
    let (code, said) = visit("leg-lift-lost=yes", "no");
    assert_eq!(code, 0, "{said}");
}
