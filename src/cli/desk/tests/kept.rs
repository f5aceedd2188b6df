//! What is kept: a visit given again, and a draft of answers nobody has written yet.

use std::path::Path;

use clap::Parser;

use super::super::answers::Answers;
use super::super::ask::{Asking, Ended};
use super::super::carry::carry;
use super::super::draft::{Keeper, Purpose, of_new_records};
use super::super::sitting::Sitting;
use super::super::{first, follow};
use super::{DISCHARGE, Script, ask, later, library, near, new_scene};
use crate::cli::append::prepare;
use crate::cli::args::{Cli, Command};
use crate::cli::open::{Opened, open};
use crate::domain::recorded::Recorded;
use crate::domain::word::ClosedWith;

#[test]
fn a_visit_given_again_with_enter_everywhere_is_the_old_visit() {
    let mut opened = open(Path::new("examples/03-flare-day-35/record.toml"), None).unwrap();
    given_again_with_enter(&opened);
    let last = opened.record.visits.last_mut().unwrap();
    last.measured.leg_lift = Recorded::NotRecorded;
    last.measured.walking_aid = Recorded::NotRecorded;
    last.measured.limp = Recorded::NotRecorded;
    last.measured.flexion = Recorded::NotRecorded;
    last.pain.exercise = Recorded::NotRecorded;
    last.pain.morning = Recorded::NotRecorded;
    (last.did, last.swelling) = (Recorded::NotRecorded, Recorded::NotRecorded);
    (last.next_visit, last.block_gone) = (Recorded::NotRecorded, Recorded::NotRecorded);
    given_again_with_enter(&opened);
}

#[test]
fn a_visit_put_right_late_leaves_the_sheet_the_person_has() {
    let mut opened = open(Path::new("examples/03-flare-day-35/record.toml"), None).unwrap();
    let near = near();
    let sheet_before = |opened: &Opened| {
        let mut scene = later(opened, &near, &[]);
        scene.corrects = opened.record.visits.iter().find(|visit| visit.n == 3);
        let before = scene.earlier().first().map(|visit| visit.n);
        (before, scene.last_sheet().map(|(_, issued)| issued.sheet))
    };
    let before = sheet_before(&opened);
    let mut late = opened.record.visits[1].clone();
    (late.n, late.corrects) = (5, Some(2));
    (late.issued, late.closed) = (None, Some(ClosedWith::None));
    opened.record.visits.push(late);
    assert_eq!(before.0, Some(2));
    assert!(before.1.is_some());
    assert_eq!(sheet_before(&opened), (Some(5), before.1));
}

/// Types Enter at everything that is asked; what was blank stays blank.
fn given_again_with_enter(opened: &Opened) {
    let wrong = opened.record.latest().unwrap();
    let near = near();
    let mut scene = later(opened, &near, &[]);
    scene.corrects = Some(wrong);
    scene.date = wrong.date;
    let enters: Vec<&str> = ["PT-1", "none"].into_iter().chain([""; 30]).collect();
    let mut script = Script::of(&enters);
    assert_eq!(
        ask(&mut script, &mut scene, follow::QUESTIONS),
        Ended::Answered
    );
    let line = format!(
        "banister visit x --corrects {} --date {}",
        wrong.n, wrong.date
    );
    let mut words: Vec<_> = line.split(' ').map(std::ffi::OsString::from).collect();
    words.extend(scene.answers.arguments());
    let Command::Visit(args) = Cli::parse_from(words).command else {
        panic!("a visit");
    };
    let mut new = prepare(&args, opened).unwrap();
    carry(&mut new, &opened.record, wrong, &scene.answers);
    assert_eq!(new.measured, wrong.measured);
    assert_eq!(new.pain, wrong.pain);
    assert_eq!(new.done, wrong.done);
    assert_eq!(new.adjust, wrong.adjust);
    assert_eq!(
        (
            new.how,
            new.did,
            new.swelling,
            new.next_visit,
            new.block_gone
        ),
        (
            wrong.how,
            wrong.did,
            wrong.swelling,
            wrong.next_visit,
            wrong.block_gone
        )
    );
}

#[test]
fn a_draft_never_answers_the_side_or_the_red_flags() {
    let folder = tempfile::tempdir().unwrap();
    let (library, near) = (library(), near());
    let mut scene = new_scene(&library, &near, &[]);
    let mut script = Script::of(&DISCHARGE[..12]);
    let mut sitting = Sitting {
        desk: &mut script,
        keeper: Keeper::new(Purpose::Intake, folder.path(), &[]),
    };
    Asking::new(first::QUESTIONS)
        .run(&mut sitting, &mut scene)
        .unwrap();
    let drafts = of_new_records(folder.path());
    assert_eq!(drafts.len(), 1, "kept after every answer");
    for (typed, goes_on) in [("1", true), ("n", false)] {
        let mut answers = Answers::default();
        let mut script = Script::of(&["", typed]);
        let mut sitting = Sitting {
            desk: &mut script,
            keeper: Keeper::new(Purpose::Intake, folder.path(), &[]),
        };
        sitting
            .offer(&drafts, &Purpose::Intake, &[], &mut answers)
            .unwrap();
        assert_eq!(answers.get("conditions").is_some(), goes_on);
        assert_eq!(answers.get("side"), None);
        assert_eq!(answers.get("screen"), None);
        let shown = script.shown.join(" ");
        assert!(
            shown.contains("AR-0001-E1, left side, typed by PT-1"),
            "{shown}"
        );
        assert_eq!(script.prompts.len(), 2, "Enter alone takes nothing over");
    }
    std::fs::write(&drafts[0], "{").unwrap();
    let mut answers = Answers::default();
    let mut script = Script::of(&[]);
    let mut sitting = Sitting {
        desk: &mut script,
        keeper: Keeper::new(Purpose::Intake, folder.path(), &[]),
    };
    sitting
        .offer(&drafts, &Purpose::Intake, &[], &mut answers)
        .unwrap();
    assert!(
        script.shown.join(" ").contains("cannot be read"),
        "{:?}",
        script.shown
    );
}
