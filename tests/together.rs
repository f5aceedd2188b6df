//! Two people and one folder: writers at once, a lock that is held, a folder that cannot be written.

use std::fs::{self, File};
use std::path::Path;
use std::process::{Child, Command, Stdio};

use crate::support::{banister_in, copy_of, examples, flat, talk};

const RECORD: &str = "record/record.toml";

fn order(document: &str) -> Vec<&str> {
    vec![
        "order",
        RECORD,
        "brace-locked",
        "--by",
        "Surgeon",
        "--on",
        "2026-03-04",
        "--document",
        document,
    ]
}

fn started(folder: &Path, words: &[&str]) -> Child {
    Command::new(env!("CARGO_BIN_EXE_banister"))
        .args(words)
        .current_dir(folder)
        .env_remove("BANISTER_CLINIC")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

#[test]
fn writers_at_once_each_add_all_or_nothing() {
    const WRITERS: usize = 8;
    let folder = copy_of(&examples()[0]);
    let path = folder.path().join(RECORD);
    let before = fs::read_to_string(&path).unwrap();
    let documents: Vec<String> = (0..WRITERS).map(|n| format!("note {n}")).collect();
    let mut refused = 0;
    let mut added = Vec::new();
    for _ in 0..3 {
        let children: Vec<Child> = documents
            .iter()
            .map(|document| started(folder.path(), &order(document)))
            .collect();
        for (document, child) in documents.iter().zip(children) {
            let run = child.wait_with_output().unwrap();
            let said = String::from_utf8(run.stderr).unwrap();
            let words = flat(&said);
            match run.status.code() {
                Some(0) => added.push(document.clone()),
                Some(2) => {
                    refused += 1;
                    assert!(words.contains("somebody else changed it"), "{said}");
                    assert!(words.contains("nothing was written"), "{said}");
                }
                other => panic!("{other:?}: {said}"),
            }
        }
    }
    assert_eq!(added.len() + refused, 3 * WRITERS);
    assert!(added.len() >= 3, "one writer of each round is the first");
    let after = fs::read_to_string(&path).unwrap();
    assert!(after.starts_with(&before));
    let mut found: Vec<String> = after[before.len()..]
        .lines()
        .filter_map(|line| line.strip_prefix("document = \""))
        .map(|rest| rest.trim_end_matches('"').to_owned())
        .collect();
    found.sort();
    added.sort();
    assert_eq!(
        found, added,
        "the orders of those that ended with 0, and no others"
    );
    let check = banister_in(folder.path(), &["check", RECORD]);
    assert_eq!(check.status.code(), Some(0), "{}", talk(&check));
}

#[test]
fn a_held_lock_is_said_after_a_few_seconds() {
    let folder = copy_of(&examples()[0]);
    let before = fs::read(folder.path().join(RECORD)).unwrap();
    let lock = File::create(folder.path().join("record/.record.toml.lock")).unwrap();
    lock.lock().unwrap();
    let run = banister_in(folder.path(), &order("note"));
    let said = flat(&talk(&run));
    assert_eq!(run.status.code(), Some(2), "{said}");
    assert!(
        said.contains("somebody else is writing to it; nothing was written. Try again"),
        "{said}"
    );
    assert_eq!(fs::read(folder.path().join(RECORD)).unwrap(), before);
    lock.unlock().unwrap();
    let run = banister_in(folder.path(), &order("note"));
    assert_eq!(run.status.code(), Some(0), "{}", talk(&run));
}

#[cfg(unix)]
mod read_only {
    use super::*;
    use std::os::unix::fs::PermissionsExt;
    use std::os::unix::process::CommandExt;

    fn set(path: &Path, bits: u32) {
        fs::set_permissions(path, fs::Permissions::from_mode(bits)).unwrap();
    }

    /// Opens a folder and what is in it for reading by anybody, and for nothing else.
    fn close(path: &Path) {
        if path.is_dir() {
            for entry in fs::read_dir(path).unwrap() {
                close(&entry.unwrap().path());
            }
            set(path, 0o555);
        } else {
            set(path, 0o444);
        }
    }

    /// The program, as somebody who may not write in a closed folder.
    enum Program {
        /// As it is.
        Ours,
        /// A copy run by nobody, since the administrator may write everywhere.
        Copied(tempfile::TempDir),
    }

    impl Program {
        fn command(&self) -> Command {
            match self {
                Self::Ours => Command::new(env!("CARGO_BIN_EXE_banister")),
                Self::Copied(folder) => {
                    let mut command = Command::new(folder.path().join("banister"));
                    command.uid(65_534);
                    command
                }
            }
        }
    }

    fn as_somebody(closed: &Path) -> Program {
        let probe = closed.join("probe");
        if File::create(&probe).is_err() {
            return Program::Ours;
        }
        fs::remove_file(probe).unwrap();
        let folder = tempfile::tempdir().unwrap();
        set(folder.path(), 0o755);
        let copy = folder.path().join("banister");
        fs::copy(env!("CARGO_BIN_EXE_banister"), copy).unwrap();
        Program::Copied(folder)
    }

    /// Names and bytes of everything in a folder.
    fn state(folder: &Path, found: &mut Vec<(String, Vec<u8>)>) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                found.push((path.display().to_string(), Vec::new()));
                state(&path, found);
            } else {
                found.push((path.display().to_string(), fs::read(&path).unwrap()));
            }
        }
        found.sort();
    }

    #[test]
    fn a_folder_that_cannot_be_written_is_said_and_nothing_is_half_written() {
        let folder = copy_of(&examples()[0]);
        let record = folder.path().join("record");
        let text = fs::read_to_string(record.join("record.toml")).unwrap();
        let open = &text[..=text.rfind("\n[visit.issued]").unwrap()];
        fs::write(record.join("open.toml"), open).unwrap();
        close(folder.path());
        let program = as_somebody(&record);
        let mut before = Vec::new();
        state(folder.path(), &mut before);
        let intake = "intake record/new.toml --token EX-0042-E1 --side left --surgeon SURG-A \
            --operation 2026-03-02";
        for words in [
            order("note"),
            vec!["handout", "record/open.toml", "--as", "text"],
            intake.split_whitespace().collect(),
        ] {
            let mut command = program.command();
            command.args(&words).current_dir(folder.path());
            let run = command.env_remove("BANISTER_CLINIC").output().unwrap();
            let said = flat(&talk(&run));
            assert_eq!(run.status.code(), Some(2), "{words:?}: {said}");
            assert!(
                said.contains("you may not write in this folder; nothing was written"),
                "{words:?}: {said}"
            );
            assert!(run.stdout.is_empty(), "{words:?}");
            let mut after = Vec::new();
            state(folder.path(), &mut after);
            assert!(after == before, "{words:?} left something");
        }
        for inside in ["", "record", "record/record.sheets", "shared"] {
            set(&folder.path().join(inside), 0o755);
        }
    }
}
