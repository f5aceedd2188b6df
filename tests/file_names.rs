//! Names of records and free text as people type them: what is refused, and what always works.

use std::fs;
use std::path::Path;
use std::process::Output;

use crate::support::{banister_in, clinic, copy_of, examples, flat, out, talk};

const INTAKE: &str = "--token EX-0042-E1 --side right --operation 2026-03-02 --surgeon SURG-A \
    --conditions none --equipment bed,chair,towel,strap --date 2026-03-05 --by PT-1 --screen none \
    --block-gone yes --flexion 70 --extension-deficit 8 --leg-lift alone-lag --pain 4 \
    --next-visit 2026-03-16";

fn intake(folder: &Path, record: &str, more: &[&str]) -> Output {
    let mut words = vec!["intake", record];
    words.extend(INTAKE.split_whitespace());
    words.extend(more);
    banister_in(folder, &words)
}

/// What a run said, on one line.
fn said(run: &Output) -> String {
    flat(&talk(run))
}

#[test]
fn a_name_some_system_cannot_keep_is_refused_and_another_offered() {
    let folder = clinic();
    let long = format!("{}.toml", "x".repeat(200));
    for (name, rule) in [
        ("con", "the name of a device"),
        ("Aux.toml", "the name of a device"),
        ("com9.old.toml", "the name of a device"),
        ("r.toml.", "ends with a dot or a space"),
        ("r.toml ", "ends with a dot or a space"),
        ("r?.toml", "it holds ?"),
        ("a\\b.toml", "it holds \\"),
        ("a\nb.toml", "control character (U+000A)"),
        ("./-r.toml", "begins with -"),
        (&long, "205 bytes long, and 200 is the most"),
    ] {
        let run = intake(folder.path(), name, &[]);
        assert_eq!(run.status.code(), Some(2), "{name}: {}", talk(&run));
        assert!(said(&run).contains(rule), "{name}: {}", talk(&run));
        assert!(said(&run).contains("Try `"), "{name}: {}", talk(&run));
    }
    let left: Vec<_> = fs::read_dir(folder.path()).unwrap().collect();
    assert_eq!(left.len(), 1, "nothing was made");
    let offered = said(&intake(folder.path(), "nul.toml", &[]));
    let offered = offered.split('`').nth(1).unwrap();
    assert_eq!(
        intake(folder.path(), offered, &[]).status.code(),
        Some(0),
        "{offered}"
    );
}

#[test]
fn records_with_any_legal_name_work_with_every_command() {
    let longest = format!("{}.toml", "n".repeat(250));
    let accents = format!("{}.toml", "é".repeat(124));
    for name in [
        "with two  spaces.toml",
        "Zoë – “right” knee.toml",
        "-dash.toml",
        "--help.toml",
        "con.toml",
        "no-ending",
        "a.b.c.toml",
        &longest,
        &accents,
    ] {
        let folder = copy_of(&examples()[0]);
        let inside = folder.path().join("record");
        let text = fs::read_to_string(inside.join("record.toml")).unwrap();
        let open = &text[..=text.rfind("\n[visit.issued]").unwrap()];
        let known = open.replace("foot = \"no\"", "foot = \"known\"");
        fs::write(inside.join(name), known).unwrap();
        let record = format!("./{name}");
        let run = |words: &[&str]| {
            let run = banister_in(&inside, words);
            assert_eq!(
                run.status.code(),
                Some(0),
                "{name}: {words:?}: {}{}",
                out(&run),
                talk(&run)
            );
            out(&run)
        };
        run(&["check", &record]);
        run(&["explain", &record]);
        run(&["explain", &record, "quad-set"]);
        run(&[
            "order",
            &record,
            "brace-locked",
            "--by",
            "S",
            "--on",
            "2026-03-04",
            "--document",
            "note",
        ]);
        run(&[
            "clear",
            &record,
            "foot",
            "--by",
            "scan",
            "--on",
            "2026-03-04",
        ]);
        run(&[
            "adjust",
            &record,
            "balance",
            "--leave-out",
            "--because",
            "dizzy",
            "--by",
            "PT-1",
        ]);
        run(&["handout", &record, "--preview", "-o", "preview.pdf"]);
        let sheet = run(&["handout", &record, "--as", "text"]);
        run(&[
            "visit",
            &record,
            "--date",
            "2026-03-16",
            "--by",
            "PT-1",
            "--screen",
            "none",
        ]);
        assert_eq!(
            run(&["handout", &record, "--sheet", "1", "--as", "text"]),
            sheet,
            "{name}"
        );
        run(&["check", &record]);
    }
}

#[test]
fn free_text_is_one_line_and_every_slip_names_its_flag() {
    let folder = clinic();
    let bad = "two\nlines";
    let run = intake(
        folder.path(),
        "r.toml",
        &[
            "--goal",
            "a\tb",
            "--cleared-for-home-by",
            bad,
            "--phase",
            "protect",
            "--because",
            bad,
        ],
    );
    assert_eq!(run.status.code(), Some(2), "{}", talk(&run));
    for flag in ["--goal", "--cleared-for-home-by", "--because"] {
        let slip = format!("{flag} must stand on one line, without tabs or control characters");
        assert!(said(&run).contains(&slip), "{flag}: {}", talk(&run));
    }
    let token = INTAKE.replace("EX-0042-E1", "EX\u{1b}1");
    let words: Vec<&str> = ["intake", "r.toml"]
        .into_iter()
        .chain(token.split_whitespace())
        .collect();
    let run = banister_in(folder.path(), &words);
    assert!(
        said(&run).contains("--token must stand on one line"),
        "{}",
        talk(&run)
    );
    assert!(!folder.path().join("r.toml").exists());
    let long = "x".repeat(601);
    assert!(
        said(&intake(folder.path(), "r.toml", &["--goal", &long]))
            .contains("--goal must have at most 600")
    );

    let goal = "Zoë’s “own” garden – 3 × a week…";
    let run = intake(folder.path(), "r.toml", &["--goal", goal]);
    assert_eq!(run.status.code(), Some(0), "{}", talk(&run));
    let before = fs::read_to_string(folder.path().join("r.toml")).unwrap();
    assert!(before.contains(&format!("goal = \"{goal}\"")), "{before}");
    for (words, flags) in [
        (
            vec![
                "order",
                "r.toml",
                "brace-locked",
                "--by",
                bad,
                "--document",
                "a\rb",
            ],
            vec!["--by", "--document"],
        ),
        (vec!["clear", "r.toml", "calf", "--by", bad], vec!["--by"]),
        (
            vec![
                "adjust",
                "r.toml",
                "balance",
                "--leave-out",
                "--because",
                bad,
                "--by",
                "\u{7f}",
            ],
            vec!["--because", "--by"],
        ),
    ] {
        let run = banister_in(folder.path(), &words);
        assert_eq!(run.status.code(), Some(2), "{words:?}: {}", talk(&run));
        for flag in flags {
            let slip = format!("{flag} must stand on one line");
            assert!(said(&run).contains(&slip), "{words:?}: {}", talk(&run));
        }
    }
    assert_eq!(
        fs::read_to_string(folder.path().join("r.toml")).unwrap(),
        before
    );
}
