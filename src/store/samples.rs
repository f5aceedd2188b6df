//! Made-up input shared by the tests of this module.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use chrono::NaiveDate;

use super::blocks::correction::NewCorrection;
use super::blocks::intake::{NewOrder, NewRecord, clear_block, new_record};
use super::blocks::issued::NewIssued;
use super::blocks::visit::{Changes, NewVisit, visit_block};
use super::compose::compose;
use super::issue::compose_issue;
use super::sheets::{Sheet, SheetKind};
use crate::domain::correction::PutRight;
use crate::domain::dose::{Amount, Dose, Often};
use crate::domain::ids::{ExerciseId, Id};
use crate::domain::quantity::Quantity;
use crate::domain::record::{
    Adjust, Clearance, Done, Episode, Home, IssuedItem, Measured, NextVisit, OrderValue, Pain,
    Patient, PatientDay, PhaseSet, Until,
};
use crate::domain::recorded::Recorded;
use crate::domain::time::OperationDate;
use crate::domain::word::{
    AdjustAction, Band, Did, How, Joint, LegLift, Morning, Position, PrintNeed, ScreenAnswer, Seen,
    Side, Slot, Support, Swelling, WalkingAid, YesNo,
};

pub(super) fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).unwrap()
}

pub(super) fn id<I: Id>(text: &str) -> I {
    I::new(text).unwrap()
}

pub(super) fn exercise(text: &str) -> ExerciseId {
    id(text)
}

fn yes<Q: Quantity>(value: i64) -> Recorded<Q> {
    Recorded::Yes(Q::new(value).unwrap())
}

pub(super) fn blank_patient() -> Patient {
    Changes::none().0
}

pub(super) fn full_patient() -> Patient {
    Patient {
        age: yes(70),
        height_cm: yes(171),
        conditions: Recorded::Yes(BTreeSet::new()),
        frailty: yes(3),
        surgeon: Recorded::Yes(id("s1")),
        positions_no: Recorded::Yes(BTreeSet::from([Position::Prone])),
        equipment: Recorded::Yes(BTreeSet::from([id("towel"), id("chair")])),
        home: Recorded::Yes(Home {
            alone: Recorded::Yes(YesNo::No),
            stairs: Recorded::Yes(YesNo::Yes),
            bed: Recorded::NotRecorded,
            floor_safe: Recorded::Yes(YesNo::No),
        }),
        day: Recorded::Yes(PatientDay {
            slots: vec![Slot::Breakfast, Slot::Evening],
            minutes: yes(30),
        }),
        pain_medicine: Recorded::Yes(YesNo::Yes),
        goal: Recorded::Yes("Dance at the \"Palais\".".to_owned()),
    }
}

pub(super) fn record() -> NewRecord {
    NewRecord {
        episode: Episode {
            token: "TE-0007-E1".to_owned(),
            clinic: id("mill-lane"),
            procedure: id("knee-total"),
            joint: Joint::Knee,
            side: Side::Left,
            operation: OperationDate(day(2026, 5, 4)),
            language: "en".to_owned(),
            needs: Recorded::Yes(BTreeSet::from([PrintNeed::LargePrint])),
        },
        patient: blank_patient(),
        orders: Vec::new(),
    }
}

pub(super) fn new_order(id_text: &str) -> NewOrder {
    NewOrder {
        id: id_text.to_owned(),
        what: id("flexion-cap"),
        value: OrderValue::Degrees(Quantity::nearest(90)),
        by: "Dr Test".to_owned(),
        on: day(2026, 5, 4),
        from: None,
        document: "operation note".to_owned(),
        replaces: None,
        until: Until::Date(day(2026, 6, 1)),
    }
}

pub(super) fn clearance() -> Clearance {
    Clearance {
        flag: id("calf"),
        by: "ultrasound".to_owned(),
        on: day(2026, 5, 10),
        until: day(2026, 5, 17),
        visits: 1,
    }
}

fn blank_measured() -> Measured {
    Measured {
        flexion: Recorded::NotRecorded,
        extension_deficit: Recorded::NotRecorded,
        lag: Recorded::NotRecorded,
        leg_lift: Recorded::NotRecorded,
        walking_aid: Recorded::NotRecorded,
        stance_s: Recorded::NotRecorded,
        walk_minutes: Recorded::NotRecorded,
        limp: Recorded::NotRecorded,
        stairs_practised: Recorded::NotRecorded,
    }
}

pub(super) fn blank_visit(n: i64) -> NewVisit {
    NewVisit {
        n,
        date: day(2026, 5, 6),
        how: How::Seen,
        by: "PT-9".to_owned(),
        corrects: None,
        screen: Recorded::NotRecorded,
        cleared_for_home_by: Recorded::NotRecorded,
        block_gone: Recorded::NotRecorded,
        did: Recorded::NotRecorded,
        measured: blank_measured(),
        pain: Pain {
            rest: Recorded::NotRecorded,
            exercise: Recorded::NotRecorded,
            medicine_before: Recorded::NotRecorded,
            morning: Recorded::NotRecorded,
            bad_mornings: Recorded::NotRecorded,
        },
        swelling: Recorded::NotRecorded,
        next_visit: Recorded::NotRecorded,
        changes: Changes::none(),
        phase: None,
        done: Vec::new(),
        adjust: Vec::new(),
    }
}

fn full_measured() -> Measured {
    Measured {
        flexion: yes(82),
        extension_deficit: yes(-2),
        lag: yes(6),
        leg_lift: Recorded::Yes(LegLift::AloneLag),
        walking_aid: Recorded::Yes(WalkingAid::Frame),
        stance_s: Recorded::Yes(4),
        walk_minutes: yes(10),
        limp: Recorded::Yes(YesNo::Yes),
        stairs_practised: Recorded::Yes(YesNo::No),
    }
}

pub(super) fn full_visit(n: i64) -> NewVisit {
    NewVisit {
        date: day(2026, 5, 11),
        corrects: Some(1),
        screen: Recorded::Yes(BTreeMap::from([
            (id("wound"), ScreenAnswer::Known),
            (id("calf"), ScreenAnswer::No),
        ])),
        cleared_for_home_by: Recorded::Yes("Nurse Test".to_owned()),
        block_gone: Recorded::Yes(YesNo::Yes),
        did: Recorded::Yes(Did::Most),
        measured: full_measured(),
        pain: Pain {
            rest: yes(2),
            exercise: yes(6),
            medicine_before: Recorded::Yes(YesNo::No),
            morning: Recorded::Yes(Morning::Same),
            bad_mornings: Recorded::Yes(1),
        },
        swelling: Recorded::Yes(Swelling::Same),
        next_visit: Recorded::Yes(NextVisit::Date(day(2026, 5, 18))),
        changes: Changes(Patient {
            equipment: Recorded::Yes(BTreeSet::from([id("towel"), id("chair")])),
            pain_medicine: Recorded::NotRecorded,
            goal: Recorded::Yes("Walk\nthe dog.".to_owned()),
            ..blank_patient()
        }),
        phase: Some(PhaseSet {
            id: id("motion"),
            because: "Ahead.".to_owned(),
            by: "PT-9".to_owned(),
        }),
        done: vec![Done {
            exercise: exercise("quad-set"),
            done: Recorded::Yes(18),
            asked: Recorded::Yes(21),
            seen: Recorded::Yes(Seen::Yes),
            well_at: Recorded::Yes(id("q2")),
            during: yes(2),
            morning: Recorded::Yes(Morning::Same),
        }],
        adjust: vec![adjust("leg-raise")],
        ..blank_visit(n)
    }
}

pub(super) fn correction() -> NewCorrection {
    let (was, now) = (Side::Left, Side::Right);
    NewCorrection {
        what: PutRight::Side { was, now },
        because: "Typed wrongly at intake.".to_owned(),
        by: "PT-9".to_owned(),
        on: day(2026, 5, 12),
        visits: 2,
    }
}

pub(super) fn adjust(name: &str) -> Adjust {
    Adjust {
        exercise: exercise(name),
        action: AdjustAction::LeaveOut,
        rung: Recorded::NotRecorded,
        because: "Sore hip.".to_owned(),
        by: "PT-9".to_owned(),
    }
}

fn dose(amount: Amount, often: Often) -> Dose {
    Dose {
        amount,
        often,
        days_a_week: Quantity::nearest(7),
        aim: None,
        limit: None,
        range_degrees: None,
        height_cm: None,
        seat_cm: None,
        load_g: None,
        band: None,
        support: None,
        lower_s: None,
        how: None,
    }
}

fn counted(sets: i64, repetitions: i64, hold: i64, pause: i64, rest: i64) -> Amount {
    Amount::Counted {
        sets: Quantity::nearest(sets),
        repetitions: Quantity::nearest(repetitions),
        hold_s: Quantity::nearest(hold),
        pause_s: Quantity::nearest(pause),
        rest_s: Quantity::nearest(rest),
    }
}

pub(super) fn counted_dose(times: i64) -> Dose {
    dose(
        counted(1, 10, 5, 5, 0),
        Often::Times(Quantity::nearest(times)),
    )
}

pub(super) fn timed_dose(times: i64) -> Dose {
    let minutes = Quantity::nearest(5);
    dose(
        Amount::Timed { minutes },
        Often::Times(Quantity::nearest(times)),
    )
}

pub(super) fn hourly_dose() -> Dose {
    dose(counted(1, 10, 0, 0, 0), Often::Hourly)
}

pub(super) fn full_dose() -> Dose {
    Dose {
        days_a_week: Quantity::nearest(3),
        aim: Some(Quantity::nearest(90)),
        limit: Some(Quantity::nearest(85)),
        range_degrees: Some(Quantity::nearest(45)),
        height_cm: Some(Quantity::nearest(10)),
        seat_cm: Some(Quantity::nearest(50)),
        load_g: Some(Quantity::nearest(500)),
        band: Some(Band::Light),
        support: Some(Support::OneHand),
        lower_s: Some(Quantity::nearest(3)),
        how: Some(id("strap")),
        ..dose(counted(3, 8, 2, 3, 60), Often::Times(Quantity::nearest(1)))
    }
}

pub(super) fn new_issued(visit: i64, sheet: i64) -> NewIssued {
    NewIssued {
        visit,
        sheet,
        use_from: day(2026, 5, 6),
        use_until: day(2026, 5, 11),
        program: "0.1.0".to_owned(),
        library: "sha256:aa".to_owned(),
        clinic_files: "sha256:bb".to_owned(),
        phase: Some(id("protect")),
        items: vec![IssuedItem {
            exercise: exercise("quad-set"),
            rung: id("q1"),
            dose: counted_dose(2),
            slots: vec![Slot::Breakfast, Slot::Evening],
            may_reach: Vec::new(),
        }],
        sheets: vec![Sheet {
            kind: SheetKind::Pdf,
            bytes: format!("%PDF sheet {sheet}").into_bytes(),
        }],
    }
}

pub(super) fn intake_text() -> String {
    new_record(&NewRecord {
        orders: vec![new_order("O1")],
        ..record()
    })
}

/// A record with two closed visits and a cleared flag between them.
pub(super) fn closed_twice() -> String {
    let mut first = blank_visit(1);
    first.measured.flexion = yes(70);
    let mut second = full_visit(2);
    second.corrects = None;
    let text = intake_text().into_bytes();
    let text = compose(&text, &visit_block(&first)).unwrap();
    let text = compose_issue(&text, &new_issued(1, 1)).unwrap().bytes;
    let text = compose(&text, &clear_block(&clearance())).unwrap();
    let text = compose(&text, &visit_block(&second)).unwrap();
    let text = compose_issue(&text, &new_issued(2, 2)).unwrap().bytes;
    String::from_utf8(text).unwrap()
}

/// Returns the permission bits of a file.
#[cfg(unix)]
pub(super) fn mode(path: &Path) -> u32 {
    use std::os::unix::fs::PermissionsExt;

    std::fs::metadata(path).unwrap().permissions().mode() & 0o777
}

/// Returns the names in a folder, sorted.
pub(super) fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}
