//! The commands as somebody types them: exit codes, what is written, and what is refused.

use std::fs;
use std::path::Path;

use crate::support::{clinic, root, run};

/// Runs a line that must succeed and returns what it printed.
fn done(folder: &Path, line: &str) -> String {
    let (code, printed, said) = run(folder, line);
    assert_eq!(code, 0, "{line}: {said}");
    printed
}

const INTAKE: &str = "intake r.toml --token EX-0042-E1 --side right --operation 2026-03-02 \
    --surgeon SURG-A --conditions none --equipment bed,chair,chair-arms,towel,strap,worktop \
    --date 2026-03-05 --by PT-1 --screen none --block-gone yes --flexion 70 \
    --extension-deficit 8 --leg-lift alone-lag --lag 8 --walking-aid two-crutches --pain 4 \
    --next-visit 2026-03-16";

const SECOND: &str = "visit r.toml --date 2026-03-16 --by PT-1 --screen none --did all \
    --flexion 92 --extension-deficit 5 --leg-lift alone-straight --pain 3 --morning same \
    --swelling less --next-visit 2026-03-30";

#[test]
fn an_episode_from_intake_to_the_second_sheet() {
    let folder = clinic();
    let folder = folder.path();
    done(folder, INTAKE);
    let first = done(folder, "handout r.toml --as text");
    assert!(first.contains("Sheet: 1") && first.contains("right knee"));
    assert_eq!(
        done(folder, "handout r.toml --as text"),
        first,
        "given back, not made again"
    );
    let before = fs::read(folder.join("r.toml")).unwrap();
    done(folder, SECOND);
    let after = fs::read(folder.join("r.toml")).unwrap();
    assert!(after.starts_with(&before), "a record only grows");
    let second = done(folder, "handout r.toml --as text");
    assert!(second.contains("Sheet: 2, replaces 1"));
    assert_eq!(done(folder, "handout r.toml --sheet 1 --as text"), first);
    done(folder, "handout r.toml --sheet 1 -o first.pdf");
    assert!(
        fs::read(folder.join("first.pdf"))
            .unwrap()
            .starts_with(b"%PDF")
    );
    assert!(done(folder, "check r.toml").contains("1 sound, 0 wrong"));
}

#[cfg(unix)]
#[test]
fn what_we_make_is_readable_by_its_owner_alone() {
    use std::os::unix::fs::PermissionsExt;
    let folder = clinic();
    let folder = folder.path();
    done(folder, INTAKE);
    done(folder, "handout r.toml -o sheet.pdf");
    for path in [
        "r.toml",
        "sheet.pdf",
        "r.sheets/EX-0042-E1-sheet-01.pdf",
        "r.sheets/EX-0042-E1-sheet-01.txt",
    ] {
        let mode = fs::metadata(folder.join(path))
            .unwrap()
            .permissions()
            .mode();
        assert_eq!(mode & 0o777, 0o600, "{path}");
    }
}

#[test]
fn every_slip_of_the_tongue_is_told_and_nothing_is_written() {
    let folder = clinic();
    let folder = folder.path();
    let line = INTAKE
        .replace("--side right", "--side rihgt")
        .replace("--pain 4", "--pain 11")
        .replace("--leg-lift alone-lag", "--leg-lift alone-leg");
    let (code, _, said) = run(folder, &line);
    assert_eq!(code, 2, "{said}");
    assert!(said.contains("did you mean `right`?"), "{said}");
    assert!(!folder.join("r.toml").exists());
    let line = INTAKE
        .replace("--pain 4", "--pain 11")
        .replace("alone-lag", "alone-leg");
    let (code, _, said) = run(folder, &line);
    assert_eq!(code, 2);
    assert!(
        said.contains("from 0 to 10, not 11") && said.contains("alone-lag"),
        "{said}"
    );
    assert!(!folder.join("r.toml").exists());
    let (code, _, said) = run(folder, &INTAKE.replace("2026-03-05", "2026-02-27"));
    assert_eq!(code, 1, "{said}");
    assert!(
        said.contains("as it would be") && !folder.join("r.toml").exists(),
        "{said}"
    );
}

#[test]
fn a_screen_nobody_answered_is_a_question_and_a_sore_calf_withholds() {
    let folder = clinic();
    let folder = folder.path();
    done(folder, INTAKE);
    done(folder, "handout r.toml --as text");
    done(folder, "visit r.toml --date 2026-03-16 --by PT-1");
    let before = fs::read(folder.join("r.toml")).unwrap();
    let (code, printed, said) = run(folder, "handout r.toml --as text");
    assert_eq!(code, 3, "{said}");
    assert!(printed.is_empty() && !said.is_empty());
    assert_eq!(
        fs::read(folder.join("r.toml")).unwrap(),
        before,
        "a question issues nothing"
    );
    let folder = clinic();
    let folder = folder.path();
    done(folder, INTAKE);
    done(folder, "handout r.toml --as text");
    done(
        folder,
        "visit r.toml --date 2026-03-16 --by PT-1 --screen calf=yes",
    );
    let (code, printed, _) = run(folder, "handout r.toml --as text");
    assert_eq!(code, 3);
    assert!(printed.contains("Do not exercise today."), "{printed}");
    done(folder, "clear r.toml calf --by ultrasound --on 2026-03-17");
    done(
        folder,
        "visit r.toml --date 2026-03-17 --by PT-1 --screen calf=known --did all --pain 3 --morning same --swelling same",
    );
    assert!(done(folder, "handout r.toml --as text").contains("Exercises for your new right knee"));
}

#[test]
fn orders_and_the_clinicians_word_change_the_sheet() {
    let folder = clinic();
    let folder = folder.path();
    done(folder, INTAKE);
    done(
        folder,
        "order r.toml flexion-cap 90 --by Surgeon --on 2026-03-02 --document note --until 2026-03-29",
    );
    done(
        folder,
        "adjust r.toml balance --leave-out --because dizzy --by PT-1",
    );
    let page = done(folder, "handout r.toml --as text");
    assert!(
        page.contains("Not past 90") || page.contains("past 90 degrees"),
        "{page}"
    );
    assert!(!page.contains("Balance and share your weight"));
    let why = done(folder, "explain r.toml");
    assert!(why.contains("dizzy"), "{why}");
    let (code, _, said) = run(
        folder,
        "adjust r.toml balance --add --because steady --by PT-1",
    );
    assert_eq!(code, 2, "the visit is closed: {said}");
}

#[test]
fn a_correction_says_which_sheet_it_replaces() {
    let folder = clinic();
    let folder = folder.path();
    done(folder, INTAKE);
    done(folder, "handout r.toml --as text");
    done(
        folder,
        "visit r.toml --corrects 1 --date 2026-03-05 --by PT-1 --screen none --block-gone yes --flexion 60 --extension-deficit 8 --leg-lift with-help --pain 4 --next-visit 2026-03-16",
    );
    let page = done(folder, "handout r.toml --as text");
    assert!(page.contains("Sheet: 2, replaces 1"), "{page}");
}

#[test]
fn rules_and_the_library_explain_themselves() {
    let folder = clinic();
    let folder = folder.path();
    let all = done(folder, "rules");
    assert!(all.contains("D101") && all.contains("D1001") && all.contains("BN007"));
    assert!(done(folder, "rules d714").starts_with("# D714"));
    assert!(done(folder, "rules BN007").contains("TOML"));
    let (code, _, said) = run(folder, "rules D999");
    assert_eq!(code, 2, "{said}");
    assert!(done(folder, "protocol list").contains("straight-leg-raise"));
    assert!(done(folder, "protocol show chair-bend").contains("c3"));
    let json = done(folder, "protocol show chair-bend --as json");
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["id"], "chair-bend");
    let counts = done(folder, "protocol check");
    assert!(counts.contains("each with its source") && counts.contains("practice"));
    done(folder, INTAKE);
    let verdict: serde_json::Value =
        serde_json::from_str(&done(folder, "explain r.toml --as json")).unwrap();
    assert_eq!(verdict["verdict"], "program");
}

#[test]
fn a_number_without_a_source_fails_the_check() {
    let problems = banister::files::library::load_from(
        &banister::files::shelf::Shelf::built_in().with(
            "protocols/exercises/quad-set.toml",
            "quad-set.toml",
            crate::support::read("protocols/exercises/quad-set.toml")
                .lines()
                .filter(|line| !line.starts_with("source"))
                .collect::<Vec<_>>()
                .join("\n")
                .into_bytes(),
        ),
        &banister::domain::ids::Id::new("knee-total").unwrap(),
        &banister::files::source::SourceFile::new(
            "clinic.toml",
            &crate::support::read("shared/clinic.toml"),
        ),
    )
    .unwrap_err();
    assert!(problems.short().contains("BN042"), "{}", problems.short());
}

#[test]
fn usage_and_disk_end_with_two() {
    let folder = clinic();
    let folder = folder.path();
    assert_eq!(run(folder, "handout nothing.toml --as text").0, 2);
    assert_eq!(run(folder, "handout").0, 2);
    assert_eq!(run(folder, "dance").0, 2);
    assert_eq!(run(folder, "--version").0, 0);
}

#[test]
fn a_record_a_clinic_file_and_a_kept_sheet_are_never_written_over() {
    let folder = clinic();
    let folder = folder.path();
    done(folder, INTAKE);
    done(folder, "handout r.toml --as text");
    for target in [
        "r.toml",
        "shared/clinic.toml",
        "r.sheets/EX-0042-E1-sheet-01.pdf",
    ] {
        let before = fs::read(folder.join(target)).unwrap();
        for form in ["", "--preview "] {
            let (code, _, said) = run(folder, &format!("handout r.toml {form}-o {target} --force"));
            assert_eq!(code, 2, "{target}: {said}");
        }
        assert_eq!(fs::read(folder.join(target)).unwrap(), before, "{target}");
    }
}

#[test]
fn every_kind_of_order_that_help_names_is_taken() {
    let help = done(&root(), "order --help");
    let folder = clinic();
    let folder = folder.path();
    done(folder, INTAKE);
    for (kind, value) in [
        ("weight-bearing", "partial"),
        ("flexion-cap", "90"),
        ("no-active-extension", ""),
        ("brace-locked", ""),
        ("compression", ""),
    ] {
        assert!(help.contains(kind), "{kind}");
        done(
            folder,
            &format!("order r.toml {kind} {value} --by S --on 2026-03-02 --document note"),
        );
    }
}
