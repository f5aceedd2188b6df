//! A leg that may bear only a part, or nothing: no word of the sheet asks for more, or for less help.

use banister::domain::record::OrderValue;
use banister::domain::verdict::Verdict;
use banister::domain::word::{Side, WalkingAid, WeightBearing, Word};
use banister::engine::decide;
use banister::render::text;

use crate::support;
use crate::support::people::{Answers, document, had, order, person, record, see};

/// Words that put weight on the leg, or take a hand away.
const TOO_MUCH: [&str; 10] = [
    "both legs share",
    "same weight on each leg",
    "ask about two sticks",
    "try one",
    "try none",
    "take one stick",
    "take two sticks",
    "one stick and no limp",
    "no stick and no limp",
    "walk with no aid",
];

fn page(procedure: &str, day: u64, bearing: WeightBearing, aid: WalkingAid) -> String {
    let library = support::plain_library_of(procedure);
    let mut record = record(person(), Side::Left);
    had(&mut record, &library);
    let value = OrderValue::WeightBearing(bearing);
    record.orders.push(order(300, "weight-bearing", value));
    let mut answers = Answers::calm(day, 95);
    answers.aid = Some(aid);
    let date = see(&library, &mut record, &answers);
    let verdict = decide(&library, &record, date);
    assert!(matches!(verdict, Verdict::Program(_)), "{verdict:?}");
    support::flat(&text::text(&document(&library, &record, &verdict))).to_lowercase()
}

fn said(page: &str) -> Vec<&'static str> {
    let all = TOO_MUCH.into_iter();
    all.filter(|words| page.contains(words)).collect()
}

#[test]
fn no_word_asks_a_leg_for_more_than_it_may_bear_or_a_hand_for_less() {
    for procedure in ["knee-total", "knee-partial", "knee-revision", "knee-both"] {
        for day in [2, 20, 45, 100] {
            for bearing in [
                WeightBearing::Partial,
                WeightBearing::Touch,
                WeightBearing::None,
            ] {
                let all = day == 100 && bearing == WeightBearing::Partial;
                let usual = |aid: &&WalkingAid| all || **aid == WalkingAid::TwoSticks;
                for aid in WalkingAid::ALL.iter().filter(usual) {
                    let found = said(&page(procedure, day, bearing, *aid));
                    let who = format!("{procedure}, day {day}, {bearing}, {aid}");
                    assert!(found.is_empty(), "{who}: {found:?}");
                }
            }
        }
    }
}

#[test]
fn the_aid_is_named_for_each_step_whatever_they_walk_with_now() {
    for (aid, words) in [
        (WalkingAid::Frame, "use your frame for each step"),
        (WalkingAid::TwoSticks, "use both for each step"),
        (WalkingAid::None, "you need a frame or two crutches"),
    ] {
        for day in [10, 70] {
            let page = page("knee-total", day, WeightBearing::Partial, aid);
            assert!(page.contains(words), "{aid}, day {day}");
        }
    }
}

#[test]
fn a_leg_that_may_bear_all_is_asked_for_it() {
    let free = WeightBearing::AsTolerated;
    let page = page("knee-total", 10, free, WalkingAid::TwoSticks);
    assert!(!said(&page).is_empty());
}
