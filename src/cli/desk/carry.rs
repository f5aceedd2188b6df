//! A visit given again: what was not asked once more stays as it was typed the first time.
//!
//! A correction of one number must not lose a condition, a row or a change of the sheet.

use crate::domain::record::{Measured, Pain, Patient, Record, Visit};
use crate::domain::recorded::Recorded;
use crate::domain::word::AdjustAction;
use crate::store::{Changes, NewVisit};

use super::answers::Answers;

/// Flags of what is noted exercise by exercise.
const ROWS: &[&str] = &["done", "seen", "corrected", "not-well", "felt", "well-at"];

/// Fills what was neither asked nor given from the visit that is corrected.
pub fn carry(new: &mut NewVisit, record: &Record, wrong: &Visit, answers: &Answers) {
    let kept = |flag: &str| !answers.was_given(flag) && !answers.is_answered(flag);
    if kept("phone") {
        new.how = wrong.how;
    }
    if kept("cleared-for-home-by") {
        new.cleared_for_home_by = wrong.cleared_for_home_by.clone();
    }
    keep(&mut new.block_gone, wrong.block_gone, kept("block-gone"));
    keep(&mut new.did, wrong.did, kept("did"));
    keep(&mut new.swelling, wrong.swelling, kept("swelling"));
    keep(&mut new.next_visit, wrong.next_visit, kept("next-visit"));
    measured(&mut new.measured, &wrong.measured, &kept);
    pain(&mut new.pain, &wrong.pain, &kept);
    if ROWS.iter().all(|flag| kept(flag)) {
        new.done.clone_from(&wrong.done);
    }
    if kept("keep-changes") {
        let adjusts = wrong.adjust.iter();
        let adjusts = adjusts.filter(|change| change.action != AdjustAction::AsDecided);
        new.adjust = adjusts.cloned().collect();
    }
    if kept("phase") {
        new.phase.clone_from(&wrong.phase);
    }
    let before = record.before(wrong).into_iter().next();
    let before = before.map_or(&record.patient, |visit| &visit.patient);
    changes(&mut new.changes, before, &wrong.patient, &kept);
}

fn keep<T: Copy>(new: &mut Recorded<T>, old: Recorded<T>, kept: bool) {
    if kept {
        *new = old;
    }
}

fn measured(new: &mut Measured, old: &Measured, kept: &impl Fn(&str) -> bool) {
    keep(&mut new.flexion, old.flexion, kept("flexion"));
    let deficit = kept("extension-deficit");
    keep(&mut new.extension_deficit, old.extension_deficit, deficit);
    keep(&mut new.leg_lift, old.leg_lift, kept("leg-lift"));
    // A lag hangs on how the leg lifts.
    let same_lift = new.leg_lift == old.leg_lift;
    keep(&mut new.lag, old.lag, kept("lag") && same_lift);
    keep(&mut new.walking_aid, old.walking_aid, kept("walking-aid"));
    keep(&mut new.stance_s, old.stance_s, kept("stance-s"));
    keep(
        &mut new.walk_minutes,
        old.walk_minutes,
        kept("walk-minutes"),
    );
    keep(&mut new.limp, old.limp, kept("limp"));
    let stairs = kept("stairs-practised");
    keep(&mut new.stairs_practised, old.stairs_practised, stairs);
}

fn pain(new: &mut Pain, old: &Pain, kept: &impl Fn(&str) -> bool) {
    keep(&mut new.rest, old.rest, kept("pain-rest"));
    keep(&mut new.exercise, old.exercise, kept("pain"));
    let medicine = kept("medicine-before");
    keep(&mut new.medicine_before, old.medicine_before, medicine);
    keep(&mut new.morning, old.morning, kept("morning"));
    keep(
        &mut new.bad_mornings,
        old.bad_mornings,
        kept("bad-mornings"),
    );
}

/// Repeats what the corrected visit changed about the person.
fn changes(new: &mut Changes, before: &Patient, then: &Patient, kept: &impl Fn(&str) -> bool) {
    let new = &mut new.0;
    again(&mut new.age, &before.age, &then.age, kept("age"));
    again(
        &mut new.height_cm,
        &before.height_cm,
        &then.height_cm,
        kept("height-cm"),
    );
    again(
        &mut new.conditions,
        &before.conditions,
        &then.conditions,
        kept("conditions"),
    );
    again(
        &mut new.frailty,
        &before.frailty,
        &then.frailty,
        kept("frailty"),
    );
    again(
        &mut new.surgeon,
        &before.surgeon,
        &then.surgeon,
        kept("surgeon"),
    );
    let positions = kept("positions-no");
    again(
        &mut new.positions_no,
        &before.positions_no,
        &then.positions_no,
        positions,
    );
    again(
        &mut new.equipment,
        &before.equipment,
        &then.equipment,
        kept("equipment"),
    );
    let home = ["alone", "stairs", "bed", "floor-safe"]
        .iter()
        .all(|flag| kept(flag));
    again(&mut new.home, &before.home, &then.home, home);
    let day = kept("slots") && kept("minutes");
    again(&mut new.day, &before.day, &then.day, day);
    again(
        &mut new.pain_medicine,
        &before.pain_medicine,
        &then.pain_medicine,
        kept("pain-medicine"),
    );
    again(&mut new.goal, &before.goal, &then.goal, kept("goal"));
}

fn again<T: Clone + PartialEq>(
    new: &mut Recorded<T>,
    before: &Recorded<T>,
    then: &Recorded<T>,
    kept: bool,
) {
    if kept && before != then {
        new.clone_from(then);
    }
}
