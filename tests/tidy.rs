//! Rules of the repository as tests: what may stand where, and what may know what.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use crate::support;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn files_under(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap();
        if name == ".git" {
            continue;
        }
        if path.is_dir() {
            if name != "target" {
                files_under(&path, found);
            }
        } else {
            found.push(path);
        }
    }
}

fn files(folder: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    files_under(&root().join(folder), &mut found);
    found.sort();
    found
}

fn shown(path: &Path) -> String {
    path.strip_prefix(root())
        .unwrap()
        .to_str()
        .unwrap()
        .to_owned()
}

fn text_of(path: &Path) -> Option<String> {
    String::from_utf8(fs::read(path).unwrap()).ok()
}

fn rust_files(folder: &str) -> Vec<(String, String)> {
    files(folder)
        .into_iter()
        .filter(|path| path.extension().is_some_and(|end| end == "rs"))
        .map(|path| (shown(&path), text_of(&path).unwrap()))
        .collect()
}

#[test]
fn top_level_holds_the_fixed_names_only() {
    let allowed: BTreeSet<&str> = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "src",
        "protocols",
        "templates",
        "tests",
        "examples",
        "shared",
    ]
    .into();
    // What the README's own command draws, and what cargo makes, is never part of the tree.
    let left_out = support::read(".gitignore");
    let left_out: Vec<&str> = left_out
        .lines()
        .filter_map(|line| line.strip_prefix('/'))
        .collect();
    for entry in fs::read_dir(root()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(
            name.starts_with('.')
                || allowed.contains(name.as_str())
                || left_out.contains(&name.as_str()),
            "unexpected: {name}"
        );
    }
}

/// Which of our own modules each room may use.
const ROOMS: &[(&str, &[&str])] = &[
    ("domain", &["domain"]),
    ("files", &["domain", "files"]),
    ("store", &["domain", "store"]),
    ("engine", &["domain", "engine"]),
    ("figure", &["domain", "figure"]),
    ("handout", &["domain", "figure", "handout"]),
    ("render", &["domain", "figure", "handout::model", "render"]),
];

#[test]
fn data_flows_one_way() {
    for (room, may_use) in ROOMS {
        for (path, text) in rust_files(&format!("src/{room}")) {
            for (number, line) in text.lines().enumerate() {
                for used in line.split("crate::").skip(1) {
                    let fine = may_use.iter().any(|own| used.starts_with(own))
                        || used.starts_with(|c: char| c.is_ascii_uppercase());
                    assert!(
                        fine,
                        "{path}:{}: {room} must not use crate::{used}",
                        number + 1
                    );
                }
            }
        }
    }
}

/// Crates that only one room may name.
const CRATES: &[(&str, &[&str])] = &[
    ("toml::", &["src/files/", "src/store/"]),
    ("annotate_snippets", &["src/files/problem"]),
    ("printpdf", &["src/render/pdf/"]),
    ("lopdf", &["src/render/pdf/"]),
    ("allsorts", &["src/render/pdf/"]),
    ("clap", &["src/cli/", "src/main.rs"]),
    ("tempfile", &["src/store/"]),
];

#[test]
fn each_outside_crate_stays_in_its_room() {
    for (name, homes) in CRATES {
        for (path, text) in rust_files("src") {
            if homes.iter().any(|home| path.starts_with(home)) || path.contains("/tests/") {
                continue;
            }
            for (number, line) in code_lines(&text) {
                let used = line.contains(&format!("use {name}"))
                    || line.contains(&format!(" {name}"))
                    || line.contains(&format!("({name}"));
                assert!(!used, "{path}:{number}: only {homes:?} may name {name}");
            }
        }
    }
}

/// Lines of a file without comments and without its test module.
fn code_lines(text: &str) -> Vec<(usize, &str)> {
    text.lines()
        .enumerate()
        .take_while(|(_, line)| line.trim() != "#[cfg(test)]")
        .filter(|(_, line)| !line.trim_start().starts_with("//"))
        .map(|(index, line)| (index + 1, line))
        .collect()
}

#[test]
fn only_the_command_line_prints_or_reads_clock_and_environment() {
    for (path, text) in rust_files("src") {
        if path.starts_with("src/cli/") || path == "src/main.rs" || path == "src/build.rs" {
            continue;
        }
        for (number, line) in code_lines(&text) {
            for word in [
                "println!",
                "print!(",
                "Local::now",
                "Utc::now",
                "SystemTime",
                "env::var",
            ] {
                assert!(
                    !line.contains(word),
                    "{path}:{number}: {word} belongs to cli"
                );
            }
        }
    }
}

/// Each of the store's ways of writing is tried with a disk that fails at every step; there is no
/// other way.
#[test]
fn only_the_store_writes_files() {
    for (path, text) in rust_files("src") {
        let writes = path.starts_with("src/store/") || path == "src/build.rs";
        if writes || path.contains("/tests/") {
            continue;
        }
        for (number, line) in code_lines(&text) {
            for word in [
                "fs::write",
                "fs::copy",
                "fs::hard_link",
                "File::create",
                "OpenOptions",
                "set_permissions",
            ] {
                assert!(
                    !line.contains(word),
                    "{path}:{number}: {word} belongs to the store"
                );
            }
        }
    }
}

#[test]
fn the_engine_names_no_joint_procedure_or_exercise() {
    let mut words: BTreeSet<String> = [
        "knee",
        "hip",
        "ankle",
        "shoulder",
        "quad",
        "thigh",
        "heel",
        "calf",
        "arthroplasty",
    ]
    .map(str::to_owned)
    .into();
    for folder in ["protocols/exercises", "protocols/procedures"] {
        for path in files(folder) {
            words.insert(path.file_stem().unwrap().to_str().unwrap().to_owned());
        }
    }
    // Words that are also plain English the engine needs.
    for plain in ["balance", "walking", "stairs", "bike"] {
        words.remove(plain);
    }
    for path in files("src/engine") {
        let Some(text) = text_of(&path) else { continue };
        for (number, line) in text.lines().enumerate() {
            let line = line.to_lowercase();
            let parts: BTreeSet<&str> = line
                .split(|c: char| !(c.is_ascii_alphanumeric() || c == '-'))
                .collect();
            for word in &words {
                assert!(
                    !parts.contains(word.as_str()),
                    "{}:{}: the engine names `{word}`",
                    shown(&path),
                    number + 1
                );
            }
        }
    }
}

#[test]
fn source_files_stay_small_enough_to_read() {
    for (path, text) in rust_files("src") {
        let lines = text
            .lines()
            .take_while(|line| line.trim() != "#[cfg(test)]")
            .count();
        assert!(
            lines <= 500,
            "{path}: {lines} lines before its tests; split it by what it is about"
        );
    }
}

#[test]
fn nothing_half_done_is_left_in_the_code() {
    for (path, text) in rust_files("src").into_iter().chain(rust_files("tests")) {
        if path == "tests/tidy.rs" {
            continue;
        }
        for (index, line) in text.lines().enumerate() {
            for word in [
                "todo!(",
                "unimplemented!(",
                "dbg!(",
                "#[ignore",
                "#[should_panic",
                "impl PartialEq for",
            ] {
                assert!(!line.contains(word), "{path}:{}: {word}", index + 1);
            }
        }
    }
}

#[test]
fn every_module_says_what_it_is_for() {
    for (path, text) in rust_files("src") {
        let first = text.lines().next().unwrap_or("");
        let documented = first.starts_with("//!") || text.starts_with("#![doc");
        assert!(
            documented,
            "{path}: the first line must say what the module is for"
        );
    }
}

#[test]
fn every_test_file_is_listed() {
    let listed = text_of(&root().join("tests/all.rs")).unwrap();
    for entry in fs::read_dir(root().join("tests")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        let is_module = path.extension().is_some_and(|end| end == "rs") && name != "all"
            || path.join("mod.rs").exists();
        assert!(
            !is_module || listed.contains(&format!("mod {name};")),
            "tests/all.rs does not list {name}"
        );
    }
}

#[test]
fn the_tree_names_no_machine_host_or_trademark() {
    // Spelled in pieces, so that this file does not name them either.
    let forbidden: Vec<String> = vec![
        ["/ro", "ot/"].concat(),
        ["/wo", "rk/"].concat(),
        ["/ho", "me/"].concat(),
        ["crates", ".io"].concat(),
        ["pypi", ".org"].concat(),
        ["npmjs", ".com"].concat(),
        ["files.python", "hosted"].concat(),
        "\u{2122}".to_owned(),
        "\u{ae}".to_owned(),
        ["transc", "ript"].concat(),
    ];
    for path in files(".") {
        if path.ends_with("Cargo.lock") {
            continue;
        }
        let Some(text) = text_of(&path) else { continue };
        for (index, line) in text.lines().enumerate() {
            for word in &forbidden {
                assert!(
                    !line.contains(word),
                    "{}:{}: names `{word}`",
                    shown(&path),
                    index + 1
                );
            }
        }
    }
}

#[test]
fn no_crate_can_reach_a_network() {
    let banned = [
        "reqwest",
        "hyper",
        "ureq",
        "curl",
        "tokio",
        "async-std",
        "mio",
        "socket2",
        "native-tls",
        "openssl",
        "rustls",
        "isahc",
        "surf",
        "attohttpc",
        "trust-dns-resolver",
        "hickory-resolver",
    ];
    // What is compiled into the program here; the lock file also lists what other systems need.
    let tree = std::process::Command::new(env!("CARGO"))
        .args([
            "tree",
            "--locked",
            "--offline",
            "--edges",
            "normal,build",
            "--prefix",
            "none",
        ])
        .current_dir(root())
        .output()
        .unwrap();
    let tree = String::from_utf8(tree.stdout).unwrap();
    let names: BTreeSet<&str> = tree
        .lines()
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    assert!(
        names.contains("banister") && names.contains("printpdf"),
        "the tree was not read"
    );
    for name in banned {
        assert!(!names.contains(name), "{name} reaches a network");
    }
    for (path, text) in rust_files("src") {
        for (number, line) in code_lines(&text) {
            assert!(!line.contains("std::net"), "{path}:{number}: std::net");
        }
    }
}

#[test]
fn every_dependency_has_its_line_in_the_developers_guide() {
    let guide = text_of(&root().join("DEVELOPERS.md")).unwrap();
    let manifest = text_of(&root().join("Cargo.toml")).unwrap();
    let mut inside = false;
    let mut seen = 0;
    for line in manifest.lines() {
        if line.starts_with('[') {
            inside = line == "[dependencies]"
                || line == "[dev-dependencies]"
                || line == "[build-dependencies]";
            continue;
        }
        let Some((name, _)) = line.split_once(" = ").filter(|_| inside) else {
            continue;
        };
        seen += 1;
        assert!(
            guide.contains(&format!("| `{name}` |")),
            "DEVELOPERS.md has no row for `{name}`"
        );
    }
    assert!(seen > 8, "the manifest was not read");
}
