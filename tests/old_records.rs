//! Records of earlier versions stay readable for good: their seals hold, their sheets are given
//! back byte for byte, and a visit can be added.

use std::fs;
use std::path::{Path, PathBuf};

use banister::store::{SealState, sha256, verify_all};

use crate::support::{banister_in, copy_of, root, run};

fn versions() -> Vec<PathBuf> {
    folders(&root().join("tests/records"))
}

fn folders(parent: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(parent).unwrap();
    let mut found: Vec<PathBuf> = entries
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_dir())
        .collect();
    found.sort();
    found
}

fn records() -> Vec<PathBuf> {
    let found: Vec<PathBuf> = versions()
        .iter()
        .flat_map(|version| folders(version))
        .collect();
    assert!(found.len() >= 12, "{} records", found.len());
    found
}

fn text_of(record: &Path) -> String {
    fs::read_to_string(record.join("record.toml")).unwrap()
}

/// The values of a key, in the order of the file.
fn values<'a>(text: &'a str, key: &str) -> Vec<&'a str> {
    let lines = text.lines();
    let found = lines.filter_map(|line| line.strip_prefix(key)?.trim().strip_prefix('='));
    found.map(|value| value.trim().trim_matches('"')).collect()
}

#[test]
fn every_byte_is_as_it_was_written() {
    for version in versions() {
        let sums = fs::read_to_string(version.join("SHA256SUMS")).unwrap();
        let listed: Vec<(&str, &str)> = sums
            .lines()
            .map(|line| line.split_once("  ").unwrap())
            .collect();
        for (sum, name) in &listed {
            let bytes = fs::read(version.join(name)).unwrap();
            assert_eq!(sha256(&bytes), *sum, "{name}");
        }
        let mut files = 0;
        for record in folders(&version) {
            files += 1 + fs::read_dir(record.join("record.sheets")).unwrap().count();
        }
        assert_eq!(files, listed.len(), "{}", version.display());
    }
}

#[test]
fn every_seal_holds() {
    for record in records() {
        let text = text_of(&record);
        let seals = verify_all(&text).unwrap();
        assert!(!seals.is_empty(), "{}", record.display());
        for seal in seals {
            assert_eq!(seal.state, SealState::Holds, "{}", record.display());
        }
        let (code, said, talk) = run(
            &root(),
            &format!("check {}", record.join("record.toml").display()),
        );
        assert_eq!(code, 0, "{}: {said}{talk}", record.display());
    }
}

#[test]
fn every_sheet_is_given_back_as_it_went_out() {
    let mut given = 0;
    for record in records() {
        let path = record.join("record.toml");
        for n in values(&text_of(&record), "sheet ") {
            for (form, end) in [("pdf", "pdf"), ("text", "txt")] {
                let sheets = record.join("record.sheets");
                let token = values(&text_of(&record), "token ")[0].to_owned();
                let kept = sheets.join(format!("{token}-sheet-{n:0>2}.{end}"));
                let words = [
                    "handout",
                    path.to_str().unwrap(),
                    "--sheet",
                    n,
                    "--as",
                    form,
                ];
                let back = banister_in(&root(), &words);
                let talk = String::from_utf8_lossy(&back.stderr);
                let code = if may_be_done(&record, n) { 0 } else { 3 };
                assert_eq!(back.status.code(), Some(code), "{}: {talk}", kept.display());
                assert!(
                    back.stdout == fs::read(&kept).unwrap(),
                    "{} differs",
                    kept.display()
                );
                given += 1;
            }
        }
    }
    assert!(given > 40, "{given} files");
}

/// Says whether exercises of a sheet may be done: not of a page that withholds them, nor of any
/// sheet while a calf is sore that nobody has assessed.
fn may_be_done(record: &Path, sheet: &str) -> bool {
    let text = text_of(record);
    let start = text.find(&format!("\nsheet = {sheet}\n")).unwrap();
    let issued = &text[start..];
    let issued = &issued[..issued.find("[visit.seal]").unwrap()];
    issued.contains("\nphase = ") && !withheld_now(&text)
}

/// Says whether exercises are withheld at the end of a record.
fn withheld_now(text: &str) -> bool {
    text.contains("calf = \"yes\"") && !text.contains("[[clear]]")
}

/// A sign that was answered yes under an assessment was the assessed one then: it went out with a
/// program, and nothing of that is taken back.
#[test]
fn due_withholds_exercises_only_where_they_were_withheld() {
    for record in records() {
        let text = text_of(&record);
        let last: chrono::NaiveDate = values(&text, "date ").last().unwrap().parse().unwrap();
        for days in 0..=7 {
            let on = last + chrono::TimeDelta::days(days);
            let (_, said, talk) = run(&root(), &format!("due {} --date {on}", record.display()));
            assert_eq!(
                said.contains("No exercises"),
                withheld_now(&text),
                "{}: {said}{talk}",
                record.display()
            );
        }
    }
}

/// Adds a calm visit a week after the last one and issues its sheet.
fn follow_up(folder: &Path, screen: &str, weeks: i64) -> (i32, String) {
    let text = fs::read_to_string(folder.join("record/record.toml")).unwrap();
    let last: chrono::NaiveDate = values(&text, "date ").last().unwrap().parse().unwrap();
    let date = last + chrono::TimeDelta::weeks(weeks);
    let (code, said, talk) = run(
        folder,
        &format!(
            "visit record/record.toml --date {date} --by PT-1 --screen {screen} --did most \
             --pain 2 --medicine-before yes --morning same --swelling same --next-visit {}",
            date + chrono::TimeDelta::days(7)
        ),
    );
    assert_eq!(code, 0, "{said}{talk}");
    let (code, sheet, talk) = run(folder, "handout record/record.toml --as text");
    assert!([0, 3].contains(&code), "{talk}");
    let now = fs::read_to_string(folder.join("record/record.toml")).unwrap();
    assert!(now.starts_with(&text), "the old bytes come first");
    assert!(verify_all(&now).unwrap().len() > verify_all(&text).unwrap().len());
    (code, sheet)
}

#[test]
fn every_record_takes_a_follow_up_visit() {
    for record in records() {
        let folder = copy_of(&record);
        let withheld = withheld_now(&text_of(&record));
        let (code, sheet) = follow_up(folder.path(), "none", 1);
        if withheld {
            assert_eq!(code, 3, "a sore calf nobody looked at still withholds");
            let on = values(&text_of(&record), "date ")
                .last()
                .unwrap()
                .to_string();
            let (cleared, _, talk) = run(
                folder.path(),
                &format!("clear record/record.toml calf --by scan --on {on} --until 2026-05-06"),
            );
            assert_eq!(cleared, 0, "{talk}");
            let (code, sheet) = follow_up(folder.path(), "calf=known", 0);
            assert_eq!(code, 0, "{sheet}");
        } else {
            assert_eq!(code, 0, "{}: {sheet}", record.display());
            assert!(sheet.contains("Exercise"), "{sheet}");
        }
    }
}

#[test]
fn a_record_changed_by_one_value_is_noticed() {
    let folder = copy_of(&records()[0]);
    let path = folder.path().join("record/record.toml");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replacen("flexion = 6", "flexion = 7", 1)).unwrap();
    let (code, said, talk) = run(folder.path(), "check record/record.toml");
    assert_eq!(code, 1, "{said}{talk}");
}

#[test]
fn a_page_that_withholds_is_explained_with_its_own_exit_code() {
    let mut codes = Vec::new();
    for record in records() {
        let folder = copy_of(&record);
        let text = text_of(&record);
        let last = text.rsplit("[visit.issued]").next().unwrap();
        let expected = if values(last, "phase").is_empty() {
            3
        } else {
            0
        };
        let (code, _, said) = run(folder.path(), "explain record/record.toml");
        assert_eq!(code, expected, "{}: {said}", record.display());
        codes.push(code);
    }
    assert!(codes.contains(&3) && codes.contains(&0));
}
