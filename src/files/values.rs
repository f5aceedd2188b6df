//! Reads one value of each kind: numbers in range, words of a list, names, dates, texts.
//!
//! Each says what is wrong in the file's own words. Next: `reader` reads a table of them.

use std::collections::BTreeSet;

use chrono::{Datelike, NaiveDate};

use crate::domain::ids::{
    CareId, ClinicId, ConditionId, CriterionId, DomainId, EquipmentId, ExerciseId, FamilyId,
    FlagId, HowId, Id, LimitId, ModifierId, OrderKind, PhaseId, ProcedureId, RungId, SetId,
    SourceKey, StopSignId, SurgeonId, TagId,
};
use crate::domain::line;
use crate::domain::pose::{ArrowKind, Footing, Grasp, Panel, Spot, Surface, Thing, View, Which};
use crate::domain::quantity::{
    Centimetres, ChangeoverSeconds, DayMinutes, Days, DaysAWeek, Degrees, Effort, FarMore, Frailty,
    Grams, HoldSeconds, Items, Minutes, PainScore, PauseSeconds, Percent, Quantity, Repetitions,
    RestSeconds, Sets, TempoSeconds, TimesADay, Weight, Years,
};
use crate::domain::time::Day;
use crate::domain::word::{
    AdjustAction, Band, BandWork, Better, CareRow, ClosedWith, CorrectWhat, Did, DocumentState,
    Fact, FlagEffect, How, Joint, KnownFlag, LegLift, LegLoad, Level, Lever, LimitLevel,
    MissingRule, Mode, Morning, Motion, Operates, Optional, Paper, Position, PrintNeed, Response,
    ReviewTell, Row, ScreenAnswer, Seen, SeenAs, Side, Sides, Slot, Support, Swelling, WalkingAid,
    WeightBearing, Word, Work, YesNo,
};

use super::codes::Code;
use super::kind::{Kind, Kinded};
use super::node::{Node, Value};
use super::problem::Problem;
use super::reading::Reading;
use super::source::Span;
use super::vocabulary;
use super::wrong::{unknown_word, wrong_kind};

/// A value the reader can read.
pub trait Readable: Kinded + Sized {
    /// Reads the value, or tells what is wrong with it.
    fn read(node: &Node, reading: &mut Reading) -> Option<Self>;
}

/// A value and where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct At<T> {
    /// The value.
    pub value: T,
    /// Its place.
    pub at: Span,
}

impl<T: Kinded> Kinded for At<T> {
    const KIND: Kind = T::KIND;
}

impl<T: Readable> Readable for At<T> {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        let at = node.at.clone();
        T::read(node, reading).map(|value| Self { value, at })
    }
}

/// A whole number with a range of its own, for keys that no quantity fits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Whole<const MIN: i64, const MAX: i64>(pub i64);

impl<const MIN: i64, const MAX: i64> Whole<MIN, MAX> {
    /// Both ends of the range.
    pub const ENDS: [i64; 2] = [MIN, MAX];
}

impl<const MIN: i64, const MAX: i64> Kinded for Whole<MIN, MAX> {
    const KIND: Kind = Kind::Number {
        min: MIN,
        max: MAX,
        unit: "",
    };
}

impl<const MIN: i64, const MAX: i64> Readable for Whole<MIN, MAX> {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        number(node, reading, Self::KIND).map(Self)
    }
}

impl Kinded for Day {
    const KIND: Kind = Kind::Number {
        min: -365,
        max: 3650,
        unit: "days",
    };
}

impl Readable for Day {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        number(node, reading, Self::KIND).map(Self::new)
    }
}

macro_rules! quantities {
    ($($name:ident)*) => {$(
        impl Kinded for $name {
            const KIND: Kind = Kind::Number { min: Self::MIN, max: Self::MAX, unit: Self::MANY };
        }
        impl Readable for $name {
            fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
                number(node, reading, Self::KIND).and_then(|n| Self::new(n).ok())
            }
        }
    )*};
}

macro_rules! word_lists {
    ($($name:ident)*) => {$(
        impl Kinded for $name {
            const KIND: Kind = Kind::Word(|| Self::ALL.iter().map(|word| word.as_str()).collect());
        }
        impl Readable for $name {
            fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
                word(node, reading, Self::KIND).and_then(|text| Self::find(&text))
            }
        }
    )*};
}

macro_rules! names {
    ($($name:ident)*) => {$(
        impl Kinded for $name {
            const KIND: Kind = Kind::Id;
        }
        impl Readable for $name {
            fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
                id(&node.at, &text(node, reading, Self::KIND)?, reading)
            }
        }
    )*};
}

macro_rules! listed_names {
    ($($name:ident = $list:path;)*) => {$(
        impl Kinded for $name {
            const KIND: Kind = Kind::Word(|| $list.to_vec());
        }
        impl Readable for $name {
            fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
                word(node, reading, Self::KIND).and_then(|text| Self::new(&text).ok())
            }
        }
    )*};
}

quantities! {
    Sets Repetitions HoldSeconds PauseSeconds RestSeconds TempoSeconds ChangeoverSeconds Minutes
    TimesADay DaysAWeek Degrees PainScore Percent FarMore Grams Centimetres Effort Weight Items DayMinutes
    Days Frailty Years
}

word_lists! {
    AdjustAction Band BandWork Better CareRow ClosedWith CorrectWhat Did DocumentState Fact FlagEffect How Joint KnownFlag
    LegLift LegLoad Level Lever LimitLevel MissingRule Mode Morning Motion Optional Paper Position PrintNeed
    Response ReviewTell Row ScreenAnswer Seen SeenAs Side Sides Operates Slot Support Swelling WalkingAid
    WeightBearing Work YesNo
    ArrowKind Footing Grasp Panel Spot Surface Thing View Which
}

names! {
    CareId ClinicId ConditionId CriterionId ExerciseId FamilyId FlagId HowId LimitId ModifierId
    PhaseId ProcedureId RungId SetId SourceKey StopSignId SurgeonId
}

listed_names! {
    EquipmentId = vocabulary::EQUIPMENT;
    DomainId = vocabulary::DOMAINS;
    TagId = vocabulary::TAGS;
    OrderKind = vocabulary::ORDERS;
}

macro_rules! lone_words {
    ($($(#[$doc:meta])* $name:ident = $text:literal;)*) => {$(
        $(#[$doc])*
        pub struct $name;

        impl Kinded for $name {
            const KIND: Kind = Kind::Word(|| vec![$text]);
        }
        impl Readable for $name {
            fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
                word(node, reading, Self::KIND).map(|_| Self)
            }
        }
    )*};
}

lone_words! {
    /// The word `hourly`.
    Hourly = "hourly";
    /// The word `operation`.
    Operation = "operation";
    /// The word `order`.
    FromOrder = "order";
}

/// A kind of order whose name a procedure's file makes: what picks a profile.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct AnyOrder(pub OrderKind);

impl Kinded for AnyOrder {
    const KIND: Kind = Kind::Id;
}

impl Readable for AnyOrder {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        id(&node.at, &text(node, reading, Self::KIND)?, reading).map(Self)
    }
}

impl At<AnyOrder> {
    /// Takes the kind out.
    pub fn kind(self) -> At<OrderKind> {
        At {
            value: self.value.0,
            at: self.at,
        }
    }
}

impl Kinded for String {
    const KIND: Kind = Kind::Text { most: line::MOST };
}

impl Readable for String {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        text(node, reading, Self::KIND)
    }
}

impl Kinded for NaiveDate {
    const KIND: Kind = Kind::Date;
}

impl Readable for NaiveDate {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        let Value::Date(found) = &node.value else {
            wrong_kind(node, reading, Self::KIND);
            return None;
        };
        let date = found
            .date
            .filter(|_| found.time.is_none() && found.offset.is_none());
        let date = date.and_then(|date| {
            Self::from_ymd_opt(date.year.into(), date.month.into(), date.day.into())
        });
        let date = date.filter(|date| (1990..=2099).contains(&date.year()));
        if date.is_none() {
            let message = format!("`{}` must be a date alone, from 1990 to 2099", reading.key);
            let problem = Problem::new(Code::BadDate, node.at.clone(), message, "not such a date");
            reading.tell(problem.help("write it like this: 2026-03-05"));
        }
        date
    }
}

impl<T: Kinded> Kinded for Vec<T> {
    const KIND: Kind = Kind::List(&T::KIND);
}

impl<T: Readable> Readable for Vec<T> {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        let Value::List(list) = &node.value else {
            wrong_kind(node, reading, Self::KIND);
            return None;
        };
        let all: Vec<Option<T>> = list.iter().map(|item| T::read(item, reading)).collect();
        all.into_iter().collect()
    }
}

impl<T: Kinded> Kinded for BTreeSet<T> {
    const KIND: Kind = Kind::List(&T::KIND);
}

impl<T: Readable + Ord> Readable for BTreeSet<T> {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        let all = Vec::<At<T>>::read(node, reading)?;
        let mut set = Self::new();
        for item in all {
            if !set.insert(item.value) {
                let message = format!("`{}` names the same thing twice", reading.key);
                let problem = Problem::new(Code::Twice, item.at, message, "second time");
                reading.tell(problem.help("keep one of them"));
            }
        }
        Some(set)
    }
}

/// A shortest and a longest value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pair<T>(pub [T; 2]);

impl<T: Kinded> Kinded for Pair<T> {
    const KIND: Kind = Kind::List(&T::KIND);
}

impl<T: Readable + Ord + Copy> Readable for Pair<T> {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        let all = Vec::<T>::read(node, reading)?;
        match all.as_slice() {
            [low, high] if low <= high => Some(Self([*low, *high])),
            _ => {
                let message = format!("`{}` must be two numbers, the lower one first", reading.key);
                reading.tell(Problem::new(Code::WrongKind, node.at.clone(), message, ""));
                None
            }
        }
    }
}

/// Reads a whole number and checks its range.
pub fn number(node: &Node, reading: &mut Reading, kind: Kind) -> Option<i64> {
    let Value::Number(n) = node.value else {
        wrong_kind(node, reading, kind);
        return None;
    };
    reading.count(&node.at);
    let Kind::Number { min, max, unit } = kind else {
        return Some(n);
    };
    if (min..=max).contains(&n) {
        return Some(n);
    }
    let message = format!("`{}` must be from {min} to {max}, not {n}", reading.key);
    let label = format!("{min} to {max} {unit}");
    reading.tell(Problem::new(
        Code::OutOfRange,
        node.at.clone(),
        message,
        label.trim_end(),
    ));
    None
}

/// Reads text on one line that can be printed as it stands.
pub fn text(node: &Node, reading: &mut Reading, kind: Kind) -> Option<String> {
    let Value::Text(text) = &node.value else {
        wrong_kind(node, reading, kind);
        return None;
    };
    let Err(why) = line::check(text) else {
        return Some(text.clone());
    };
    let message = format!("`{}` {why}", reading.key);
    reading.tell(Problem::new(Code::BadText, node.at.clone(), message, ""));
    None
}

/// Reads a word of a closed list.
fn word(node: &Node, reading: &mut Reading, kind: Kind) -> Option<String> {
    let text = text(node, reading, kind)?;
    let Kind::Word(list) = kind else {
        return Some(text);
    };
    let words = list();
    if words.contains(&text.as_str()) {
        return Some(text);
    }
    unknown_word(&node.at, &text, &words, reading);
    None
}

/// Makes a checked name of a text.
pub fn id<T: Id>(at: &Span, text: &str, reading: &mut Reading) -> Option<T> {
    match T::new(text) {
        Ok(id) => Some(id),
        Err(error) => {
            let problem = Problem::new(Code::BadId, at.clone(), error.to_string(), "not a name");
            reading.tell(problem);
            None
        }
    }
}
