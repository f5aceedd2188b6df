//! The forms as they are placed on paper.

use banister::cli::args::Cli;
use banister::domain::library::Library;
use banister::domain::word::{Paper, Side};
use banister::handout::form::{Slip, VisitForm, slip, visit};
use banister::handout::model::Document;
use banister::render::pdf::{self, Area, PageRecord, Recording};
use banister::render::text;
use clap::CommandFactory;

use super::flags::check;
use super::{BOTH, fields, form};
use crate::support::{self, people};

/// Type on these forms is never smaller, in points.
const SMALLEST: f64 = 9.0;

/// Ink stays inside the margins, but for half a line's weight.
const SLACK: f64 = 0.3;

fn on(paper: Paper) -> Library {
    let mut library = support::plain_library();
    library.clinic.paper = paper;
    library
}

fn recorded(document: &Document) -> Recording {
    pdf::record(document, &banister::files::page::load().unwrap()).unwrap()
}

#[test]
fn a_follow_up_is_two_pages_and_a_first_visit_three_on_either_paper() {
    for paper in [Paper::A4, Paper::Letter] {
        for (which, pages) in [(VisitForm::FollowUp, 2), (VisitForm::First, 3)] {
            // A library nobody adopted says so in one more line.
            let mut draft = on(paper);
            draft.clinic.adopted = None;
            let drawn = recorded(&visit(&draft, which));
            assert_eq!(drawn.pages.len(), pages, "{paper:?} {which:?}, a draft");
            let recording = recorded(&visit(&on(paper), which));
            assert_eq!(recording.pages.len(), pages, "{paper:?} {which:?}");
            for (index, page) in recording.pages.iter().enumerate() {
                let says = |words: &str| page.texts.iter().any(|text| text.text.contains(words));
                assert!(says(&format!("Page {} of {pages}", index + 1)));
                assert!(says("licensed practice come first"));
                assert_eq!(says("Name or record number, again"), index > 0);
            }
        }
    }
}

fn right(area: &Area) -> f64 {
    area.left + area.width
}

fn bottom(area: &Area) -> f64 {
    area.top + area.height
}

/// Says whether two areas share more than a touch.
fn overlap(one: &Area, two: &Area) -> bool {
    one.left < right(two) - 0.02
        && two.left < right(one) - 0.02
        && one.top < bottom(two) - 0.02
        && two.top < bottom(one) - 0.02
}

/// Boxes to write in: as high as a box, and no wider than one.
fn boxes(page: &PageRecord) -> Vec<Area> {
    let paths = page.paths.iter().map(|path| path.area);
    paths
        .filter(|area| (2.0..9.0).contains(&area.height) && area.width < 9.0)
        .collect()
}

fn check_pages(name: &str, library: &Library, recording: &Recording) {
    let design = banister::files::page::load().unwrap();
    let paper = design.paper.of(library.clinic.paper);
    let mm = |length: banister::domain::page::Length| f64::from(length.hundredths()) / 100.0;
    for page in &recording.pages {
        let paths = page.paths.iter().map(|path| ("a path", path.area));
        let texts = page
            .texts
            .iter()
            .map(|text| (text.text.as_str(), text.area));
        for (what, area) in texts.chain(paths) {
            assert!(area.left >= mm(paper.left) - SLACK, "{name}: {what}");
            assert!(
                right(&area) <= page.width - mm(paper.right) + SLACK,
                "{name}: {what}"
            );
            assert!(
                area.top >= 5.0 && bottom(&area) <= page.height - 5.0,
                "{name}: {what}"
            );
        }
        let boxes = boxes(page);
        assert!(!boxes.is_empty(), "{name}");
        for (index, one) in boxes.iter().enumerate() {
            assert!(one.width >= 4.0 && one.height >= 4.0, "{name}: {one:?}");
            for two in &boxes[index + 1..] {
                assert!(!overlap(one, two), "{name}: {one:?} {two:?}");
            }
        }
        for (index, one) in page.texts.iter().enumerate() {
            assert!(one.size >= SMALLEST, "{name}: {}", one.text);
            let letters = Area {
                top: one.cap,
                height: one.baseline - one.cap,
                ..one.area
            };
            for two in &page.texts[index + 1..] {
                let other = Area {
                    top: two.cap,
                    height: two.baseline - two.cap,
                    ..two.area
                };
                assert!(
                    !overlap(&letters, &other),
                    "{name}: `{}` on `{}`",
                    one.text,
                    two.text
                );
            }
            for each in &boxes {
                assert!(!overlap(&letters, each), "{name}: `{}` in a box", one.text);
            }
        }
    }
}

#[test]
fn nothing_is_outside_overlapping_or_too_small() {
    for paper in [Paper::A4, Paper::Letter] {
        for which in BOTH {
            let library = on(paper);
            let recording = recorded(&visit(&library, which));
            check_pages(&format!("{paper:?} {which:?}"), &library, &recording);
        }
    }
}

#[test]
fn a_slip_with_every_question_fits_its_paper() {
    for paper in [Paper::A4, Paper::Letter] {
        let mut library = on(paper);
        library.clinic.standing_orders.clear();
        let mut record = people::record(people::person(), Side::Left);
        let date = people::see(&library, &mut record, &people::Answers::calm(9, 80));
        let verdict = banister::engine::decide(&library, &record, date);
        let asked = Some((record.visits.last().unwrap(), &verdict));
        let Slip::Open(document) = slip(&library, &record, asked) else {
            panic!("a surgeon without orders is asked")
        };
        let recording = recorded(&document);
        check_pages(&format!("{paper:?} slip"), &library, &recording);
        let text = text::text(&document);
        for kind in [
            "weight-bearing",
            "flexion-cap",
            "no-active-extension",
            "brace-locked",
            "compression",
        ] {
            let line = format!("banister order RECORD {kind} ");
            assert!(text.contains(&line), "{kind}: {text}");
        }
        assert!(text.contains("Side: LEFT knee"), "{text}");
        let cli = Cli::command();
        for field in fields(&form(document)) {
            for typed in &field.typed {
                check(&cli, "order", typed.trim_start_matches("order "));
            }
        }
    }
}

#[test]
fn lines_to_write_on_are_eight_millimetres_apart() {
    for which in BOTH {
        for page in &recorded(&visit(&on(Paper::Letter), which)).pages {
            // A line to write on is heavier than the one under a row, and lies above it.
            let lines: Vec<Area> = page
                .paths
                .iter()
                .map(|path| path.area)
                .filter(|area| (0.2..0.3).contains(&area.height) && area.width > 15.0)
                .collect();
            assert!(!lines.is_empty(), "{which:?}");
            for one in &lines {
                for two in &lines {
                    let apart = (one.top - two.top).abs();
                    let beside = right(one) <= two.left || right(two) <= one.left;
                    assert!(
                        apart < 0.01 || beside || apart >= 7.99,
                        "{which:?}: {one:?} {two:?}"
                    );
                }
            }
        }
    }
}

#[test]
fn the_signs_stay_on_one_page() {
    for paper in [Paper::A4, Paper::Letter] {
        let library = on(paper);
        let recording = recorded(&visit(&library, VisitForm::First));
        let with = |words: &str| {
            let on_it = |page: &PageRecord| page.text().contains(words);
            recording.pages.iter().position(on_it)
        };
        let flags = &library.procedure.red_flags;
        let (first, last) = (flags.first().unwrap(), flags.last().unwrap());
        assert_eq!(with(&first.words["en"].ask), with(&last.words["en"].ask));
    }
}
