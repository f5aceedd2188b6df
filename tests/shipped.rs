//! What is shipped holds: the examples, their sheets and explanations, and the README's commands.

use std::fs;
use std::path::Path;

use crate::support::{banister_in, copy_of, examples, out, read, root, talk};

#[test]
fn there_are_examples_of_both_sides_and_all_answers() {
    let records: Vec<String> = examples()
        .iter()
        .map(|folder| fs::read_to_string(folder.join("record.toml")).unwrap())
        .collect();
    assert!(records.len() >= 6);
    assert!(records.iter().any(|text| text.contains("side = \"left\"")));
    assert!(records.iter().any(|text| text.contains("side = \"right\"")));
    assert!(
        records.iter().all(|text| text.trim_end().ends_with('"')),
        "all closed by a seal"
    );
}

/// Takes what was issued for the last visit off a copy, issues it again and compares every byte.
fn issued_again(example: &Path) {
    let folder = copy_of(example);
    let record = folder.path().join("record/record.toml");
    let closed = fs::read_to_string(&record).unwrap();
    let open = &closed[..closed.rfind("\n[visit.issued]").unwrap()];
    fs::write(&record, open).unwrap();
    fs::remove_dir_all(folder.path().join("record/record.sheets")).unwrap();
    let kept = example.join("record.sheets");
    let run = banister_in(
        folder.path(),
        &["handout", "record/record.toml", "-o", "sheet.pdf"],
    );
    let code = run.status.code().unwrap();
    assert!(
        code == 0 || code == 3,
        "{}: {}",
        example.display(),
        talk(&run)
    );
    assert_eq!(
        fs::read_to_string(&record).unwrap(),
        closed,
        "{}",
        example.display()
    );
    let made = folder.path().join("record/record.sheets");
    for entry in fs::read_dir(&made).unwrap() {
        let path = entry.unwrap().path();
        let before = fs::read(kept.join(path.file_name().unwrap())).unwrap();
        assert!(
            fs::read(&path).unwrap() == before,
            "{} differs",
            path.display()
        );
    }
    assert!(
        fs::read_dir(&made).unwrap().count() >= 2,
        "a PDF and a text"
    );
}

#[test]
fn every_example_issues_the_same_bytes_again() {
    for example in examples() {
        issued_again(&example);
    }
}

#[test]
fn every_example_explains_itself_the_same() {
    for example in examples() {
        let record = example.join("record.toml");
        let run = banister_in(&root(), &["explain", record.to_str().unwrap()]);
        let kept = fs::read_to_string(example.join("explain.txt")).unwrap();
        assert_eq!(out(&run), kept, "{}", example.display());
    }
}

#[test]
fn every_example_is_sound() {
    let run = banister_in(&root(), &["check", "examples", "shared"]);
    assert_eq!(run.status.code(), Some(0), "{}{}", out(&run), talk(&run));
}

/// The first command of the README: the lines of the first block that starts with `cargo run`.
fn first_command() -> Vec<String> {
    let readme = read("README.md");
    let line = readme
        .lines()
        .find(|line| line.starts_with("cargo run --release -- "))
        .expect("the README's first command");
    line.trim_start_matches("cargo run --release -- ")
        .split_whitespace()
        .map(str::to_owned)
        .collect()
}

#[test]
fn the_readme_command_makes_a_handout_and_leaves_the_clone_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let mut words = first_command();
    let output = folder.path().join("handout.pdf");
    let record = words
        .iter()
        .find(|word| word.ends_with("record.toml"))
        .unwrap()
        .clone();
    let before = fs::read(root().join(&record)).unwrap();
    *words.last_mut().unwrap() = output.to_str().unwrap().to_owned();
    assert!(words.contains(&"--preview".to_owned()));
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let run = banister_in(&root(), &words);
    assert_eq!(run.status.code(), Some(0), "{}", talk(&run));
    let pdf = fs::read(&output).unwrap();
    assert!(pdf.starts_with(b"%PDF-1.7") && pdf.len() > 20_000);
    assert_eq!(fs::read(root().join(&record)).unwrap(), before);
}

#[test]
fn a_preview_is_not_the_stored_sheet() {
    let example = &examples()[0];
    let record = example.join("record.toml");
    let record = record.to_str().unwrap();
    let preview = out(&banister_in(
        &root(),
        &["handout", record, "--preview", "--as", "text"],
    ));
    let issued = out(&banister_in(&root(), &["handout", record, "--as", "text"]));
    assert!(preview.contains("Preview, not issued") && !issued.contains("Preview, not issued"));
}

#[test]
fn the_readme_shows_what_explain_says() {
    let run = banister_in(
        &root(),
        &[
            "explain",
            "examples/02-behind-day-14/record.toml",
            "chair-bend",
        ],
    );
    let said = out(&run);
    let readme = read("README.md");
    let from = readme
        .find("On this sheet\n")
        .expect("the README shows an explanation");
    let block = &readme[from..from + readme[from..].find("```").unwrap()];
    assert!(block.lines().count() > 5);
    assert!(
        said.contains(block.trim()),
        "the README shows:\n{block}\nbut explain says:\n{said}"
    );
}
