//! The made-up limits and modifier.

use std::collections::BTreeMap;

use crate::domain::limit::{
    Kinds, Limit, LimitDegrees, LimitRule, LimitSpan, Modifier, MotionOf, When,
};
use crate::domain::source::Source;
use crate::domain::word::{Fact, LegLoad, LimitLevel, Motion, Support};

use super::procedure::{days, from};
use super::{angle, id, is, joint, n, origin};

pub(crate) fn limit(name: &str, when: When, rule: LimitRule, span: LimitSpan) -> Limit {
    Limit {
        profile: None,
        id: id(name),
        when,
        rule,
        level: LimitLevel::Hard,
        span,
        act: None,
        words: BTreeMap::new(),
        source: Source::Practice,
        origin: origin(),
    }
}

/// Forbids nothing yet.
pub(crate) fn kinds() -> Kinds {
    Kinds {
        weight_bearing: [].into(),
        tags: [].into(),
        modes: [].into(),
        of: None,
        positions: [].into(),
        load_above: None,
    }
}

fn forbid(loads: &[LegLoad], tags: &[&str]) -> LimitRule {
    LimitRule::Forbid(Kinds {
        weight_bearing: loads.iter().copied().collect(),
        tags: tags.iter().map(|tag| id(tag)).collect(),
        ..kinds()
    })
}

fn motion(degrees: LimitDegrees, margin: i64) -> LimitRule {
    LimitRule::Motion {
        of: MotionOf {
            joint: joint(),
            motion: Motion::Flexion,
        },
        modes: [].into(),
        degrees,
        margin: angle(margin),
    }
}

/// Every made-up limit.
pub(super) fn limits() -> Vec<Limit> {
    let always = LimitSpan::Days(from(0));
    let loads = [LegLoad::Partial, LegLoad::Full, LegLoad::SingleLeg];
    vec![
        limit(
            "cap",
            When::Order(id("bend-cap")),
            motion(LimitDegrees::FromOrder, 5),
            LimitSpan::Order,
        ),
        limit(
            "no-weight",
            When::Fact(is(Fact::WeightBearing, &["none"])),
            forbid(&loads, &[]),
            LimitSpan::Order,
        ),
        limit(
            "wet-wound",
            When::Flag(id("wound")),
            motion(LimitDegrees::Fixed(angle(60)), 0),
            always,
        ),
        limit(
            "thin-bone",
            When::Condition(id("thin-bone")),
            forbid(&[], &["balancing"]),
            always,
        ),
        limit(
            "numb",
            When::Fact(is(Fact::BlockGone, &["no"])),
            forbid(&[], &["balancing"]),
            LimitSpan::Days(days(0, 4)),
        ),
    ]
}

/// The made-up modifier.
pub(super) fn modifier() -> Modifier {
    Modifier {
        id: id("weak"),
        when: When::Condition(id("weak")),
        exercises: [].into(),
        repetitions_percent: Some(n(70)),
        sets_at_most: Some(n(2)),
        hold_s_at_most: Some(n(6)),
        rest_s_at_least: Some(n(90)),
        minutes_at_most: Some(n(5)),
        load_g_at_most: Some(n(400)),
        height_cm_at_most: Some(n(10)),
        support_at_least: Some(Support::Fingertips),
        times_at_most: Some(n(2)),
        max_items: Some(n(5)),
        look_ahead: None,
        source: Source::Practice,
        origin: origin(),
    }
}
