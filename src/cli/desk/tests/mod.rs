//! Conversations with a person who types from a list.

mod kept;
mod odd;

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::path::Path;

use chrono::NaiveDate;
use clap::CommandFactory;

use super::answers::Answers;
use super::ask::{Asking, Ended};
use super::draft::{Keeper, Purpose};
use super::nearby::Nearby;
use super::question::{Fallback, Question};
use super::scene::{Cut, Depth, Scene};
use super::sitting::Sitting;
use super::terminal::{Desk, Said};
use super::{first, follow, orders};
use crate::cli::args::Cli;
use crate::cli::error::CliError;
use crate::cli::open::{Opened, library_for, open};
use crate::domain::ids::Id;
use crate::domain::library::Library;

/// Types prepared lines, and keeps what was shown and what stood typed already.
struct Script {
    lines: VecDeque<Said>,
    shown: Vec<String>,
    prompts: Vec<(String, String)>,
}

impl Script {
    fn of(lines: &[&str]) -> Self {
        Self {
            lines: lines
                .iter()
                .map(|line| Said::Line((*line).to_owned()))
                .collect(),
            shown: Vec::new(),
            prompts: Vec::new(),
        }
    }
}

impl Desk for Script {
    fn ask(&mut self, prompt: &str, typed: &str) -> Result<Said, CliError> {
        self.prompts.push((prompt.to_owned(), typed.to_owned()));
        Ok(self.lines.pop_front().unwrap_or(Said::End))
    }

    fn tell(&mut self, text: &str) {
        self.shown.extend(text.lines().map(str::to_owned));
    }
}

fn library() -> Library {
    let id = Id::new("knee-total").unwrap();
    library_for(&id, Path::new("shared"), Some(Path::new("shared")))
        .unwrap()
        .library
}

fn near() -> Nearby {
    Nearby {
        next_token: "AR-0001-E1".to_owned(),
        surgeon: Some("SURG-A".to_owned()),
        tokens: BTreeSet::from(["AR-0000-E1".to_owned()]),
    }
}

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn new_scene<'a>(library: &'a Library, near: &'a Nearby, flags: &[(&str, &str)]) -> Scene<'a> {
    let given = flags
        .iter()
        .map(|(flag, value)| ((*flag).to_owned(), (*value).to_owned()))
        .collect();
    let mut scene = Scene::new(
        library,
        day("2026-03-04"),
        Depth::Usual,
        Answers::given(given),
    );
    scene.near = near.clone();
    scene
}

/// A follow-up of the first shipped example.
fn later<'a>(opened: &'a Opened, near: &'a Nearby, flags: &[(&str, &str)]) -> Scene<'a> {
    let mut scene = new_scene(&opened.library, near, flags);
    scene.record = Some(&opened.record);
    scene.date = day("2026-03-16");
    scene
}

fn example() -> Opened {
    open(Path::new("examples/01-discharge-day-2/record.toml"), None).unwrap()
}

fn ask(script: &mut Script, scene: &mut Scene<'_>, questions: &'static [Question]) -> Ended {
    let folder = tempfile::tempdir().unwrap();
    let mut sitting = Sitting {
        desk: script,
        keeper: Keeper::new(Purpose::Intake, folder.path(), &[]),
    };
    Asking::new(questions).run(&mut sitting, scene).unwrap()
}

const DISCHARGE: &[&str] = &[
    "", "PT-1", "l", "left", "-2", "", "", "none", "", "none", "3", "5", "62", "10", "3", "y", "2",
    "y", "n", "", "", "",
];

#[test]
fn a_discharge_is_about_twenty_answers() {
    let (library, near) = (library(), near());
    let mut scene = new_scene(&library, &near, &[]);
    let mut script = Script::of(DISCHARGE);
    assert_eq!(
        ask(&mut script, &mut scene, first::QUESTIONS),
        Ended::Answered
    );
    assert_eq!(
        script.prompts.len(),
        DISCHARGE.len(),
        "{:#?}",
        script.prompts
    );
    for (flag, value) in [
        ("token", "AR-0001-E1"),
        ("side", "left"),
        ("operation", "2026-03-02"),
        ("surgeon", "SURG-A"),
        ("screen", "none"),
        ("conditions", "none"),
        ("positions-no", "none"),
        ("leg-lift", "with-help"),
        ("block-gone", "yes"),
        ("walking-aid", "two-crutches"),
        ("stairs", "yes"),
        ("stairs-practised", "no"),
        ("next-visit", "2026-03-18"),
    ] {
        assert_eq!(scene.said(flag), Some(value), "{flag}");
    }
    let kit = scene.said("equipment").unwrap();
    assert!(kit.contains("chair-arms") && !kit.contains("bike"), "{kit}");
    assert_eq!(scene.said("cleared-for-home-by"), None, "not asked");
}

#[test]
fn side_screen_and_conditions_have_no_default() {
    let (library, near) = (library(), near());
    let scene = new_scene(&library, &near, &[("side", "left")]);
    for question in first::QUESTIONS {
        let must = question.flags.iter().any(|flag| {
            [
                "side",
                "screen",
                "conditions",
                "operation",
                "by",
                "block-gone",
            ]
            .contains(flag)
        });
        let fallback = (question.ask)(&scene).fallback;
        assert_eq!(
            fallback == Fallback::Must,
            must || must_besides(question),
            "{:?}",
            question.flags
        );
    }
}

/// Questions that must be typed besides the four that are never defaulted.
fn must_besides(question: &Question) -> bool {
    let own = [
        ".side-again",
        ".weight-bearing",
        ".weight-bearing-said",
        ".flexion-cap",
        ".flexion-cap-said",
        ".no-active-extension-said",
        ".brace-locked-said",
        "order-by",
    ];
    question.flags.iter().any(|flag| own.contains(flag))
}

#[test]
fn a_refused_answer_says_what_is_allowed_and_keeps_what_was_typed() {
    let opened = example();
    let near = near();
    let mut scene = later(&opened, &near, &[("by", "PT-1"), ("screen", "none")]);
    let mut script = Script::of(&["mots", "most", "none", "11", "1"]);
    ask(&mut script, &mut scene, follow::QUESTIONS);
    let typed: Vec<&str> = script
        .prompts
        .iter()
        .map(|(_, typed)| typed.as_str())
        .collect();
    assert_eq!(typed[..5], ["", "mots", "", "", "11"]);
    let shown = script.shown.join(" ");
    assert!(shown.contains("did you mean `most`?"), "{shown}");
    assert!(shown.contains("from 0 to 10"), "{shown}");
}

#[test]
fn back_takes_the_last_answer_back_and_shows_it_to_be_changed() {
    let opened = example();
    let near = near();
    let mut scene = later(&opened, &near, &[("by", "PT-1"), ("screen", "none")]);
    let mut script = Script::of(&["all", "<", "none", "3"]);
    ask(&mut script, &mut scene, follow::QUESTIONS);
    assert_eq!(script.prompts[2].1, "all", "{:?}", script.prompts);
    assert_eq!(scene.said("did"), Some("none"));
    assert_eq!(scene.said("pain"), Some("3"));
}

#[test]
fn an_answer_that_no_longer_belongs_is_dropped() {
    let opened = example();
    let near = near();
    let mut scene = later(&opened, &near, &[("by", "PT-1"), ("screen", "none")]);
    let mut script = Script::of(&["all", "8", "n", "<", "<", "3", "same"]);
    ask(&mut script, &mut scene, follow::QUESTIONS);
    assert_eq!(scene.said("pain"), Some("3"));
    assert_eq!(
        scene.said("medicine-before"),
        None,
        "asked only above the line"
    );
    assert_eq!(scene.said("morning"), Some("same"));
}

#[test]
fn a_hyphen_is_not_asked_and_never_answers_what_must_be_asked() {
    let (library, near) = (library(), near());
    let mut scene = new_scene(&library, &near, &[]);
    let mut script = Script::of(&[
        "", "PT-1", "l", "left", "-2", "", "", "-", "", "nope", "n", "none",
    ]);
    ask(&mut script, &mut scene, first::QUESTIONS);
    assert_eq!(scene.said("screen"), Some("none"));
    let screens = script
        .prompts
        .iter()
        .filter(|(prompt, _)| prompt.contains("none in full"));
    assert_eq!(screens.count(), 5, "{:?}", script.prompts);
}

#[test]
fn a_visit_by_phone_asks_only_what_can_be_told() {
    let opened = example();
    let near = near();
    let mut scene = later(&opened, &near, &[("phone", "true")]);
    let mut script = Script::of(&["PT-1", "none", "all", "3", "same", "less", "", ""]);
    assert_eq!(
        ask(&mut script, &mut scene, follow::QUESTIONS),
        Ended::Answered
    );
    assert_eq!(script.prompts.len(), 8, "{:?}", script.prompts);
    assert_eq!(
        scene.said("walking-aid"),
        Some("two-crutches"),
        "as last time"
    );
    assert_eq!(scene.said("flexion"), None);
}

#[test]
fn a_sign_that_withholds_lets_the_rest_wait() {
    let opened = example();
    let near = near();
    let mut scene = later(&opened, &near, &[]);
    let mut script = Script::of(&["PT-1", "4"]);
    assert_eq!(
        ask(&mut script, &mut scene, follow::QUESTIONS),
        Ended::Answered
    );
    assert_eq!(scene.cut, Cut::RedFlag);
    assert_eq!(scene.said("screen"), Some("calf=yes"));
    scene.go_on();
    let mut more = Script::of(&["all"]);
    assert_eq!(ask(&mut more, &mut scene, follow::QUESTIONS), Ended::Left);
    assert!(
        more.prompts[0].0.starts_with("Did how much"),
        "{:?}",
        more.prompts
    );
}

#[test]
fn orders_are_put_together_with_their_ends() {
    let (library, near) = (library(), near());
    let mut scene = new_scene(&library, &near, &[]);
    let mut script = Script::of(&[
        "",
        "PT-1",
        "r",
        "right",
        "-2",
        "",
        "2 4",
        "90",
        "2026-03-29",
        "",
        "",
        "",
        "none",
        "",
        "none",
    ]);
    ask(&mut script, &mut scene, first::QUESTIONS);
    orders::put_together(&mut scene);
    assert_eq!(
        scene.said("order"),
        Some("flexion-cap=90@2026-03-29,brace-locked@asked")
    );
    assert_eq!(scene.said("order-by"), Some("SURG-A"));
    assert_eq!(scene.said("order-document"), Some("operation note"));
}

#[test]
fn every_question_is_a_flag_and_every_flag_a_question() {
    let command = Cli::command();
    let elsewhere = [
        // What is worked on, and how: not a question about a patient.
        "record",
        "clinic",
        "corrects",
        "phone",
        "full",
        "output",
        "help",
        "date",
        "language",
        // Asked before the table, when there is more than one.
        "procedure",
        // Answers of one question together.
        "order",
        "bed",
        // The clinician's word on the phase, and one exercise alone: typed by those who want it.
        "phase",
        "because",
        "felt",
        "well-at",
    ];
    for (name, questions) in [("intake", first::QUESTIONS), ("visit", follow::QUESTIONS)] {
        let flags: BTreeSet<String> = command
            .find_subcommand(name)
            .unwrap()
            .get_arguments()
            .map(|flag| flag.get_id().as_str().replace('_', "-"))
            .collect();
        let asked: BTreeSet<String> = questions
            .iter()
            .flat_map(|question| question.flags)
            .filter(|flag| !flag.starts_with('.'))
            .map(|flag| (*flag).to_owned())
            .collect();
        let unknown: Vec<_> = asked.difference(&flags).collect();
        assert!(unknown.is_empty(), "{name}: no flag for {unknown:?}");
        let both: BTreeSet<&str> = first::QUESTIONS
            .iter()
            .chain(follow::QUESTIONS)
            .flat_map(|question| question.flags.iter().copied())
            .collect();
        let never: Vec<_> = flags
            .iter()
            .filter(|flag| !both.contains(flag.as_str()) && !elsewhere.contains(&flag.as_str()))
            .collect();
        assert!(never.is_empty(), "{name}: never asked: {never:?}");
    }
}

#[test]
fn every_prompt_fits_an_old_terminal() {
    let opened = example();
    let near = near();
    let mut scene = later(
        &opened,
        &near,
        &[("did", "most"), ("pain", "9"), ("side", "right")],
    );
    scene.depth = Depth::Full;
    for question in first::QUESTIONS.iter().chain(follow::QUESTIONS) {
        let ask = (question.ask)(&scene);
        assert!(ask.prompt().chars().count() <= 78, "{}", ask.prompt());
        assert!(ask.prompt().is_ascii(), "{}", ask.prompt());
        for line in ask.above() {
            assert!(
                line.lines().all(|line| line.chars().count() <= 80),
                "{line}"
            );
        }
    }
}

#[test]
fn full_asks_everything_and_the_clinic_can_turn_one_on() {
    let opened = example();
    let near = near();
    let mut scene = later(&opened, &near, &[]);
    let asked = |scene: &Scene<'_>, flag: &str| {
        let found = follow::QUESTIONS
            .iter()
            .find(|question| question.flags.contains(&flag));
        (found.unwrap().when)(scene)
    };
    assert!(!asked(&scene, "lag") && !asked(&scene, "stance-s"));
    let mut library = opened.library.clone();
    library.clinic.also_ask = [crate::domain::word::Optional::Lag].into();
    let with_lag = Scene {
        library: &library,
        answers: Answers::given(BTreeMap::new()),
        ..later(&opened, &near, &[])
    };
    assert!(asked(&with_lag, "lag") && !asked(&with_lag, "stance-s"));
    scene.depth = Depth::Full;
    assert!(asked(&scene, "lag") && asked(&scene, "stance-s"));
}

#[test]
fn what_homes_have_is_taken_away_and_added_to_and_read_back() {
    let (library, near) = (library(), near());
    let at = |typed: &str| {
        let scene = new_scene(&library, &near, &[]);
        let question = first::QUESTIONS
            .iter()
            .find(|question| question.flags == ["equipment"])
            .unwrap();
        (question.ask)(&scene).kind.take(typed, scene.date)
    };
    let usual = at("none").unwrap();
    assert!(!usual.flags[0].1.contains("bike") && usual.echo.is_none());
    let taken = at("3 +bike").unwrap();
    let has = &taken.flags[0].1;
    assert!(!has.contains("chair-arms") && has.contains("bike"), "{has}");
    let echo = taken.echo.unwrap();
    assert!(echo.contains("missing: Firm chair with arms"), "{echo}");
    assert!(echo.contains("there besides: Stationary bike"), "{echo}");
    assert!(
        at("bike").is_err(),
        "few homes have one: it is missing already"
    );
    assert!(at("44").is_err() && at("n").is_err());
}

#[test]
fn a_record_number_is_no_name_no_date_and_not_taken() {
    let (library, near) = (library(), near());
    let scene = new_scene(&library, &near, &[]);
    let ask = (first::QUESTIONS[0].ask)(&scene);
    let check = ask.check.unwrap();
    assert!(check(&scene, "AR-0002-E1").is_ok());
    for token in [
        "AR-0000-E1",
        "Smith, John",
        "1950-03-12",
        "a/b",
        "..",
        "CON",
        "-x",
        "",
    ] {
        assert!(check(&scene, token).is_err() || token.is_empty(), "{token}");
    }
}

#[test]
fn an_odd_number_is_asked_about_and_only_taken_when_meant() {
    let opened = example();
    let near = near();
    let flags = [
        ("by", "PT-1"),
        ("screen", "none"),
        ("pain", "3"),
        ("did", "all"),
    ];
    let mut scene = later(&opened, &near, &flags);
    let mut script = Script::of(&["same", "less", "170", "n", "70", "-8", "y"]);
    ask(&mut script, &mut scene, follow::QUESTIONS);
    assert_eq!(scene.said("flexion"), Some("70"));
    assert_eq!(scene.said("extension-deficit"), Some("-8"));
}
