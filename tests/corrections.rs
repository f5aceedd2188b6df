//! Mistakes put right through the program: what becomes void, what is said, what stays visible.
//!
//! Here is what the three files share: a clinic, two visits as typed, and how lines are run.

mod episode;
mod visits;
mod word;

use std::fs;
use std::path::Path;

use crate::support::{clinic, flat, has, lacks, run};

fn done(folder: &Path, line: &str) -> String {
    let (code, printed, said) = run(folder, line);
    assert_eq!(code, 0, "{line}: {said}");
    printed
}

/// Runs a line that must succeed and returns what it said on standard error.
fn said(folder: &Path, line: &str) -> String {
    let (code, _, said) = run(folder, line);
    assert_eq!(code, 0, "{line}: {said}");
    said
}

/// Runs a line that must fail with a code, leave the record alone and say so much.
fn refused(folder: &Path, line: &str, code: i32, expected: &[&str]) {
    let before = fs::read(folder.join("r.toml")).unwrap();
    let (found, printed, said) = run(folder, line);
    assert_eq!(found, code, "{line}: {printed}{said}");
    for text in expected {
        assert!(
            flat(&said).contains(&flat(text)),
            "{line} does not say `{text}`:\n{said}"
        );
    }
    assert_eq!(fs::read(folder.join("r.toml")).unwrap(), before, "{line}");
}

const KIT: &str = "bed,chair,chair-arms,footstool,towel,strap,worktop,step-10cm,stair-rail";

fn intake(folder: &Path, side: &str, operation: &str, first: &str) {
    done(
        folder,
        &format!(
            "intake r.toml --token EX-0077-E1 --side {side} --operation {operation} \
             --surgeon SURG-A --conditions none --equipment {KIT} {first}"
        ),
    );
}

const FIRST: &str = "--date 2026-03-05 --by PT-1 --screen none --block-gone yes --flexion 82 \
    --extension-deficit 8 --leg-lift alone-lag --lag 8 --walking-aid two-crutches --pain 4 \
    --next-visit 2026-03-16";

const SECOND: &str = "--date 2026-03-16 --by PT-1 --screen none --did all --pain 3 \
    --morning same --swelling less --next-visit 2026-03-30";

const WRONG_SIDE: &str =
    "correct r.toml side right --because Typed_wrongly_at_intake. --by PT-2 --on 2026-03-09";

/// A closed first visit with its sheet.
fn one_sheet(folder: &Path) -> String {
    intake(folder, "left", "2026-03-02", FIRST);
    done(folder, "handout r.toml --as text")
}
