//! Questions about orders: whose standing orders count, and what is ordered otherwise.
//!
//! What is not ordered is never assumed; an end nobody knows is asked of the surgeon.

use crate::domain::ids::Id;
use crate::domain::order_kind::{FLEXION_CAP, NOT_ORDERED, WEIGHT_BEARING};
use crate::domain::quantity::{Degrees, Quantity};
use crate::domain::record::{Order, OrderValue};
use crate::domain::word::{WeightBearing, Word};

use crate::files::record::NewCap;

use super::asked::after_operation;
use super::dates::Lean;
use super::kind::{Choice, Kind};
use super::question::{Ask, Fallback, Group, Question, always, one_of, words};
use super::scene::Scene;

/// Whose standing orders count.
pub const SURGEON: Question = Question {
    group: Group::Chart,
    flags: &["surgeon", ".other-surgeon"],
    when: always,
    ask: surgeon,
};

fn surgeon(scene: &Scene<'_>) -> Ask {
    let sets = scene.library.clinic.standing_orders.iter();
    let sets = sets.filter(|set| set.procedure == scene.library.procedure.id);
    let mut choices: Vec<Choice> = sets
        .map(|set| Choice {
            flag: "surgeon",
            word: set.surgeon.to_string(),
            shown: format!("{}: {}", set.surgeon, standing(&set.orders)),
        })
        .collect();
    choices.push(Choice {
        flag: ".other-surgeon",
        word: "other".to_owned(),
        shown: "other: nobody's standing orders count; each order is typed".to_owned(),
    });
    let known = |name: &String| choices.iter().any(|choice| choice.word == *name);
    let last = scene.near.surgeon.clone().filter(known);
    Ask::new("Standing orders of", Kind::One(choices.clone()))
        .must()
        .or_last(last)
        .numbered("Surgeons with standing orders here", &choices)
}

/// Says what a set of standing orders holds, and that what it does not hold is not ordered.
fn standing(orders: &[(crate::domain::time::Window, Order)]) -> String {
    let said: Vec<String> = orders
        .iter()
        .map(|(window, order)| {
            let what = match &order.value {
                OrderValue::WeightBearing(bearing) => {
                    format!("weight bearing {}", bearing.as_str().replace('-', " "))
                }
                OrderValue::Degrees(degrees) => format!("bend limit {}", degrees.get()),
                OrderValue::Stands => order.what.as_str().replace('-', " "),
                OrderValue::NotOrdered => {
                    format!("{} not ordered", order.what.as_str().replace('-', " "))
                }
            };
            let days = window.before.map_or(String::new(), |before| {
                format!(" before day {}", before.get())
            });
            format!("{what}{days}")
        })
        .collect();
    let capped = orders
        .iter()
        .any(|(_, order)| matches!(order.value, OrderValue::Degrees(_)));
    let rest = if capped { "" } else { ", no bend limit" };
    format!("{}{rest}", said.join(", "))
}

/// Kinds of orders that may be typed here, and how they read.
const KINDS: [(&str, &str); 5] = [
    (WEIGHT_BEARING, "weight bearing"),
    (FLEXION_CAP, "bend limit in degrees"),
    ("no-active-extension", "no active straightening"),
    ("brace-locked", "brace locked straight"),
    ("compression", "compression stockings"),
];

/// What is ordered otherwise.
pub const ORDERED: Question = Question {
    group: Group::Chart,
    flags: &[".ordered"],
    when: |scene| !scene.answers.was_given("order") && after_operation(scene),
    ask: |scene| {
        let acted_on = scene.library.procedure.order_kinds();
        let kinds = KINDS
            .iter()
            .filter(|(word, _)| acted_on.contains(word) && !needed(scene, word))
            .map(|(word, shown)| ((*word).to_owned(), (*shown).to_owned()));
        let procedure = &scene.library.procedure;
        let usual = procedure.default_profile.as_ref();
        let profiles = procedure.profiles.iter();
        let others = profiles.filter(|profile| usual != Some(&profile.id));
        let others = others.map(|profile| {
            let shown = format!("{}: {}", profile.id, profile.name);
            (profile.id.to_string(), shown)
        });
        let others: Vec<(String, String)> = others.collect();
        let profiles = others.len();
        let choices = kinds.chain(others).map(|(word, shown)| Choice {
            flag: ".ordered",
            word,
            shown,
        });
        let choices: Vec<Choice> = choices.collect();
        let all_asked = needed(scene, WEIGHT_BEARING);
        let default = if scene.said(".other-surgeon").is_some() && !all_asked {
            "1"
        } else {
            "none"
        };
        let ask = Ask::new(
            "Anything ordered otherwise? none, or numbers",
            Kind::Many(choices.clone()),
        )
        .must()
        .or(default);
        let list = |from: usize, to: usize| {
            let part = (1_usize..).zip(&choices);
            let part = part.filter(|(n, _)| (from..=to).contains(n));
            let part: Vec<String> = part
                .map(|(n, choice)| format!("{n} {}", choice.shown))
                .collect();
            format!("  {}", part.join(", "))
        };
        // Kinds stand three in a line; a profile says more and has a line of its own.
        let kinds = choices.len().saturating_sub(profiles);
        let short = (1..=kinds).step_by(3);
        let short = short.map(|first| list(first, first.saturating_add(2).min(kinds)));
        let long = (1..=choices.len()).skip(kinds).map(|own| list(own, own));
        ask.below(short.chain(long).collect())
    },
};

fn ordered(scene: &Scene<'_>, kind: &str) -> bool {
    scene
        .said(".ordered")
        .is_some_and(|kinds| kinds.split(',').any(|ordered| ordered == kind))
        || scene.said_is(&said_flag(kind), ORDERED_WORD)
}

/// Says whether the operation hangs on an answer to a kind of order.
fn needed(scene: &Scene<'_>, kind: &str) -> bool {
    scene.library.procedure.needs_order(kind)
}

/// What is answered when a needed kind is ordered.
const ORDERED_WORD: &str = "ordered";
/// What is answered when nobody knows yet: the surgical team is asked.
const NOT_KNOWN: &str = "not-known";

/// Names the answer to whether a needed kind is ordered at all.
fn said_flag(kind: &str) -> String {
    format!(".{kind}-said")
}

/// Asks whether a needed kind is ordered; there is no default, and "not known" is an answer.
fn whether(words: &str, flag: &'static str, no: &str) -> Ask {
    let choice = |word: &str, shown: &str| Choice {
        flag,
        word: word.to_owned(),
        shown: shown.to_owned(),
    };
    let choices = vec![
        choice(ORDERED_WORD, "ordered"),
        choice(NOT_ORDERED, no),
        choice(NOT_KNOWN, "not known: ask the surgeon"),
    ];
    one_of(words, choices).must()
}

fn asked_whether(scene: &Scene<'_>, kind: &str) -> bool {
    needed(scene, kind) && !scene.answers.was_given("order")
}

/// Whether what the leg may bear is known, where the operation hangs on it.
pub const BEARING_SAID: Question = Question {
    group: Group::Chart,
    flags: &[".weight-bearing-said"],
    when: |scene| asked_whether(scene, WEIGHT_BEARING),
    ask: |_| {
        let flag = ".weight-bearing-said";
        let choices = [
            (ORDERED_WORD, "ordered"),
            (NOT_KNOWN, "not known: ask the surgeon"),
        ];
        let choices = choices.map(|(word, shown)| Choice {
            flag,
            word: word.to_owned(),
            shown: shown.to_owned(),
        });
        one_of("Weight bearing", choices.to_vec()).must()
    },
};
/// Whether there is a bend limit, where the operation hangs on it.
pub const CAP_SAID: Question = Question {
    group: Group::Chart,
    flags: &[".flexion-cap-said"],
    when: |scene| asked_whether(scene, FLEXION_CAP),
    ask: |_| whether("Bend limit", ".flexion-cap-said", "no limit"),
};
/// Whether active straightening is barred, where the operation hangs on it.
pub const EXTENSION_SAID: Question = Question {
    group: Group::Chart,
    flags: &[".no-active-extension-said"],
    when: |scene| asked_whether(scene, "no-active-extension"),
    ask: |_| {
        whether(
            "No active straightening",
            ".no-active-extension-said",
            "allowed",
        )
    },
};
/// Whether a brace is worn, where the operation hangs on it.
pub const BRACE_SAID: Question = Question {
    group: Group::Chart,
    flags: &[".brace-locked-said"],
    when: |scene| asked_whether(scene, "brace-locked"),
    ask: |_| whether("Brace locked straight", ".brace-locked-said", "no brace"),
};

/// How much the leg may bear.
pub const BEARING: Question = Question {
    group: Group::Chart,
    flags: &[".weight-bearing"],
    when: |scene| ordered(scene, "weight-bearing"),
    ask: |_| one_of("Weight bearing", words::<WeightBearing>(".weight-bearing")).must(),
};

/// How far the joint may bend.
pub const CAP: Question = Question {
    group: Group::Chart,
    flags: &[".flexion-cap"],
    when: |scene| ordered(scene, "flexion-cap"),
    ask: |_| {
        let kind = Kind::between(".flexion-cap", NewCap::ENDS, Degrees::MANY);
        Ask::new("Bend no further than, degrees", kind).must()
    },
};

/// Until when an order stands.
const fn until(
    flags: &'static [&'static str],
    when: fn(&Scene<'_>) -> bool,
    ask: fn(&Scene<'_>) -> Ask,
) -> Question {
    Question {
        group: Group::Chart,
        flags,
        when,
        ask,
    }
}

fn until_ask(words: &str, flag: &'static str) -> Ask {
    let kind = Kind::Date {
        flag,
        lean: Lean::Future,
        words: &["asked", "open"],
    };
    let words = format!("{words} until: a date, asked or open");
    let mut ask = Ask::new(&words, kind);
    ask.fallback = Fallback::Typed("asked".to_owned(), "asked of the surgeon".to_owned());
    ask
}

/// Until when the weight-bearing order stands.
pub const BEARING_UNTIL: Question = until(
    &[".weight-bearing-until"],
    |scene| ordered(scene, "weight-bearing"),
    |_| until_ask("Weight bearing", ".weight-bearing-until"),
);
/// Until when the bend limit stands.
pub const CAP_UNTIL: Question = until(
    &[".flexion-cap-until"],
    |scene| ordered(scene, "flexion-cap"),
    |_| until_ask("Bend limit", ".flexion-cap-until"),
);
/// Until when there is no active straightening.
pub const EXTENSION_UNTIL: Question = until(
    &[".no-active-extension-until"],
    |scene| ordered(scene, "no-active-extension"),
    |_| until_ask("No active straightening", ".no-active-extension-until"),
);
/// Until when the brace is worn.
pub const BRACE_UNTIL: Question = until(
    &[".brace-locked-until"],
    |scene| ordered(scene, "brace-locked"),
    |_| until_ask("Brace", ".brace-locked-until"),
);
/// Until when compression is worn.
pub const COMPRESSION_UNTIL: Question = until(
    &[".compression-until"],
    |scene| ordered(scene, "compression"),
    |_| until_ask("Compression", ".compression-until"),
);

fn anything_ordered(scene: &Scene<'_>) -> bool {
    let answered = |kind: &str| {
        let said = scene.said(&said_flag(kind));
        said.is_some_and(|word| word != NOT_KNOWN)
    };
    scene.said(".ordered").is_some_and(|kinds| kinds != "none")
        || KINDS.iter().any(|(kind, _)| answered(kind))
}

/// Who ordered it.
pub const ORDER_BY: Question = Question {
    group: Group::Chart,
    flags: &["order-by"],
    when: anything_ordered,
    ask: |scene| {
        let surgeon = scene.said("surgeon").map(ToOwned::to_owned);
        let ask = Ask::new("Ordered by", Kind::Line { flag: "order-by" }).must();
        ask.or_last(surgeon)
    },
};

/// In which document it stands.
pub const ORDER_DOCUMENT: Question = Question {
    group: Group::Chart,
    flags: &["order-document"],
    when: anything_ordered,
    ask: |_| {
        let flag = "order-document";
        let ask = Ask::new("Stands in which document", Kind::Line { flag }).must();
        ask.or("operation note")
    },
};

/// Puts the answers about orders together into what `--order` takes.
pub fn put_together(scene: &mut Scene<'_>) {
    let kinds = scene.said(".ordered").unwrap_or("none").to_owned();
    let also = KINDS.iter().map(|(kind, _)| *kind);
    let also = also.filter(|kind| scene.said_is(&said_flag(kind), ORDERED_WORD));
    let not = KINDS.iter().map(|(kind, _)| *kind);
    let not = not.filter(|kind| scene.said_is(&said_flag(kind), NOT_ORDERED));
    let not: Vec<String> = not.map(|kind| format!("{kind}={NOT_ORDERED}")).collect();
    let orders: Vec<String> = kinds
        .split(',')
        .filter(|kind| *kind != "none" && !kind.is_empty())
        .chain(also)
        .map(|kind| {
            let value = scene.said(&format!(".{kind}"));
            let value = value.map_or(String::new(), |value| format!("={value}"));
            let until = scene.said(&format!(".{kind}-until")).unwrap_or("open");
            format!("{kind}{value}@{until}")
        })
        .chain(not)
        .collect();
    if !orders.is_empty() {
        scene.answers.add("order", orders.join(","));
    }
}
