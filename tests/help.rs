//! Help teaches by one real example a command, and every example runs.
//!
//! Also: completions and manual pages are made, and speak of every command.

use std::fs;
use std::path::Path;
use std::process::Command;

use crate::support::{banister_in, out, root, talk};

/// Commands in an order in which each finds what it works on.
const ORDER: &[&str] = &[
    "intake",
    "order",
    "adjust",
    "explain",
    "handout",
    "form",
    "figures",
    "visit",
    "clear",
    "override",
    "due",
    "correct",
    "check",
    "rules",
    "completions",
    "man",
];

/// Splits a line of an example as a shell would: quotes hold spaces, `>` goes nowhere.
fn words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for letter in line.split(" > ").next().unwrap().chars() {
        match letter {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            other => words.last_mut().unwrap().push(other),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// The examples under a command's help that need no terminal, continued lines joined.
fn examples(help: &str) -> Vec<String> {
    let after = help.split("By flags alone:").last().unwrap();
    let mut found: Vec<String> = Vec::new();
    for line in after.lines() {
        if line.starts_with("  banister ") {
            found.push(line.trim().to_owned());
        } else if let Some(rest) = line.strip_prefix("    ").filter(|_| !found.is_empty()) {
            let last = found.last_mut().unwrap();
            *last = format!("{last} {}", rest.trim());
        }
    }
    found
}

fn subcommands(folder: &Path) -> Vec<String> {
    let help = out(&banister_in(folder, &["--help"]));
    let list = help.split("Commands:").nth(1).unwrap();
    let list = list.split("Options:").next().unwrap();
    list.lines()
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
        .map(|line| line.split_whitespace().next().unwrap().to_owned())
        .filter(|name| name != "help")
        .collect()
}

#[test]
fn every_example_of_the_help_runs() {
    let folder = tempfile::tempdir().unwrap();
    let clinic = folder.path().join("shared");
    fs::create_dir(&clinic).unwrap();
    fs::copy(
        root().join("shared/clinic.toml"),
        clinic.join("clinic.toml"),
    )
    .unwrap();
    fs::create_dir(folder.path().join("records")).unwrap();
    for name in ORDER {
        if *name == "clear" {
            raise_a_sign(folder.path());
        }
        let help = out(&banister_in(folder.path(), &[name, "--help"]));
        let lines = examples(&help);
        assert!(!lines.is_empty(), "{name} has no example:\n{help}");
        for line in lines {
            if line.contains("records/") {
                fs::copy(
                    folder.path().join("r.toml"),
                    folder.path().join("records/r.toml"),
                )
                .unwrap();
                copy_sheets(folder.path());
            }
            let typed = words(&line);
            let typed: Vec<&str> = typed.iter().skip(1).map(String::as_str).collect();
            let run = banister_in(folder.path(), &typed);
            assert_eq!(run.status.code(), Some(0), "{line}:\n{}", talk(&run));
        }
    }
}

/// Closes the visit and adds a call in which the calf is newly sore: only such a sign is assessed.
fn raise_a_sign(folder: &Path) {
    for line in [
        "handout r.toml --as text",
        "visit r.toml --date 2026-03-17 --phone --by PT-1 --screen calf=yes",
    ] {
        let typed: Vec<&str> = line.split(' ').collect();
        let run = banister_in(folder, &typed);
        assert_eq!(run.status.code(), Some(0), "{line}:\n{}", talk(&run));
    }
}

fn copy_sheets(folder: &Path) {
    let to = folder.join("records/r.sheets");
    fs::create_dir_all(&to).unwrap();
    for entry in fs::read_dir(folder.join("r.sheets")).unwrap() {
        let entry = entry.unwrap();
        fs::copy(entry.path(), to.join(entry.file_name())).unwrap();
    }
}

#[test]
fn no_command_is_without_an_example() {
    let folder = tempfile::tempdir().unwrap();
    for name in subcommands(folder.path()) {
        let tried = ORDER.contains(&name.as_str()) || name == "protocol";
        assert!(tried, "{name}: its example is not tried");
    }
}

#[test]
fn completions_know_every_command_and_flag() {
    let folder = tempfile::tempdir().unwrap();
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let script = out(&banister_in(folder.path(), &["completions", shell]));
        for word in [
            "intake",
            "visit",
            "handout",
            "extension-deficit",
            "leave-out",
        ] {
            assert!(script.contains(word), "{shell} lacks {word}");
        }
    }
    let unknown = banister_in(folder.path(), &["completions", "bsh"]);
    assert_eq!(unknown.status.code(), Some(2));
    assert!(talk(&unknown).contains("bash"), "{}", talk(&unknown));
}

#[test]
fn bash_can_read_its_completions_and_completes() {
    let folder = tempfile::tempdir().unwrap();
    let script = out(&banister_in(folder.path(), &["completions", "bash"]));
    fs::write(folder.path().join("c.bash"), script).unwrap();
    let asked = "source c.bash; COMP_WORDS=(banister visit --morn); COMP_CWORD=2; \
                 _banister banister --morn visit; echo \"${COMPREPLY[@]}\"";
    let run = Command::new("bash")
        .args(["-c", asked])
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert_eq!(String::from_utf8_lossy(&run.stdout).trim(), "--morning");
}

#[test]
fn every_command_has_its_manual_page() {
    let folder = tempfile::tempdir().unwrap();
    let whole = out(&banister_in(folder.path(), &["man"]));
    assert!(
        whole.starts_with(".ie") && whole.contains(".SH NAME"),
        "{whole}"
    );
    let run = banister_in(folder.path(), &["man", "-o", "pages"]);
    assert_eq!(run.status.code(), Some(0), "{}", talk(&run));
    for name in subcommands(folder.path()) {
        let path = folder.path().join(format!("pages/banister-{name}.1"));
        let page = fs::read_to_string(&path).unwrap_or_else(|_| panic!("no page for {name}"));
        assert!(page.contains(".SH NAME"), "{name}");
    }
    let visit = fs::read_to_string(folder.path().join("pages/banister-visit.1")).unwrap();
    assert!(
        visit.contains("extension") && visit.contains("By flags alone"),
        "{visit}"
    );
    let again = banister_in(folder.path(), &["man", "-o", "pages"]);
    assert_eq!(
        again.status.code(),
        Some(2),
        "a page that is there is not written over"
    );
}
