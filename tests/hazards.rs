//! The guards of `protocols/hazards.toml`, each with the test named there.

use banister::domain::ids::{ConditionId, FlagId, Id, SurgeonId};
use banister::domain::library::Library;
use banister::domain::record::{Clearance, Record};
use banister::domain::recorded::Recorded;
use banister::domain::verdict::{Mark, Program, Verdict};
use banister::domain::word::{
    Fact, LegLift, LegLoad, Position, ScreenAnswer, Side, WalkingAid, Work, YesNo,
};
use banister::handout::{Issue, IssueKind};
use banister::render::{pdf, text};

use crate::handout::readback::{meant, read};
use crate::support;
use crate::support::people::{
    Answers, decide_and_issue, document, document_as, person, record, see, side_put_right,
};

/// Every hazard names a test that exists in this binary.
#[test]
fn every_hazard_names_a_test_that_exists() {
    let hazards: toml::Table = support::read("protocols/hazards.toml").parse().unwrap();
    let hazards = hazards["hazard"].as_array().unwrap();
    assert!(hazards.len() >= 25);
    for hazard in hazards {
        let name = hazard["test"].as_str().unwrap();
        let (module, function) = name.rsplit_once("::").unwrap();
        let path = format!("tests/{}.rs", module.replace("::", "/"));
        let source = support::read(&path);
        assert!(
            source.contains(&format!("#[test]\nfn {function}()")),
            "{name} does not exist"
        );
        for key in ["id", "harm", "guard"] {
            assert!(!hazard[key].as_str().unwrap().is_empty());
        }
    }
}

/// A few people over a few visits, with the program of each visit.
pub(crate) fn lives(side: Side) -> Vec<(Record, Verdict)> {
    let library = support::plain_library();
    let mut found = Vec::new();
    let mut one = record(person(), side);
    for (day, bend) in [(2, 60), (14, 88), (28, 104), (49, 110), (84, 115)] {
        let mut answers = Answers::calm(day, bend);
        answers.next_in = 10;
        if day == 2 {
            answers.leg_lift = Some(LegLift::WithHelp);
            answers.aid = Some(WalkingAid::Frame);
        }
        let date = see(&library, &mut one, &answers);
        let verdict = decide_and_issue(&library, &mut one, date);
        found.push((one.clone(), verdict));
    }
    found
}

fn programs(side: Side) -> Vec<(Record, Program)> {
    lives(side)
        .into_iter()
        .map(|(record, verdict)| match verdict {
            Verdict::Program(program) => (record, *program),
            Verdict::Withheld(_) | Verdict::Unanswered(_) => panic!("a calm life has programs"),
        })
        .collect()
}

/// Replaces every side word by the other one.
fn flipped(text: &str) -> String {
    let swap = |word: &str| match word {
        "left" => "right".to_owned(),
        "right" => "left".to_owned(),
        "Left" => "Right".to_owned(),
        "Right" => "Left".to_owned(),
        other => other.to_owned(),
    };
    let mut out = String::new();
    let mut word = String::new();
    for letter in text.chars() {
        if letter.is_alphabetic() {
            word.push(letter);
        } else {
            out.push_str(&swap(&word));
            word.clear();
            out.push(if letter.is_whitespace() { ' ' } else { letter });
        }
    }
    out.push_str(&swap(&word));
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn changing_the_side_swaps_every_side_word() {
    let library = support::plain_library();
    let sides = [Side::Left, Side::Right].map(|side| {
        lives(side)
            .into_iter()
            .map(|(record, verdict)| text::text(&document(&library, &record, &verdict)))
            .collect::<Vec<_>>()
    });
    for (left, right) in sides[0].iter().zip(&sides[1]) {
        assert!(left.contains("left") && right.contains("right"));
        let plain = right.split_whitespace().collect::<Vec<_>>().join(" ");
        // Lines break elsewhere, so a rule under a title may be one dash longer.
        let rules = |text: &str| {
            text.replace(['=', '-'], "")
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
        };
        assert_eq!(rules(&flipped(left)), rules(&plain));
    }
}

#[test]
fn a_wrong_side_put_right_voids_the_sheet_and_all_that_was_found() {
    let library = support::plain_library();
    let mut one = record(person(), Side::Left);
    let date = see(&library, &mut one, &Answers::calm(20, 100));
    decide_and_issue(&library, &mut one, date);
    one.episode.side = Side::Right;
    one.corrections.push(side_put_right(&one));
    let mut blank = Answers::calm(27, 0);
    (blank.flexion, blank.deficit, blank.leg_lift, blank.aid) = (None, None, None, None);
    let date = see(&library, &mut one, &blank);
    let verdict = decide_and_issue(&library, &mut one, date);
    let Verdict::Program(program) = &verdict else {
        panic!("a program")
    };
    assert!(!program.facts.get(Fact::Flexion).is_recorded());
    let marks = program.items.iter().map(|item| &item.mark);
    assert!(marks.into_iter().all(|mark| *mark == Mark::First));
    let issue = Issue {
        sheet: 2,
        replaces: Some(1),
        kind: IssueKind::Issued,
    };
    let document = document_as(&library, &one, &verdict, issue);
    let page = text::text(&document);
    assert!(page.contains("Sheet 1 is wrong. Do not use it."), "{page}");
    assert!(page.contains("for your right knee"));
    let design = banister::files::page::load().unwrap();
    let first = &pdf::record(&document, &design).unwrap().pages[0];
    let said = |words: &str| first.texts.iter().any(|text| text.text.contains(words));
    assert!(said("Sheet 1 is wrong") || said("Sheet\u{a0}1 is wrong"));
}

#[test]
fn no_patient_word_says_left_or_right_but_by_the_side_itself() {
    let folder = support::root().join("protocols/exercises");
    let mut files: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| {
            format!(
                "protocols/exercises/{}",
                entry.unwrap().file_name().to_str().unwrap()
            )
        })
        .collect();
    for procedure in ["total", "partial", "revision", "both"] {
        files.push(format!("protocols/procedures/knee-{procedure}.toml"));
    }
    files.push("templates/words.en.toml".to_owned());
    for path in files {
        for (index, line) in support::read(&path).lines().enumerate() {
            let own = ["aim = ", "side_", "#"]
                .iter()
                .any(|start| line.starts_with(start));
            let says = line
                .split(|c: char| !c.is_alphabetic())
                .any(|word| ["left", "right"].contains(&word.to_lowercase().as_str()));
            assert!(
                own || !says,
                "{path}:{}: use {{side}} or {{other}}: {line}",
                index + 1
            );
        }
    }
}

#[test]
fn every_page_carries_token_label_box_and_page_number() {
    let library = support::plain_library();
    let design = banister::files::page::load().unwrap();
    for (record, verdict) in lives(Side::Left) {
        let recording = pdf::record(&document(&library, &record, &verdict), &design).unwrap();
        let pages = recording.pages.len();
        for (index, page) in recording.pages.iter().enumerate() {
            let all: Vec<&str> = page.texts.iter().map(|text| text.text.as_str()).collect();
            let all = all.join(" ").replace('\u{a0}', " ");
            assert!(all.contains("EX-9001-E1"), "page {}", index + 1);
            assert!(
                all.contains(&format!("Page {} of {pages}", index + 1)),
                "page {}",
                index + 1
            );
            assert_eq!(all.contains("Name (write, or stick a label)"), index == 0);
        }
    }
}

#[test]
fn every_page_is_dated_and_right_on_its_last_day() {
    let library = support::plain_library();
    let design = banister::files::page::load().unwrap();
    let mut patient = person();
    patient.surgeon = Recorded::Yes(SurgeonId::new("SURG-B").unwrap());
    let mut one = record(patient, Side::Left);
    // This surgeon's limit ends on day 14, in the middle of the sheet: it counts to the end.
    let mut answers = Answers::calm(8, 84);
    answers.next_in = 12;
    let date = see(&library, &mut one, &answers);
    let verdict = decide_and_issue(&library, &mut one, date);
    let Verdict::Program(program) = &verdict else {
        panic!("a program")
    };
    assert!(
        program.limits.iter().any(|limit| limit.stop_at.is_some()),
        "the limit is in force"
    );
    for item in &program.items {
        assert!(
            item.dose
                .aim
                .is_none_or(|aim| banister::domain::quantity::Quantity::get(aim) <= 85)
        );
    }
    let recording = pdf::record(&document(&library, &one, &verdict), &design).unwrap();
    for page in &recording.pages {
        let all: Vec<&str> = page.texts.iter().map(|text| text.text.as_str()).collect();
        assert!(
            all.join(" ")
                .replace('\u{a0}', " ")
                .contains("10 March 2026")
        );
    }
}

#[test]
fn printed_dose_reads_back_to_the_decided_dose() {
    let library = support::plain_library();
    let mut read_back = 0;
    for side in [Side::Left, Side::Right] {
        for (record, program) in programs(side) {
            let verdict = Verdict::Program(Box::new(program.clone()));
            let page = text::text(&document(&library, &record, &verdict)).replace('\u{a0}', " ");
            for item in &program.items {
                let title = &library.exercises[&item.exercise].words["en"].name;
                assert_eq!(read(&page, title), meant(item), "{title}");
                read_back += 1;
            }
        }
    }
    assert!(read_back >= 50, "only {read_back} doses were read");
}

#[test]
fn a_new_clot_sign_always_withholds_the_program() {
    let library = support::plain_library();
    for day in 0..=180 {
        for flag in ["calf", "chest"] {
            let mut one = record(person(), Side::Left);
            let mut answers = Answers::calm(day, 90);
            answers.flags = vec![(flag, ScreenAnswer::Yes)];
            let date = see(&library, &mut one, &answers);
            let verdict = banister::engine::decide(&library, &one, date);
            assert!(
                matches!(verdict, Verdict::Withheld(_)),
                "{flag} on day {day}"
            );
        }
    }
    // An old clot alone never withholds: history is no new sign.
    let mut patient = person();
    let old = ConditionId::new("previous-clot").unwrap();
    patient.conditions = Recorded::Yes([old].into());
    let mut one = record(patient, Side::Left);
    let date = see(&library, &mut one, &Answers::calm(10, 80));
    assert!(matches!(
        banister::engine::decide(&library, &one, date),
        Verdict::Program(_)
    ));
}

#[test]
fn a_withheld_program_stays_withheld_until_somebody_has_assessed_the_sign() {
    let library = support::plain_library();
    let mut one = record(person(), Side::Left);
    let date = see(&library, &mut one, &Answers::calm(3, 70));
    decide_and_issue(&library, &mut one, date);
    let mut sore = Answers::calm(14, 88);
    sore.flags = vec![("calf", ScreenAnswer::Yes)];
    see(&library, &mut one, &sore);
    // The next day nothing is new or worse; nobody has looked at the calf.
    let date = see(&library, &mut one, &Answers::calm(15, 88));
    let still = banister::engine::decide(&library, &one, date);
    assert!(matches!(still, Verdict::Withheld(_)));
    one.clearances.push(Clearance {
        flag: FlagId::new("calf").unwrap(),
        by: "ultrasound".to_owned(),
        on: date.0,
        until: date.0,
        visits: 3,
    });
    let cleared = banister::engine::decide(&library, &one, date);
    assert!(matches!(cleared, Verdict::Program(_)));
}

#[test]
fn a_clot_sign_is_not_known_on_its_own_word() {
    let library = support::plain_library();
    let mut one = record(person(), Side::Left);
    let mut answers = Answers::calm(10, 80);
    answers.flags = vec![("calf", ScreenAnswer::Known)];
    let date = see(&library, &mut one, &answers);
    assert!(matches!(
        banister::engine::decide(&library, &one, date),
        Verdict::Withheld(_)
    ));
}

#[test]
fn while_a_flag_narrows_the_program_nothing_is_new_and_nothing_climbs() {
    let library = support::plain_library();
    let mut one = record(person(), Side::Left);
    let date = see(&library, &mut one, &Answers::calm(3, 60));
    let Verdict::Program(first) = decide_and_issue(&library, &mut one, date) else {
        panic!("a program")
    };
    let mut wet = Answers::calm(12, 75);
    wet.flags = vec![("wound", ScreenAnswer::Yes)];
    let date = see(&library, &mut one, &wet);
    let Verdict::Program(program) = decide_and_issue(&library, &mut one, date) else {
        panic!("a wet wound narrows, it does not withhold")
    };
    assert!(!program.flags.is_empty() && !program.items.is_empty());
    for item in &program.items {
        let exercise = &library.exercises[&item.exercise];
        let before = first.items.iter().find(|old| old.exercise == item.exercise);
        let place = |rung| exercise.rung(rung).unwrap().0;
        let fine = match before {
            Some(old) => place(&item.rung) <= place(&old.rung),
            None => exercise.work == Work::Range,
        };
        assert!(fine, "{} {}", item.exercise, item.rung);
    }
}

#[test]
fn a_working_block_leaves_no_standing_exercise() {
    let library = support::plain_library();
    let standing = |block: YesNo| {
        let mut one = record(person(), Side::Left);
        let date = see(&library, &mut one, &Answers::calm(1, 60));
        one.visits[0].block_gone = Recorded::Yes(block);
        let Verdict::Program(program) = banister::engine::decide(&library, &one, date) else {
            panic!("a program")
        };
        let on_foot = |library: &Library, id| {
            let exercise = &library.exercises[id];
            exercise.position == Position::Standing
                || exercise
                    .demands
                    .iter()
                    .any(|demand| demand.weight_bearing >= LegLoad::Full)
        };
        program
            .items
            .iter()
            .filter(|item| on_foot(&library, &item.exercise))
            .count()
    };
    assert_eq!(standing(YesNo::No), 0);
    assert!(
        standing(YesNo::Yes) > 0,
        "the comparison must be able to fail"
    );
}

#[test]
fn unrecorded_facts_never_open_loaded_work() {
    let library = support::plain_library();
    let mut one = record(person(), Side::Left);
    for day in [2, 16, 30, 44, 58, 72, 86] {
        let mut answers = Answers::calm(day, 100);
        answers.did = None;
        answers.leg_lift = None;
        let date = see(&library, &mut one, &answers);
        one.visits.last_mut().unwrap().measured.stance_s = Recorded::NotRecorded;
        let verdict = decide_and_issue(&library, &mut one, date);
        let Verdict::Program(program) = verdict else {
            continue;
        };
        for item in program.items.iter().chain(&program.daily) {
            let exercise = &library.exercises[&item.exercise];
            let (_, rung) = exercise.rung(&item.rung).unwrap();
            let loaded = rung.loaded == YesNo::Yes;
            assert!(!loaded, "{} {} on day {day}", item.exercise, item.rung);
        }
    }
}

#[test]
fn one_clinic_gives_equal_people_the_same_sheet() {
    let library = support::library();
    let sheet = |token: &str| {
        let mut one = record(person(), Side::Left);
        token.clone_into(&mut one.episode.token);
        let date = see(&library, &mut one, &Answers::calm(9, 80));
        let verdict = decide_and_issue(&library, &mut one, date);
        text::text(&document(&library, &one, &verdict)).replace(token, "TOKEN")
    };
    let one = sheet("EX-9001-E1");
    assert_eq!(one, sheet("EX-9002-E1"));
    assert!(
        one.contains("10 to\u{a0}15") || one.contains("10 to 15"),
        "the clinic's own minutes of cold"
    );
}
