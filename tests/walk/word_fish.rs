//! Sheets broken on purpose: every kind of wrong word is found by the eyes for words.

use std::sync::LazyLock;

use banister::domain::verdict::Verdict;
use banister::domain::word::Level;
use banister::handout::model::{Document, Handout, Led};

use crate::walk::check::Property;
use crate::walk::eyes::Scene;
use crate::walk::read::{self, Decided};
use crate::walk::state::{Before, Ends, Order, Sheet, State, Table};
use crate::walk::words::person::NEVER;
use crate::walk::words::{Press, read_sheet, signs};
use crate::walk::world::{Measures, World, all};

static WORLDS: LazyLock<Vec<World>> = LazyLock::new(all);

fn world(name: &str) -> &'static World {
    let found = WORLDS.iter().find(|world| world.name == name);
    found.unwrap_or_else(|| panic!("no procedure {name}"))
}

fn knee() -> &'static World {
    world("knee-total")
}

fn person(world: &World, day: i64) -> State {
    let mut state = world.on(&world.usual, day, Measures::Usual);
    state.before = Some(Before {
        days: 7,
        sheet: Sheet::Own,
    });
    state
}

fn first(world: &World, day: i64) -> State {
    world.on(&world.usual, day, Measures::Usual)
}

fn decided(world: &World, state: &State) -> Decided {
    read::decide(world, state).unwrap_or_else(|error| panic!("{error:?}"))
}

fn sheet(world: &World, state: &State) -> (Decided, Box<Handout>) {
    let decided = decided(world, state);
    let made = Press::load(world).sheet(world, &decided);
    match made {
        Some(Ok(Document::Handout(handout))) => (decided, handout),
        other => panic!("no sheet: {other:?}"),
    }
}

fn found(world: &World, decided: &Decided, handout: &Handout) -> Vec<(Property, String)> {
    read_sheet(
        world,
        decided,
        &Document::Handout(Box::new(handout.clone())),
    )
}

/// The honest sheet is left alone, the broken one is caught.
fn caught(world: &World, state: &State, property: Property, spoil: impl Fn(&mut Handout)) {
    let (decided, mut handout) = sheet(world, state);
    assert_eq!(found(world, &decided, &handout), [], "the honest sheet");
    spoil(&mut handout);
    let wrong = found(world, &decided, &handout);
    assert!(
        wrong.iter().any(|(found, _)| *found == property),
        "{property:?} was not caught: {wrong:?}"
    );
}

fn row(text: &str) -> Led {
    Led {
        lead: None,
        text: text.to_owned(),
    }
}

fn capped() -> State {
    person(knee(), 20).ordered(Order {
        from: None,
        what: "flexion-cap".to_owned(),
        value: "degrees = 90".to_owned(),
        on: 0,
        ends: Ends::Open,
    })
}

#[test]
fn an_honest_sheet_is_left_alone() {
    for world in WORLDS.iter() {
        for day in [0, 1, 8, 20, 50, 100] {
            let (decided, handout) = sheet(world, &first(world, day));
            assert_eq!(
                found(world, &decided, &handout),
                [],
                "{} day {day}",
                world.name
            );
        }
    }
}

#[test]
fn another_number_for_the_same_motion_is_caught() {
    caught(knee(), &capped(), Property::OneLimitAMotion, |sheet| {
        let limit = sheet
            .blocks
            .iter_mut()
            .find_map(|block| block.limit.as_mut());
        let limit = limit.expect("a block with its limit");
        limit.lead = Some("Not past 95 degrees,".to_owned());
    });
    caught(knee(), &capped(), Property::OneLimitAMotion, |sheet| {
        let rule = "Do not bend your left knee past 80 degrees.";
        sheet.message.bullets.push(row(rule));
    });
    caught(knee(), &capped(), Property::OneLimitAMotion, |sheet| {
        let rules = sheet.rules.as_mut().expect("a table of rules");
        rules.rows[0][0] = "Do not bend your left knee past 100 degrees.".to_owned();
    });
}

fn limited(sheet: &mut Handout) -> &mut banister::handout::model::Block {
    let block = sheet.blocks.iter_mut().find(|block| block.limit.is_some());
    block.expect("a block with a limit")
}

#[test]
fn words_that_ask_for_more_than_the_limit_are_caught() {
    caught(knee(), &capped(), Property::OneLimitAMotion, |sheet| {
        limited(sheet).steps[0] = "Stop at a firm pull.".to_owned();
    });
    caught(knee(), &capped(), Property::OneLimitAMotion, |sheet| {
        limited(sheet).steps[0] = "Bend to 100 degrees.".to_owned();
    });
    caught(knee(), &capped(), Property::OneLimitAMotion, |sheet| {
        limited(sheet).aim = Some("Your aim: foot flat, shin upright.".to_owned());
    });
    caught(knee(), &capped(), Property::OneLimitAMotion, |sheet| {
        limited(sheet).limit = None;
    });
}

#[test]
fn two_answers_for_one_sign_are_caught() {
    let usual = person(knee(), 20);
    for text in [
        "Your knee gave way? Tell us at your next visit.",
        "Stop this one if your leg gives way. Ring us within 2 days.",
        "Your calf is newly sore? Ring us within 2 days.",
        "Wound wet, red or hot? Tell us at your next visit.",
        "Chest pain? Ring us today.",
        "Bleeding that does not stop? Ring us today.",
        "Foot cold? Ring us today.",
    ] {
        caught(knee(), &usual, Property::OneAnswerASign, |sheet| {
            sheet.care.rows.push(row(text));
        });
    }
    caught(knee(), &usual, Property::OneAnswerASign, |sheet| {
        let boxes = sheet.tiers.iter_mut();
        let mut boxes = boxes.filter(|tier| tier.level == Level::SameDay);
        boxes
            .next()
            .expect("the box of today")
            .hazard
            .push_str(" Chest pain.");
    });
}

#[test]
fn anything_above_the_emergency_line_is_caught() {
    let honest = "Ring your local emergency number now\n====\nRing us: 01632 960 210\n";
    assert_eq!(signs::above_the_emergency_line(honest), None);
    assert_eq!(signs::above_the_emergency_line("\nRing 999 now.\n"), None);
    let head = format!("Ring us: 01632 960 210\n{honest}");
    assert!(signs::above_the_emergency_line(&head).is_some());
}

/// Somebody of whom each row of the table holds.
fn somebody(about: &str) -> (&'static World, State) {
    let usual = person(knee(), 20);
    let with = |flag: &str| usual.with(Table::Screen, flag, "\"yes\"");
    let aid = |aid: &str| usual.with(Table::Measured, "walking_aid", aid);
    match about {
        "cold is barred" => (knee(), usual.with_condition("cold-sensitivity")),
        "both legs were operated on" => (world("knee-both"), person(world("knee-both"), 20)),
        "there is no last week" => (knee(), first(knee(), 0)),
        "part of the weight at most" => {
            let part = Order {
                from: None,
                what: "weight-bearing".to_owned(),
                value: "weight_bearing = \"partial\"".to_owned(),
                on: 0,
                ends: Ends::Open,
            };
            (knee(), usual.ordered(part))
        }
        "the knee gave way, or a fall" => (knee(), with("giving-way")),
        "the foot is weak" => (knee(), with("foot")),
        "the person walks with a frame" => (knee(), aid("\"frame\"")),
        "the person walks with no aid" => (knee(), aid("\"none\"")),
        "the heart" => (knee(), usual.with_condition("heart")),
        "memory" => (knee(), usual.with_condition("memory")),
        "the sheet is handed over at the visit" => (knee(), usual),
        other => panic!("nobody to try `{other}` on"),
    }
}

#[test]
fn words_that_do_not_fit_the_person_are_caught() {
    for never in NEVER {
        let (world, state) = somebody(never.about);
        let (decided, _) = sheet(world, &state);
        let Verdict::Program(program) = &decided.verdict else {
            panic!("{}: no program", never.about)
        };
        let scene = Scene {
            library: &world.library,
            record: &decided.record,
            visit: decided.visit(),
            program,
        };
        assert!((never.holds)(&scene), "{}", never.about);
        for words in never.words {
            let words: Vec<&str> = words
                .iter()
                .copied()
                .filter(|word| !word.starts_with('!'))
                .collect();
            let text = format!("Made up: {}.", words.join(" "));
            caught(world, &state, Property::WordsFit, |sheet| {
                sheet.care.rows.push(row(&text));
            });
        }
    }
}

#[test]
fn folded_arms_beside_hands_that_hold_are_caught() {
    let state = person(knee(), 20);
    let (decided, sheet) = sheet(knee(), &state);
    let Verdict::Program(program) = &decided.verdict else {
        panic!("a program")
    };
    let held = program
        .items
        .iter()
        .position(|item| item.dose.support == Some(banister::domain::word::Support::TwoHands));
    let held = held.expect("something held on to with both hands");
    let mut broken = sheet.clone();
    broken.blocks[held].steps[0] = "Cross your arms on your chest.".to_owned();
    let wrong = found(knee(), &decided, &broken);
    assert!(
        wrong.iter().any(|(found, _)| *found == Property::WordsFit),
        "{wrong:?}"
    );
}

#[test]
fn the_other_side_is_caught() {
    caught(knee(), &capped(), Property::WordsFit, |sheet| {
        let rules = sheet.rules.as_mut().expect("a table of rules");
        let other = rules.rows[0][0].replace("left", "right");
        rules.rows[0][0] = other;
    });
}

#[test]
fn a_word_that_nothing_filled_is_caught() {
    caught(
        knee(),
        &person(knee(), 20),
        Property::SheetIsMade,
        |sheet| {
            sheet.care.rows.push(row("Bend your {other} knee."));
        },
    );
}
