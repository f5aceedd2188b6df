//! Words fit the person: hands, walking aid, heart, cold, both knees, memory, the first day.
//!
//! Made-up people of every kind; what their sheets say is read as they would read it.

use std::collections::{BTreeMap, BTreeSet};

use banister::domain::phrase::Phrases;
use banister::domain::recorded::Recorded;
use banister::domain::word::{Support, Word as _};
use banister::handout::model::{Block, Document, Handout};

use crate::prints::everybody::{Change, DAYS, changes, document, usual};
use crate::walk::read;
use crate::walk::state::{NEXT_IN, State, Table};
use crate::walk::world::{self, World};

/// What was found wrong, each with the first people it was found for.
#[derive(Default)]
struct Found {
    read: usize,
    wrong: BTreeMap<String, Vec<String>>,
}

impl Found {
    fn tell(&mut self, what: String, who: &str) {
        self.wrong.entry(what).or_default().push(who.to_owned());
    }

    fn done(self, at_least: usize) {
        let told = self.wrong.iter().fold(String::new(), |told, (what, who)| {
            told + &format!("{} times, as for {}: {what}\n", who.len(), who[0])
        });
        assert!(told.is_empty(), "{told}");
        assert!(self.read >= at_least, "only {} sheets", self.read);
    }
}

/// Makes the sheets of somebody changed, on every day, and looks at each.
fn sheets(
    world: &World,
    change: &Change,
    further: impl Fn(&State) -> State,
    mut look: impl FnMut(&str, i64, &Handout),
) {
    let phrases = banister::files::words::load("en").unwrap();
    for day in DAYS {
        let state = further(&change.of(&usual(world, day)));
        let who = format!("{}, day {day}, {}", world.name, change.name);
        if let Some(handout) = handout(world, &state, &phrases) {
            look(&who, day, &handout);
        }
    }
}

fn handout(world: &World, state: &State, phrases: &Phrases) -> Option<Box<Handout>> {
    match document(world, state, phrases).unwrap()? {
        Document::Handout(handout) => Some(handout),
        _ => None,
    }
}

fn all(handout: &Handout) -> String {
    let document = Document::Handout(Box::new(handout.clone()));
    let text = banister::render::text::text(&document);
    let text = text.replace('\u{a0}', " ");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn said(block: &Block) -> String {
    let mut parts = vec![block.set_up.clone()];
    parts.extend(block.how.clone());
    parts.extend(block.steps.iter().cloned());
    parts.join(" ").replace('\u{a0}', " ")
}

fn nobody(state: &State) -> State {
    state.clone()
}

/// What nobody may read beside a hold of the hands.
fn against(support: Support) -> &'static [&'static str] {
    match support {
        Support::TwoHands => &["one hand", "cross your arms", "fingertips", "no hands"],
        Support::OneHand => &[
            "both hands",
            "cross your arms",
            "fingertips",
            "your hands on",
        ],
        Support::Fingertips => &[
            "both hands",
            "one hand",
            "cross your arms",
            "your hands on",
            "hold on",
        ],
        Support::None => &[
            "both hands",
            "one hand",
            "fingertips",
            "hold on",
            "hands on",
        ],
    }
}

fn contradiction(text: &str, support: Support) -> Option<&'static str> {
    let text = text.to_lowercase();
    against(support)
        .iter()
        .copied()
        .find(|words| text.contains(words))
}

#[test]
fn no_step_names_other_hands_than_the_dose() {
    let mut found = Found::default();
    let holds = [
        ("Hold on with both hands.", Support::TwoHands),
        ("Hold on with one hand.", Support::OneHand),
        ("Touch with your fingertips only.", Support::Fingertips),
        ("No hands. Have something firm close by.", Support::None),
    ];
    for world in world::all() {
        let touched = ["condition", "flag", "came with", "nothing"];
        let changes = changes(&world);
        let changes = changes.iter();
        for change in changes.filter(|own| touched.iter().any(|word| own.name.starts_with(word))) {
            sheets(&world, change, nobody, |who, _, handout| {
                found.read += 1;
                for block in &handout.blocks {
                    let lines = &block.dose.lines;
                    let hold = holds.iter().find(|(line, _)| {
                        lines.iter().any(|own| own.replace('\u{a0}', " ") == *line)
                    });
                    let Some((line, support)) = hold else {
                        continue;
                    };
                    if let Some(words) = contradiction(&said(block), *support) {
                        found.tell(
                            format!("{}: \"{words}\" beside \"{line}\"", block.name),
                            who,
                        );
                    }
                }
            });
        }
    }
    found.done(700);
}

#[test]
fn no_rung_is_worded_for_other_hands_than_its_own_or_firmer_ones() {
    let mut wrong = Vec::new();
    for world in world::all() {
        let nothing = banister::domain::fact::Facts(BTreeMap::new());
        let person = banister::domain::fitted::Person {
            facts: &nothing,
            conditions: Recorded::NotRecorded,
            flags: BTreeSet::new(),
        };
        for exercise in world.library.exercises.values() {
            for rung in &exercise.rungs {
                let Some(own) = rung.support else { continue };
                let slots = &world.library.procedure.settings.default_slots;
                let mut dose = read::issued(exercise, rung, slots).dose;
                let firmer = Support::ALL.iter().filter(|support| **support <= own);
                // Where a way goes with a hold, a firmer hold changes the way with it.
                let tried = firmer.filter(|support| **support == own || exercise.hands.is_empty());
                for support in tried {
                    dose.support = Some(*support);
                    let words = exercise.words["en"].fitted_to(&person, &dose);
                    let how = rung.how.as_ref().map_or("", |how| &words.how[how]);
                    let text = format!("{} {how} {}", words.set_up, words.steps.join(" "));
                    if let Some(said) = contradiction(&text, *support) {
                        wrong.push(format!(
                            "{} {} {}: \"{said}\" in \"{text}\"",
                            exercise.id,
                            rung.id,
                            support.as_str()
                        ));
                    }
                }
            }
        }
    }
    wrong.dedup();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn named<'a>(handout: &'a Handout, name: &str) -> Option<&'a Block> {
    handout.daily.iter().find(|block| block.name == name)
}

#[test]
fn walking_and_stairs_name_the_aid_in_use_and_no_other() {
    let mut found = Found::default();
    // The aid, what walking and stairs must say, and what no line may.
    let table: [(&str, &str, &str, &[&str]); 5] = [
        (
            "frame",
            "frame",
            "frame",
            &["stick in", "Both crutches", "two sticks. Limping"],
        ),
        (
            "two-crutches",
            "both crutches",
            "Both crutches",
            &["frame", "stick in"],
        ),
        (
            "two-sticks",
            "both sticks",
            "Both sticks",
            &["frame", "crutch", "one stick in your"],
        ),
        (
            "one-stick",
            "stick",
            "stick in the",
            &["frame", "crutch", "two sticks"],
        ),
        (
            "none",
            "firm shoes",
            "Hold the rail",
            &[
                "Use your walking aid",
                "Move the aid first",
                "your stick",
                "frame",
                "crutch",
                "rubber ends",
            ],
        ),
    ];
    for world in world::all() {
        for change in changes(&world) {
            let row = table
                .iter()
                .find(|(aid, ..)| change.name == format!("aid {aid}"));
            let Some((_, walks, climbs, never)) = row else {
                continue;
            };
            sheets(&world, &change, nobody, |who, day, handout| {
                found.read += 1;
                let text = all(handout);
                let mut told = |what: String| found.tell(what, who);
                if text.contains("walking aid, if you have one") {
                    told("asks whether there is an aid".to_owned());
                }
                if day < 0 {
                    return;
                }
                for words in never.iter().filter(|words| text.contains(**words)) {
                    let at = text.find(*words).unwrap();
                    let near: String = text[at.saturating_sub(60)..].chars().take(110).collect();
                    told(format!("says \"{words}\": {near}"));
                }
                for (name, must) in [("Walk", walks), ("Stairs", climbs)] {
                    let Some(block) = named(handout, name) else {
                        continue;
                    };
                    if !said(block).to_lowercase().contains(&must.to_lowercase()) {
                        told(format!("{name} does not say \"{must}\": {}", said(block)));
                    }
                }
            });
        }
    }
    found.done(100);
}

#[test]
fn a_weak_heart_never_lies_flat() {
    let mut found = Found::default();
    for world in world::all() {
        let changes = changes(&world);
        let heart = changes.iter().find(|own| own.about == "condition heart");
        sheets(&world, heart.unwrap(), nobody, |who, _, handout| {
            found.read += 1;
            let text = all(handout);
            for words in [
                "Lie flat",
                "above your heart",
                "Lie on your back, legs straight",
            ] {
                if text.contains(words) {
                    found.tell(format!("says \"{words}\""), who);
                }
            }
            for block in &handout.blocks {
                let said = said(block);
                let flat = said.contains("Lie on your") && !said.contains("side");
                if flat && !said.contains("propped") {
                    found.tell(format!("{} lies flat: {said}", block.name), who);
                }
            }
        });
    }
    found.done(20);
}

/// What may speak of cold where cold is barred: signs of a bad foot, and that there is none.
const COLD_BUT_NO_CURE: [&str; 8] = [
    "do not use cold packs",
    "no cold packs",
    "no cold pack",
    "a cold, white or blue foot",
    "cold, white or blue",
    "foot cold or painful",
    "toes cold, blue",
    "caught cold",
];

#[test]
fn where_cold_is_barred_no_line_asks_for_it() {
    let mut found = Found::default();
    let barred = [
        "condition cold-sensitivity",
        "condition circulation",
        "condition numb-feet",
        "condition memory",
        "block",
    ];
    for world in world::all() {
        let changes = changes(&world);
        let alone = changes
            .iter()
            .find(|own| own.name == "a home without helper")
            .unwrap();
        for change in changes
            .iter()
            .filter(|own| barred.contains(&own.about.as_str()))
        {
            // With somebody who keeps the time, poor memory bars nothing.
            sheets(
                &world,
                change,
                |state| alone.of(state),
                |who, day, handout| {
                    if change.about == "block" && !(0..4).contains(&day) {
                        return;
                    }
                    found.read += 1;
                    let mut text = all(handout).to_lowercase();
                    for allowed in COLD_BUT_NO_CURE {
                        text = text.replace(allowed, "");
                    }
                    for words in ["cold", "frozen peas"] {
                        if let Some(at) = text.find(words) {
                            let near: String =
                                text[at.saturating_sub(40)..].chars().take(90).collect();
                            found.tell(format!("speaks of {words}: {near}"), who);
                        }
                    }
                },
            );
        }
    }
    found.done(60);
}

#[test]
fn where_cold_is_allowed_it_is_still_there() {
    for world in world::all() {
        let changes = changes(&world);
        let phrases = banister::files::words::load("en").unwrap();
        for name in ["nothing else", "condition memory "] {
            let change = changes.iter().find(|own| own.name == name).unwrap();
            let state = change.of(&usual(&world, 3));
            let text = all(&handout(&world, &state, &phrases).unwrap());
            assert!(text.contains("cold pack"), "{} {name}", world.name);
            assert!(
                text.contains("Rest more. Use cold"),
                "{} {name}",
                world.name
            );
        }
    }
}

#[test]
fn both_knees_have_no_other_leg_to_lean_on() {
    let mut found = Found::default();
    let worlds = world::all();
    let both = worlds
        .iter()
        .find(|world| world.name == "knee-both")
        .unwrap();
    for change in changes(both) {
        sheets(both, &change, nobody, |who, _, handout| {
            found.read += 1;
            let text = all(handout).to_lowercase();
            for words in [
                "other leg",
                "other knee",
                "other foot",
                "good leg",
                "good knee",
                "new knee ",
            ] {
                if let Some(at) = text.find(words) {
                    let near: String = text[at.saturating_sub(50)..].chars().take(90).collect();
                    found.tell(format!("says \"{words}\": {near}"), who);
                }
            }
        });
    }
    found.done(300);
}

#[test]
fn nobody_of_poor_memory_goes_up_unseen() {
    let mut found = Found::default();
    for world in world::all() {
        let changes = changes(&world);
        let memory = changes
            .iter()
            .find(|own| own.about == "condition memory")
            .unwrap();
        let aids = changes.iter().filter(|own| own.about == "aid");
        for aid in aids {
            for next in ["28", "\"none\""] {
                let further = |state: &State| aid.of(state).with(Table::Visit, NEXT_IN, next);
                sheets(&world, memory, further, |who, _, handout| {
                    found.read += 1;
                    let text = all(handout);
                    let going_up = [
                        "if this feels easy",
                        "You go up",
                        "All ticked?",
                        "Try one indoors",
                        "Try none indoors",
                    ];
                    for words in going_up.iter().filter(|words| text.contains(**words)) {
                        found.tell(format!("says \"{words}\""), who);
                    }
                });
            }
        }
    }
    found.done(100);
}

#[test]
fn nobody_without_pain_medicine_reads_of_it() {
    let mut found = Found::default();
    for world in world::all() {
        let changes = changes(&world);
        let find = |name: &str| changes.iter().find(|own| own.name == name).unwrap();
        let other = find("nothing else");
        for (change, takes) in [(find("pain medicine none"), false), (other, true)] {
            sheets(&world, change, nobody, |who, day, handout| {
                found.read += 1;
                let text = all(handout).to_lowercase();
                // Those of another illness, and those the hospital asks about, are not for pain.
                let text = text
                    .replace("new tablets", "")
                    .replace("do not stop the medicine", "");
                let spoken = ["medicine", "tablets", "after a dose"];
                let spoken = spoken.iter().find(|words| text.contains(**words));
                match spoken {
                    Some(words) if !takes => {
                        let at = text.find(*words).unwrap();
                        let near: String = text[at.saturating_sub(50)..].chars().take(90).collect();
                        found.tell(format!("speaks of {words}: {near}"), who);
                    }
                    None if takes && day < 42 => found.tell("says nothing of it".to_owned(), who),
                    Some(_) | None => {}
                }
            });
        }
    }
    found.done(40);
}

#[test]
fn a_first_sheet_compares_with_nothing_before_it() {
    let mut found = Found::default();
    for world in world::all() {
        for change in changes(&world) {
            let first = change.about == "nothing" || change.about == "next visit";
            if !first {
                continue;
            }
            sheets(&world, &change, nobody, |who, day, handout| {
                found.read += 1;
                let text = all(handout).to_lowercase();
                let mut before = vec!["last sheet", "last time", "than before your last"];
                if (0..7).contains(&day) {
                    before.extend(["last week", "a month ago"]);
                }
                for words in before.iter().filter(|words| text.contains(**words)) {
                    found.tell(format!("says \"{words}\""), who);
                }
            });
        }
    }
    found.done(100);
}
