//! A dose as an inline table.

use crate::domain::dose::{Amount, Dose, Often};
use crate::domain::ids::{ExerciseId, Id};
use crate::domain::quantity::Quantity;
use crate::domain::word::Slot;
use crate::store::error::RecordFault;

use super::text::{Keys, id, list, number, text, word};

/// Returns the keys of a dose as it was printed, at the slots it was printed for.
///
/// Times a day are written as slots alone; if the two do not agree, nothing is written.
pub(super) fn dose_keys(
    exercise: &ExerciseId,
    dose: &Dose,
    slots: &[Slot],
) -> Result<Keys, RecordFault> {
    let keys = often(amount(dose), exercise, dose, slots)?;
    Ok(keys
        .put("days_a_week", number(dose.days_a_week))
        .may("to_degrees", dose.aim, number)
        .may("limit_degrees", dose.limit, number)
        .may("range_degrees", dose.range_degrees, number)
        .may("height_cm", dose.height_cm, number)
        .may("seat_cm", dose.seat_cm, number)
        .may("load_g", dose.load_g, number)
        .may("band", dose.band, word)
        .may("support", dose.support, word)
        .may("lower_s", dose.lower_s, number)
        .may("how", dose.how.as_ref(), id))
}

fn amount(dose: &Dose) -> Keys {
    match dose.amount {
        Amount::Counted {
            sets,
            repetitions,
            hold_s,
            pause_s,
            rest_s,
        } => Keys::none()
            .put("sets", number(sets))
            .put("repetitions", number(repetitions))
            .put("hold_s", number(hold_s))
            .put("pause_s", number(pause_s))
            .put("rest_s", number(rest_s)),
        Amount::Timed { minutes } => Keys::none().put("minutes", number(minutes)),
    }
}

fn often(
    keys: Keys,
    exercise: &ExerciseId,
    dose: &Dose,
    slots: &[Slot],
) -> Result<Keys, RecordFault> {
    let times = dose.times_a_day().map_or(0, Quantity::get);
    if i64::try_from(slots.len()) != Ok(times) {
        return Err(RecordFault::Slots {
            exercise: exercise.as_str().to_owned(),
            times,
            slots: slots.len(),
        });
    }
    Ok(match dose.often {
        Often::Times(_) => keys.put("slots", list(slots.iter().copied(), word)),
        Often::Hourly => keys.put("often", text("hourly")),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::samples::{counted_dose, exercise, full_dose, hourly_dose, timed_dose};

    fn written(dose: &Dose, slots: &[Slot]) -> String {
        dose_keys(&exercise("heel-slide"), dose, slots)
            .unwrap()
            .inline()
    }

    #[test]
    fn counted_work_at_slots() {
        assert_eq!(
            written(&counted_dose(2), &[Slot::Breakfast, Slot::Evening]),
            "{ sets = 1, repetitions = 10, hold_s = 5, pause_s = 5, rest_s = 0, \
             slots = [\"breakfast\", \"evening\"], days_a_week = 7 }"
        );
    }

    #[test]
    fn timed_and_hourly_work() {
        assert_eq!(
            written(&timed_dose(1), &[Slot::Midday]),
            "{ minutes = 5, slots = [\"midday\"], days_a_week = 7 }"
        );
        assert_eq!(
            written(&hourly_dose(), &[]),
            "{ sets = 1, repetitions = 10, hold_s = 0, pause_s = 0, rest_s = 0, \
             often = \"hourly\", days_a_week = 7 }"
        );
    }

    #[test]
    fn every_key_in_its_order() {
        assert_eq!(
            written(&full_dose(), &[Slot::Bedtime]),
            "{ sets = 3, repetitions = 8, hold_s = 2, pause_s = 3, rest_s = 60, \
             slots = [\"bedtime\"], days_a_week = 3, to_degrees = 90, limit_degrees = 85, \
             range_degrees = 45, height_cm = 10, seat_cm = 50, load_g = 500, band = \"light\", \
             support = \"one-hand\", lower_s = 3, how = \"strap\" }"
        );
    }

    #[test]
    fn times_and_slots_must_agree() {
        let fault = |dose: &Dose, slots: &[Slot]| {
            dose_keys(&exercise("heel-slide"), dose, slots).unwrap_err()
        };
        assert_eq!(
            fault(&counted_dose(3), &[Slot::Evening]).to_string(),
            "heel-slide: 3 times a day, but 1 slots"
        );
        assert_eq!(
            fault(&hourly_dose(), &[Slot::Evening]).to_string(),
            "heel-slide: 0 times a day, but 1 slots"
        );
    }
}
