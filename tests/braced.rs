//! Sheets for a knee locked straight in a brace: nothing on them speaks of bending it.

use banister::domain::record::OrderValue;
use banister::domain::verdict::Verdict;
use banister::domain::word::Side;
use banister::engine::decide;
use banister::render::text;

use crate::support;
use crate::support::people::{Answers, document, had, order, person, record, see};

/// What may be said: the rule itself, and what is about the other knee.
const ALLOWED: [&str; 3] = [
    "keep the brace locked. do not bend your left knee",
    "bend your right knee",
    "bend your right leg",
];

/// The sheet as one line of small letters.
fn page(procedure: &str, day: u64, braced: bool) -> String {
    let library = support::plain_library_of(procedure);
    let mut record = record(person(), Side::Left);
    had(&mut record, &library);
    if braced {
        record
            .orders
            .push(order(200, "brace-locked", OrderValue::Stands));
    }
    let date = see(&library, &mut record, &Answers::calm(day, 30));
    let verdict = decide(&library, &record, date);
    assert!(matches!(verdict, Verdict::Program(_)), "{verdict:?}");
    support::flat(&text::text(&document(&library, &record, &verdict))).to_lowercase()
}

/// Every place of a page that speaks of bending, with the words around it.
fn bends(page: &str) -> Vec<String> {
    let mut left = page.to_owned();
    for allowed in ALLOWED {
        left = left.replace(allowed, "");
    }
    let near = |(at, _): (usize, &str)| {
        let from = left.floor_char_boundary(at.saturating_sub(70));
        let to = left.floor_char_boundary((at + 40).min(left.len()));
        left[from..to].to_owned()
    };
    left.match_indices("bend").map(near).collect()
}

#[test]
fn nothing_on_the_sheet_of_a_locked_knee_speaks_of_bending_it() {
    for procedure in ["knee-total", "knee-partial", "knee-revision"] {
        for day in [3, 20, 50, 90] {
            let page = page(procedure, day, true);
            assert!(page.contains(ALLOWED[0]), "{procedure} {day}");
            let found = bends(&page);
            assert!(found.is_empty(), "{procedure} day {day}: {found:#?}");
        }
    }
}

#[test]
fn without_the_brace_it_does() {
    for day in [3, 20, 50] {
        assert!(!bends(&page("knee-total", day, false)).is_empty(), "{day}");
    }
}

#[test]
fn a_locked_knee_walks_another_way() {
    let straight = "swing your left leg through straight";
    assert!(page("knee-total", 20, true).contains(straight));
    assert!(!page("knee-total", 20, false).contains(straight));
}
