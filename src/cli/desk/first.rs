//! The questions of a discharge: chart, chair, bed, standing, home.

use std::collections::BTreeSet;
use std::path::Path;

use chrono::NaiveDate;

use crate::domain::ids::{ConditionId, Id};
use crate::domain::line::is_token;
use crate::domain::procedure::HomeThing;
use crate::domain::quantity::{Centimetres, DayMinutes, Frailty, Quantity, Years};
use crate::domain::recorded::Recorded;
use crate::domain::time::{Day, OperationDate};
use crate::domain::word::{Operates, Optional, PrintNeed, Side, Slot, Word, YesNo};

use super::super::file_name::refused;
use super::super::person::frailty_unnamed;
use super::asked::{BLOCK, BY, CLEARED, EXTENSION, FLEXION, LAG, LEG_LIFT, NEXT, PAIN, PAIN_REST};
use super::asked::{CONDITIONS, SCREEN, WALKS};
use super::dates::Lean;
use super::kind::{Choice, Kind};
use super::orders::{
    BEARING, BEARING_SAID, BEARING_UNTIL, BRACE_SAID, BRACE_UNTIL, CAP, CAP_SAID, CAP_UNTIL,
    COMPRESSION_UNTIL, EXTENSION_SAID, EXTENSION_UNTIL, ORDER_BY, ORDER_DOCUMENT, ORDERED, SURGEON,
};
use super::question::{Ask, Group, Question, always, one_of, words, yes_or_no};
use super::scene::Scene;

/// Every question of `intake`, in the order asked.
pub const QUESTIONS: &[Question] = &[
    TOKEN,
    BY,
    SIDE,
    SIDE_AGAIN,
    OPERATION,
    SURGEON,
    BEARING_SAID,
    CAP_SAID,
    EXTENSION_SAID,
    BRACE_SAID,
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
    MEDICINE,
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
        ask.or(&scene.near.next_token).check(|scene, token| {
            if scene.near.tokens.contains(token) {
                return Err(format!(
                    "{token} is the number of another record; {} is free",
                    scene.near.next_token
                ));
            }
            number(token)
        })
    },
};

/// Says what a record number may be: what the record's file takes, and no name.
fn number(token: &str) -> Result<(), String> {
    if !is_token(token) {
        return Err(
            "a record number has letters, digits and hyphens, and is never a name or a birth date"
                .to_owned(),
        );
    }
    if token.parse::<NaiveDate>().is_ok() {
        return Err("a date could be a birth date; take a counted number".to_owned());
    }
    match refused(Path::new(&format!("{token}.toml"))) {
        Some(why) => Err(why),
        None => Ok(()),
    }
}

const SIDE: Question = Question {
    group: Group::Chart,
    flags: &["side"],
    when: always,
    ask: |scene| {
        let both = scene.library.procedure.operates == Operates::Both;
        let sides = words::<Side>("side");
        let fit: Vec<Choice> = sides
            .into_iter()
            .filter(|choice| (choice.word == Side::Both.as_str()) == both)
            .collect();
        one_of("Operated side", fit).must()
    },
};

const SIDE_AGAIN: Question = Question {
    group: Group::Chart,
    flags: &[".side-again"],
    when: |scene| !scene.answers.was_given("side") && !scene.said_is("side", "both"),
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
            lean: Lean::Nearest,
            words: &[],
        };
        Ask::new("Day of the operation (2 mar, -2, or +20 if ahead)", kind)
            .must()
            .check(|scene, operation| {
                let first = scene.library.procedure.first_day();
                let Ok(operation) = operation.parse::<NaiveDate>() else {
                    return Ok(());
                };
                let day = Day::of(OperationDate(operation), scene.date);
                if day < first {
                    return Err(format!(
                        "the operation is {} days ahead; the library begins {} days before it",
                        day.get().saturating_neg(),
                        first.get().saturating_neg()
                    ));
                }
                Ok(())
            })
    },
};

const STAIRS: Question = Question {
    group: Group::Standing,
    flags: &["stairs"],
    when: always,
    ask: |_| yes_or_no("Stairs at home", "stairs"),
};

const STAIRS_PRACTISED: Question = Question {
    group: Group::Standing,
    flags: &["stairs-practised"],
    when: |scene| scene.said_is("stairs", YesNo::Yes.as_str()),
    ask: |_| yes_or_no("Stairs practised here", "stairs-practised"),
};

const AT_HOME: Question = Question {
    group: Group::Home,
    flags: &["equipment"],
    when: always,
    ask: |scene| {
        let things = &scene.library.procedure.equipment;
        let of = |usual: YesNo| -> Vec<Choice> {
            let things = things.iter().filter(|thing| thing.usual == usual);
            let choice = |thing: &HomeThing| Choice {
                flag: "equipment",
                word: thing.id.as_str().to_owned(),
                shown: thing.name.clone(),
            };
            things.map(choice).collect()
        };
        let (usual, besides) = (of(YesNo::Yes), of(YesNo::No));
        let first = usual.len().saturating_add(1);
        let kind = Kind::Home {
            usual: usual.clone(),
            besides: besides.clone(),
        };
        Ask::new("Missing? numbers; + before what is there besides", kind)
            .or("none")
            .numbered("Most homes have", &usual)
            .numbered_from(first, "Few homes have", &besides)
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
        Ask::new("Frailty as you judge it, 1 to 9", kind).check(frailty_fits)
    },
};

/// Holds a judged frailty against the other illnesses that were named just before.
fn frailty_fits(scene: &Scene<'_>, judged: &str) -> Result<(), String> {
    let judged = judged.parse().ok().and_then(|all| Frailty::new(all).ok());
    let named = scene.said("conditions").unwrap_or_default();
    let named: BTreeSet<ConditionId> = named
        .split(',')
        .filter_map(|id| ConditionId::new(id.trim()).ok())
        .collect();
    let odd = frailty_unnamed(scene.library, judged.into(), Recorded::Yes(&named));
    odd.map_or(Ok(()), |odd| Err(format!("{odd}; < goes back to them")))
}

const MEDICINE: Question = Question {
    group: Group::Chair,
    flags: &["pain-medicine"],
    when: |scene| scene.also(Optional::PainMedicine),
    ask: |_| yes_or_no("Takes medicine for pain, any at all", "pain-medicine"),
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
