//! Reads home care, what is usual, milestones and the conditions a procedure knows.

use std::collections::{BTreeMap, BTreeSet};

use crate::domain::exercise::Demand;
use crate::domain::fact::Test;
use crate::domain::ids::{CareId, ConditionId, EquipmentId, FlagId, Id as _, OrderKind};
use crate::domain::procedure::{Asks, CareWords, FittedCare, HomeCare, RING, TimedLine, Whose};
use crate::domain::quantity::{Frailty, Minutes, TimesADay};
use crate::domain::word::{CareRow, Position};

use super::super::codes::Code;
use super::super::exercise::demand;
use super::super::exercise::keys::DEMAND;
use super::super::exercise::words::{for_whom, some_of};
use super::super::kind::{Key, Keys, Kind, may, may_as, need};
use super::super::nearest;
use super::super::plain_text::{self, SIDES};
use super::super::problem::Problem;
use super::super::reader::{TableReader, each_once};
use super::super::reading::Link;
use super::super::values::{At, Pair, Whole};
use super::super::window;
use super::{BEFORE, FROM, SOURCE, condition_names, once, words};

/// A gap in hours.
type Hours = Whole<1, 24>;

/// Facts that let a row stand.
const ONLY_WHEN: Key = may::<Vec<Test>>("only_when", "Only when all of these are known and hold.");

/// Facts that take a row away.
const UNLESS_WHEN: Key =
    may::<Vec<Test>>("unless_when", "Not when one of these is known and holds.");

/// Demands of a row of advice; an empty list says that it asks for nothing.
const DEMANDS: Key = may_as(
    "demands",
    Kind::Tables(&DEMAND),
    "What it asks of each joint; left out, it does not stand beside a limit.",
);

pub(super) static HOME_CARE: Keys = Keys {
    what: "home care",
    keys: &[
        need::<CareId>("id", "Its id."),
        FROM,
        BEFORE,
        may::<Vec<ConditionId>>("unless", "Not for people with any of these."),
        may::<Vec<ConditionId>>("only_if", "Only for people with one of these."),
        ONLY_WHEN,
        UNLESS_WHEN,
        may::<OrderKind>("when_order", "Only while an order of this kind stands."),
        may::<OrderKind>(
            "unless_order",
            "Not where an order of this kind brings a row of its own.",
        ),
        may::<Vec<FlagId>>(
            "when_flag",
            "Only while one of these red flags narrows the program.",
        ),
        DEMANDS,
        may::<BTreeSet<Position>>("positions", "Positions it speaks of."),
        may::<BTreeSet<EquipmentId>>("needs", "What the home must have."),
        may::<CareId>(
            "instead_of",
            "Only in the place of this row, when that one is not for this person or asks too much.",
        ),
        may::<CareId>(
            "timed_as",
            "Has the minutes and the gaps of this row, which stands above it.",
        ),
        may::<Pair<Minutes>>("minutes", "Shortest and longest time."),
        may::<Pair<Hours>>("every_hours", "Shortest and longest gap."),
        may::<TimesADay>("times_a_day", "Times a day."),
        need::<CareRow>("row", "Which table it stands in."),
        words("What the patient reads."),
        SOURCE,
    ],
};

static CARE_WORDS: Keys = Keys {
    what: "the words of home care",
    keys: &[
        need::<String>("title", "Left cell."),
        need::<String>("text", "Right cell."),
        may::<String>("short", "Name in the plan of the day."),
        may::<String>("bad_day", "What it comes to when the whole part is worse."),
        may_as(
            "for",
            Kind::Tables(&FOR),
            "Words for some people, in the place of these; a later one over an earlier.",
        ),
    ],
};

static FOR: Keys = Keys {
    what: "words for some people",
    keys: &[
        may::<Vec<Test>>("facts", "All must be known and hold."),
        may::<Vec<ConditionId>>("conditions", "They have one of these."),
        may::<String>("title", "Left cell."),
        may::<String>("text", "Right cell."),
    ],
};

pub(super) static LINE: Keys = Keys {
    what: "a line",
    keys: &[
        need::<CareId>("id", "Its id."),
        FROM,
        BEFORE,
        ONLY_WHEN,
        UNLESS_WHEN,
        DEMANDS,
        words("What the patient reads."),
        SOURCE,
    ],
};

pub(super) static MILESTONE: Keys = Keys {
    what: "a milestone",
    keys: &[
        need::<CareId>("id", "Its id."),
        FROM,
        BEFORE,
        ONLY_WHEN,
        UNLESS_WHEN,
        DEMANDS,
        may::<Test>("met", "Once this holds it is no longer printed."),
        words("What the patient reads."),
        SOURCE,
    ],
};

static LINE_WORDS: Keys = Keys {
    what: "the words of a line",
    keys: &[need::<String>("text", "The line.")],
};

pub(super) static CONDITION: Keys = Keys {
    what: "a condition",
    keys: &[
        need::<ConditionId>("id", "Its id."),
        may::<Frailty>(
            "frailty_at_least",
            "A frailty judged so or higher is this condition.",
        ),
        words("What the clinician reads."),
    ],
};

static CONDITION_WORDS: Keys = Keys {
    what: "the words of a condition",
    keys: &[need::<String>("name", "The clinician's name for it.")],
};

/// Reads every home care row.
pub(super) fn all(table: &mut TableReader<'_>) -> Vec<HomeCare> {
    let mut above = BTreeSet::new();
    let mut known = BTreeMap::new();
    let rows = table.tables("home_care", &HOME_CARE, |table| {
        let timed = timed(table, &known);
        let (id, care) = home_care(table, timed);
        if let Some(of) = care.as_ref().and_then(|care| care.instead_of.as_ref()) {
            stands_below(table, "instead_of", of, &above);
        }
        if let Some(of) = table.may::<CareId>("timed_as") {
            stands_below(table, "timed_as", &of, &above);
        }
        if let Some(id) = &id {
            above.insert(id.value.clone());
            known.insert(id.value.clone(), timed);
        }
        Some((id, care))
    });
    once(table, "home care", rows)
}

/// How long and how often, as a row or the one it is timed as says.
#[derive(Clone, Copy, Default)]
struct Timed {
    minutes: Option<[Minutes; 2]>,
    every_hours: Option<[i64; 2]>,
}

/// Reads how long and how often: the row's own numbers, or those of a row above it, so that a
/// clinic that changes one changes all.
fn timed(table: &mut TableReader<'_>, above: &BTreeMap<CareId, Timed>) -> Timed {
    let own = Timed {
        minutes: table.may::<Pair<Minutes>>("minutes").map(|pair| pair.0),
        every_hours: table
            .may::<Pair<Hours>>("every_hours")
            .map(|pair| pair.0.map(|hours| hours.0)),
    };
    let Some(of) = table.may::<CareId>("timed_as") else {
        return own;
    };
    for key in ["minutes", "every_hours"] {
        if table.has(key) {
            let message = format!("`{key}` is that of `{of}`: a row timed as another has none");
            let at = table.at_key(key);
            table.tell(Problem::new(Code::KeysClash, at, message, ""));
        }
    }
    above.get(&of).copied().unwrap_or_default()
}

/// Checks that a row stands below the one it names, so that no two wait for each other.
fn stands_below(
    table: &mut TableReader<'_>,
    key: &'static str,
    of: &CareId,
    above: &BTreeSet<CareId>,
) {
    if above.contains(of) {
        return;
    }
    let names: Vec<&str> = above.iter().map(CareId::as_str).collect();
    let message = format!("no row above this one is called `{of}`");
    let at = table.at_key(key);
    let problem = Problem::new(Code::UnknownName, at, message, "not above");
    table.tell(problem.help(nearest::help(of.as_str(), &names)));
}

fn home_care(table: &mut TableReader<'_>, timed: Timed) -> (Option<At<CareId>>, Option<HomeCare>) {
    let id = table.need::<At<CareId>>("id");
    let window = window::need(table);
    let unless = condition_names(table, "unless");
    let only_if = condition_names(table, "only_if");
    let whose = whose(table);
    let when_order = table.may("when_order");
    let unless_order = table.may("unless_order");
    let when_flag = flag_names(table);
    let demands = demands(table);
    let positions = table.may::<BTreeSet<Position>>("positions");
    let needs = table.may::<BTreeSet<EquipmentId>>("needs");
    let instead_of = table.may::<CareId>("instead_of");
    let times_a_day = table.may("times_a_day");
    let row = table.need::<CareRow>("row");
    let places = places(table, timed);
    let words = table.by_language("words", &CARE_WORDS, |table| care_words(table, &places));
    let source = table.need_source();
    table.not_empty("words");
    let unnamed = words.values().any(|words| words.short.is_none());
    if row == Some(CareRow::Day) && (unnamed || !table.has("times_a_day")) {
        let message = "a row of the day needs `times_a_day`, and `short` in its words";
        table.tell(Problem::new(
            Code::KeysClash,
            table.at_key("row"),
            message,
            "",
        ));
    }
    let care = || {
        Some(HomeCare {
            id: id.as_ref()?.value.clone(),
            window: window?,
            unless,
            only_if,
            whose,
            when_order,
            unless_order,
            when_flag,
            asks: Asks {
                demands,
                positions: positions.unwrap_or_default(),
                needs: needs.unwrap_or_default(),
            },
            instead_of,
            minutes: timed.minutes,
            every_hours: timed.every_hours,
            times_a_day,
            row: row?,
            words,
            source: source?,
        })
    };
    let care = care();
    (id, care)
}

/// Reads the red flags a row waits for.
fn flag_names(table: &mut TableReader<'_>) -> BTreeSet<FlagId> {
    let flags = table
        .may::<Vec<At<FlagId>>>("when_flag")
        .unwrap_or_default();
    for flag in &flags {
        let link = Link::Flag(flag.value.clone());
        table.reading().link(link, flag.at.clone());
    }
    flags.into_iter().map(|flag| flag.value).collect()
}

/// Reads what a row asks; a list that is left out means that nobody said.
fn demands(table: &mut TableReader<'_>) -> Option<Vec<Demand>> {
    let demands = table.tables("demands", &DEMAND, demand::read);
    table.has("demands").then_some(demands)
}

/// Returns the places its words may have: the sides and the numbers it gives.
fn places(table: &TableReader<'_>, timed: Timed) -> Vec<&'static str> {
    let numbers = [
        (timed.minutes.is_some(), "minutes"),
        (timed.every_hours.is_some(), "every_hours"),
        (table.has("times_a_day"), "times"),
    ];
    let given = numbers.into_iter().filter(|(given, _)| *given);
    SIDES
        .iter()
        .copied()
        .chain(given.map(|(_, place)| place))
        .chain([RING])
        .collect()
}

fn care_words(table: &mut TableReader<'_>, places: &[&str]) -> Option<CareWords> {
    let title = plain_text::need(table, "title", SIDES);
    let text = plain_text::need(table, "text", places);
    let short = plain_text::may(table, "short", SIDES);
    let bad_day = plain_text::may(table, "bad_day", SIDES);
    let fitted = table.tables("for", &FOR, |table| {
        let whom = for_whom(table);
        let title = plain_text::may(table, "title", SIDES);
        let text = plain_text::may(table, "text", places);
        some_of(table, &["facts", "conditions"]);
        some_of(table, &["title", "text"]);
        Some(FittedCare { whom, title, text })
    });
    Some(CareWords {
        title: title?,
        text: text?,
        short,
        bad_day,
        fitted,
    })
}

/// Reads the facts a row hangs on.
fn whose(table: &mut TableReader<'_>) -> Whose {
    Whose {
        only_when: table.may("only_when").unwrap_or_default(),
        unless_when: table.may("unless_when").unwrap_or_default(),
    }
}

/// Reads lines of plain text for some days.
pub(super) fn lines(
    table: &mut TableReader<'_>,
    name: &'static str,
    keys: &'static Keys,
) -> Vec<TimedLine> {
    let lines = table.tables(name, keys, |table| Some(line(table, keys)));
    once(table, "line", lines)
}

fn line(
    table: &mut TableReader<'_>,
    keys: &'static Keys,
) -> (Option<At<CareId>>, Option<TimedLine>) {
    let id = table.need::<At<CareId>>("id");
    let window = window::need(table);
    let whose = whose(table);
    let demands = demands(table);
    let met = keys.find("met").and_then(|_| table.may("met"));
    let words = table.by_language("words", &LINE_WORDS, |table| {
        plain_text::need(table, "text", &["side", "other", RING])
    });
    table.not_empty("words");
    let line = || {
        Some(TimedLine {
            id: id.as_ref()?.value.clone(),
            window: window?,
            asks: Asks {
                demands,
                ..Asks::default()
            },
            whose,
            met,
            words,
        })
    };
    let line = line();
    (id, line)
}

/// The conditions a procedure knows.
pub(super) struct Conditions {
    /// The clinician's name for each.
    pub(super) names: BTreeMap<ConditionId, String>,
    /// Those that a frailty judged so high is.
    pub(super) frail_from: BTreeMap<ConditionId, Frailty>,
}

/// Reads the conditions.
pub(super) fn conditions(table: &mut TableReader<'_>) -> Conditions {
    let mut frail_from = BTreeMap::new();
    let all = table.tables("condition", &CONDITION, |table| {
        let id = table.need::<At<ConditionId>>("id");
        if let (Some(id), Some(frailty)) = (&id, table.may("frailty_at_least")) {
            frail_from.insert(id.value.clone(), frailty);
        }
        let words =
            table.by_language::<String>("words", &CONDITION_WORDS, |table| table.need("name"));
        table.not_empty("words");
        let name = words.get("en").or_else(|| words.values().next()).cloned();
        Some((id?, name?))
    });
    let ids = all.iter().map(|(id, _)| id.clone()).collect();
    each_once(ids, "condition", table.reading());
    let names = all.into_iter().map(|(id, name)| (id.value, name)).collect();
    Conditions { names, frail_from }
}
