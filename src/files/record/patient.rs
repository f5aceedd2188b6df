//! Reads what is known of the person, at intake and as a visit changes it.

use std::collections::{BTreeMap, BTreeSet};

use crate::domain::ids::{ConditionId, EquipmentId, SurgeonId};
use crate::domain::quantity::{Centimetres, DayMinutes, Frailty, Years};
use crate::domain::record::{Home, Patient, PatientDay, Visit};
use crate::domain::recorded::Recorded;
use crate::domain::word::{Position, Slot, YesNo};

use super::super::codes::Code;
use super::super::kind::{Key, Keys, Kind, may, may_as};
use super::super::problem::Problem;
use super::super::reader::{TableReader, each_once};
use super::super::values::At;
use super::known::Known;
use super::recorded;

const KEYS: &[Key] = &[
    may::<Years>("age", "Whole years at the operation."),
    may::<Centimetres>("height_cm", "Height."),
    may::<BTreeSet<ConditionId>>(
        "conditions",
        "Other illnesses and circumstances; [] is none.",
    ),
    may::<Frailty>("frailty", "Frailty as a clinician judges it."),
    may::<SurgeonId>("surgeon", "Whose standing orders count."),
    may::<BTreeSet<Position>>("positions_no", "Positions they cannot take; [] is none."),
    may::<BTreeSet<EquipmentId>>("equipment", "What the home has; [] is nothing."),
    may_as("home", Kind::Table(&HOME), "The home, where it matters."),
    may_as("day", Kind::Table(&DAY), "Their day."),
    may::<YesNo>("pain_medicine", "Takes medicine for pain, any at all."),
    may::<String>("goal", "Their own goal, printed as written."),
];

/// Keys of the patient.
pub static PATIENT: Keys = Keys {
    what: "a patient",
    keys: KEYS,
};

/// Keys of a visit's changes.
pub static CHANGES: Keys = Keys {
    what: "`changes`",
    keys: KEYS,
};

static HOME: Keys = Keys {
    what: "a home",
    keys: &[
        may::<YesNo>("alone", "Lives alone."),
        may::<YesNo>("stairs", "Has stairs."),
        may::<YesNo>("bed", "Has a bed to lie on."),
        may::<YesNo>("floor_safe", "Can get to the floor and up again safely."),
    ],
};

static DAY: Keys = Keys {
    what: "a day",
    keys: &[
        may::<BTreeSet<Slot>>("slots", "Times of the day that suit."),
        may::<DayMinutes>("minutes", "Minutes of exercise they will give."),
    ],
};

/// Reads the patient, or a visit's changes, which have the same keys.
pub fn read(table: &mut TableReader<'_>, known: Known<'_>) -> Patient {
    Patient {
        age: recorded(table, "age"),
        height_cm: recorded(table, "height_cm"),
        conditions: conditions(table, known),
        frailty: recorded(table, "frailty"),
        surgeon: surgeon(table, known),
        positions_no: recorded(table, "positions_no"),
        equipment: recorded(table, "equipment"),
        home: Recorded::from(table.may_table("home", &HOME, |table| Some(home(table)))),
        day: Recorded::from(table.may_table("day", &DAY, |table| Some(day(table)))),
        pain_medicine: recorded(table, "pain_medicine"),
        goal: recorded(table, "goal"),
    }
}

/// Knows nothing of the person.
pub fn nothing() -> Patient {
    Patient {
        age: Recorded::NotRecorded,
        height_cm: Recorded::NotRecorded,
        conditions: Recorded::NotRecorded,
        frailty: Recorded::NotRecorded,
        surgeon: Recorded::NotRecorded,
        positions_no: Recorded::NotRecorded,
        equipment: Recorded::NotRecorded,
        home: Recorded::NotRecorded,
        day: Recorded::NotRecorded,
        pain_medicine: Recorded::NotRecorded,
        goal: Recorded::NotRecorded,
    }
}

fn conditions(table: &mut TableReader<'_>, known: Known<'_>) -> Recorded<BTreeSet<ConditionId>> {
    let Some(conditions) = table.may::<Vec<At<ConditionId>>>("conditions") else {
        return Recorded::NotRecorded;
    };
    for condition in &conditions {
        known.condition(table, condition);
    }
    each_once(conditions.clone(), "condition", table.reading());
    let values = conditions.into_iter().map(|condition| condition.value);
    Recorded::Yes(values.collect())
}

fn surgeon(table: &mut TableReader<'_>, known: Known<'_>) -> Recorded<SurgeonId> {
    let surgeon = table.may::<At<SurgeonId>>("surgeon");
    if let Some(surgeon) = &surgeon {
        known.surgeon(table, surgeon);
    }
    Recorded::from(surgeon.map(|surgeon| surgeon.value))
}

fn home(table: &mut TableReader<'_>) -> Home {
    Home {
        alone: recorded(table, "alone"),
        stairs: recorded(table, "stairs"),
        bed: recorded(table, "bed"),
        floor_safe: recorded(table, "floor_safe"),
    }
}

fn day(table: &mut TableReader<'_>) -> PatientDay {
    let slots = table.may::<BTreeSet<Slot>>("slots");
    if slots.as_ref().is_some_and(BTreeSet::is_empty) {
        let message = "`slots` must name at least one time of the day";
        let problem = Problem::new(Code::EmptyList, table.at_key("slots"), message, "none");
        table.tell(problem.help("leave the key out when nobody asked"));
    }
    PatientDay {
        slots: slots.unwrap_or_default().into_iter().collect(),
        minutes: recorded(table, "minutes"),
    }
}

/// Gives each visit the patient as known at it; until now it holds its own changes alone.
///
/// Changes count in order of time, those of a correction in the place of the visit it corrects.
/// A corrected visit keeps what was known at it before it was corrected.
pub fn from_visit_on(intake: &Patient, visits: Vec<Visit>) -> Vec<Visit> {
    let mut line: Vec<&Visit> = Vec::new();
    let mut known: BTreeMap<i64, Patient> = BTreeMap::new();
    for visit in &visits {
        let place = line
            .iter()
            .position(|standing| visit.corrects == Some(standing.n));
        match place.and_then(|at| line.get_mut(at)) {
            Some(standing) => *standing = visit,
            None => line.push(visit),
        }
        let up_to = place.map_or(line.len(), |at| at.saturating_add(1));
        known.insert(visit.n, folded(intake, line.iter().take(up_to).copied()));
    }
    for (at, visit) in (1_usize..).zip(&line) {
        known.insert(visit.n, folded(intake, line.iter().take(at).copied()));
    }
    visits
        .into_iter()
        .map(|visit| Visit {
            patient: known.get(&visit.n).unwrap_or(intake).clone(),
            ..visit
        })
        .collect()
}

fn folded<'a>(intake: &Patient, visits: impl Iterator<Item = &'a Visit>) -> Patient {
    visits.fold(intake.clone(), |patient, visit| {
        with(patient, &visit.patient)
    })
}

/// Replaces each key that the changes hold, whole.
fn with(patient: Patient, changes: &Patient) -> Patient {
    Patient {
        age: newer(patient.age, &changes.age),
        height_cm: newer(patient.height_cm, &changes.height_cm),
        conditions: newer(patient.conditions, &changes.conditions),
        frailty: newer(patient.frailty, &changes.frailty),
        surgeon: newer(patient.surgeon, &changes.surgeon),
        positions_no: newer(patient.positions_no, &changes.positions_no),
        equipment: newer(patient.equipment, &changes.equipment),
        home: newer(patient.home, &changes.home),
        day: newer(patient.day, &changes.day),
        pain_medicine: newer(patient.pain_medicine, &changes.pain_medicine),
        goal: newer(patient.goal, &changes.goal),
    }
}

fn newer<T: Clone>(old: Recorded<T>, new: &Recorded<T>) -> Recorded<T> {
    if new.is_recorded() { new.clone() } else { old }
}

#[cfg(test)]
mod tests {
    use super::super::samples::{read, sample, with};

    #[test]
    fn changes_count_until_their_visit_is_corrected() {
        let record = sample();
        let goal = |n: usize| record.visits[n].patient.goal.as_ref().known().unwrap();
        assert_eq!(goal(0), "Dance at the \"Palais\".");
        assert_eq!(
            goal(1),
            "Walk to the sea.",
            "as known at the corrected visit"
        );
        assert_eq!(goal(2), goal(0), "the corrected visit no longer counts");
        assert_eq!(record.visits[2].patient.age, record.patient.age);
    }

    #[test]
    fn the_changes_of_a_late_correction_count_from_its_place_on() {
        let text = with("corrects = 2", "corrects = 1")
            .replace("date = 2026-05-18", "date = 2026-05-06")
            .replace(
                "swelling =",
                "changes = { equipment = [\"strap\"] }\nswelling =",
            )
            + "\n[visit.closed]\nsheet = \"none\"\n[visit.seal]\nsha256 = \
               \"abababababababababababababababababababababababababababababababab\"\n";
        let record = read(&text).unwrap();
        let kit = |n: usize| {
            let kit = record.visits[n].patient.equipment.as_ref().known().unwrap();
            kit.iter().map(ToString::to_string).collect::<Vec<_>>()
        };
        assert_eq!(kit(0), ["bed", "chair"], "as known before the correction");
        assert_eq!(
            (kit(2), kit(1)),
            (vec!["strap".to_owned()], vec!["strap".to_owned()])
        );
        let goal = |n: usize| record.visits[n].patient.goal.as_ref().known().unwrap();
        assert_eq!(
            goal(2),
            "Dance at the \"Palais\".",
            "what came later is not known yet"
        );
        assert_eq!(goal(1), "Walk to the sea.");
    }
}
