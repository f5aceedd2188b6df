//! What must hold on every page, whatever the words.

use std::collections::BTreeSet;

use self::sample::{actions, design, handout, short_tiers, withheld};
use self::sample_days::with_long_diary;
use super::sheet::{InPoints, Millimetres};
use super::*;
use crate::domain::word::Level;
use crate::handout::model::{Handout, Labelled, PlanCell, WithheldPage};

mod file;
mod sample;
mod sample_days;

const ROUNDING: f64 = 0.02;

fn program(handout: Handout) -> Document {
    Document::Handout(Box::new(handout))
}

fn page(page: WithheldPage) -> Document {
    Document::Withheld(Box::new(page))
}

fn documents() -> Vec<(&'static str, Document)> {
    let mut preview = handout(6, Paper::A4);
    preview.frame.preview = Some("Preview, not issued".to_owned());
    preview.actions = actions();
    let mut short = handout(6, Paper::A4);
    short.tiers = short_tiers();
    short.message.bullets.truncate(2);
    short.plan.rows.truncate(3);
    let mut four = handout(6, Paper::Letter);
    four.plan.slots.insert(
        2,
        Labelled {
            label: "Afternoon".to_owned(),
            value: "before your walk".to_owned(),
        },
    );
    four.diary.slots.insert(2, "Afternoon".to_owned());
    for row in four
        .plan
        .rows
        .iter_mut()
        .filter(|row| !row.cells.is_empty())
    {
        row.cells.insert(2, PlanCell::Due);
    }
    for row in &mut four.diary.rows {
        row.slots.insert(2, row.slots[0].clone());
    }
    let mut long = four.clone();
    "Mid-morning".clone_into(&mut long.plan.slots[1].label);
    "Mid-morning".clone_into(&mut long.diary.slots[1]);
    let mut longest = long.clone();
    longest.plan.slots[0].label = "Mid-afternoon".to_owned();
    let mut void_first = handout(6, Paper::A4);
    void_first.void = Some(sample::void());
    let mut void_after_actions = preview.clone();
    void_after_actions.void = Some(sample::void());
    let mut void_withheld = withheld(Paper::A4, false);
    void_withheld.void = Some(sample::void());
    vec![
        ("void-a4", program(void_first)),
        ("void-action", program(void_after_actions)),
        ("void-withheld", page(void_withheld)),
        ("four-slots", program(four)),
        ("four-long-slots", program(long)),
        ("four-longest-slots", program(longest)),
        ("six-a4", program(handout(6, Paper::A4))),
        ("six-letter", program(handout(6, Paper::Letter))),
        ("eight-a4", program(handout(8, Paper::A4))),
        (
            "eight-letter",
            program(with_long_diary(handout(8, Paper::Letter), 12)),
        ),
        ("one-a4", program(handout(1, Paper::A4))),
        ("action", program(preview)),
        ("short", program(short)),
        ("withheld-phone", page(withheld(Paper::A4, false))),
        ("withheld-visit", page(withheld(Paper::Letter, true))),
    ]
}

#[test]
fn a_void_sheet_is_named_once_on_the_first_page_and_near_its_top() {
    let title = sample::void().title;
    for (name, document) in documents() {
        let pages = recorded(&document).pages;
        let on = |page: &PageRecord| {
            let words: Vec<&str> = page.texts.iter().map(|text| text.text.as_str()).collect();
            words
                .join(" ")
                .matches("are wrong. Do not use them.")
                .count()
        };
        let times: Vec<usize> = pages.iter().map(on).collect();
        let wanted = usize::from(name.starts_with("void-"));
        assert_eq!(times[0], wanted, "{name}: {title}");
        assert!(times[1..].iter().all(|times| *times == 0), "{name}");
        if wanted == 1 {
            let first = pages[0]
                .texts
                .iter()
                .find(|text| text.text.contains("Sheet 2 and all"));
            assert!(first.unwrap().area.top < 150.0, "{name}: in the upper half");
        }
    }
}

fn recorded(document: &Document) -> Recording {
    record(document, &design()).unwrap()
}

fn pages() -> Vec<(String, PageRecord, Document)> {
    let mut pages = Vec::new();
    for (name, document) in documents() {
        for (index, page) in recorded(&document).pages.into_iter().enumerate() {
            pages.push((format!("{name} page {}", index + 1), page, document.clone()));
        }
    }
    pages
}

fn right(area: Area) -> f64 {
    area.left + area.width
}

fn bottom(area: Area) -> f64 {
    area.top + area.height
}

fn overlap(one: Area, two: Area) -> bool {
    one.left < right(two) - ROUNDING
        && two.left < right(one) - ROUNDING
        && one.top < bottom(two) - ROUNDING
        && two.top < bottom(one) - ROUNDING
}

fn encloses(outer: Area, inner: Area) -> bool {
    outer.left <= inner.left
        && right(inner) <= right(outer)
        && outer.top <= inner.top
        && bottom(inner) <= bottom(outer)
}

#[test]
fn nothing_stands_outside_the_margins() {
    for (name, page, document) in pages() {
        let design = design();
        let paper = design.paper.of(frame(&document).paper);
        let texts = page.texts.iter().map(|text| (text.text.clone(), text.area));
        let paths = page.paths.iter().map(|path| ("path".to_owned(), path.area));
        for (what, area) in texts.chain(paths) {
            assert!(
                area.left >= paper.left.mm() - 0.3,
                "{name}: {what} {area:?}"
            );
            let edge = page.width - paper.right.mm();
            assert!(right(area) <= edge + 0.3, "{name}: {what} {area:?}");
            assert!(
                area.top >= 5.0 && bottom(area) <= page.height - 5.0,
                "{name}: {what}"
            );
        }
    }
}

#[test]
fn no_two_texts_overlap() {
    for (name, page, _) in pages() {
        for (index, one) in page.texts.iter().enumerate() {
            for two in &page.texts[index + 1..] {
                assert!(!overlap(one.area, two.area), "{name}: {one:?}\n{two:?}");
            }
        }
    }
}

#[test]
fn nothing_is_smaller_than_the_foot() {
    let least = design().types.foot.pt();
    assert!(least >= 12.5);
    for (name, page, _) in pages() {
        for text in &page.texts {
            assert!(text.size >= least, "{name}: {text:?}");
        }
    }
}

#[test]
fn no_page_ends_in_a_heading() {
    for (name, page, _) in pages() {
        let texts: Vec<_> = page
            .texts
            .iter()
            .filter(|text| !text.is_artifact())
            .collect();
        if let [.., _, last] = texts.as_slice() {
            assert!(
                !matches!(last.role(), Role::H1 | Role::H2),
                "{name}: {}",
                last.text
            );
        }
    }
}

#[test]
fn a_block_is_never_split() {
    for (name, document) in documents() {
        let Document::Handout(handout) = &document else {
            continue;
        };
        for page in recorded(&document).pages {
            let text = page.text();
            let names: Vec<_> = handout.blocks.iter().chain(&handout.daily).collect();
            let is_title = |text: &&TextRecord| {
                text.within == [Role::Sect, Role::H2]
                    && names.iter().any(|block| block.name == text.text)
            };
            let begun = page.texts.iter().filter(is_title).count();
            let ended = text.matches("if this feels easy").count();
            assert_eq!(begun, ended, "{name}: {text}");
        }
    }
}

#[test]
fn every_page_says_which_it_is_and_whom_to_ring() {
    for (name, document) in documents() {
        let recording = recorded(&document);
        let count = recording.pages.len();
        for (index, page) in recording.pages.iter().enumerate() {
            let says = |words: &str| page.texts.iter().any(|text| text.text.contains(words));
            assert!(says(&format!("Page {} of {count}", index + 1)), "{name}");
            assert!(says("Draft library"), "{name}");
            let foot = page.texts.iter().rev().take(4);
            assert!(
                foot.filter(|text| text.text.contains("960 210")).count() == 1,
                "{name}"
            );
            let preview = frame(&document).preview.is_some();
            assert_eq!(says("Preview, not issued"), preview, "{name}");
        }
    }
}

#[test]
fn who_comes_first_is_said_on_the_first_and_the_last_page() {
    for (name, document) in documents() {
        let recording = recorded(&document);
        for page in [recording.pages.first(), recording.pages.last()] {
            assert!(page.unwrap().text().contains("comes first"), "{name}");
        }
    }
}

#[test]
fn the_diary_begins_on_an_even_page() {
    for (name, document) in documents() {
        let recording = recorded(&document);
        let diary = recording
            .pages
            .iter()
            .position(|page| page.text().contains("Your diary"));
        match (&document, diary) {
            (Document::Handout(_), Some(index)) => assert_eq!(index % 2, 1, "{name}"),
            (Document::Withheld(_) | Document::Form(_) | Document::Figures(_), None) => {}
            (
                Document::Handout(_)
                | Document::Withheld(_)
                | Document::Form(_)
                | Document::Figures(_),
                _,
            ) => {
                unreachable!("{name}")
            }
        }
    }
}

#[test]
fn the_signs_stand_together_on_page_one_or_the_next() {
    for (name, document) in documents() {
        let Document::Handout(handout) = &document else {
            continue;
        };
        let recording = recorded(&document);
        let with = |words: &str| {
            recording
                .pages
                .iter()
                .position(|page| page.text().contains(words))
                .unwrap()
        };
        let plan = with("Your day");
        let pages: BTreeSet<usize> = handout
            .tiers
            .iter()
            .map(|tier| {
                with(
                    tier.hazard
                        .split(' ')
                        .take(2)
                        .collect::<Vec<_>>()
                        .join(" ")
                        .as_str(),
                )
            })
            .collect();
        assert_eq!(pages.len(), 1, "{name}");
        let signs = *pages.first().unwrap();
        assert!(signs == plan || signs == plan + 1, "{name}: {signs} {plan}");
        if signs != plan {
            let pointer = format!("Page {} of {}", signs + 1, recording.pages.len());
            assert!(recording.pages[plan].text().contains(&pointer), "{name}");
        }
    }
}

#[test]
fn short_signs_stay_on_page_one() {
    let (_, short) = documents()
        .into_iter()
        .find(|(name, _)| *name == "short")
        .unwrap();
    assert!(
        recorded(&short).pages[0]
            .text()
            .contains("A sore, swollen calf.")
    );
}

#[test]
fn page_one_of_six_and_of_eight_is_one_page() {
    for (count, paper) in [
        (6, Paper::A4),
        (6, Paper::Letter),
        (8, Paper::A4),
        (8, Paper::Letter),
    ] {
        let recording = recorded(&program(handout(count, paper)));
        let text = recording.pages[0].text();
        for words in ["Exercise 3 times every day", "Your day", "Cold, leg up"] {
            assert!(text.contains(words), "{count} {paper:?}: {text}");
        }
    }
}

#[test]
fn in_an_emergency_nothing_stands_above_the_bar() {
    let above = |level: Level| {
        let mut words = withheld(Paper::A4, false);
        words.level = level;
        let recording = recorded(&page(words));
        let texts = &recording.pages[0].texts;
        let top = |words: &str| {
            let found = texts.iter().filter(|text| text.text.contains(words));
            found
                .map(|text| text.area.top)
                .fold(f64::INFINITY, f64::min)
        };
        let bar = top("Do not exercise");
        texts.iter().filter(|text| text.area.top < bar).count()
    };
    assert_eq!(above(Level::Emergency), 0);
    assert!(
        above(Level::SameDay) > 0,
        "the letterhead stands there else"
    );
}

#[test]
fn the_withheld_page_is_one_page_on_both_papers() {
    for paper in [Paper::A4, Paper::Letter] {
        for at_visit in [true, false] {
            let recording = recorded(&page(withheld(paper, at_visit)));
            assert_eq!(recording.pages.len(), 1, "{paper:?} {at_visit}");
        }
    }
}

#[test]
fn a_limit_has_a_frame_and_an_aim_has_none() {
    let recording = recorded(&program(handout(6, Paper::A4)));
    let framed = |words: &str| {
        let page = recording
            .pages
            .iter()
            .find(|page| page.text().contains(words))
            .unwrap();
        let text = page
            .texts
            .iter()
            .find(|text| text.text.starts_with(words))
            .unwrap();
        page.paths
            .iter()
            .any(|path| path.area.height < 60.0 && encloses(path.area, text.area))
    };
    assert!(framed("Not past this:"));
    assert!(!framed("Aim: your foot flat"));
}

#[test]
fn a_block_reads_title_mark_dose_why_steps_error_next() {
    let recording = recorded(&program(handout(6, Paper::A4)));
    let text = recording
        .pages
        .iter()
        .map(PageRecord::text)
        .collect::<Vec<_>>()
        .join("\n");
    let block = text.split("Slide your heel").nth(1).unwrap();
    let mut at = 0;
    for words in [
        "Changed",
        "10 times",
        "3 times a day",
        "Why: it wakes",
        "Use the strap",
        "Aim: your foot",
        "Lie on your bed. Put the roll under your right knee.",
        "Not like this:",
        "You should feel",
        "From Saturday",
    ] {
        let found = block[at..].find(words);
        at += found.unwrap_or_else(|| unreachable!("{words} after {at} in {block}"));
    }
}
