//! Walks the engine over every state of every procedure, or measures how quickly it decides.
//!
//! ```text
//! cargo test --release --test walk -- --slice 1/2     one of two slices of the whole
//! cargo test --release --test walk -- --bench         decisions and pictures a second
//! cargo test --release --test walk -- --words 5000    the words of so many sheets alone
//! cargo test --test walk                              a quick slice
//! ```

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::disallowed_methods,
    clippy::cast_precision_loss,
    clippy::wildcard_enum_match_arm,
    clippy::too_many_lines,
    missing_docs,
    reason = "a check may stop where it finds something wrong, and prints what it did"
)]

#[path = "mod.rs"]
mod walk;

use std::process::ExitCode;

use walk::run::{Amount, Walked, print, walk as walk_days};
use walk::{pictures, speed, words, world};

fn main() -> ExitCode {
    let given: Vec<String> = std::env::args().skip(1).collect();
    let asked = |word: &str| given.iter().any(|own| own == word);
    let after = |word: &str| {
        let at = given.iter().position(|own| own == word)?;
        given.get(at + 1)
    };
    let worlds = world::all();
    if asked("--bench") {
        speed::measure(&worlds);
        pictures::measure(&worlds);
        return ExitCode::SUCCESS;
    }
    let threads = after("--threads").map_or(1, |threads| threads.parse().expect("a number"));
    if let Some(sheets) = after("--words") {
        let mut walked = Walked::default();
        let sheets = sheets.parse().expect("a number");
        words::walk(&worlds, [1, 1], sheets, &mut walked);
        return told(print(&worlds, &walked));
    }
    let whole = |slice| Amount {
        slice,
        threads,
        one_of: after("--one-of").map_or(1, |number| number.parse().expect("a number")),
        days: after("--days").map_or(1, |number| number.parse().expect("a number")),
        sheets: after("--sheets").map_or(3000, |number| number.parse().expect("a number")),
    };
    let amount = match after("--slice").map(|slice| slice.split_once('/')) {
        Some(Some((own, of))) => whole([own.parse().expect("k/n"), of.parse().expect("k/n")]),
        Some(None) => {
            eprintln!("--slice takes k/n, such as 1/2");
            return ExitCode::from(2);
        }
        None => Amount {
            slice: [1, 1],
            threads: 2,
            one_of: 12,
            days: 23,
            sheets: 400,
        },
    };
    let walked = walk_days(&worlds, amount);
    told(print(&worlds, &walked))
}

fn told(nothing_wrong: bool) -> ExitCode {
    if nothing_wrong {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}
