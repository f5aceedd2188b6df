//! Reads home care, what is usual, milestones and the conditions a procedure knows.

use std::collections::{BTreeMap, BTreeSet};

use crate::domain::exercise::Demand;
use crate::domain::fact::Test;
use crate::domain::ids::{CareId, ConditionId, EquipmentId, Id as _, OrderKind};
use crate::domain::procedure::{Asks, CareWords, HomeCare, TimedLine};
use crate::domain::quantity::{Minutes, TimesADay};
use crate::domain::word::{CareRow, Position};

use super::super::codes::Code;
use super::super::exercise::demand;
use super::super::exercise::keys::DEMAND;
use super::super::kind::{Key, Keys, Kind, may, may_as, need};
use super::super::nearest;
use super::super::plain_text::{self, SIDES};
use super::super::problem::Problem;
use super::super::reader::{TableReader, each_once};
use super::super::values::{At, Pair, Whole};
use super::super::window;
use super::{BEFORE, FROM, SOURCE, condition_names, once, words};

/// A gap in hours.
type Hours = Whole<1, 24>;

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
        may::<OrderKind>("when_order", "Only while an order of this kind stands."),
        DEMANDS,
        may::<BTreeSet<Position>>("positions", "Positions it speaks of."),
        may::<BTreeSet<EquipmentId>>("needs", "What the home must have."),
        may::<CareId>(
            "instead_of",
            "Only in the place of this row, when that one asks too much.",
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
    ],
};

pub(super) static LINE: Keys = Keys {
    what: "a line",
    keys: &[
        need::<CareId>("id", "Its id."),
        FROM,
        BEFORE,
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
    let rows = table.tables("home_care", &HOME_CARE, |table| {
        let (id, care) = home_care(table);
        stands_below(table, care.as_ref(), &above);
        above.extend(id.iter().map(|id| id.value.clone()));
        Some((id, care))
    });
    once(table, "home care", rows)
}

/// Checks that a row stands below the one in whose place it comes, so that no two wait for each
/// other.
fn stands_below(table: &mut TableReader<'_>, care: Option<&HomeCare>, above: &BTreeSet<CareId>) {
    let of = care.and_then(|care| care.instead_of.as_ref());
    let Some(of) = of.filter(|of| !above.contains(*of)) else {
        return;
    };
    let names: Vec<&str> = above.iter().map(CareId::as_str).collect();
    let message = format!("no row above this one is called `{of}`");
    let at = table.at_key("instead_of");
    let problem = Problem::new(Code::UnknownName, at, message, "not above");
    table.tell(problem.help(nearest::help(of.as_str(), &names)));
}

fn home_care(table: &mut TableReader<'_>) -> (Option<At<CareId>>, Option<HomeCare>) {
    let id = table.need::<At<CareId>>("id");
    let window = window::need(table);
    let unless = condition_names(table, "unless");
    let only_if = condition_names(table, "only_if");
    let when_order = table.may("when_order");
    let demands = demands(table);
    let positions = table.may::<BTreeSet<Position>>("positions");
    let needs = table.may::<BTreeSet<EquipmentId>>("needs");
    let instead_of = table.may::<CareId>("instead_of");
    let minutes = table.may::<Pair<Minutes>>("minutes");
    let every_hours = table.may::<Pair<Hours>>("every_hours");
    let times_a_day = table.may("times_a_day");
    let row = table.need::<CareRow>("row");
    let places = places(table);
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
            when_order,
            asks: Asks {
                demands,
                positions: positions.unwrap_or_default(),
                needs: needs.unwrap_or_default(),
            },
            instead_of,
            minutes: minutes.map(|pair| pair.0),
            every_hours: every_hours.map(|pair| pair.0.map(|hours| hours.0)),
            times_a_day,
            row: row?,
            words,
            source: source?,
        })
    };
    let care = care();
    (id, care)
}

/// Reads what a row asks; a list that is left out means that nobody said.
fn demands(table: &mut TableReader<'_>) -> Option<Vec<Demand>> {
    let demands = table.tables("demands", &DEMAND, demand::read);
    table.has("demands").then_some(demands)
}

/// Returns the places its words may have: the sides and the numbers it gives.
fn places(table: &TableReader<'_>) -> Vec<&'static str> {
    let numbers = [
        ("minutes", "minutes"),
        ("every_hours", "every_hours"),
        ("times_a_day", "times"),
    ];
    let given = numbers.into_iter().filter(|(key, _)| table.has(key));
    SIDES
        .iter()
        .copied()
        .chain(given.map(|(_, place)| place))
        .collect()
}

fn care_words(table: &mut TableReader<'_>, places: &[&str]) -> Option<CareWords> {
    let title = plain_text::need(table, "title", SIDES);
    let text = plain_text::need(table, "text", places);
    let short = plain_text::may(table, "short", SIDES);
    Some(CareWords {
        title: title?,
        text: text?,
        short,
    })
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
    let demands = demands(table);
    let met = keys.find("met").and_then(|_| table.may("met"));
    let words = table.by_language("words", &LINE_WORDS, |table| {
        plain_text::need(table, "text", SIDES)
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
            met,
            words,
        })
    };
    let line = line();
    (id, line)
}

/// Reads the conditions with the clinician's name for each.
pub(super) fn conditions(table: &mut TableReader<'_>) -> BTreeMap<ConditionId, String> {
    let all = table.tables("condition", &CONDITION, |table| {
        let id = table.need::<At<ConditionId>>("id");
        let words =
            table.by_language::<String>("words", &CONDITION_WORDS, |table| table.need("name"));
        table.not_empty("words");
        let name = words.get("en").or_else(|| words.values().next()).cloned();
        Some((id?, name?))
    });
    let ids = all.iter().map(|(id, _)| id.clone()).collect();
    each_once(ids, "condition", table.reading());
    all.into_iter().map(|(id, name)| (id.value, name)).collect()
}
