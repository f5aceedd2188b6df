//! How a visit ends and what is given back of it later: calls that leave the sheet at home, old
//! sheets with what speaks against them, reasons kept with the sheet.
//!
//! Here is what the files share: a person with one sheet, and how lines are run.

mod again;
mod calls;
mod reasons;
mod told;

use std::fs;
use std::path::Path;

use crate::support::{clinic, has, run};

/// Runs a line that must end with a code; returns what was printed and what was said.
fn ends(folder: &Path, line: &str, code: i32) -> (String, String) {
    let (found, printed, said) = run(folder, line);
    assert_eq!(found, code, "{line}: {printed}{said}");
    (printed, said)
}

/// Runs a line that must be refused, leaves the record alone and says so much.
fn refused(folder: &Path, line: &str, code: i32, expected: &[&str]) {
    let before = fs::read(folder.join("r.toml")).unwrap();
    let (_, said) = ends(folder, line, code);
    for text in expected {
        has(&said, text);
    }
    assert_eq!(fs::read(folder.join("r.toml")).unwrap(), before, "{line}");
}

const INTAKE: &str = "intake r.toml --token EX-0088-E1 --side left --operation 2026-03-02 \
    --surgeon SURG-A --conditions none --positions-no none --frailty 3 \
    --equipment bed,chair,chair-arms,footstool,towel,strap,worktop,stair-rail \
    --date 2026-03-05 --by PT-1 --screen none --block-gone yes --flexion 82 \
    --extension-deficit 8 --leg-lift alone-lag --lag 8 --walking-aid two-crutches --pain 4 \
    --next-visit 2026-03-16";

const CALL: &str = "visit r.toml --phone --date 2026-03-09 --by PT-1 --screen none --did most \
    --pain 4 --morning same --swelling same";

const SECOND: &str = "visit r.toml --date 2026-03-16 --by PT-1 --screen none --did all --pain 3 \
    --morning same --swelling less --flexion 92 --extension-deficit 5 --leg-lift alone-lag --lag 5 \
    --walking-aid two-sticks --next-visit 2026-03-30";

/// A person with sheet 1 of 5 March, to 16 March.
fn one_sheet() -> tempfile::TempDir {
    let folder = clinic();
    ends(folder.path(), INTAKE, 0);
    ends(folder.path(), "handout r.toml --as text", 0);
    folder
}

/// The same person, with sheet 2 of 16 March.
fn two_sheets() -> tempfile::TempDir {
    let folder = one_sheet();
    ends(folder.path(), SECOND, 0);
    ends(folder.path(), "handout r.toml --as text", 0);
    folder
}

/// The names of the files kept beside the record.
fn kept(folder: &Path) -> Vec<String> {
    let files = fs::read_dir(folder.join("r.sheets")).unwrap();
    let name = |file: std::io::Result<fs::DirEntry>| {
        file.unwrap().file_name().to_string_lossy().into_owned()
    };
    let mut names: Vec<String> = files.map(name).collect();
    names.sort();
    names
}
