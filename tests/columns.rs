//! What is printed: no line over 80 columns, plain bytes for pipes, and `-` for standard output.

use std::fs;

use crate::support::{banister_in, copy_of, examples, out, root, talk};

fn too_wide(what: &str, text: &str) -> Vec<String> {
    text.lines()
        .filter(|line| line.chars().count() > 80)
        .map(|line| format!("{what}: {line}"))
        .collect()
}

/// Runs a line in the repository and returns every line that is too wide, and how many there were.
fn wide_lines(words: &[&str]) -> (Vec<String>, usize) {
    let run = banister_in(&root(), words);
    let printed = format!("{}{}", out(&run), talk(&run));
    assert!(
        !printed.contains('\u{1b}'),
        "{words:?} writes an escape code"
    );
    assert!(
        !printed.contains('\u{fdd0}'),
        "{words:?} leaves a mark of its own"
    );
    (
        too_wide(&words.join(" "), &printed),
        printed.lines().count(),
    )
}

#[test]
fn explanations_rules_and_the_library_fit_eighty_columns() {
    let mut lines: Vec<Vec<String>> = Vec::new();
    let exercises: Vec<String> = fs::read_dir(root().join("protocols/exercises"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| path.file_stem().unwrap().to_str().unwrap().to_owned())
        .collect();
    for example in examples() {
        let record = example.join("record.toml");
        let record = record
            .strip_prefix(root())
            .unwrap()
            .to_str()
            .unwrap()
            .to_owned();
        lines.push(vec!["explain".to_owned(), record.clone()]);
        lines.push(vec!["check".to_owned(), record.clone()]);
        for exercise in exercises.iter().step_by(4) {
            lines.push(vec!["explain".to_owned(), record.clone(), exercise.clone()]);
        }
        lines.push(
            ["handout", &record, "--preview", "--as", "text"]
                .map(str::to_owned)
                .to_vec(),
        );
    }
    for line in [
        "rules",
        "rules D714",
        "rules BN009",
        "rules D9999",
        "protocol list",
        "protocol check",
        "protocol show knee-total",
        "protocol show chair-bend",
        "protocol show nothing",
        "handout examples/01-discharge-day-2/record.toml --sheet 9",
        "explain examples/01-discharge-day-2/record.toml nothing",
        "order examples/01-discharge-day-2/record.toml weight-bearing lots --by X --document Y",
    ] {
        lines.push(line.split_whitespace().map(str::to_owned).collect());
    }
    let mut wide = Vec::new();
    let mut all = 0;
    for line in &lines {
        let words: Vec<&str> = line.iter().map(String::as_str).collect();
        let (found, count) = wide_lines(&words);
        wide.extend(found);
        all += count;
    }
    assert!(all > 1000, "only {all} lines were printed");
    assert!(wide.is_empty(), "{}", wide.join("\n"));
}

#[test]
fn every_rule_and_code_fits_eighty_columns() {
    let rules = banister_in(&root(), &["rules"]);
    let ids: Vec<String> = out(&rules)
        .lines()
        .filter_map(|line| line.split_whitespace().next())
        .filter(|word| {
            word.starts_with("BN")
                || word
                    .strip_prefix('D')
                    .is_some_and(|n| n.parse::<u32>().is_ok())
        })
        .map(str::to_owned)
        .collect();
    assert!(ids.len() > 90, "{}", ids.len());
    for id in ids {
        assert_eq!(wide_lines(&["rules", &id]).0, Vec::<String>::new());
    }
}

#[test]
fn problems_of_every_kind_fit_eighty_columns() {
    let folder = root().join("tests/errors");
    let mut wide = Vec::new();
    for entry in fs::read_dir(&folder).unwrap() {
        let file = entry.unwrap().path();
        let name = file.file_name().unwrap().to_str().unwrap();
        if file.extension().is_some_and(|end| end == "toml") {
            let path = format!("tests/errors/{name}");
            wide.extend(wide_lines(&["check", &path]).0);
            wide.extend(
                wide_lines(&[
                    "check",
                    "--clinic",
                    &path,
                    "examples/01-discharge-day-2/record.toml",
                ])
                .0,
            );
        }
    }
    assert!(wide.is_empty(), "{}", wide.join("\n"));
}

#[test]
fn a_line_for_editors_is_never_folded() {
    let path = "tests/errors/BN029-counted-and-by-the-clock.toml";
    let run = banister_in(&root(), &["check", "--short", path]);
    let printed = out(&run);
    let (lines, count) = (printed.lines().count(), printed.matches("error[").count());
    assert_eq!(
        lines,
        count + 1,
        "one line a problem, and the count:\n{printed}"
    );
}

#[test]
fn help_fits_eighty_columns() {
    for command in [
        "", "intake", "visit", "order", "clear", "override", "adjust", "handout", "explain",
        "rules", "check", "protocol",
    ] {
        for help in ["--help", "-h"] {
            let words: Vec<&str> = [command, help]
                .into_iter()
                .filter(|word| !word.is_empty())
                .collect();
            let (wide, count) = wide_lines(&words);
            assert!(count > 5 && wide.is_empty(), "{words:?}: {wide:?}");
        }
    }
}

#[test]
fn a_hyphen_means_standard_output() {
    let folder = copy_of(&examples()[0]);
    let record = "record/record.toml";
    for form in ["pdf", "text"] {
        let plain = banister_in(folder.path(), &["handout", record, "--as", form]);
        let hyphen = banister_in(folder.path(), &["handout", record, "--as", form, "-o", "-"]);
        assert_eq!(hyphen.status.code(), Some(0), "{}", talk(&hyphen));
        assert!(
            !hyphen.stdout.is_empty() && hyphen.stdout == plain.stdout,
            "{form}"
        );
        assert!(!folder.path().join("-").exists());
        let forced = banister_in(
            folder.path(),
            &["handout", record, "--as", form, "-o", "-", "--force"],
        );
        assert_eq!(forced.stdout, plain.stdout);
    }
}

#[test]
fn what_goes_down_a_pipe_is_utf_8_in_any_place() {
    let run = std::process::Command::new(env!("CARGO_BIN_EXE_banister"))
        .args(["explain", "examples/02-behind-day-14/record.toml"])
        .current_dir(root())
        .env_remove("BANISTER_CLINIC")
        .env("LC_ALL", "C")
        .env("TERM", "dumb")
        .output()
        .unwrap();
    assert!(out(&run).contains("74°") && out(&run).contains('→'));
}
