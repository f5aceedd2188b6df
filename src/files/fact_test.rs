//! Reads tests on facts and the values of facts, and checks that they fit the fact.

use crate::domain::fact::{Comparison, FactValue, Test};
use crate::domain::word::{
    Fact, How, LegLift, Morning, Response, ScreenAnswer, Swelling, WalkingAid, WeightBearing, Word,
    YesNo,
};

use super::codes::Code;
use super::kind::{Keys, Kind, Kinded, may, need};
use super::nearest;
use super::node::{Node, Value};
use super::problem::Problem;
use super::reader::{TableReader, in_table};
use super::reading::Reading;
use super::values::{At, Readable, Whole};
use super::wrong::wrong_kind;

/// A number a fact may be compared with.
type Line = Whole<-30, 3650>;

static TEST: Keys = Keys {
    what: "a test",
    keys: &[
        need::<Fact>("fact", "The fact looked at."),
        may::<Line>("at_least", "Holds from this number on."),
        may::<Line>("at_most", "Holds up to this number."),
        may::<Vec<String>>("is", "Holds for these words."),
    ],
};

impl Kinded for Test {
    const KIND: Kind = Kind::Table(&TEST);
}

impl Readable for Test {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        in_table(node, &TEST, reading, test).flatten()
    }
}

fn test(table: &mut TableReader<'_>) -> Option<Test> {
    let fact = table.need::<Fact>("fact");
    let at_least = table.may::<Line>("at_least");
    let at_most = table.may::<Line>("at_most");
    let is = table.may::<Vec<At<String>>>("is");
    let given = ["at_least", "at_most", "is"];
    let given = given.into_iter().filter(|name| table.has(name)).count();
    if given != 1 {
        let message = "a test needs one of `at_least`, `at_most` and `is`, and no more than one";
        table.tell(Problem::new(Code::KeysClash, table.at(), message, ""));
        return None;
    }
    let fact = fact?;
    let comparison = match (at_least, at_most, is) {
        (Some(n), _, _) => Comparison::AtLeast(n.0),
        (_, Some(n), _) => Comparison::AtMost(n.0),
        (_, _, Some(words)) => {
            for word in &words {
                fits(
                    fact,
                    &FactValue::Word(word.value.clone()),
                    &word.at,
                    table.reading(),
                );
            }
            return Some(Test {
                fact,
                comparison: Comparison::Is(words.into_iter().map(|word| word.value).collect()),
            });
        }
        (None, None, None) => return None,
    };
    fits(fact, &FactValue::Number(0), &table.at(), table.reading());
    Some(Test { fact, comparison })
}

/// Tells when a value is not one this fact can have.
pub fn fits(
    fact: Fact,
    value: &FactValue,
    at: &super::source::Span,
    reading: &mut Reading,
) -> bool {
    let problem = match (value, words(fact)) {
        (FactValue::Number(_), None) => return true,
        (FactValue::Word(word), Some(words)) if words.contains(&word.as_str()) => return true,
        (FactValue::Word(word), Some(words)) => {
            let message = format!("`{fact}` is never \"{word}\"");
            Problem::new(
                Code::TestKind,
                at.clone(),
                message,
                "not a word of this fact",
            )
            .help(nearest::help(word, &words))
        }
        (FactValue::Number(_), Some(words)) => {
            let message = format!("`{fact}` is a word, not a number");
            Problem::new(Code::TestKind, at.clone(), message, "")
                .help(format!("use `is` with some of these: {}", words.join(", ")))
        }
        (FactValue::Word(_), None) => {
            let message = format!("`{fact}` is a number, not a word");
            Problem::new(Code::TestKind, at.clone(), message, "")
                .help("use `at_least` or `at_most` with a number")
        }
    };
    reading.tell(problem);
    false
}

impl Kinded for FactValue {
    const KIND: Kind = Kind::Either("a whole number, or a word in quotation marks");
}

impl Readable for FactValue {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        match &node.value {
            Value::Number(_) => Line::read(node, reading).map(|n| Self::Number(n.0)),
            Value::Text(_) => String::read(node, reading).map(Self::Word),
            Value::OtherNumber(_)
            | Value::Truth(_)
            | Value::Date(_)
            | Value::List(_)
            | Value::Table(_) => {
                wrong_kind(node, reading, Self::KIND);
                None
            }
        }
    }
}

/// Returns the words of a fact; a fact that is a number has none.
pub fn words(fact: Fact) -> Option<Vec<&'static str>> {
    fn all<W: Word>() -> Vec<&'static str> {
        W::ALL.iter().map(|word| word.as_str()).collect()
    }
    let words = match fact {
        Fact::Day
        | Fact::Flexion
        | Fact::ExtensionDeficit
        | Fact::Lag
        | Fact::Stance
        | Fact::WalkMinutes
        | Fact::RestPain => return None,
        Fact::LegLift => all::<LegLift>(),
        Fact::WalkingAid => all::<WalkingAid>(),
        Fact::WeightBearing => all::<WeightBearing>(),
        Fact::Swelling => all::<Swelling>(),
        Fact::Morning => all::<Morning>(),
        Fact::Limp
        | Fact::StairsPractised
        | Fact::BlockGone
        | Fact::FloorSafe
        | Fact::PainMedicine => all::<YesNo>(),
        Fact::Wound | Fact::GivingWay => all::<ScreenAnswer>(),
        Fact::Response => all::<Response>(),
        Fact::How => all::<How>(),
    };
    Some(words)
}
