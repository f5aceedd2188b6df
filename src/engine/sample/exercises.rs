//! The made-up exercises.

use std::collections::BTreeMap;

use crate::domain::dose::{Amount, Often};
use crate::domain::exercise::{AimRule, Behind, Demand, Exercise, Peak, Rung};
use crate::domain::ids::ExerciseId;
use crate::domain::pose::Pose;
use crate::domain::source::Source;
use crate::domain::word::{
    Fact, LegLoad, Lever, Mode, Motion, Position, Row, Sides, Support, Work, YesNo,
};

use super::{angle, at_least, at_most, counted, id, is, joint, n, origin};

fn rung(name: &str, lever: Option<Lever>, amount: Amount, times: i64) -> Rung {
    Rung {
        id: id(name),
        lever,
        amount,
        often: Often::Times(n(times)),
        days_a_week: n(7),
        loaded: YesNo::No,
        taught: YesNo::No,
        entry: Vec::new(),
        needs: [].into(),
        load_g: None,
        band: None,
        support: None,
        height_cm: None,
        seat_cm: None,
        range_degrees: None,
        lower_s: None,
        how: None,
        weight_bearing: None,
        tags: [].into(),
        source: Source::Practice,
        origin: origin(),
    }
}

fn demand(motion: Motion, peak: i64, load: LegLoad, tags: &[&str]) -> Demand {
    Demand {
        joint: joint(),
        motion,
        peak: Peak::Fixed(angle(peak)),
        mode: Mode::Active,
        weight_bearing: load,
        arm_load: YesNo::No,
        tags: tags.iter().map(|tag| id(tag)).collect(),
        clip_floor: None,
    }
}

fn exercise(
    name: &str,
    position: Position,
    effort: i64,
    domains: &[(&str, i64)],
    rungs: Vec<Rung>,
) -> Exercise {
    Exercise {
        id: id(name),
        trade_name: name.to_owned(),
        aim: String::new(),
        row: Row::Exercise,
        family: None,
        domains: domains
            .iter()
            .map(|(name, weight)| (id(name), n(*weight)))
            .collect(),
        work: Work::Other,
        position,
        sides: Sides::Operated,
        needs: [].into(),
        needs_orders: [].into(),
        effort: n(effort),
        tempo_s: n(2),
        changeover_s: n(30),
        entry: Vec::new(),
        leave: Vec::new(),
        behind: None,
        aim_rule: None,
        stay: Vec::new(),
        reported: None,
        unreported_kept: [].into(),
        swaps: Vec::new(),
        hands: Vec::new(),
        gentler: [].into(),
        demands: vec![demand(Motion::Extension, 0, LegLoad::None, &[])],
        rungs,
        stop: Vec::new(),
        pose: Pose::plain(origin()),
        words: BTreeMap::new(),
        source: Source::Practice,
        origin: origin(),
    }
}

/// Range work that may be clipped, has an aim and is done more often while behind.
fn bend() -> Exercise {
    let rungs = [3, 5, 10, 15]
        .iter()
        .zip(1..)
        .map(|(hold, at)| {
            let lever = (at > 1).then_some(Lever::Hold);
            rung(&format!("b{at}"), lever, counted(1, 10, *hold), 3)
        })
        .collect();
    let mut bend = exercise("bend", Position::Lying, 2, &[("range", 3)], rungs);
    bend.work = Work::Range;
    bend.demands = vec![demand(Motion::Flexion, 125, LegLoad::None, &[])];
    bend.demands[0].clip_floor = Some(angle(40));
    bend.behind = Some(Behind {
        fact: Fact::Flexion,
        times_a_day: n(4),
        source: Source::Practice,
    });
    bend.aim_rule = Some(AimRule {
        fact: Fact::Flexion,
        round_down_to: angle(5),
        plus: angle(5),
        at_most: angle(125),
        source: Source::Practice,
    });
    bend
}

/// Range work by the clock.
fn straight() -> Exercise {
    let timed = |minutes| Amount::Timed {
        minutes: n(minutes),
    };
    let rungs = vec![
        rung("s1", None, timed(2), 2),
        rung("s2", Some(Lever::Minutes), timed(3), 2),
        rung("s3", Some(Lever::Minutes), timed(5), 2),
    ];
    let mut straight = exercise("straight", Position::Lying, 1, &[("range", 2)], rungs);
    straight.work = Work::Range;
    straight
}

/// Strength with weights on its upper rungs.
fn lift() -> Exercise {
    let loaded = |name: &str, lever, repetitions| Rung {
        loaded: YesNo::Yes,
        days_a_week: n(3),
        load_g: Some(n(500)),
        needs: [id("weight")].into(),
        entry: vec![at_least(Fact::Day, 28), at_most(Fact::Lag, 5)],
        ..rung(name, Some(lever), counted(3, repetitions, 2), 1)
    };
    let rungs = vec![
        rung("l1", None, counted(1, 5, 2), 2),
        rung("l2", Some(Lever::Repetitions), counted(1, 8, 2), 2),
        rung("l3", Some(Lever::Sets), counted(2, 8, 2), 2),
        rung("l4", Some(Lever::Repetitions), counted(2, 10, 2), 2),
        loaded("l5", Lever::Load, 8),
        loaded("l6", Lever::Repetitions, 10),
    ];
    let mut lift = exercise("lift", Position::Lying, 5, &[("strength", 3)], rungs);
    lift.entry = vec![at_most(Fact::Lag, 10)];
    lift.swaps = vec![id("push")];
    lift.gentler = [id("push")].into();
    lift
}

fn push() -> Exercise {
    let rungs = vec![
        rung("u1", None, counted(1, 10, 3), 2),
        rung("u2", Some(Lever::Hold), counted(1, 10, 5), 2),
    ];
    exercise("push", Position::Lying, 1, &[("strength", 2)], rungs)
}

/// Standing up: full load, less and less hand support.
fn rise() -> Exercise {
    let with = |name: &str, lever, repetitions, support| Rung {
        support: Some(support),
        ..rung(name, lever, counted(1, repetitions, 0), 2)
    };
    let rungs = vec![
        with("r1", None, 5, Support::TwoHands),
        with("r2", Some(Lever::Repetitions), 8, Support::TwoHands),
        Rung {
            tags: [id("balancing")].into(),
            ..with("r3", Some(Lever::Support), 8, Support::None)
        },
    ];
    let domains = [("function", 3), ("strength", 1)];
    let mut rise = exercise("rise", Position::Sitting, 4, &domains, rungs);
    rise.needs = [id("chair")].into();
    rise.demands = vec![demand(Motion::Flexion, 80, LegLoad::Full, &["deep"])];
    rise
}

/// Balance: a rung that must be shown first.
fn poise() -> Exercise {
    let mut first = rung("p1", None, counted(1, 10, 3), 2);
    first.taught = YesNo::Yes;
    first.support = Some(Support::TwoHands);
    let mut second = rung("p2", Some(Lever::Support), counted(1, 10, 3), 2);
    second.support = Some(Support::Fingertips);
    let rungs = vec![first, second];
    let mut poise = exercise("poise", Position::Standing, 3, &[("balance", 3)], rungs);
    poise.demands = vec![demand(Motion::Extension, 0, LegLoad::Full, &["balancing"])];
    poise
}

fn pump() -> Exercise {
    let mut first = rung("m1", None, counted(1, 10, 0), 1);
    first.often = Often::Hourly;
    let mut pump = exercise(
        "pump",
        Position::Lying,
        1,
        &[("circulation", 3)],
        vec![first],
    );
    pump.row = Row::Background;
    pump.leave = vec![at_least(Fact::Day, 21)];
    pump
}

fn stroll() -> Exercise {
    let timed = |minutes| Amount::Timed {
        minutes: n(minutes),
    };
    let mut second = rung("w2", Some(Lever::Minutes), timed(7), 3);
    second.entry = vec![at_least(Fact::Day, 7)];
    let rungs = vec![rung("w1", None, timed(5), 3), second];
    let mut stroll = exercise("stroll", Position::Walking, 2, &[("gait", 3)], rungs);
    stroll.row = Row::Daily;
    stroll.demands = vec![demand(Motion::Extension, 0, LegLoad::Partial, &[])];
    stroll
}

/// A daily row whose rungs each fit one way of walking.
fn aid() -> Exercise {
    let five = Amount::Timed { minutes: n(5) };
    let mut first = rung("a1", None, five, 1);
    first.entry = vec![is(Fact::WalkingAid, &["frame"])];
    let mut second = rung("a2", Some(Lever::Task), five, 1);
    second.entry = vec![is(Fact::WalkingAid, &["one-stick"])];
    let rungs = vec![first, second];
    let mut aid = exercise("aid", Position::Walking, 1, &[("gait", 1)], rungs);
    aid.row = Row::Daily;
    aid
}

/// Every made-up exercise.
pub(super) fn all() -> BTreeMap<ExerciseId, Exercise> {
    vec![
        bend(),
        straight(),
        lift(),
        push(),
        rise(),
        poise(),
        pump(),
        stroll(),
        aid(),
    ]
    .into_iter()
    .map(|exercise| (exercise.id.clone(), exercise))
    .collect()
}
