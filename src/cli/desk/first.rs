//! The questions of a discharge: chart, chair, bed, standing, home.

use chrono::NaiveDate;

use crate::domain::ids::Id;
use crate::domain::quantity::{Centimetres, DayMinutes, Degrees, Frailty, Quantity, Years};
use crate::domain::record::{Order, OrderValue};
use crate::domain::word::{Optional, Position, PrintNeed, Side, Slot, WeightBearing, Word, YesNo};

use super::asked::{BLOCK, BY, CLEARED, EXTENSION, FLEXION, LAG, LEG_LIFT, NEXT, PAIN, PAIN_REST};
use super::asked::{SCREEN, WALKS};
use super::dates::Lean;
use super::kind::{Choice, Kind};
use super::question::{Ask, Fallback, Group, Question, always, one_of, words, yes_or_no};
use super::scene::Scene;

/// Every question of `intake`, in the order asked.
pub const QUESTIONS: &[Question] = &[
    BY,
    TOKEN,
    SIDE,
    SIDE_AGAIN,
    OPERATION,
    SURGEON,
    ORDERED,
    BEARING,
    BEARING_UNTIL,
    CAP,
    CAP_UNTIL,
    EXTENSION_UNTIL,
    BRACE_UNTIL,
    COMPRESSION_UNTIL,
    ORDER_BY,
    ORDER_DOCUMENT,
    AGE,
    HEIGHT,
    SCREEN,
    CLEARED,
    CONDITIONS,
    FRAILTY,
    PAIN_REST,
    PAIN,
    FLEXION,
    EXTENSION,
    LEG_LIFT,
    LAG,
    BLOCK,
    WALKS,
    STAIRS,
    STAIRS_PRACTISED,
    AT_HOME,
    ALONE,
    FLOOR,
    SLOTS,
    MINUTES,
    GOAL,
    NEXT,
    NEEDS,
];

const TOKEN: Question = Question {
    group: Group::Chart,
    flags: &["token"],
    when: always,
    ask: |scene| {
        let ask = Ask::new("Record number (never a name)", Kind::Line { flag: "token" }).must();
        ask.or(&scene.near.next_token)
    },
};

const SIDE: Question = Question {
    group: Group::Chart,
    flags: &["side"],
    when: always,
    ask: |_| {
        let sides = words::<Side>("side");
        let one: Vec<Choice> = sides
            .into_iter()
            .filter(|choice| choice.word != Side::Both.as_str())
            .collect();
        one_of("Operated side", one).must()
    },
};

const SIDE_AGAIN: Question = Question {
    group: Group::Chart,
    flags: &[".side-again"],
    when: |scene| !scene.answers.was_given("side"),
    ask: |scene| {
        let word = scene.said("side").unwrap_or_default().to_owned();
        let part = scene.library.procedure.joint;
        Ask::new(
            &format!("The {word} {part}. The side once more, in full"),
            Kind::Again { word },
        )
        .must()
    },
};

const OPERATION: Question = Question {
    group: Group::Chart,
    flags: &["operation"],
    when: always,
    ask: |_| {
        let kind = Kind::Date {
            flag: "operation",
            lean: Lean::Past,
            words: &[],
        };
        Ask::new("Day of the operation (2 mar, or -2)", kind)
            .must()
            .check(|scene, operation| {
                let later = operation
                    .parse::<NaiveDate>()
                    .is_ok_and(|operation| operation > scene.date);
                if later {
                    return Err(
                        "the operation lies after this visit; there is no program for the \
                                days before it yet"
                            .to_owned(),
                    );
                }
                Ok(())
            })
    },
};

const SURGEON: Question = Question {
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
    let first = choices.first().map(|choice| choice.word.clone());
    choices.push(Choice {
        flag: ".other-surgeon",
        word: "other".to_owned(),
        shown: "other: nobody's standing orders count; each order is typed".to_owned(),
    });
    let known = |name: &String| choices.iter().any(|choice| choice.word == *name);
    let last = scene.near.surgeon.clone().filter(known).or(first);
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
    ("weight-bearing", "weight bearing"),
    ("flexion-cap", "bend limit in degrees"),
    ("no-active-extension", "no active straightening"),
    ("brace-locked", "brace locked straight"),
    ("compression", "compression stockings"),
];

const ORDERED: Question = Question {
    group: Group::Chart,
    flags: &[".ordered"],
    when: |scene| !scene.answers.was_given("order"),
    ask: |scene| {
        let choices: Vec<Choice> = KINDS
            .iter()
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
        let list: Vec<String> = (1_usize..)
            .zip(&choices)
            .map(|(n, choice)| format!("{n} {}", choice.shown))
            .collect();
        ask.below(vec![super::ask::wrapped(&list.join("; "))])
    },
};

fn ordered(scene: &Scene<'_>, kind: &str) -> bool {
    scene
        .said(".ordered")
        .is_some_and(|kinds| kinds.split(',').any(|ordered| ordered == kind))
}

const BEARING: Question = Question {
    group: Group::Chart,
    flags: &[".weight-bearing"],
    when: |scene| ordered(scene, "weight-bearing"),
    ask: |_| one_of("Weight bearing", words::<WeightBearing>(".weight-bearing")).must(),
};

const CAP: Question = Question {
    group: Group::Chart,
    flags: &[".flexion-cap"],
    when: |scene| ordered(scene, "flexion-cap"),
    ask: |_| {
        let kind = Kind::Whole {
            flag: ".flexion-cap",
            least: 0,
            most: Degrees::MAX,
            unit: Degrees::MANY,
        };
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

const BEARING_UNTIL: Question = until(
    &[".weight-bearing-until"],
    |scene| ordered(scene, "weight-bearing"),
    |_| until_ask("Weight bearing", ".weight-bearing-until"),
);
const CAP_UNTIL: Question = until(
    &[".flexion-cap-until"],
    |scene| ordered(scene, "flexion-cap"),
    |_| until_ask("Bend limit", ".flexion-cap-until"),
);
const EXTENSION_UNTIL: Question = until(
    &[".no-active-extension-until"],
    |scene| ordered(scene, "no-active-extension"),
    |_| until_ask("No active straightening", ".no-active-extension-until"),
);
const BRACE_UNTIL: Question = until(
    &[".brace-locked-until"],
    |scene| ordered(scene, "brace-locked"),
    |_| until_ask("Brace", ".brace-locked-until"),
);
const COMPRESSION_UNTIL: Question = until(
    &[".compression-until"],
    |scene| ordered(scene, "compression"),
    |_| until_ask("Compression", ".compression-until"),
);

fn anything_ordered(scene: &Scene<'_>) -> bool {
    scene.said(".ordered").is_some_and(|kinds| kinds != "none")
}

const ORDER_BY: Question = Question {
    group: Group::Chart,
    flags: &["order-by"],
    when: anything_ordered,
    ask: |scene| {
        let surgeon = scene.said("surgeon").map(ToOwned::to_owned);
        let ask = Ask::new("Ordered by", Kind::Line { flag: "order-by" }).must();
        ask.or_last(surgeon)
    },
};

const ORDER_DOCUMENT: Question = Question {
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
pub fn put_orders_together(scene: &mut Scene<'_>) {
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

const CONDITIONS: Question = Question {
    group: Group::Chair,
    flags: &["conditions", "positions-no"],
    when: always,
    ask: conditions,
};

fn conditions(scene: &Scene<'_>) -> Ask {
    let known = scene.library.procedure.conditions.iter();
    let mut choices: Vec<Choice> = known
        .map(|(id, name)| Choice {
            flag: "conditions",
            word: id.as_str().to_owned(),
            shown: name.clone(),
        })
        .collect();
    for (position, shown) in [
        (Position::SideLying, "Cannot lie on the side"),
        (Position::Prone, "Cannot lie on the front"),
    ] {
        choices.push(Choice {
            flag: "positions-no",
            word: position.as_str().to_owned(),
            shown: shown.to_owned(),
        });
    }
    Ask::new(
        "Which? none, or numbers such as 2 5",
        Kind::Many(choices.clone()),
    )
    .must()
    .numbered("Other conditions", &choices)
}

const STAIRS: Question = Question {
    group: Group::Standing,
    flags: &["stairs"],
    when: always,
    ask: |_| yes_or_no("Stairs at home", "stairs").or("n"),
};

const STAIRS_PRACTISED: Question = Question {
    group: Group::Standing,
    flags: &["stairs-practised"],
    when: |scene| scene.said_is("stairs", YesNo::Yes.as_str()),
    ask: |_| yes_or_no("Stairs practised here", "stairs-practised").or("n"),
};

const AT_HOME: Question = Question {
    group: Group::Home,
    flags: &["equipment"],
    when: always,
    ask: |scene| {
        let things = &scene.library.procedure.equipment;
        let choices: Vec<Choice> = things
            .iter()
            .map(|thing| Choice {
                flag: "equipment",
                word: thing.id.as_str().to_owned(),
                shown: thing.name.clone(),
            })
            .collect();
        let unusual: Vec<usize> = (1_usize..)
            .zip(things)
            .filter(|(_, thing)| thing.usual == YesNo::No)
            .map(|(n, _)| n)
            .collect();
        let default = super::numbers::written(&unusual);
        let ask = Ask::new(
            "What is missing? none, or numbers",
            Kind::Missing(choices.clone()),
        );
        ask.or(&default).numbered("At home", &choices)
    },
};

const ALONE: Question = Question {
    group: Group::Home,
    flags: &["alone"],
    when: |scene| scene.depth == super::scene::Depth::Full,
    ask: |_| yes_or_no("Lives alone", "alone"),
};

const FLOOR: Question = Question {
    group: Group::Home,
    flags: &["floor-safe"],
    when: |scene| scene.also(Optional::FloorSafe),
    ask: |_| yes_or_no("Gets to the floor and up safely", "floor-safe"),
};

const AGE: Question = Question {
    group: Group::Chart,
    flags: &["age"],
    when: |scene| scene.also(Optional::Age),
    ask: |_| Ask::new("Age at operation", Kind::whole::<Years>("age")),
};

const HEIGHT: Question = Question {
    group: Group::Chart,
    flags: &["height-cm"],
    when: |scene| scene.also(Optional::HeightCm),
    ask: |_| Ask::new("Height, cm", Kind::whole::<Centimetres>("height-cm")),
};

const FRAILTY: Question = Question {
    group: Group::Chair,
    flags: &["frailty"],
    when: |scene| scene.also(Optional::Frailty),
    ask: |_| {
        let kind = Kind::whole::<Frailty>("frailty");
        Ask::new("Frailty as you judge it, 1 to 9", kind)
    },
};

const SLOTS: Question = Question {
    group: Group::Home,
    flags: &["slots"],
    when: |scene| scene.also(Optional::Slots),
    ask: |_| {
        let choices = words::<Slot>("slots");
        Ask::new(
            "Times of day that suit them, numbers",
            Kind::Many(choices.clone()),
        )
        .numbered("Times of day", &choices)
    },
};

const MINUTES: Question = Question {
    group: Group::Home,
    flags: &["minutes"],
    when: |scene| scene.also(Optional::Minutes) && scene.said("slots").is_some(),
    ask: |_| {
        let kind = Kind::whole::<DayMinutes>("minutes");
        Ask::new("Minutes of exercise a day they will give", kind)
    },
};

const GOAL: Question = Question {
    group: Group::Home,
    flags: &["goal"],
    when: |scene| scene.also(Optional::Goal),
    ask: |_| {
        Ask::new(
            "Their own goal, in their words",
            Kind::Line { flag: "goal" },
        )
    },
};

const NEEDS: Question = Question {
    group: Group::Home,
    flags: &["needs"],
    when: always,
    ask: |_| {
        let choices = words::<PrintNeed>("needs");
        let list: Vec<String> = (1_usize..)
            .zip(&choices)
            .map(|(n, choice)| format!("{n} {}", choice.shown))
            .collect();
        let mut ask = Ask::new("Print needs, none or numbers", Kind::Many(choices)).or("none");
        ask.list = Some(list.join(", "));
        ask
    },
};
