//! What several test modules share: the library, files of the repository, a folder to work in.

pub mod people;

use std::fs;
use std::path::PathBuf;

/// The repository's own folder.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Reads a file of the repository.
pub fn read(path: &str) -> String {
    fs::read_to_string(root().join(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// The cells of one line of a table; quotation marks may hold commas.
pub fn csv_cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for letter in line.chars() {
        match letter {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            other => cells.last_mut().unwrap().push(other),
        }
    }
    cells
}

use std::path::Path;
use std::process::{Command, Output};

use banister::domain::ids::{Id, ProcedureId};
use banister::domain::library::Library;

/// Loads the built-in knee library with the made-up clinic on top.
pub fn library() -> Library {
    load("knee-total", &root().join("shared/clinic.toml"))
}

/// Loads it with a clinic that changes nothing.
pub fn plain_library() -> Library {
    plain_library_of("knee-total")
}

/// Loads a procedure with a clinic that changes nothing.
pub fn plain_library_of(procedure: &str) -> Library {
    let folder = tempfile::tempdir().unwrap();
    let text = read("shared/clinic.toml");
    let plain = text.split("[[override]]").next().unwrap();
    let path = folder.path().join("clinic.toml");
    fs::write(&path, plain).unwrap();
    load(procedure, &path)
}

fn load(procedure: &str, clinic: &Path) -> Library {
    let procedure = ProcedureId::new(procedure).unwrap();
    banister::files::library::load(&procedure, clinic)
        .unwrap_or_else(|problems| panic!("{problems}"))
}

/// Runs the program in a folder.
pub fn banister_in(folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_banister"))
        .args(words)
        .current_dir(folder)
        .env_remove("BANISTER_CLINIC")
        .env("NO_COLOR", "1")
        .output()
        .unwrap()
}

/// A folder with the made-up clinic and nothing else.
pub fn clinic() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let file = "shared/clinic.toml";
    fs::create_dir(folder.path().join("shared")).unwrap();
    fs::copy(root().join(file), folder.path().join(file)).unwrap();
    folder
}

/// Runs a line; a word in it that has spaces has `_` instead. Returns the exit code, what was
/// printed and what was said.
pub fn run(folder: &Path, line: &str) -> (i32, String, String) {
    let words: Vec<String> = line
        .split_whitespace()
        .map(|word| word.replace('_', " "))
        .collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let run = banister_in(folder, &words);
    (run.status.code().unwrap(), out(&run), talk(&run))
}

/// What a run printed to standard output.
pub fn out(run: &Output) -> String {
    String::from_utf8(run.stdout.clone()).unwrap()
}

/// What a run said on standard error.
pub fn talk(run: &Output) -> String {
    String::from_utf8(run.stderr.clone()).unwrap()
}

/// A text on one line, however it was folded.
pub fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The reason why an explained program leaves an exercise out.
pub fn left_out(why: &str, exercise: &str) -> Option<String> {
    let (_, section) = why.split_once("Left out\n")?;
    let section = section.split("\n\n").next()?;
    let whole = section.replace("\n    ", " ");
    whole.lines().find_map(|line| {
        let (exercises, reason) = line.trim().split_once(" - ")?;
        let named = exercises.split(", ").any(|id| id == exercise);
        named.then(|| reason.to_owned())
    })
}

/// The folders under `examples/`, in order.
pub fn examples() -> Vec<PathBuf> {
    let mut folders: Vec<PathBuf> = fs::read_dir(root().join("examples"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.join("record.toml").exists())
        .collect();
    folders.sort();
    folders
}

/// A folder with the made-up clinic's files and a copy of one example in `record/`.
pub fn copy_of(example: &Path) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    copy_tree(&root().join("shared"), &folder.path().join("shared"));
    copy_tree(example, &folder.path().join("record"));
    folder
}

/// Copies a folder and everything below it.
pub fn copy_tree(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy_tree(&path, &target);
        } else {
            fs::copy(&path, &target).unwrap();
        }
    }
}

/// Fails unless a text holds words, however it is folded.
pub fn has(text: &str, wanted: &str) {
    assert!(
        flat(text).contains(&flat(wanted)),
        "no `{wanted}` in:\n{text}"
    );
}

/// Fails when a text holds words, however it is folded.
pub fn lacks(text: &str, unwanted: &str) {
    assert!(
        !flat(text).contains(&flat(unwanted)),
        "`{unwanted}` in:\n{text}"
    );
}
