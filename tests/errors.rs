//! The catalogue of problems: one file for each, and every word banister says about it.
//!
//! A fixture's first line says which file of `library/` it stands in place of; without one it is
//! a record. `BLESS=1` writes what is said now into the `.stderr` files.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use banister::domain::ids::{Id as _, ProcedureId};
use banister::files::codes::CODES;
use banister::files::library::{self, Loaded};
use banister::files::problem::{Colour, Problems};
use banister::files::record;
use banister::files::shelf::Shelf;
use banister::files::source::{LIBRARY_BYTES, RECORD_BYTES, SourceFile};

const CLINIC: &str = "clinic.toml";
const RECORD: &str = "record.toml";

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/errors")
}

fn shelf() -> Shelf {
    let root = folder().join("library");
    let whole = Shelf::folder(&root).unwrap();
    // Paths are shown from the library's folder, wherever the tests run.
    let paths: Vec<String> = whole.paths().map(str::to_owned).collect();
    paths.into_iter().fold(whole, |shelf, path| {
        let bytes = shelf.bytes(&path).unwrap().to_vec();
        shelf.with(&path, &format!("library/{path}"), bytes)
    })
}

fn file(path: &str, shown: &str, most: u64) -> Result<Arc<SourceFile>, Problems> {
    let bytes = std::fs::read(folder().join(path)).unwrap();
    SourceFile::from_bytes(shown, &bytes, most)
}

fn load(shelf: &Shelf, clinic: &Arc<SourceFile>) -> Result<Loaded, Problems> {
    library::load_from(shelf, &ProcedureId::new("knee-test").unwrap(), clinic)
}

fn base_clinic() -> Arc<SourceFile> {
    file("library/clinic.toml", "library/clinic.toml", LIBRARY_BYTES).unwrap()
}

fn read_record(file: &Arc<SourceFile>) -> Result<(), Problems> {
    record::head(file)?;
    let library = load(&shelf(), &base_clinic())?.library;
    record::read(file, &library).map(|_| ())
}

/// Reads one fixture in the place it names.
fn read(name: &str) -> Result<(), Problems> {
    let bytes = std::fs::read(folder().join(name)).unwrap();
    let text = String::from_utf8_lossy(&bytes).into_owned();
    let first = text.lines().next().unwrap_or_default();
    match first.strip_prefix("# in place of ").unwrap_or(RECORD) {
        RECORD => read_record(&file(name, name, RECORD_BYTES)?),
        CLINIC => load(&shelf(), &file(name, name, LIBRARY_BYTES)?).map(|_| ()),
        path => {
            let shelf = shelf();
            assert!(shelf.has(path), "{name}: the library has no {path}");
            load(&shelf.with(path, name, bytes), &base_clinic()).map(|_| ())
        }
    }
}

/// Names of the fixtures, by ending.
fn names(ending: &str) -> Vec<String> {
    let entries = std::fs::read_dir(folder()).unwrap();
    let names = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let mut names: Vec<String> = names
        .filter_map(|name| name.strip_suffix(ending).map(str::to_owned))
        .collect();
    names.sort();
    names
}

/// Says what differs from what was said before, or a code that is not the one in the name.
fn difference(name: &str, result: Result<(), Problems>) -> Option<String> {
    let Err(problems) = result else {
        return Some(format!("{name} is told nothing\n"));
    };
    let code = name.split('-').next().unwrap();
    let said = problems.render(Colour::Plain);
    if problems.iter().any(|problem| problem.code.id() != code) {
        return Some(format!("{name} is told another code:\n{said}"));
    }
    let path = folder().join(format!("{name}.stderr"));
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(&path, &said).unwrap();
    }
    let wanted = std::fs::read_to_string(&path).unwrap_or_default();
    (said != wanted).then(|| format!("{name} is told:\n{said}\nand was told:\n{wanted}"))
}

fn none_differ(differences: Vec<String>) {
    assert!(
        differences.is_empty(),
        "{}run with BLESS=1 if the new words are right",
        differences.concat()
    );
}

#[test]
fn the_library_the_fixtures_stand_in_is_right() {
    let library = load(&shelf(), &base_clinic());
    if let Err(problems) = library.map(|_| ()).and(read("library/record.toml")) {
        panic!("{problems}");
    }
}

#[test]
fn each_wrong_file_is_told_as_it_was() {
    let names = names(".toml");
    assert!(!names.is_empty());
    let all = names.iter();
    none_differ(
        all.filter_map(|name| difference(name, read(&format!("{name}.toml"))))
            .collect(),
    );
}

#[test]
fn what_no_fixture_file_can_be_is_told_as_it_was() {
    let missing = SourceFile::read(Path::new("no-such-record.toml"), RECORD_BYTES);
    let big = vec![b'#'; usize::try_from(LIBRARY_BYTES).unwrap() + 1];
    let large = SourceFile::from_bytes("clinic.toml", &big, LIBRARY_BYTES);
    let nowhere = library::find_clinic(None, Path::new("/no-such-folder/record.toml"));
    let all = [
        difference("BN001-no-such-file", missing.map(|_| ())),
        difference("BN002-too-large", large.map(|_| ())),
        difference("BN052-no-clinic-above", nowhere.map(|_| ())),
    ];
    none_differ(all.into_iter().flatten().collect());
}

#[test]
fn every_code_has_a_fixture() {
    let told: BTreeSet<String> = names(".stderr")
        .iter()
        .map(|name| name.split('-').next().unwrap().to_owned())
        .collect();
    for entry in CODES {
        assert!(
            told.contains(entry.code.id()),
            "no fixture for {}",
            entry.code.id()
        );
    }
    assert_eq!(told.len(), CODES.len());
}

#[test]
fn all_problems_of_all_files_are_told_at_once() {
    let path = "protocols/exercises/slide.toml";
    let wrong = |text: &str| text.replace("effort = 2", "effort = 9").into_bytes();
    let shelf = shelf();
    let text = String::from_utf8(shelf.bytes(path).unwrap().to_vec()).unwrap();
    let clinic = base_clinic().text().replace("items = 6", "items = 60");
    let clinic = SourceFile::new("clinic.toml", &clinic);
    let problems = load(&shelf.with(path, "slide.toml", wrong(&text)), &clinic).unwrap_err();
    let places: Vec<&str> = problems
        .iter()
        .map(|problem| problem.at.file.path())
        .collect();
    assert_eq!(places, ["clinic.toml", "slide.toml"]);
}

/// Gives each text that differs from this one by one line left out or one value replaced.
fn mangled(text: &str) -> Vec<String> {
    let values = ["true", "-1", "\"x\"", "[]", "{}", "2026-01-01"];
    let lines: Vec<&str> = text.lines().collect();
    let with = |at: usize, new: &str| {
        let mut lines = lines.clone();
        lines[at] = new;
        lines.join("\n")
    };
    let mut all = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        all.push(with(at, ""));
        if let Some((key, _)) = line.split_once('=') {
            all.push(with(at, &format!("{key}= {}", values[at % values.len()])));
        }
    }
    all
}

#[test]
fn no_slip_of_a_line_ends_the_program() {
    let shelf = shelf();
    let clinic = base_clinic();
    let library = load(&shelf, &clinic).unwrap().library;
    let mut told = 0;
    for path in shelf.paths() {
        let text = String::from_utf8(shelf.bytes(path).unwrap().to_vec()).unwrap();
        for text in mangled(&text) {
            let shelf = shelf.clone().with(path, path, text.into_bytes());
            told += usize::from(load(&shelf, &clinic).is_err());
        }
    }
    for text in mangled(clinic.text()) {
        told += usize::from(load(&shelf, &SourceFile::new(CLINIC, &text)).is_err());
    }
    let record = std::fs::read_to_string(folder().join("library/record.toml")).unwrap();
    for text in mangled(&record) {
        let file = SourceFile::new(RECORD, &text);
        told += usize::from(record::head(&file).is_err() || record::read(&file, &library).is_err());
    }
    assert!(told > 300, "{told}");
}
