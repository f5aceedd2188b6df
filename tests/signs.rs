//! One answer for one sign: how soon somebody must act is said once, and every page reads it.

mod claimed;
mod eye;
mod made;

use std::collections::BTreeSet;

use banister::domain::ids::{FlagId, Id};
use banister::domain::library::Library;
use banister::domain::record::Record;
use banister::domain::recorded::Recorded;
use banister::domain::time::Day;
use banister::domain::verdict::Verdict;
use banister::domain::word::{FlagEffect, How, Level, Paper, ScreenAnswer};
use banister::engine::decide;
use banister::handout::model::{Action, Document};
use banister::render::pdf;

use crate::support;

use eye::{SIGNS, wrong_tiers};
use made::{page, printed, with};

/// Every operation of the library.
const ALL: [&str; 4] = ["knee-total", "knee-partial", "knee-revision", "knee-both"];

/// The printed words on one line.
fn running(library: &Library, record: &Record) -> String {
    let words = printed(library, record);
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn actions(library: &Library, record: &Record) -> Vec<Action> {
    match page(library, record) {
        Document::Handout(handout) => handout.actions,
        other => panic!("{other:?}"),
    }
}

/// Illnesses with signs or rows of their own; the row of the back speaks of one leg.
fn ill(procedure: &str) -> Vec<&'static str> {
    let mut all = vec![
        "blood-thinner",
        "circulation",
        "diabetes",
        "heart",
        "previous-clot",
    ];
    if procedure != "knee-both" {
        all.push("back");
    }
    all
}

#[test]
fn a_sign_with_two_answers_is_seen() {
    let library = support::plain_library();
    for broken in [
        "- Calf newly sore? Ring us within 2 days.",
        "Stop if your leg gives way. Tell us at your next visit.",
        "Ring us within 2 days\nYour knee gave way. A fall, even if it did not hurt.",
        "- Wound wet, red or hot? Ring us today. A wound that opens? Ring us today.",
        "- Foot cold, white or blue? Ring us today.",
    ] {
        assert!(!wrong_tiers(&library, broken).is_empty(), "{broken}");
    }
    let right = "- Wet, red or hot? Ring us today. Hit head? Ring your local emergency number now.";
    assert_eq!(wrong_tiers(&library, right), [""; 0]);
}

#[test]
fn no_page_has_two_answers_for_one_sign() {
    for id in ALL {
        let library = support::plain_library_of(id);
        for day in [-10, 1, 10, 20, 50, 90] {
            let ill = ill(id);
            for conditions in [&[][..], &ill, &["numb-feet"], &["memory", "frail"]] {
                let record = with(&library, day, conditions, &[], How::Seen);
                let wrong = wrong_tiers(&library, &printed(&library, &record));
                assert!(
                    wrong.is_empty(),
                    "{id}, day {day}, {conditions:?}: {wrong:#?}"
                );
            }
        }
        let flags = library.procedure.red_flags.iter();
        for flag in flags.filter(|flag| flag.window.holds(Day::new(20))) {
            let (name, _) = SIGNS
                .iter()
                .find(|(id, _)| *id == flag.id.as_str())
                .unwrap();
            for how in [How::Seen, How::Phone] {
                let record = with(&library, 20, &ill(id), &[name], how);
                let wrong = wrong_tiers(&library, &printed(&library, &record));
                assert!(wrong.is_empty(), "{id}, {name}: {wrong:#?}");
            }
        }
    }
}

#[test]
fn every_place_that_names_a_sign_reads_its_row() {
    let mut library = support::plain_library();
    let names = |library: &Library| running(library, &with(library, 20, &[], &[], How::Seen));
    assert!(names(&library).contains("leg gives way. Ring us today."));
    assert!(!names(&library).contains("within 2 days: Your knee gave way"));
    let flags = &mut library.procedure.red_flags;
    let giving_way = flags
        .iter_mut()
        .find(|flag| flag.id.as_str() == "giving-way");
    giving_way.unwrap().level = Level::Within48Hours;
    let after = names(&library);
    assert!(after.contains("leg gives way. Ring us within 2 days."));
    assert!(!after.contains("leg gives way. Ring us today."));
    assert!(
        wrong_tiers(
            &library,
            &printed(&library, &with(&library, 20, &[], &[], How::Seen))
        )
        .is_empty()
    );
}

#[test]
fn signs_have_the_level_a_physiotherapist_expects() {
    let emergency = [
        "chest",
        "cannot-wake",
        "foot-cold",
        "wound-open",
        "fall-bad",
        "seat-numb",
    ];
    let today = [
        "calf",
        "fever",
        "hot-knee",
        "fall-hurt",
        "leg-lift-lost",
        "pop",
        "wound",
        "foot",
        "giving-way",
        "fall",
        "drowsy",
        "heart-worse",
        "foot-sore",
        "infection",
        "skin",
    ];
    for id in ALL {
        let library = support::plain_library_of(id);
        let of = |level: Level| -> BTreeSet<&str> {
            let flags = library.procedure.red_flags.iter();
            flags
                .filter(|flag| flag.level == level)
                .map(|flag| flag.id.as_str())
                .collect()
        };
        assert_eq!(of(Level::Emergency), emergency.into(), "{id}");
        assert_eq!(of(Level::SameDay), today.into(), "{id}");
        assert_eq!(of(Level::Within48Hours), ["rest-pain"].into(), "{id}");
        for flag in &library.procedure.red_flags {
            let withholds = flag.effect == FlagEffect::Withhold;
            assert!(
                withholds || flag.level != Level::Emergency,
                "{id}: {}",
                flag.id
            );
        }
    }
}

/// What the words of rows and lines name is asked of the same people on the same days, so it stands
/// on their first page too.
#[test]
fn a_row_names_no_sign_that_page_1_leaves_out() {
    for id in ALL {
        let library = support::plain_library_of(id);
        let procedure = &library.procedure;
        let rows = procedure.home_care.iter().map(|row| {
            (
                row.id.to_string(),
                row.window,
                row.only_if.clone(),
                &row.words["en"].text,
            )
        });
        let lines = procedure.usual.iter().chain(&procedure.not_usual);
        let lines = lines.map(|line| {
            (
                line.id.to_string(),
                line.window,
                BTreeSet::new(),
                &line.words["en"],
            )
        });
        for (row, window, only_if, words) in rows.chain(lines) {
            for name in words.split("{ring:").skip(1) {
                let name = name.split('}').next().unwrap();
                let flag = procedure.red_flag(&FlagId::new(name).unwrap()).unwrap();
                let whom = flag.only_if.is_empty()
                    || (!only_if.is_empty() && only_if.is_subset(&flag.only_if));
                assert!(whom, "{id}: {row} names {name}, which is asked of others");
                let ends = match (flag.window.before, window.before) {
                    (None, _) => true,
                    (Some(_), None) => false,
                    (Some(flag), Some(row)) => row <= flag,
                };
                assert!(ends, "{id}: {row} names {name} after its last day");
            }
        }
    }
}

#[test]
fn what_is_for_one_illness_is_asked_and_printed_for_it_alone() {
    let library = support::plain_library();
    for (condition, flag, sign) in [
        ("heart", "heart-worse", "Breathless lying flat"),
        ("back", "seat-numb", "Newly numb between"),
        ("diabetes", "foot-sore", "a blister or a black spot"),
    ] {
        let has = with(&library, 20, &[condition], &[], How::Seen);
        assert!(running(&library, &has).contains(sign), "{sign}");
        let has_not = with(&library, 20, &[], &[], How::Seen);
        assert!(!running(&library, &has_not).contains(sign), "{sign}");
        let blank = |record: &Record| {
            let mut record = record.clone();
            if let Recorded::Yes(screen) = &mut record.visits[0].screen {
                screen.remove(&FlagId::new(flag).unwrap());
            }
            let date = banister::domain::time::VisitDate(record.visits[0].date);
            matches!(decide(&library, &record, date), Verdict::Unanswered(_))
        };
        assert!(blank(&has) && !blank(&has_not), "{flag}");
        let mut unknown = has_not.clone();
        unknown.visits[0].patient.conditions = Recorded::NotRecorded;
        assert!(blank(&unknown), "{flag}");
    }
    let failing = with(&library, 20, &["heart"], &["heart-worse"], How::Seen);
    assert!(matches!(page(&library, &failing), Document::Withheld(_)));
}

#[test]
fn what_a_sign_calls_for_until_it_is_seen_is_on_the_page() {
    for id in ALL {
        let library = support::plain_library_of(id);
        for (flag, words) in [
            ("giving-way", "Go back to the walking aid you used before."),
            ("fall", "Go back to the walking aid you used before."),
            ("foot", "Loosen any wrap or stocking."),
            ("foot", "Rest with the knee a little bent."),
            (
                "wound",
                "Keep the wound covered with a clean, dry dressing.",
            ),
        ] {
            for how in [How::Seen, How::Phone] {
                let record = with(&library, 20, &[], &[flag], how);
                let told = &actions(&library, &record)[0].until;
                assert!(
                    told.iter().any(|line| line.replace('\u{a0}', " ") == words),
                    "{id}, {flag}: {told:?}"
                );
                assert!(running(&library, &record).contains(words), "{id}, {flag}");
            }
        }
    }
}

#[test]
fn nothing_on_the_page_contradicts_what_a_sign_calls_for() {
    let library = support::plain_library();
    let steady = [
        "Walk with no aid",
        "Try none indoors",
        "ry one indoors",
        "Ask about two sticks",
        "foot on each step",
        "Do not do for now: Walking aid",
        "foot over foot",
        "no stick and no limp",
        "with one stick",
        "Take one stick in your",
        "Stand on your left",
        "standing ones with your right leg",
    ];
    let bent = [
        "heart, knee straight",
        "Keep your knee straight",
        "rests straight",
        "Heel on a roll",
        "lets it stiffen bent",
        "Keep bending and straightening",
        "Walk with no aid",
    ];
    let dry = ["plain cream", "Keep bending and straightening"];
    for day in [10, 20, 50, 90] {
        for (flag, never) in [
            ("giving-way", &steady[..]),
            ("fall", &steady),
            ("foot", &bent),
            ("wound", &dry),
        ] {
            let record = with(&library, day, &[], &[flag], How::Seen);
            let words = running(&library, &record);
            for contradicted in never {
                let at = words.find(contradicted);
                assert!(
                    at.is_none(),
                    "day {day}, {flag}: {}",
                    &words[at.unwrap_or(0)..]
                );
            }
            // Somebody without the sign may well read it.
            let calm = running(&library, &with(&library, day, &[], &[], How::Seen));
            assert!(
                never.iter().any(|words| calm.contains(words)),
                "day {day}, {flag}"
            );
        }
    }
    let known = with(&library, 20, &[], &[], How::Seen);
    let mut known = known;
    if let Recorded::Yes(screen) = &mut known.visits[0].screen {
        screen.insert(FlagId::new("foot").unwrap(), ScreenAnswer::Known);
    }
    assert!(
        running(&library, &known).contains("Heel on a roll"),
        "an old weak foot stretches on"
    );
}

#[test]
fn a_sheet_handed_over_at_a_visit_does_not_say_ring_us() {
    let library = support::plain_library();
    for flag in ["giving-way", "fall", "foot", "wound", "rest-pain"] {
        let seen = &actions(&library, &with(&library, 20, &[], &[flag], How::Seen))[0];
        for words in [&seen.action, &seen.say].into_iter().chain(&seen.until) {
            assert!(
                !words.contains("Ring us") && !words.contains("ring you"),
                "{flag}: {words}"
            );
        }
        assert!(
            seen.until.iter().any(|line| line.ends_with("____")),
            "{flag}: {:?}",
            seen.until
        );
        let rung = &actions(&library, &with(&library, 20, &[], &[flag], How::Phone))[0];
        assert!(rung.action.contains("Ring us"), "{flag}");
        assert!(rung.say.contains("I was told to ring you"), "{flag}");
        assert!(
            !rung.until.iter().any(|line| line.contains("____")),
            "{flag}"
        );
    }
}

#[test]
fn warnings_after_the_operation_withhold_and_stand_on_page_1() {
    for id in ALL {
        let library = support::plain_library_of(id);
        for flag in ["hot-knee", "drowsy", "cannot-wake", "fall-bad"] {
            let record = with(&library, 20, &[], &[flag], How::Phone);
            assert!(
                matches!(page(&library, &record), Document::Withheld(_)),
                "{id}: {flag}"
            );
        }
        let calm = running(&library, &with(&library, 20, &[], &[], How::Seen));
        for sign in [
            "suddenly hot, red and swollen",
            "Very sleepy or muddled",
            "Cannot be woken",
        ] {
            assert!(calm.contains(sign), "{id}: {sign}");
        }
    }
}

#[test]
fn on_an_emergency_page_nothing_stands_above_the_emergency_line() {
    let library = support::plain_library();
    let emergencies: Vec<&str> = [
        "chest",
        "cannot-wake",
        "foot-cold",
        "wound-open",
        "fall-bad",
    ]
    .into();
    for flag in emergencies {
        for how in [How::Seen, How::Phone] {
            let words = printed(&library, &with(&library, 20, &[], &[flag], how));
            assert!(
                words.starts_with("Ring your local emergency number now."),
                "{flag}, {how}: {words}"
            );
            assert!(words.contains("Do not exercise"), "{flag}, {how}");
            // An ambulance comes; there is nowhere to go, and whoever reads it may still have to ring.
            assert!(!words.contains("Go to"), "{flag}, {how}");
            assert!(!words.contains("told to come to you"), "{flag}, {how}");
            assert_eq!(words.contains("We have rung ____"), how == How::Seen);
        }
    }
    let calf = printed(&library, &with(&library, 20, &[], &["calf"], How::Phone));
    assert!(!calf.starts_with("Ring"));
}

/// The pages a document is printed on.
fn pages(library: &Library, record: &Record, paper: Paper) -> usize {
    let mut library = library.clone();
    library.clinic.paper = paper;
    let design = banister::files::page::load().unwrap();
    let drawn = pdf::record(&page(&library, record), &design).unwrap();
    drawn.pages.len()
}

#[test]
fn a_page_that_withholds_is_one_page() {
    let library = support::plain_library();
    let mut long = Vec::new();
    for flag in &library.procedure.red_flags {
        let (name, _) = SIGNS
            .iter()
            .find(|(id, _)| *id == flag.id.as_str())
            .unwrap_or(&("", &[]));
        if flag.effect != FlagEffect::Withhold || !flag.window.holds(Day::new(20)) {
            continue;
        }
        for how in [How::Seen, How::Phone] {
            let record = with(&library, 20, &[], &[name], how);
            for paper in [Paper::A4, Paper::Letter] {
                // Letter is shorter: there a page that can wait for a call may take a second one.
                let must = paper == Paper::A4 || flag.level == Level::Emergency;
                if must && pages(&library, &record, paper) > 1 {
                    long.push(format!("{name}, {how}, {paper:?}"));
                }
            }
        }
    }
    assert_eq!(long, [""; 0]);
}

#[test]
fn no_list_of_usual_things_hides_a_clot_or_an_infection() {
    for id in ALL {
        let library = support::plain_library_of(id);
        for day in [1, 20, 50] {
            let words = running(&library, &with(&library, day, &[], &[], How::Seen));
            let usual = words.find("This is usual").unwrap();
            let not_usual = words.find("This is not usual").unwrap();
            for sign in [
                "newly sore or more swollen calf. Ring us today",
                "suddenly hot, red and swollen. Ring us today",
            ] {
                assert!(words[not_usual..].contains(sign), "{id}, day {day}: {sign}");
            }
            let usual = &words[usual..not_usual];
            for sign in ["shin swell", "calf swell", "red"] {
                assert!(
                    !usual.split_whitespace().any(|word| word == sign)
                        && !usual.contains("shin swell"),
                    "{id}, day {day}: {sign}"
                );
            }
        }
    }
}
