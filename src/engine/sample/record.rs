//! The made-up record and what tests change in it.

use std::collections::BTreeMap;

use crate::domain::correction::{Correction, PutRight};
use crate::domain::ids::FlagId;
use crate::domain::record::{
    Adjust, Done, Episode, Issued, IssuedItem, Measured, Order, OrderValue, Pain, Patient,
    PatientDay, PhaseSet, Record, Until, Visit,
};
use crate::domain::recorded::Recorded::{self, NotRecorded, Yes};
use crate::domain::time::OperationDate;
use crate::domain::word::{
    AdjustAction, Did, How, Morning, ScreenAnswer, Side, Slot, Swelling, WeightBearing, YesNo,
};
use crate::engine::amount;

use super::{angle, id, joint, library, n, on, origin};

fn patient() -> Patient {
    Patient {
        age: NotRecorded,
        height_cm: NotRecorded,
        conditions: Yes([].into()),
        frailty: NotRecorded,
        surgeon: Yes(id("surgeon")),
        positions_no: Yes([].into()),
        equipment: Yes([id("bed"), id("chair"), id("weight")].into()),
        home: NotRecorded,
        day: NotRecorded,
        pain_medicine: NotRecorded,
        goal: NotRecorded,
    }
}

const fn nothing() -> Measured {
    Measured {
        flexion: NotRecorded,
        extension_deficit: NotRecorded,
        lag: NotRecorded,
        leg_lift: NotRecorded,
        walking_aid: NotRecorded,
        stance_s: NotRecorded,
        walk_minutes: NotRecorded,
        limp: NotRecorded,
        stairs_practised: NotRecorded,
    }
}

fn visit(n_th: i64, day: i64) -> Visit {
    let flags = ["tired", "clot", "lift-lost", "wound"];
    let screen: BTreeMap<FlagId, ScreenAnswer> = flags
        .iter()
        .map(|flag| (id(flag), ScreenAnswer::No))
        .collect();
    Visit {
        n: n_th,
        date: on(day),
        how: How::Seen,
        by: "PT".to_owned(),
        corrects: None,
        screen: Yes(screen),
        cleared_for_home_by: NotRecorded,
        block_gone: Yes(YesNo::Yes),
        did: Yes(Did::All),
        measured: nothing(),
        pain: Pain {
            rest: NotRecorded,
            exercise: Yes(n(3)),
            medicine_before: NotRecorded,
            morning: Yes(Morning::Same),
            bad_mornings: NotRecorded,
        },
        swelling: Yes(Swelling::Same),
        next_visit: NotRecorded,
        patient: patient(),
        done: Vec::new(),
        adjust: Vec::new(),
        phase: None,
        issued: None,
        closed: None,
        kept: None,
        seal: None,
        origin: origin(),
    }
}

/// A record with one visit on a day, everything asked and nothing wrong.
pub(crate) fn record(day: i64) -> Record {
    Record {
        episode: Episode {
            token: "X-1".to_owned(),
            clinic: id("clinic"),
            procedure: id("made-up"),
            joint: joint(),
            side: Side::Left,
            operation: OperationDate(on(0)),
            language: "en".to_owned(),
            needs: NotRecorded,
        },
        patient: patient(),
        orders: Vec::new(),
        clearances: Vec::new(),
        overrides: Vec::new(),
        corrections: Vec::new(),
        visits: vec![visit(1, day)],
    }
}

/// Adds an earlier visit, with a sheet when there are lines; visits are numbered again by date.
pub(crate) fn earlier(record: &mut Record, day: i64, lines: &[(&str, &str)]) {
    let mut earlier = visit(0, day);
    if !lines.is_empty() {
        earlier.issued = Some(Issued {
            sheet: 1,
            use_from: on(day),
            use_until: on(day + 14),
            program: "0.1.0".to_owned(),
            library: String::new(),
            clinic_files: String::new(),
            phase: Some(id("early")),
            items: Vec::new(),
            files: Vec::new(),
            origin: origin(),
        });
    }
    record.visits.push(earlier);
    record.visits.sort_by_key(|visit| visit.date);
    for (visit, number) in record.visits.iter_mut().zip(1..) {
        visit.n = number;
    }
    let at = record.visits.iter().position(|v| v.date == on(day));
    for (exercise, rung) in lines {
        issue_too(record, at.unwrap(), exercise, rung);
    }
}

/// Adds a line to a sheet that went out.
pub(crate) fn issue_too(record: &mut Record, at: usize, exercise: &str, rung: &str) {
    let library = library();
    let known = &library.exercises[&id(exercise)];
    let (_, found) = known.rung(&id(rung)).unwrap();
    issued(record, at).items.push(IssuedItem {
        exercise: id(exercise),
        rung: id(rung),
        dose: amount::of_rung(found),
        slots: Vec::new(),
        may_reach: Vec::new(),
    });
}

/// Finds a sheet that went out.
pub(crate) fn issued(record: &mut Record, at: usize) -> &mut Issued {
    record.visits[at].issued.as_mut().unwrap()
}

/// Takes back every answer to the last dose.
pub(crate) fn silent(record: &mut Record, at: usize) {
    let visit = &mut record.visits[at];
    visit.pain.exercise = NotRecorded;
    visit.pain.morning = NotRecorded;
    visit.swelling = NotRecorded;
    visit.did = NotRecorded;
}

/// Answers one flag at the last visit.
pub(crate) fn answer(record: &mut Record, flag: &str, answer: ScreenAnswer) {
    if let Some(Recorded::Yes(screen)) = record.visits.last_mut().map(|visit| &mut visit.screen) {
        screen.insert(id(flag), answer);
    }
}

/// Adds a condition at the last visit.
pub(crate) fn condition(record: &mut Record, condition: &str) {
    let patient = record.visits.last_mut().map(|visit| &mut visit.patient);
    if let Some(Recorded::Yes(conditions)) = patient.map(|patient| &mut patient.conditions) {
        conditions.insert(id(condition));
    }
}

/// Finds, or adds, what was done of an exercise.
pub(crate) fn done<'a>(record: &'a mut Record, at: usize, exercise: &str) -> &'a mut Done {
    let rows = &mut record.visits[at].done;
    rows.push(Done {
        exercise: id(exercise),
        done: NotRecorded,
        asked: NotRecorded,
        seen: NotRecorded,
        well_at: NotRecorded,
        during: NotRecorded,
        morning: NotRecorded,
    });
    rows.last_mut().unwrap()
}

/// Adds the clinician's word at the last visit.
pub(crate) fn adjust(
    record: &mut Record,
    exercise: &str,
    action: AdjustAction,
    rung: Option<&str>,
) {
    let adjust = Adjust {
        exercise: id(exercise),
        action,
        rung: Recorded::from(rung.map(id)),
        because: "Because.".to_owned(),
        by: "PT".to_owned(),
    };
    record.visits.last_mut().unwrap().adjust.push(adjust);
}

/// Sets the slots of the day at the last visit.
pub(crate) fn slots(record: &mut Record, slots: &[Slot]) {
    let day = PatientDay {
        slots: slots.to_vec(),
        minutes: NotRecorded,
    };
    record.visits.last_mut().unwrap().patient.day = Yes(day);
}

/// The clinician's word that the person stays in a phase.
pub(crate) fn stay(phase: &str) -> PhaseSet {
    PhaseSet {
        id: id(phase),
        because: "Stays.".to_owned(),
        by: "PT".to_owned(),
    }
}

fn order(kind: &str, value: OrderValue, from: i64, until: Until) -> Order {
    Order {
        id: None,
        what: id(kind),
        value,
        by: "Surgeon".to_owned(),
        on: on(from),
        from: None,
        document: "Note".to_owned(),
        until,
        replaces: None,
        origin: origin(),
    }
}

fn put_right(what: PutRight, visits: i64) -> Correction {
    Correction {
        what,
        because: "Typed wrongly.".to_owned(),
        by: "PT".to_owned(),
        on: on(30),
        visits,
        origin: origin(),
    }
}

/// The side put right after so many visits; the record holds the right one already.
pub(crate) fn side_put_right(visits: i64) -> Correction {
    let (was, now) = (Side::Right, Side::Left);
    put_right(PutRight::Side { was, now }, visits)
}

/// The day of the operation put right; it was typed as so many days after the right one.
pub(crate) fn day_put_right(was: i64, visits: i64) -> Correction {
    let (was, now) = (OperationDate(on(was)), OperationDate(on(0)));
    put_right(PutRight::Operation { was, now }, visits)
}

/// An order on what the leg may bear.
pub(crate) fn bears(bearing: WeightBearing, from: i64, until: Until) -> Order {
    order(
        "weight-bearing",
        OrderValue::WeightBearing(bearing),
        from,
        until,
    )
}

/// An order that caps the bend.
pub(crate) fn cap(degrees: i64, from: i64, until: Until) -> Order {
    order("bend-cap", OrderValue::Degrees(angle(degrees)), from, until)
}
