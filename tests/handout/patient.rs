//! A made-up record and the program decided for it on day 12.

use std::collections::{BTreeMap, BTreeSet};

use banister::domain::dose::Dose;
use banister::domain::exercise::Exercise;
use banister::domain::fact::{Dated, FactValue, Facts};
use banister::domain::library::Library;
use banister::domain::limit::{LimitDegrees, LimitRule, MotionOf};
use banister::domain::record::{
    Done, Episode, Measured, NextVisit, Order, OrderValue, Pain, Patient, Record, Until, Visit,
};
use banister::domain::recorded::Recorded;
use banister::domain::time::{Day, OperationDate, VisitDate};
use banister::domain::verdict::{
    DayLoad, Given, Item, Life, LimitInForce, Mark, Program, RuleId, Step, Why,
};
use banister::domain::word::{Fact, How, Joint, Motion, Seen, Side, Slot};

use super::sample::{date, id, not_recorded, origin, q, rung_id};

pub fn patient() -> Patient {
    Patient {
        age: Recorded::Yes(q(72)),
        height_cm: not_recorded(),
        conditions: Recorded::Yes(BTreeSet::new()),
        frailty: not_recorded(),
        surgeon: not_recorded(),
        positions_no: not_recorded(),
        equipment: not_recorded(),
        home: not_recorded(),
        day: not_recorded(),
        pain_medicine: not_recorded(),
        goal: Recorded::Yes("Walk to the shop {and} back.".to_owned()),
    }
}

pub fn visit() -> Visit {
    Visit {
        n: 2,
        date: date(11, 24),
        how: How::Seen,
        by: "PT-1".to_owned(),
        corrects: None,
        screen: Recorded::Yes(BTreeMap::new()),
        cleared_for_home_by: not_recorded(),
        block_gone: not_recorded(),
        did: not_recorded(),
        measured: Measured {
            flexion: Recorded::Yes(q(82)),
            extension_deficit: not_recorded(),
            lag: not_recorded(),
            leg_lift: not_recorded(),
            walking_aid: not_recorded(),
            stance_s: not_recorded(),
            walk_minutes: not_recorded(),
            limp: not_recorded(),
            stairs_practised: not_recorded(),
        },
        pain: Pain {
            rest: not_recorded(),
            exercise: Recorded::Yes(q(4)),
            medicine_before: not_recorded(),
            morning: not_recorded(),
            bad_mornings: not_recorded(),
        },
        swelling: not_recorded(),
        next_visit: Recorded::Yes(NextVisit::Date(date(12, 1))),
        patient: patient(),
        done: vec![Done {
            exercise: id("quad-set"),
            done: not_recorded(),
            asked: not_recorded(),
            seen: Recorded::Yes(Seen::Yes),
            well_at: not_recorded(),
            during: not_recorded(),
            morning: not_recorded(),
        }],
        adjust: Vec::new(),
        phase: None,
        issued: None,
        closed: None,
        kept: None,
        seal: None,
        origin: origin(),
    }
}

pub fn record() -> Record {
    Record {
        episode: Episode {
            token: "EX-0001".to_owned(),
            clinic: id("alder-row"),
            procedure: id("knee-total"),
            joint: Joint::Knee,
            side: Side::Right,
            operation: OperationDate(date(11, 12)),
            language: "en".to_owned(),
            needs: not_recorded(),
        },
        patient: patient(),
        orders: Vec::new(),
        clearances: Vec::new(),
        overrides: Vec::new(),
        corrections: Vec::new(),
        visits: vec![visit()],
    }
}

/// A line of the program at the given rung, done at the given slots.
pub fn item(exercise: &Exercise, at: usize, dose: Dose, slots: &[Slot]) -> Item {
    let rung = rung_id(exercise, at);
    let given = Given {
        rung: rung.clone(),
        dose: dose.clone(),
    };
    Item {
        exercise: exercise.id.clone(),
        rung,
        dose,
        slots: slots.to_vec(),
        weekdays: Vec::new(),
        rests_until: None,
        mark: Mark::Same,
        seconds: 120,
        steps: vec![Step {
            rule: RuleId("D701"),
            before: None,
            after: given,
            why: Why::PhaseStart {
                phase: id("motion"),
            },
        }],
        next: Vec::new(),
    }
}

pub fn program(library: &Library, items: Vec<Item>) -> Program {
    assert!(
        items
            .iter()
            .all(|item| library.exercises.contains_key(&item.exercise))
    );
    Program {
        date: VisitDate(date(11, 24)),
        day: Day::new(12),
        life: Life {
            from: date(11, 24),
            until: date(12, 1),
            next_visit: NextVisit::Date(date(12, 1)),
            slip_until: date(12, 15),
        },
        phase: id("motion"),
        held_by: Vec::new(),
        targets_unmet: Vec::new(),
        response: not_recorded(),
        flags: Vec::new(),
        stood: Vec::new(),
        orders: Vec::new(),
        limits: Vec::new(),
        profiles: Vec::new(),
        overridden: Vec::new(),
        reviews: Vec::new(),
        items,
        background: Vec::new(),
        daily: Vec::new(),
        stages: Vec::new(),
        gone: Vec::new(),
        left_out: Vec::new(),
        set_aside: Vec::new(),
        slots: vec![Slot::Breakfast, Slot::Midday, Slot::Evening],
        care: vec![id("cold"), id("sleep")],
        usual: vec![id("warm")],
        not_usual: vec![id("rising")],
        milestones: vec![id("chair")],
        load: DayLoad {
            exercises: 40,
            walks: 15,
            care: 40,
            session: 15,
        },
        notices: BTreeSet::new(),
        facts: Facts(BTreeMap::from([(
            Fact::Flexion,
            Dated {
                value: FactValue::Number(82),
                on: Day::new(12),
            },
        )])),
        fired: BTreeSet::from([RuleId("D701")]),
    }
}

/// The surgeon's cap of 90 degrees with its margin taken off.
pub fn bend_cap() -> LimitInForce {
    LimitInForce {
        limit: id("bend-order"),
        rule: LimitRule::Motion {
            of: MotionOf {
                joint: Joint::Knee,
                motion: Motion::Flexion,
            },
            modes: [].into(),
            degrees: LimitDegrees::FromOrder,
            margin: q(5),
        },
        degrees: Some(q(90)),
        stop_at: Some(q(85)),
        order: Some(Order {
            id: None,
            what: id("flexion-cap"),
            value: OrderValue::Degrees(q(90)),
            by: "SURG-A".to_owned(),
            on: date(11, 12),
            from: None,
            document: "operation note".to_owned(),
            until: Until::Date(date(12, 24)),
            replaces: None,
            origin: origin(),
        }),
        until: Until::Date(date(12, 24)),
    }
}
