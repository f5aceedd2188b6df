//! Reads limits.

use std::collections::BTreeSet;

use crate::domain::ids::{LimitId, TagId};
use crate::domain::limit::{Limit, LimitDegrees, LimitRule, LimitSpan, LimitWords, When};
use crate::domain::quantity::Degrees;
use crate::domain::word::{Joint, LegLoad, LimitLevel, Mode, Motion, Position};

use super::super::codes::Code;
use super::super::kind::{Keys, Kind, Kinded, may, may_as, need};
use super::super::node::{Node, Value};
use super::super::plain_text::{self, SIDES};
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::reading::Reading;
use super::super::values::{At, FromOrder, Readable};
use super::super::window;
use super::super::wrong::wrong_kind;
use super::{BEFORE, MAY_FROM, SOURCE, once};

pub(super) static LIMIT: Keys = Keys {
    what: "a limit",
    keys: &[
        need::<LimitId>("id", "Its id."),
        need::<When>("when", "What brings it into force."),
        may::<Joint>("joint", "The joint of a motion that is limited."),
        may::<Motion>("motion", "The motion."),
        may::<LimitDegrees>("degrees", "The most allowed."),
        may::<Degrees>("margin_degrees", "Taken off for safety."),
        may_as(
            "forbid",
            Kind::Table(&FORBID),
            "Kinds of work that are not allowed.",
        ),
        need::<LimitLevel>("level", "Whether the clinician may set it aside."),
        MAY_FROM,
        BEFORE,
        may::<FromOrder>("until", "\"order\": as long as the surgeon's order stands."),
        may_as(
            "words",
            Kind::Either("a table by language"),
            "What the patient reads.",
        ),
        SOURCE,
    ],
};

static FORBID: Keys = Keys {
    what: "`forbid`",
    keys: &[
        may::<BTreeSet<LegLoad>>("weight_bearing", "Loads of the operated leg."),
        may::<BTreeSet<TagId>>("tags", "Tags."),
        may::<BTreeSet<Mode>>("modes", "Modes of a motion."),
        may::<BTreeSet<Position>>("positions", "Body positions."),
    ],
};

static WORDS: Keys = Keys {
    what: "the words of a limit",
    keys: &[
        need::<String>("rule", "The rule."),
        need::<String>("why", "Why it stands."),
    ],
};

impl Kinded for LimitDegrees {
    const KIND: Kind = Kind::Either("a whole number of degrees, or \"order\"");
}

impl Readable for LimitDegrees {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        if node.is_word("order") {
            return Some(Self::FromOrder);
        }
        if matches!(node.value, Value::Number(_)) {
            return Degrees::read(node, reading).map(Self::Fixed);
        }
        wrong_kind(node, reading, Self::KIND);
        None
    }
}

/// Reads every limit.
pub(super) fn all(table: &mut TableReader<'_>) -> Vec<Limit> {
    let limits = table.tables("limit", &LIMIT, |table| Some(limit(table)));
    once(table, "limit", limits)
}

fn limit(table: &mut TableReader<'_>) -> (Option<At<LimitId>>, Option<Limit>) {
    let id = table.need::<At<LimitId>>("id");
    let when = table.need("when");
    let rule = rule(table);
    let level = table.need("level");
    let span = span(table);
    let places: &[&str] = if table.has("degrees") {
        &["side", "other", "degrees"]
    } else {
        SIDES
    };
    let words = table.by_language("words", &WORDS, |table| limit_words(table, places));
    let source = table.need_source();
    let origin = table.at().origin();
    let limit = || {
        Some(Limit {
            id: id.as_ref()?.value.clone(),
            when: when?,
            rule: rule?,
            level: level?,
            span: span?,
            words,
            source: source?,
            origin,
        })
    };
    let limit = limit();
    (id, limit)
}

fn rule(table: &mut TableReader<'_>) -> Option<LimitRule> {
    let motion_keys = ["joint", "motion", "degrees", "margin_degrees"];
    let some_motion = motion_keys.iter().any(|name| table.has(name));
    let forbids = table.has("forbid");
    let forbid = table.may_table("forbid", &FORBID, forbid);
    if some_motion == forbids {
        skip_motion(table);
        let message = "a limit stops a motion (`joint`, `motion`, `degrees`, `margin_degrees`) or has `forbid`";
        let label = if forbids {
            "not both"
        } else {
            "neither is here"
        };
        table.tell(Problem::new(
            Code::KeysClash,
            table.at_key("forbid"),
            message,
            label,
        ));
        return None;
    }
    if forbids {
        skip_motion(table);
        return forbid;
    }
    let joint = table.need("joint");
    let motion = table.need("motion");
    let degrees = table.need("degrees");
    let margin = table.need("margin_degrees");
    Some(LimitRule::Motion {
        joint: joint?,
        motion: motion?,
        degrees: degrees?,
        margin: margin?,
    })
}

fn skip_motion(table: &mut TableReader<'_>) {
    table.may::<Joint>("joint");
    table.may::<Motion>("motion");
    table.may::<LimitDegrees>("degrees");
    table.may::<Degrees>("margin_degrees");
}

fn forbid(table: &mut TableReader<'_>) -> Option<LimitRule> {
    let weight_bearing = table
        .may::<BTreeSet<LegLoad>>("weight_bearing")
        .unwrap_or_default();
    let tags = table.may::<BTreeSet<TagId>>("tags").unwrap_or_default();
    let modes = table.may::<BTreeSet<Mode>>("modes").unwrap_or_default();
    let positions = table
        .may::<BTreeSet<Position>>("positions")
        .unwrap_or_default();
    let nothing =
        weight_bearing.is_empty() && tags.is_empty() && modes.is_empty() && positions.is_empty();
    if nothing {
        let message = "`forbid` forbids nothing";
        table.tell(Problem::new(Code::EmptyList, table.at(), message, ""));
        return None;
    }
    Some(LimitRule::Forbid {
        weight_bearing,
        tags,
        modes,
        positions,
    })
}

/// Reads until when it stands: by day, or as long as the order does.
fn span(table: &mut TableReader<'_>) -> Option<LimitSpan> {
    let until = table.may::<FromOrder>("until");
    let by_order = table.has("until");
    if by_order == table.has("from_day") {
        window::may(table);
        let message = "a limit needs `from_day` or `until`, and not both";
        table.tell(Problem::new(
            Code::KeysClash,
            table.at_key("until"),
            message,
            "",
        ));
        return None;
    }
    let window = window::may(table);
    if by_order {
        return until.map(|FromOrder| LimitSpan::Order);
    }
    window.map(LimitSpan::Days)
}

fn limit_words(table: &mut TableReader<'_>, places: &[&str]) -> Option<LimitWords> {
    let rule = plain_text::need(table, "rule", places);
    let why = plain_text::need(table, "why", places);
    Some(LimitWords {
        rule: rule?,
        why: why?,
    })
}
