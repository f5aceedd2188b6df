//! Reads limits.

use std::collections::BTreeSet;

use crate::domain::ids::LimitId;
use crate::domain::limit::{Limit, LimitDegrees, LimitRule, LimitSpan, LimitWords, MotionOf, When};
use crate::domain::quantity::Degrees;
use crate::domain::word::{Joint, LimitLevel, Mode, Motion};

use super::super::codes::Code;
use super::super::kind::{Keys, Kind, Kinded, may, may_as, need};
use super::super::node::{Node, Value};
use super::super::plain_text::{self, SIDES};
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::reading::Reading;
use super::super::values::{AnyOrder, At, FromOrder, Readable};
use super::super::window;
use super::super::wrong::wrong_kind;
use super::{BEFORE, MAY_FROM, SOURCE, forbid, once, profile};

pub(super) static LIMIT: Keys = Keys {
    what: "a limit",
    keys: &[
        need::<LimitId>("id", "Its id."),
        need::<When>("when", "What brings it into force."),
        may::<AnyOrder>("profile", "Only while this profile counts."),
        may::<Joint>("joint", "The joint of a motion that is limited."),
        may::<Motion>("motion", "The motion."),
        may::<LimitDegrees>("degrees", "The most allowed."),
        may::<Degrees>("margin_degrees", "Taken off for safety."),
        may::<BTreeSet<Mode>>("modes", "Only while it is made in one of these ways."),
        may_as(
            "forbid",
            Kind::Table(&forbid::FORBID),
            "Kinds of work that are not allowed.",
        ),
        may_as(
            "all_of",
            Kind::Tables(&forbid::CONDITION),
            "Things that are not allowed at once.",
        ),
        need::<LimitLevel>("level", "Whether the clinician may set it aside."),
        MAY_FROM,
        BEFORE,
        may::<FromOrder>("until", "\"order\": as long as the surgeon's order stands."),
        may::<String>("act", "What the clinician does while it stands."),
        may_as(
            "words",
            Kind::Either("a table by language"),
            "What the patient reads.",
        ),
        SOURCE,
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
    let profile = profile::named(table, "profile");
    let rule = rule(table);
    let level = table.need("level");
    let span = span(table);
    let act = table.may("act");
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
            profile,
            when: when?,
            rule: rule?,
            level: level?,
            span: span?,
            act,
            words,
            source: source?,
            origin,
        })
    };
    let limit = limit();
    (id, limit)
}

/// The keys of which a limit has just one group.
const GROUPS: [&[&str]; 3] = [
    &["joint", "motion", "degrees", "margin_degrees", "modes"],
    &["forbid"],
    &["all_of"],
];

fn rule(table: &mut TableReader<'_>) -> Option<LimitRule> {
    let there = GROUPS.map(|keys| keys.iter().any(|name| table.has(name)));
    let of = of_motion(table, there[0] && !there[1] && !there[2]);
    let forbid = table.may_table("forbid", &forbid::FORBID, forbid::kinds);
    let all_of = forbid::all_of(table);
    let known = there.iter().filter(|there| **there).count();
    if known != 1 {
        let message = "a limit stops a motion (`joint`, `motion`, `degrees`, `margin_degrees`), or has `forbid`, or has `all_of`";
        let label = if known == 0 {
            "none is here"
        } else {
            "only one of them"
        };
        let second = GROUPS.iter().zip(there).rev().find(|(_, there)| *there);
        let at = second.map_or_else(
            || table.at(),
            |(keys, _)| table.at_key(keys.first().unwrap_or(&"id")),
        );
        table.tell(Problem::new(Code::KeysClash, at, message, label));
        return None;
    }
    of.or(forbid.map(LimitRule::Forbid))
        .or(all_of.map(LimitRule::AllOf))
}

/// Reads a motion that stops at an angle; its keys are asked for in any case.
fn of_motion(table: &mut TableReader<'_>, needed: bool) -> Option<LimitRule> {
    let modes = table.may::<BTreeSet<Mode>>("modes").unwrap_or_default();
    if !needed {
        table.may::<Joint>("joint");
        table.may::<Motion>("motion");
        table.may::<LimitDegrees>("degrees");
        table.may::<Degrees>("margin_degrees");
        return None;
    }
    let joint = table.need("joint");
    let motion = table.need("motion");
    let degrees = table.need("degrees");
    let margin = table.need("margin_degrees");
    Some(LimitRule::Motion {
        of: MotionOf {
            joint: joint?,
            motion: motion?,
        },
        modes,
        degrees: degrees?,
        margin: margin?,
    })
}

/// Reads until when it stands: by day, or as long as the order does.
fn span(table: &mut TableReader<'_>) -> Option<LimitSpan> {
    let until = table.may::<FromOrder>("until");
    let by_order = table.has("until");
    if by_order && table.has("profile") {
        // The usual profile counts without an order, so there would be no end.
        window::may(table);
        let message = "a limit of a profile stands by its days, not as long as an order";
        let problem = Problem::new(Code::KeysClash, table.at_key("until"), message, "");
        table.tell(problem.help("give it `from_day`, and `before_day` where it ends"));
        return None;
    }
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
