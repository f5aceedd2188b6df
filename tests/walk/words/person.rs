//! Words that must not stand on the sheet of some person: what they are, and for whom.

use std::collections::BTreeSet;

use banister::domain::fact::FactValue;
use banister::domain::limit::When;
use banister::domain::recorded::Recorded;
use banister::domain::word::{Fact, ScreenAnswer, Side};

use super::super::check::{Property, Wrong};
use super::super::eyes::Scene;
use super::page::{Line, Page, Place};

/// What a sheet of one kind of person must not say.
pub struct Never {
    pub about: &'static str,
    pub holds: fn(&Scene<'_>) -> bool,
    /// A line that has all the words of one of these; a word that begins with `!` must be missing.
    pub words: &'static [&'static [&'static str]],
}

pub const NEVER: &[Never] = &[
    Never {
        about: "cold is barred",
        holds: cold_is_barred,
        words: &[
            &["use cold", "!do not"],
            &["cold pack", "!do not", "!no cold"],
            &["frozen peas"],
            &["cold, leg up"],
        ],
    },
    Never {
        about: "both legs were operated on",
        holds: |scene| scene.record.episode.side == Side::Both,
        words: &[
            &["other leg"],
            &["other knee"],
            &["good leg"],
            &["other foot"],
            &["other hand"],
        ],
    },
    Never {
        about: "there is no last week",
        holds: |scene| scene.program.day.get() == 0,
        words: &[&["last week"], &["less than before"]],
    },
    Never {
        about: "part of the weight at most",
        holds: |scene| scene.bears_part(),
        words: &[
            &["both legs share"],
            &["share your weight"],
            &["one stick"],
            &["try one"],
            &["no stick"],
            &["no aid", "walk"],
            &["same weight on each leg"],
        ],
    },
    Never {
        about: "the knee gave way, or a fall",
        holds: |scene| narrowed(scene, &["giving-way", "fall", "fall-hurt"]),
        words: &[
            &["stick in your"],
            &["stick in the other"],
            &["walk with no aid"],
            &["try none"],
            &["try one"],
            &["foot over foot"],
            &["one foot on each step"],
            &["stand on one leg"],
            &["no stick"],
        ],
    },
    Never {
        about: "the foot is weak",
        holds: |scene| raised(scene, &["foot"]),
        words: &[
            &["roll under your", "heel"],
            &["foot over foot"],
            &["stand on one leg"],
            &["walk with no aid"],
            &["one foot on each step"],
        ],
    },
    Never {
        about: "the person walks with a frame",
        holds: |scene| aid(scene, &["frame"]),
        words: &[
            &["crutch"],
            &["your stick"],
            &["stick in"],
            &["walk with no aid"],
            &["if you have one"],
        ],
    },
    Never {
        about: "the person walks with no aid",
        holds: |scene| {
            // A rule for the leg, or a knee that gave way, calls for an aid again.
            let needs_one = ["giving-way", "fall", "fall-hurt", "foot"];
            aid(scene, &["none"]) && !scene.bears_part() && !narrowed(scene, &needs_one)
        },
        words: &[
            &["your frame"],
            &["your crutches"],
            &["use your walking aid"],
            &["move the aid"],
        ],
    },
    Never {
        about: "the heart",
        holds: |scene| has(scene, "heart"),
        words: &[&["lie flat"], &["above your heart", "!do not raise"]],
    },
    Never {
        about: "memory",
        holds: |scene| has(scene, "memory"),
        words: &[&["if this feels easy"], &["all ticked?"], &["you go up"]],
    },
    Never {
        about: "the sheet is handed over at the visit",
        holds: |scene| scene.visit.how == banister::domain::word::How::Seen,
        words: &[&["i was told to ring you"]],
    },
];

/// Reads the page for the person.
pub fn fits(scene: &Scene<'_>, page: &Page, wrong: &mut Vec<Wrong>) {
    for never in NEVER.iter().filter(|never| (never.holds)(scene)) {
        for line in page.lines() {
            if never.words.iter().any(|words| says(line, words)) {
                let what = format!("{}: {}", never.about, line.said());
                wrong.push((Property::WordsFit, what));
            }
        }
    }
    hands(scene, page, wrong);
    rests(scene, page, wrong);
    side(scene, page, wrong);
}

/// Says whether one sentence of a line, or the line, has all the words and none of the barred ones.
fn says(line: &Line, words: &[&str]) -> bool {
    let text = line.text.to_lowercase();
    words.iter().all(|word| match word.strip_prefix('!') {
        Some(missing) => !text.contains(missing),
        None => text.contains(word),
    })
}

fn has(scene: &Scene<'_>, condition: &str) -> bool {
    match &scene.visit.patient.conditions {
        Recorded::Yes(all) => all.iter().any(|own| own.to_string() == condition),
        Recorded::NotRecorded => false,
    }
}

fn helped(scene: &Scene<'_>) -> bool {
    match &scene.visit.patient.equipment {
        Recorded::Yes(kit) => kit.iter().any(|thing| thing.to_string() == "helper"),
        Recorded::NotRecorded => false,
    }
}

fn cold_is_barred(scene: &Scene<'_>) -> bool {
    let ill = ["cold-sensitivity", "circulation", "numb-feet"];
    let numb = scene.word_of(Fact::BlockGone).as_deref() == Some("no");
    ill.iter().any(|id| has(scene, id)) || (has(scene, "memory") && !helped(scene)) || numb
}

fn raised(scene: &Scene<'_>, flags: &[&str]) -> bool {
    let Recorded::Yes(screen) = &scene.visit.screen else {
        return false;
    };
    screen.iter().any(|(flag, answer)| {
        *answer == ScreenAnswer::Yes && flags.contains(&flag.to_string().as_str())
    })
}

/// Says whether one of these flags stands, new or known.
fn narrowed(scene: &Scene<'_>, flags: &[&str]) -> bool {
    let Recorded::Yes(screen) = &scene.visit.screen else {
        return false;
    };
    screen.iter().any(|(flag, answer)| {
        *answer != ScreenAnswer::No && flags.contains(&flag.to_string().as_str())
    })
}

fn aid(scene: &Scene<'_>, words: &[&str]) -> bool {
    let found = scene.word_of(Fact::WalkingAid);
    found.is_some_and(|word| words.contains(&word.as_str()))
        && !scene.program.day.is_before_operation()
}

/// A block that asks for hands does not fold them, and one without asks for none.
fn hands(scene: &Scene<'_>, page: &Page, wrong: &mut Vec<Wrong>) {
    use banister::domain::word::Support;
    for (at, item) in scene.program.items.iter().enumerate() {
        let barred: &[&str] = match item.dose.support {
            Some(Support::TwoHands | Support::OneHand) => &["cross your arms", "no hands"],
            Some(Support::None) => &["both hands on", "hold on with", "push up with"],
            Some(Support::Fingertips) | None => &[],
        };
        let next: BTreeSet<_> = item.next.iter().map(|next| next.dose.support).collect();
        for line in page.at(&Place::Block(at)) {
            let text = line.text.to_lowercase();
            let later = text.starts_with("from ") && next.len() == 1;
            if !later && !text.starts_with("from ") && barred.iter().any(|word| text.contains(word))
            {
                let what = format!("hands of {}: {}", item.exercise, line.said());
                wrong.push((Property::WordsFit, what));
            }
        }
    }
}

/// What rests first says so where the day is planned.
fn rests(scene: &Scene<'_>, page: &Page, wrong: &mut Vec<Wrong>) {
    let resting = scene.program.items.iter();
    let resting = resting.filter(|item| item.rests_until.is_some()).count();
    let said = page.at(&Place::Plan).filter(|line| {
        let words = ["not before", "First on", "Not while you use", "only on"];
        words.iter().any(|word| line.text.contains(word))
    });
    if said.count() < resting {
        let what = format!("{resting} rest first, and the day does not say so");
        wrong.push((Property::WordsFit, what));
    }
}

/// What was found and what is limited speaks of the operated side.
fn side(scene: &Scene<'_>, page: &Page, wrong: &mut Vec<Wrong>) {
    let other = match scene.record.episode.side {
        Side::Left => "right",
        Side::Right => "left",
        Side::Both => return,
    };
    for line in page.lines() {
        let of_the_operation = matches!(line.place, Place::Finding | Place::Limit)
            || (line.place == Place::Rule && line.text.to_lowercase().contains("bend"));
        let names = [
            format!("{other} knee"),
            format!("{other} calf"),
            format!("{other} foot"),
        ];
        let text = line.text.to_lowercase();
        // A sore other knee has a rule of its own, which names it.
        let sore = has(scene, "other-knee");
        if of_the_operation && !sore && names.iter().any(|name| text.contains(name)) {
            wrong.push((
                Property::WordsFit,
                format!("the other side: {}", line.said()),
            ));
        }
    }
}

impl Scene<'_> {
    /// A word as the decision found it, carried on from an earlier visit too.
    fn word_of(&self, fact: Fact) -> Option<String> {
        match &self.program.facts.0.get(&fact)?.value {
            FactValue::Word(word) => Some(word.clone()),
            FactValue::Number(_) => None,
        }
    }

    /// Says whether a limit of weight stands on any day of the sheet.
    fn bears_part(&self) -> bool {
        self.limits().iter().any(|stands| {
            matches!(&stands.limit.when, When::Fact(test) if test.fact == Fact::WeightBearing)
        })
    }
}
