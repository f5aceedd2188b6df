//! Whole pages as text, and what must hold of every page.

use banister::domain::dose::Dose;
use banister::domain::library::Library;
use banister::domain::record::{Issued, NextVisit, Record};
use banister::domain::recorded::Recorded;
use banister::domain::time::{Day, VisitDate};
use banister::domain::verdict::{
    FlagRaised, Program, RaisedBy, RuleId, Unanswered, Verdict, Withheld,
};
use banister::domain::word::{FlagEffect, How, Level, Side};
use banister::handout::model::{BoxState, Document, Handout};
use banister::handout::{HandoutError, Issue, IssueKind, build};
use banister::render::text::text;

use super::cases::{first_sheet, follow_up, full_library};
use super::patient::record;
use super::sample::{counted, date, id, phrases, times};

pub const ISSUED: Issue = Issue {
    sheet: 2,
    replaces: Some(1),
    kind: IssueKind::Issued,
};

pub fn write(library: &Library, program: Program, record: &Record) -> Document {
    let verdict = Verdict::Program(Box::new(program));
    build(&verdict, library, record, &phrases(), &ISSUED).unwrap()
}

fn handout(library: &Library, program: Program) -> Handout {
    match write(library, program, &record()) {
        Document::Handout(handout) => *handout,
        Document::Withheld(_) | Document::Form(_) | Document::Figures(_) => {
            panic!("a program is a handout")
        }
    }
}

fn withheld(how: How, level: Level, flag: &str) -> Withheld {
    Withheld {
        date: VisitDate(date(11, 24)),
        day: Day::new(12),
        how,
        level,
        flags: vec![FlagRaised {
            flag: id(flag),
            level,
            effect: FlagEffect::Withhold,
            rule: RuleId("D101"),
            why: RaisedBy::Yes,
        }],
        stood: Vec::new(),
    }
}

/// The page for somebody who has sheet 1, with exercises, at home.
fn withheld_text(page: Withheld, record: &Record, library: &Library) -> String {
    let verdict = Verdict::Withheld(Box::new(page));
    let mut record = record.clone();
    let first = &mut record.visits[0];
    first.issued = Some(Issued {
        sheet: 1,
        use_from: first.date,
        use_until: first.date,
        program: String::new(),
        library: String::new(),
        clinic_files: String::new(),
        phase: Some(id("motion")),
        items: Vec::new(),
        files: Vec::new(),
        origin: first.origin.clone(),
    });
    text(&build(&verdict, library, &record, &phrases(), &ISSUED).unwrap())
}

#[test]
fn a_follow_up_sheet_reads_like_this() {
    let (library, program) = follow_up();
    insta::assert_snapshot!(text(&write(&library, program, &record())));
}

#[test]
fn a_first_sheet_reads_like_this() {
    let (mut library, mut program) = first_sheet();
    library.clinic.emergency = Some("999".to_owned());
    program.life.next_visit = NextVisit::None;
    let verdict = Verdict::Program(Box::new(program));
    let issue = Issue {
        sheet: 1,
        replaces: None,
        kind: IssueKind::Preview,
    };
    let document = build(&verdict, &library, &record(), &phrases(), &issue).unwrap();
    insta::assert_snapshot!(text(&document));
}

#[test]
fn a_withheld_page_at_a_visit_reads_like_this() {
    let page = withheld(How::Seen, Level::SameDay, "calf");
    insta::assert_snapshot!(withheld_text(page, &record(), &full_library()));
}

#[test]
fn a_withheld_page_by_phone_reads_like_this() {
    let mut record = record();
    record.visits[0].patient.conditions = Recorded::Yes([id("blood-thinner")].into());
    let page = withheld(How::Phone, Level::SameDay, "calf");
    insta::assert_snapshot!(withheld_text(page, &record, &full_library()));
}

#[test]
fn a_withheld_page_in_an_emergency_reads_like_this() {
    let page = withheld(How::Phone, Level::Emergency, "chest");
    insta::assert_snapshot!(withheld_text(page, &record(), &full_library()));
}

#[test]
fn every_sentence_of_a_document_stands_in_its_text() {
    let (library, program) = follow_up();
    let page = withheld(How::Seen, Level::SameDay, "calf");
    let verdict = Verdict::Withheld(Box::new(page));
    let documents = [
        write(&library, program, &record()),
        build(&verdict, &library, &record(), &phrases(), &ISSUED).unwrap(),
    ];
    for document in &documents {
        let printed = plain(&text(document));
        for said in strings(document) {
            let never_printed = ["en-GB", "2026-11-24", "Page {page} of {pages}"];
            if !never_printed.contains(&said.as_str()) && !said.ends_with(", sheet 2") {
                assert!(printed.contains(&plain(&said)), "not in the text: {said}");
            }
        }
    }
}

#[test]
fn no_line_is_wider_than_72_and_no_brace_is_printed() {
    let (library, program) = follow_up();
    let printed = text(&write(&library, program, &record()));
    let printed = printed.replace("{and}", "and");
    assert!(printed.lines().all(|line| line.chars().count() <= 72));
    assert!(!printed.contains(['{', '}']));
}

/// Every string of a document, in order; what stands at its pictures is for those who see them.
fn strings(document: &Document) -> Vec<String> {
    let mut document = document.clone();
    if let Document::Handout(handout) = &mut document {
        for block in handout.blocks.iter_mut().chain(&mut handout.daily) {
            block.pictures = None;
        }
    }
    let debug = format!("{document:?}");
    let quoted = debug.split('"').skip(1).step_by(2);
    quoted
        .map(|said| said.replace("\\u{a0}", " "))
        .filter(|said| !said.is_empty())
        .collect()
}

/// A text on one line, list signs and hard spaces taken out.
fn plain(text: &str) -> String {
    let text = text.replace(['\u{a0}', '\n'], " ").replace("- ", " ");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn only_what_was_seen_today_is_ticked_and_the_visit_day_ends_early() {
    let (library, program) = follow_up();
    let diary = handout(&library, program).diary;
    let first = &diary.rows[0];
    let ticked: Vec<u8> = first
        .slots
        .iter()
        .flatten()
        .filter(|each| each.state == BoxState::Ticked)
        .map(|each| each.number)
        .collect();
    assert_eq!(ticked, [1]);
    assert!(first.slots[0].iter().any(|each| each.number == 1));
    let later = diary.rows[1..]
        .iter()
        .flat_map(|row| row.slots.iter().flatten());
    assert!(later.clone().count() > 0 && later.clone().all(|each| each.state == BoxState::Empty));
    let last = diary.rows.last().unwrap();
    assert_eq!(
        (last.day.as_str(), last.words.as_deref()),
        ("Tuesday", Some("your visit"))
    );
    assert_eq!(
        last.slots.iter().map(Vec::len).collect::<Vec<_>>(),
        [4, 0, 0]
    );
}

#[test]
fn loaded_work_has_boxes_on_its_days_after_its_rest_only() {
    let (library, program) = follow_up();
    let diary = handout(&library, program).diary;
    let days: Vec<&str> = diary
        .rows
        .iter()
        .filter(|row| row.slots.iter().flatten().any(|each| each.number == 6))
        .map(|row| row.day.as_str())
        .collect();
    // Wednesday 25 November is a named day, but the rest lasts until Thursday.
    assert_eq!(days, ["Friday", "Monday"]);
}

#[test]
fn the_headline_counts_only_sessions_of_every_day() {
    let (library, program) = follow_up();
    let headline = |program: &Program| handout(&library, program.clone()).message.headline;
    assert_eq!(
        plain(&headline(&program)),
        "Exercise 3 times every day until Tuesday 1 December."
    );
    let mut once = program.clone();
    once.items = vec![program.items[2].clone()];
    assert_eq!(
        plain(&headline(&once)),
        "Exercise once every day until Tuesday 1 December."
    );
    let mut some_days = program;
    some_days.items = vec![some_days.items[2].clone(), some_days.items[5].clone()];
    assert_eq!(
        plain(&headline(&some_days)),
        "Do what this page shows each day until Tuesday 1 December."
    );
}

#[test]
fn a_limit_prints_the_surgeons_number_and_the_rules_say_where_we_stop() {
    let (library, program) = follow_up();
    let handout = handout(&library, program);
    let limit = handout.blocks[1].limit.clone().unwrap();
    let limit = plain(&format!("{} {}", limit.lead.unwrap(), limit.text));
    assert_eq!(
        limit,
        "Not past 90 degrees, until 24 December. Your surgeon set this."
    );
    assert_eq!(
        plain(handout.blocks[1].aim.as_ref().unwrap()),
        "Your aim: a gentle pull. Always stop before the limit."
    );
    let rules = handout.rules.unwrap();
    assert!(plain(&rules.rows[0][1]).contains("We stop at 85 degrees to be safe."));
    assert_eq!(rules.rows[0].len(), rules.head.len());
}

#[test]
fn draft_due_and_expired_files_say_so_on_every_sheet() {
    use banister::domain::clinic::Adopted;
    let (mut library, program) = first_sheet();
    let notes = |library: &Library| handout(library, program.clone()).frame.notes.join(" ");
    assert!(notes(&library).contains("not yet approved this set"));
    library.clinic.adopted = Some(Adopted {
        library: library.digests.built_in.clone(),
        by: "lead".to_owned(),
        on: date(1, 10),
        review_due: date(11, 24),
    });
    assert_eq!(notes(&library), "");
    library.clinic.adopted.as_mut().unwrap().review_due = date(11, 23);
    assert!(notes(&library).contains("due to check this set"));
    library.digests.built_in = "sha256:other".to_owned();
    assert!(notes(&library).contains("not yet approved this set"));
    library.clinic.status.review_due = date(11, 23);
    assert!(notes(&library).contains("due to check its own rules"));
}

#[test]
fn a_sheet_that_cannot_be_said_is_an_error_and_not_a_guess() {
    let (library, program) = follow_up();
    let verdict = Verdict::Program(Box::new(program));
    let said = |library: &Library, record: &Record| {
        build(&verdict, library, record, &phrases(), &ISSUED).unwrap_err()
    };
    let mut both = record();
    both.episode.side = Side::Both;
    assert_eq!(said(&library, &both), HandoutError::BothSides);
    let mut spanish = record();
    spanish.episode.language = "es".to_owned();
    assert!(matches!(
        said(&library, &spanish),
        HandoutError::Language { .. }
    ));
    let mut wordless = library.clone();
    wordless
        .exercises
        .get_mut(&id("quad-set"))
        .unwrap()
        .words
        .clear();
    assert!(matches!(
        said(&wordless, &record()),
        HandoutError::NoWords { .. }
    ));
    let mut odd = library.clone();
    let words = odd
        .exercises
        .get_mut(&id("quad-set"))
        .unwrap()
        .words
        .get_mut("en")
        .unwrap();
    words.why = "It bends to {degrees}.".to_owned();
    assert!(matches!(said(&odd, &record()), HandoutError::Phrase(_)));
    let mut bandless = library.clone();
    bandless.procedure.bands.clear();
    assert!(matches!(
        said(&bandless, &record()),
        HandoutError::Unknown(_)
    ));
}

#[test]
fn questions_are_no_document() {
    let verdict = Verdict::Unanswered(Box::new(Unanswered {
        date: VisitDate(date(11, 24)),
        day: Day::new(12),
        questions: Vec::new(),
        flags: Vec::new(),
    }));
    let built = build(&verdict, &full_library(), &record(), &phrases(), &ISSUED);
    assert_eq!(built, Err(HandoutError::Unanswered));
}

#[test]
fn bad_day_numbers_are_half_and_never_more() {
    let (library, program) = first_sheet();
    let bad = |change: &dyn Fn(&mut Dose)| {
        let mut program = program.clone();
        change(&mut program.items[0].dose);
        plain(&handout(&library, program).bad_day.rows[6].text)
    };
    assert_eq!(
        bad(&|dose| dose.amount = counted(1, 10, 3, 5, 0)),
        "5 times"
    );
    assert_eq!(bad(&|dose| dose.amount = counted(1, 5, 3, 5, 0)), "2 times");
    assert_eq!(bad(&|dose| dose.amount = counted(1, 1, 3, 5, 0)), "1 time");
    assert_eq!(bad(&|dose| dose.amount = counted(2, 8, 3, 5, 0)), "8 times");
    assert_eq!(
        bad(&|dose| dose.amount = counted(4, 8, 3, 5, 0)),
        "2 rounds of 8"
    );
    assert_eq!(
        bad(&|dose| dose.amount = super::sample::timed(5)),
        "2 minutes"
    );
}

#[test]
fn more_slots_than_a_sheet_shows_is_an_error() {
    use banister::domain::word::{Slot, Word};
    let (library, mut program) = first_sheet();
    program.slots = Slot::ALL.to_vec();
    program.items[0].slots = Slot::ALL[..5].to_vec();
    program.items[0].dose.often = times(5);
    let verdict = Verdict::Program(Box::new(program));
    let built = build(&verdict, &library, &record(), &phrases(), &ISSUED);
    assert_eq!(built, Err(HandoutError::TooManySlots(5)));
}

#[test]
fn an_aim_is_a_mark_people_can_see_and_a_limit_says_who_set_it() {
    let (library, program) = first_sheet();
    let aim = |degrees: i64| {
        let mut program = program.clone();
        program.items[1].dose.aim = Some(super::sample::q(degrees));
        plain(handout(&library, program).blocks[1].aim.as_ref().unwrap())
    };
    let before = "Your aim: as far as you can, to a firm pull. Later: foot flat, shin upright.";
    assert_eq!(aim(89), before);
    assert_eq!(aim(90), "Your aim: foot flat, shin upright.");
    assert_eq!(aim(94), "Your aim: foot flat, shin upright.");
    assert_eq!(aim(95), "Your aim: foot flat, heel behind your knee.");
    let mut limited = program.clone();
    limited.items[1].dose.limit = Some(super::sample::q(60));
    limited
        .limits
        .push(banister::domain::verdict::LimitInForce {
            degrees: Some(super::sample::q(60)),
            stop_at: Some(super::sample::q(60)),
            order: None,
            until: banister::domain::record::Until::Open,
            ..super::patient::bend_cap()
        });
    let limit = handout(&library, limited).blocks[1].limit.clone().unwrap();
    assert_eq!(
        plain(&format!("{} {}", limit.lead.unwrap(), limit.text)),
        "Not past 60 degrees, until we tell you. Your therapist set this."
    );
}

#[test]
fn work_that_rests_past_the_sheet_is_not_started_on_it() {
    let (library, mut program) = follow_up();
    program.items[5].rests_until = Some(date(12, 2));
    let handout = handout(&library, program);
    let rest = handout.blocks[5].rest_first.as_deref();
    assert_eq!(rest, Some("Do not do this one while you use this page."));
    let boxes = handout
        .diary
        .rows
        .iter()
        .flat_map(|row| row.slots.iter().flatten());
    assert!(boxes.clone().count() > 0 && boxes.clone().all(|each| each.number != 6));
}
