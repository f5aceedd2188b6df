//! A wrong file, whatever is wrong with it: a clear error with its place, and nothing written.

use std::fs;
use std::path::Path;

use crate::support::{banister_in, copy_of, examples, out, talk};

/// Names and digests of everything in a folder.
fn state(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(&next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                found.push((path.display().to_string(), fs::read(&path).unwrap()));
            }
        }
    }
    found.sort();
    found
}

/// Changes the open record of the first example and expects a refusal that says so much.
fn refused(change: impl Fn(&str) -> Vec<u8>, expected: &[&str]) {
    let folder = copy_of(&examples()[0]);
    let record = folder.path().join("record/record.toml");
    let closed = fs::read_to_string(&record).unwrap();
    let open = &closed[..closed.rfind("\n[visit.issued]").unwrap()];
    fs::write(&record, change(open)).unwrap();
    let before = state(folder.path());
    for words in [
        vec!["handout", "record/record.toml", "-o", "sheet.pdf"],
        vec![
            "handout",
            "record/record.toml",
            "--preview",
            "-o",
            "sheet.pdf",
        ],
        vec!["explain", "record/record.toml"],
        vec!["check", "record/record.toml"],
        vec![
            "order",
            "record/record.toml",
            "brace-locked",
            "--by",
            "X",
            "--on",
            "2026-03-05",
            "--document",
            "Y",
        ],
    ] {
        let run = banister_in(folder.path(), &words);
        let said = format!("{}{}", out(&run), talk(&run));
        assert_eq!(run.status.code(), Some(1), "{words:?}: {said}");
        for text in expected {
            assert!(
                said.contains(text),
                "{words:?} does not say `{text}`:\n{said}"
            );
        }
        assert!(state(folder.path()) == before, "{words:?} wrote something");
    }
}

fn replaced(from: &'static str, to: &'static str) -> impl Fn(&str) -> Vec<u8> {
    move |text| {
        assert!(text.contains(from), "the example does not hold `{from}`");
        text.replacen(from, to, 1).into_bytes()
    }
}

#[test]
fn a_pain_of_eleven() {
    refused(
        replaced("exercise = 5", "exercise = 11"),
        &["record.toml:", "from 0 to 10", "11"],
    );
}

#[test]
fn an_unknown_id() {
    refused(
        replaced("\"quad-set\"", "\"quad-sett\""),
        &["record.toml:", "quad-sett", "quad-set`"],
    );
}

#[test]
fn a_duplicate_key() {
    refused(
        replaced("side = \"left\"", "side = \"left\"\nside = \"left\""),
        &["record.toml:", "twice"],
    );
}

#[test]
fn an_unknown_word_and_an_unknown_key_are_told_together() {
    refused(
        |text| {
            text.replacen("how = \"seen\"", "how = \"sean\"\npian = 3", 1)
                .into_bytes()
        },
        &["sean", "pian", "2 problems"],
    );
}

#[test]
fn an_empty_file() {
    refused(|_| Vec::new(), &["record.toml", "empty"]);
}

#[test]
fn a_file_of_ten_megabytes() {
    refused(
        |_| vec![b'a'; 10 * 1024 * 1024],
        &["record.toml", "larger than 1024 KiB"],
    );
}

#[test]
fn binary_junk() {
    refused(
        |_| (0..=255).cycle().take(4096).collect(),
        &["record.toml", "not text"],
    );
}

#[test]
fn latin_1_text() {
    refused(
        |text| {
            let mut bytes = text.as_bytes().to_vec();
            let at = text.find("allotment").unwrap();
            bytes[at] = 0xE9;
            bytes
        },
        &["record.toml:", "UTF-8"],
    );
}

#[test]
fn two_visits_out_of_order() {
    refused(
        |text| {
            format!("{text}\n[[visit]]\nn = 2\ndate = 2026-03-03\nhow = \"seen\"\nby = \"PT-1\"\n")
                .into_bytes()
        },
        &["record.toml:", "2026-03-03"],
    );
}

#[test]
fn another_clinics_record() {
    refused(
        replaced("clinic = \"alder-row\"", "clinic = \"beech-row\""),
        &["record.toml:", "beech-row"],
    );
}

#[test]
fn both_sides_of_an_operation_on_one() {
    refused(
        replaced("side = \"left\"", "side = \"both\""),
        &["record.toml:", "both"],
    );
}

#[test]
fn an_altered_closed_visit_is_named() {
    let folder = copy_of(&examples()[0]);
    let record = folder.path().join("record/record.toml");
    let text = fs::read_to_string(&record)
        .unwrap()
        .replacen("flexion = 62", "flexion = 92", 1);
    fs::write(&record, text).unwrap();
    let before = state(folder.path());
    for words in [
        vec!["handout", "record/record.toml", "--as", "text"],
        vec!["check", "record/record.toml"],
    ] {
        let run = banister_in(folder.path(), &words);
        let said = format!("{}{}", out(&run), talk(&run));
        assert_eq!(run.status.code(), Some(1), "{words:?}: {said}");
        assert!(said.contains("visit 1"), "{said}");
    }
    assert!(state(folder.path()) == before);
}

#[test]
fn a_sheet_that_is_gone_or_altered_is_not_made_again() {
    let folder = copy_of(&examples()[0]);
    let sheets = folder.path().join("record/record.sheets");
    let text = fs::read_dir(&sheets)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .find(|path| path.extension().is_some_and(|end| end == "txt"))
        .unwrap();
    let bytes = fs::read(&text).unwrap();
    fs::write(&text, [&bytes[..], b"more"].concat()).unwrap();
    let words = ["handout", "record/record.toml", "--as", "text"];
    let run = banister_in(folder.path(), &words);
    assert_eq!(run.status.code(), Some(1));
    assert!(
        out(&run).is_empty() && talk(&run).contains("altered"),
        "{}",
        talk(&run)
    );
    fs::remove_file(&text).unwrap();
    let run = banister_in(folder.path(), &words);
    assert_eq!(run.status.code(), Some(1));
    assert!(
        out(&run).is_empty() && talk(&run).contains("gone"),
        "{}",
        talk(&run)
    );
    assert!(!text.exists());
}

#[test]
fn an_output_that_exists_is_not_overwritten_and_nothing_is_issued() {
    let folder = copy_of(&examples()[0]);
    fs::write(folder.path().join("sheet.pdf"), b"mine").unwrap();
    let before = state(folder.path());
    let run = banister_in(
        folder.path(),
        &["handout", "record/record.toml", "-o", "sheet.pdf"],
    );
    assert_eq!(run.status.code(), Some(2), "{}", talk(&run));
    assert!(state(folder.path()) == before);
    let run = banister_in(
        folder.path(),
        &[
            "handout",
            "record/record.toml",
            "-o",
            "sheet.pdf",
            "--force",
        ],
    );
    assert_eq!(run.status.code(), Some(0), "{}", talk(&run));
}

/// A word of a shell that is empty by mistake is no answer: never "asked, all no".
#[test]
fn an_empty_list_is_no_answer() {
    use banister::cli::args::Cli;
    use clap::CommandFactory as _;
    use clap::error::ErrorKind;

    let mut tried = 0;
    for command in Cli::command().get_subcommands() {
        let lists = command.get_arguments();
        for list in lists.filter(|arg| arg.get_value_delimiter().is_some()) {
            let flag = format!("--{}", list.get_long().unwrap());
            for empty in ["", "none,", ",calf=yes"] {
                let words = ["banister", &flag, empty];
                let told = command.clone().try_get_matches_from(words).unwrap_err();
                let name = command.get_name();
                assert_eq!(
                    told.kind(),
                    ErrorKind::InvalidValue,
                    "{name} {flag} `{empty}`"
                );
                tried += 1;
            }
        }
    }
    assert!(tried > 30, "{tried}");
}
