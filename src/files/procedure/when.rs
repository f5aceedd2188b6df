//! Reads what brings a limit or modifier into force.

use crate::domain::fact::Test;
use crate::domain::ids::{ConditionId, FlagId, OrderKind};
use crate::domain::limit::When;
use crate::domain::word::{Fact, YesNo};

use super::super::codes::Code;
use super::super::kind::{Keys, Kind, Kinded, may};
use super::super::node::Node;
use super::super::problem::Problem;
use super::super::reader::{TableReader, in_table};
use super::super::reading::{Link, Reading};
use super::super::values::{At, Readable};

static WHEN: Keys = Keys {
    what: "`when`",
    keys: &[
        may::<YesNo>("always", "Always, within its days."),
        may::<OrderKind>("order", "While a surgeon's order of this kind stands."),
        may::<ConditionId>("condition", "For people with this condition."),
        may::<FlagId>("flag", "While this red flag restricts the program."),
        may::<FlagId>(
            "raised",
            "While this red flag is new and nobody has looked at it.",
        ),
        may::<Fact>("fact", "While a test on this fact holds."),
    ],
};

impl Kinded for When {
    const KIND: Kind = Kind::Table(&WHEN);
}

impl Readable for When {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        if node.get("fact").is_some() {
            return Test::read(node, reading).map(Self::Fact);
        }
        in_table(node, &WHEN, reading, when).flatten()
    }
}

fn when(table: &mut TableReader<'_>) -> Option<When> {
    let always = table.may::<At<YesNo>>("always");
    let order = table.may::<OrderKind>("order");
    let condition = table.may::<At<ConditionId>>("condition");
    let flag = table.may::<At<FlagId>>("flag");
    let raised = table.may::<At<FlagId>>("raised");
    table.may::<Fact>("fact");
    let names = ["always", "order", "condition", "flag", "raised"];
    if names.into_iter().filter(|name| table.has(name)).count() != 1 {
        let message = "`when` needs one of `always`, `order`, `condition`, `flag`, `raised` and `fact`, and no more than one";
        table.tell(Problem::new(Code::KeysClash, table.at(), message, ""));
        return None;
    }
    let mut flag_of = |flag: At<FlagId>| {
        let link = Link::Flag(flag.value.clone());
        table.reading().link(link, flag.at);
        flag.value
    };
    if let Some(flag) = flag {
        return Some(When::Flag(flag_of(flag)));
    }
    if let Some(flag) = raised {
        return Some(When::Raised(flag_of(flag)));
    }
    match (always, order, condition) {
        (Some(always), ..) => only_yes(table, &always),
        (_, Some(order), _) => Some(When::Order(order)),
        (.., Some(condition)) => {
            let link = Link::Condition(condition.value.clone());
            table.reading().link(link, condition.at);
            Some(When::Condition(condition.value))
        }
        (None, None, None) => None,
    }
}

fn only_yes(table: &mut TableReader<'_>, always: &At<YesNo>) -> Option<When> {
    match always.value {
        YesNo::Yes => Some(When::Always),
        YesNo::No => {
            let message = "`always` can only be \"yes\"";
            let problem = Problem::new(Code::UnknownWord, always.at.clone(), message, "");
            table.tell(problem.help("take the limit out if it never holds"));
            None
        }
    }
}
