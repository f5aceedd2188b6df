//! The keys of the review screen, on a shipped record with a visit nobody has written yet.

use std::collections::VecDeque;
use std::path::Path;

use super::super::terminal::{Desk, Said};
use super::{Outcome, run};
use crate::cli::append::prepare;
use crate::cli::args::{Cli, Command};
use crate::cli::error::CliError;
use crate::cli::fold::fold;
use crate::cli::open::open;
use crate::cli::pending::{Pending, Start};
use crate::domain::word::AdjustAction;
use clap::Parser;

struct Script {
    lines: VecDeque<&'static str>,
    shown: String,
}

impl Desk for Script {
    fn ask(&mut self, _: &str, _: &str) -> Result<Said, CliError> {
        let next = self.lines.pop_front();
        Ok(next.map_or(Said::End, |line| Said::Line(line.to_owned())))
    }

    fn tell(&mut self, text: &str) {
        // As the terminal shows it.
        self.shown.push_str(&fold(text));
        self.shown.push('\n');
    }
}

const VISIT: &str = "banister visit examples/01-discharge-day-2/record.toml --date 2026-03-16 \
    --by PT-1 --did most --pain 4 --morning same --swelling less --flexion 84 \
    --extension-deficit 6 --leg-lift alone-lag --walking-aid two-sticks --next-visit 2026-03-30";

fn pending(screen: &str) -> Pending {
    let line = format!("{VISIT} --screen {screen}");
    let Command::Visit(args) = Cli::parse_from(line.split_whitespace()).command else {
        panic!("a visit");
    };
    let opened = open(Path::new("examples/01-discharge-day-2/record.toml"), None).unwrap();
    let visit = prepare(&args, &opened).unwrap();
    Pending {
        opened,
        start: Start::OnDisk,
        visit: Some(visit),
        adjusts: Vec::new(),
    }
}

fn at(screen: &str, lines: &[&'static str]) -> (Outcome, Pending, String) {
    let mut pending = pending(screen);
    let mut script = Script {
        lines: lines.iter().copied().collect(),
        shown: String::new(),
    };
    let outcome = run(&mut script, &mut pending).unwrap();
    (outcome, pending, script.shown)
}

/// Says whether words were shown, wherever their lines break.
fn says(shown: &str, words: &str) -> bool {
    shown
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .contains(words)
}

#[test]
fn one_key_prints_and_the_end_of_the_input_leaves() {
    assert_eq!(at("none", &["p"]).0, Outcome::Print);
    assert_eq!(
        at("none", &["", "p"]).0,
        Outcome::Print,
        "Enter alone prints nothing"
    );
    assert_eq!(at("none", &[""]).0, Outcome::Leave);
    assert_eq!(at("none", &[]).0, Outcome::Leave);
    assert_eq!(at("none", &["quit"]).0, Outcome::Leave);
    assert_eq!(at("none", &["<"]).0, Outcome::Back);
    assert_eq!(at("none", &["s"]).0, Outcome::Save);
}

#[test]
fn a_change_needs_its_reason_and_is_decided_anew() {
    let (_, pending, shown) = at("none", &["x quad-set", "", "Sore groin", "l", "p"]);
    assert_eq!(pending.adjusts.len(), 1);
    assert_eq!(pending.adjusts[0].action, AdjustAction::LeaveOut);
    assert_eq!(pending.adjusts[0].because, "Sore groin");
    assert_eq!(pending.adjusts[0].by, "PT-1");
    assert!(shown.contains("a change needs its reason"), "{shown}");
    assert!(
        says(
            &shown,
            "quad-set (Quadriceps set): left out by PT-1: Sore groin"
        ),
        "{shown}"
    );
}

#[test]
fn a_change_can_be_taken_back_before_and_after() {
    let (_, before, _) = at("none", &["x quad-set", "<", "p"]);
    assert!(before.adjusts.is_empty());
    let (_, after, _) = at("none", &["x quad-set", "Sore", "d quad-set", "p"]);
    assert!(after.adjusts.is_empty());
    let (_, twice, _) = at(
        "none",
        &["x quad-set", "Sore", "quad-set q2", "Better", "p"],
    );
    assert_eq!(
        twice.adjusts.len(),
        1,
        "the last word on an exercise counts"
    );
    assert_eq!(twice.adjusts[0].action, AdjustAction::Set);
}

#[test]
fn a_word_sets_an_entry_test_aside_and_says_so_but_no_hard_limit() {
    let (_, pending, shown) = at("none", &["+ step-up", "Stairs at home", "p"]);
    assert_eq!(pending.adjusts.len(), 1, "{shown}");
    assert!(says(&shown, "Your word sets that aside"), "{shown}");
    let (_, pending, shown) = at("wound=yes", &["+ bike", "Likes it", "p"]);
    assert!(pending.adjusts.is_empty());
    assert!(says(&shown, "bike cannot be given"), "{shown}");
}

#[test]
fn a_change_that_comes_to_nothing_leaves_the_one_before() {
    let lines = ["x bike", "Sore seat", "bike b1", "Better now", "p"];
    let (_, pending, shown) = at("wound=yes", &lines);
    assert_eq!(pending.adjusts.len(), 1, "{shown}");
    assert_eq!(pending.adjusts[0].because, "Sore seat", "{shown}");
}

#[test]
fn what_else_came_and_went_is_said() {
    let (_, _, shown) = at("none", &["x quad-set", "Sore", "p"]);
    assert!(says(&shown, "No longer on it: quad-set"), "{shown}");
}

#[test]
fn what_is_typed_wrongly_is_told_and_changes_nothing() {
    for (typed, told) in [
        ("x 40", "there are numbers 1 to"),
        ("x", "needs a number"),
        ("2 zz9", "has no rung `zz9`: it has"),
        ("+ raise", "could be"),
        ("+ quad-sett", "did you mean `quad-set`?"),
        ("frobnicate", "? lists the keys"),
    ] {
        let (outcome, pending, shown) = at("none", &[typed, "p"]);
        assert_eq!(outcome, Outcome::Print, "{typed}");
        assert!(pending.adjusts.is_empty(), "{typed}");
        assert!(says(&shown, told), "{typed}: {shown}");
    }
}

#[test]
fn what_is_new_changed_or_gone_is_seen_at_a_glance() {
    let (_, _, shown) = at("none", &["p"]);
    assert!(shown.contains("LEFT knee. Day 14, week 3"), "{shown}");
    assert!(
        shown.contains("changed") && shown.contains("; was "),
        "{shown}"
    );
    assert!(shown.contains("Gone from the last sheet"), "{shown}");
    assert!(
        shown.lines().all(|line| line.chars().count() <= 80),
        "{shown}"
    );
}

#[test]
fn a_page_that_withholds_says_how_to_go_on() {
    let (outcome, _, shown) = at("calf=yes", &["m"]);
    assert_eq!(outcome, Outcome::More);
    assert!(
        shown.contains("banister clear examples/01-discharge-day-2/record.toml calf"),
        "{shown}"
    );
    assert_eq!(at("calf=yes", &["p"]).0, Outcome::Print);
}

#[test]
fn without_an_answer_there_is_no_sheet_and_the_question_comes_again() {
    let mut pending = pending("none");
    pending.visit.as_mut().unwrap().screen = crate::domain::recorded::Recorded::NotRecorded;
    let mut script = Script {
        lines: VecDeque::from(["a"]),
        shown: String::new(),
    };
    let outcome = run(&mut script, &mut pending).unwrap();
    assert_eq!(outcome, Outcome::Again(vec!["screen".to_owned()]));
}

/// Looks at a call on the day after the example's first visit.
fn call(more: &str, lines: &[&'static str]) -> (Outcome, String) {
    let line = format!(
        "banister visit examples/01-discharge-day-2/record.toml --phone --date 2026-03-07 \
         --by PT-1 --did most --morning same --swelling same {more}"
    );
    let Command::Visit(args) = Cli::parse_from(line.split_whitespace()).command else {
        panic!("a visit");
    };
    let opened = open(Path::new("examples/01-discharge-day-2/record.toml"), None).unwrap();
    let visit = prepare(&args, &opened).unwrap();
    let mut pending = Pending {
        opened,
        start: Start::OnDisk,
        visit: Some(visit),
        adjusts: Vec::new(),
    };
    let mut script = Script {
        lines: lines.iter().copied().collect(),
        shown: String::new(),
    };
    let outcome = run(&mut script, &mut pending).unwrap();
    (outcome, script.shown)
}

#[test]
fn a_calm_call_is_offered_to_leave_the_sheet_at_home_first_of_all() {
    let (outcome, shown) = call("--screen none --pain 4", &["", "?", "k"]);
    assert_eq!(outcome, Outcome::Keep);
    assert!(
        says(&shown, "k keep sheet 1 at home, as it is until 2026-03-16"),
        "{shown}"
    );
    assert!(
        says(&shown, "k keeps the sheet at home, p prints a new one"),
        "{shown}"
    );
    let (keep, print) = (shown.find("k keep sheet"), shown.find("p print"));
    assert!(keep < print, "{shown}");
}

#[test]
fn a_call_with_a_sign_or_too_much_pain_is_not_offered_it_and_says_why() {
    for (more, why) in [
        (
            "--screen wound=yes --pain 4",
            "a sign is new or worse: wound",
        ),
        ("--screen none --pain 9", "the last dose was too much"),
        ("--screen calf=yes --pain 4", "exercises are withheld"),
    ] {
        let (outcome, shown) = call(more, &["k"]);
        assert_eq!(outcome, Outcome::Leave, "{shown}");
        assert!(!shown.contains("k keep sheet"), "{shown}");
        assert!(
            says(&shown, "The sheet at home does not stay") && says(&shown, why),
            "{shown}"
        );
    }
    let (outcome, _, shown) = at("none", &["k"]);
    assert_eq!(outcome, Outcome::Leave);
    assert!(says(&shown, "k is for calls"), "{shown}");
}
