//! Questions about orders: whose standing orders count, and what is ordered otherwise.
//!
//! What is not ordered is never assumed; an end nobody knows is asked of the surgeon.

use crate::domain::ids::Id;
use crate::domain::order_kind::{FLEXION_CAP, WEIGHT_BEARING};
use crate::domain::quantity::{Degrees, Quantity};
use crate::domain::record::{Order, OrderValue};
use crate::domain::word::{WeightBearing, Word};

use crate::files::record::Cap;

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
        let choices: Vec<Choice> = KINDS
            .iter()
            .filter(|(word, _)| acted_on.contains(word))
            .map(|(word, shown)| Choice {
                flag: ".ordered",
                word: (*word).to_owned(),
                shown: (*shown).to_owned(),
            })
            .collect();
        let default = if scene.said(".other-surgeon").is_some() {
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
        ask.below(vec![list(1, 3), list(4, choices.len())])
    },
};

fn ordered(scene: &Scene<'_>, kind: &str) -> bool {
    scene
        .said(".ordered")
        .is_some_and(|kinds| kinds.split(',').any(|ordered| ordered == kind))
}

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
        let kind = Kind::between(".flexion-cap", Cap::ENDS, Degrees::MANY);
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
    scene.said(".ordered").is_some_and(|kinds| kinds != "none")
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
    let orders: Vec<String> = kinds
        .split(',')
        .filter(|kind| *kind != "none" && !kind.is_empty())
        .map(|kind| {
            let value = scene.said(&format!(".{kind}"));
            let value = value.map_or(String::new(), |value| format!("={value}"));
            let until = scene.said(&format!(".{kind}-until")).unwrap_or("open");
            format!("{kind}{value}@{until}")
        })
        .collect();
    if !orders.is_empty() {
        scene.answers.add("order", orders.join(","));
    }
}
