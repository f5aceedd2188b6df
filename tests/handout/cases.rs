//! The program most tests write down: six exercises, one cap, one flag, new and changed lines.

use banister::domain::dose::{Dose, Often};
use banister::domain::exercise::{Exercise, Rung};
use banister::domain::ids::Id;
use banister::domain::library::Library;
use banister::domain::verdict::{
    FlagRaised, LeftOut, Mark, NextRung, Program, RaisedBy, RuleId, WhyNot,
};
use banister::domain::word::{
    FlagEffect, Level, Lever, Position, Row, Sides, Slot, Support, Work, YesNo,
};
use chrono::Weekday;

use super::patient::{bend_cap, item, program};
use super::sample::{counted, date, dose, exercise, id, library, q, rung, timed, times};

pub const ALL_DAY: [Slot; 3] = [Slot::Breakfast, Slot::Midday, Slot::Evening];

fn quad_set() -> Exercise {
    let first = dose(counted(1, 10, 3, 5, 0), times(3));
    let next = dose(counted(1, 10, 5, 5, 0), times(3));
    exercise(
        "quad-set",
        "Squeeze your thigh",
        "Squeeze thigh",
        Position::Lying,
        vec![rung("q1", &first), rung("q2", &next)],
    )
}

fn heel_slide() -> Exercise {
    let mut slide = dose(counted(1, 10, 5, 3, 0), times(3));
    slide.how = Some(id("strap"));
    let mut made = exercise(
        "heel-slide",
        "Slide your heel",
        "Slide heel",
        Position::Lying,
        vec![rung("s1", &slide)],
    );
    made.needs = [id("bed"), id("strap")].into();
    made.stop.push(id("wound-leaks"));
    made
}

fn leg_raise() -> Exercise {
    let raise = dose(counted(3, 10, 2, 3, 60), times(1));
    let mut made = exercise(
        "leg-raise",
        "Lift your straight leg",
        "Lift leg",
        Position::Lying,
        vec![rung("l1", &raise)],
    );
    made.sides = Sides::Either;
    made
}

fn chair_bend() -> Exercise {
    let bend = dose(counted(1, 6, 30, 10, 0), times(3));
    exercise(
        "chair-bend",
        "Bend your knee in a chair",
        "Chair bend",
        Position::Sitting,
        vec![rung("c1", &bend)],
    )
}

pub fn stand_doses() -> [Dose; 3] {
    let stand = |sets, repetitions, hands| {
        let mut made = dose(counted(sets, repetitions, 0, 2, 60), times(2));
        made.support = Some(hands);
        made.seat_cm = Some(q(50));
        made
    };
    [
        stand(1, 10, Support::TwoHands),
        stand(2, 8, Support::TwoHands),
        stand(2, 8, Support::OneHand),
    ]
}

fn sit_to_stand() -> Exercise {
    let rungs: Vec<Rung> = stand_doses()
        .iter()
        .zip(["t1", "t2", "t3"])
        .map(|(dose, id)| rung(id, dose))
        .collect();
    exercise(
        "sit-to-stand",
        "Stand up from a chair",
        "Stand up",
        Position::Sitting,
        rungs,
    )
}

fn step_up() -> Exercise {
    let mut step = dose(counted(3, 8, 0, 2, 90), times(1));
    step.height_cm = Some(q(15));
    step.load_g = Some(q(1000));
    step.days_a_week = q(3);
    let mut loaded = rung("u1", &step);
    loaded.loaded = YesNo::Yes;
    let mut made = exercise(
        "step-up",
        "Step up",
        "Step up",
        Position::Standing,
        vec![loaded],
    );
    made.stop.push(id("giving-way"));
    made.work = Work::Other;
    made
}

fn walking() -> Exercise {
    let walk = dose(timed(5), times(3));
    let mut made = exercise(
        "walking",
        "Walk",
        "Walk",
        Position::Walking,
        vec![rung("wk1", &walk)],
    );
    made.row = Row::Daily;
    made
}

fn ankle_pump() -> Exercise {
    let pump = dose(counted(1, 10, 0, 0, 0), Often::Hourly);
    let mut made = exercise(
        "ankle-pump",
        "Pump your ankles",
        "Pump ankles",
        Position::Lying,
        vec![rung("a1", &pump)],
    );
    made.row = Row::Background;
    made
}

pub fn full_library() -> Library {
    library(vec![
        quad_set(),
        heel_slide(),
        leg_raise(),
        chair_bend(),
        sit_to_stand(),
        step_up(),
        walking(),
        ankle_pump(),
        exercise(
            "bike",
            "Ride the bike",
            "Bike",
            Position::Bike,
            vec![rung("x1", &dose(timed(5), times(1)))],
        ),
        exercise(
            "old-one",
            "Tighten your buttocks",
            "Squeeze seat",
            Position::Lying,
            vec![rung("o1", &dose(counted(1, 10, 5, 5, 0), times(3)))],
        ),
    ])
}

fn dose_of(library: &Library, name: &str, at: usize) -> (Exercise, Dose) {
    let exercise = library.exercises[&id(name)].clone();
    let rung = &exercise.rungs[at];
    let made = Dose {
        amount: rung.amount,
        often: rung.often,
        days_a_week: rung.days_a_week,
        aim: None,
        limit: None,
        range_degrees: rung.range_degrees,
        height_cm: rung.height_cm,
        seat_cm: rung.seat_cm,
        load_g: rung.load_g,
        band: rung.band,
        support: rung.support,
        lower_s: rung.lower_s,
        how: rung.how.clone(),
    };
    (exercise, made)
}

/// A follow-up on day 12, with a cap of 90 degrees and a wet wound.
pub fn follow_up() -> (Library, Program) {
    let library = full_library();
    let (quad, quad_dose) = dose_of(&library, "quad-set", 1);
    let (slide, mut slide_dose) = dose_of(&library, "heel-slide", 0);
    slide_dose.aim = Some(q(85));
    slide_dose.limit = Some(q(85));
    let (raise, raise_dose) = dose_of(&library, "leg-raise", 0);
    let (chair, mut chair_dose) = dose_of(&library, "chair-bend", 0);
    chair_dose.aim = Some(q(90));
    let (stand, stand_dose) = dose_of(&library, "sit-to-stand", 0);
    let (step, step_dose) = dose_of(&library, "step-up", 0);
    let mut items = vec![
        item(&quad, 1, quad_dose.clone(), &ALL_DAY),
        item(&slide, 0, slide_dose, &ALL_DAY),
        item(&raise, 0, raise_dose, &[Slot::Evening]),
        item(&chair, 0, chair_dose, &ALL_DAY),
        item(&stand, 0, stand_dose, &[Slot::Breakfast, Slot::Evening]),
        item(&step, 0, step_dose, &[Slot::Midday]),
    ];
    let mut before = quad_dose;
    before.amount = counted(1, 10, 3, 5, 0);
    items[0].mark = Mark::Changed {
        from: Box::new(before),
    };
    items[4].mark = Mark::New;
    let [_, more, one_hand] = stand_doses();
    items[4].next = vec![
        next(28, "t2", more, Lever::Sets),
        next(30, "t3", one_hand, Lever::Support),
    ];
    items[5].weekdays = vec![Weekday::Mon, Weekday::Wed, Weekday::Fri];
    items[5].rests_until = Some(date(11, 26));
    let mut made = program(&library, items);
    let (walk, walk_dose) = dose_of(&library, "walking", 0);
    made.daily = vec![item(&walk, 0, walk_dose, &ALL_DAY)];
    let (pump, pump_dose) = dose_of(&library, "ankle-pump", 0);
    made.background = vec![item(&pump, 0, pump_dose, &[])];
    made.gone = vec![id("bike"), id("old-one")];
    made.left_out = vec![
        left_out(
            "bike",
            WhyNot::Forbidden {
                limit: id("bend-order"),
            },
        ),
        left_out("old-one", WhyNot::LessNeeded),
    ];
    made.limits = vec![bend_cap()];
    made.flags = vec![FlagRaised {
        flag: id("wound"),
        level: Level::SameDay,
        effect: FlagEffect::Restrict,
        rule: RuleId("D105"),
        why: RaisedBy::Yes,
    }];
    (library, made)
}

fn next(day: u32, rung: &str, dose: Dose, lever: Lever) -> NextRung {
    NextRung {
        from: date(11, day),
        rung: id(rung),
        dose,
        lever,
    }
}

pub fn left_out(name: &str, reason: WhyNot) -> LeftOut {
    LeftOut {
        exercise: Id::new(name).unwrap(),
        reason,
        rule: RuleId("D801"),
        was_issued: true,
        offered: None,
    }
}

/// A first sheet with two exercises, nothing to compare with.
pub fn first_sheet() -> (Library, Program) {
    let library = full_library();
    let (quad, quad_dose) = dose_of(&library, "quad-set", 0);
    let (chair, mut chair_dose) = dose_of(&library, "chair-bend", 0);
    chair_dose.aim = Some(q(70));
    let mut items = vec![
        item(&quad, 0, quad_dose, &ALL_DAY),
        item(&chair, 0, chair_dose, &ALL_DAY),
    ];
    for item in &mut items {
        item.mark = Mark::First;
    }
    let made = program(&library, items);
    (library, made)
}
