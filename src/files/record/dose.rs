//! Reads a dose as it was printed.

use std::collections::BTreeSet;

use crate::domain::dose::{Dose, Often};
use crate::domain::ids::HowId;
use crate::domain::quantity::{
    Centimetres, DaysAWeek, Degrees, Grams, HoldSeconds, Minutes, PauseSeconds, Quantity,
    Repetitions, RestSeconds, Sets, TimesADay,
};
use crate::domain::word::{Band, Slot, Support};

use super::super::codes::Code;
use super::super::exercise::amount;
use super::super::kind::{Keys, may, need};
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::values::Hourly;

/// Keys of a dose.
pub static DOSE: Keys = Keys {
    what: "a dose",
    keys: &[
        may::<Sets>("sets", "Sets in one session."),
        may::<Repetitions>("repetitions", "Repetitions in one set."),
        may::<HoldSeconds>("hold_s", "Hold of each repetition."),
        may::<PauseSeconds>("pause_s", "Between repetitions."),
        may::<RestSeconds>("rest_s", "Between sets."),
        may::<Minutes>(
            "minutes",
            "Work by the clock, instead of sets and repetitions.",
        ),
        may::<BTreeSet<Slot>>("slots", "The times of the day it was printed for."),
        may::<Hourly>("often", "Each waking hour, instead of slots."),
        need::<DaysAWeek>("days_a_week", "Days in a week."),
        may::<Degrees>("to_degrees", "The aim."),
        may::<Degrees>("limit_degrees", "The limit, less its margin."),
        may::<Degrees>("range_degrees", "Range of the motion."),
        may::<Centimetres>("height_cm", "Step height."),
        may::<Centimetres>("seat_cm", "Seat height."),
        may::<Grams>("load_g", "External weight."),
        may::<Band>("band", "Elastic band."),
        may::<Support>("support", "Hand support."),
        may::<HoldSeconds>("lower_s", "Seconds going down."),
        may::<HowId>("how", "The way of doing it."),
    ],
};

/// Reads a dose and the slots it was printed for.
pub fn read(table: &mut TableReader<'_>) -> Option<(Dose, Vec<Slot>)> {
    let amount = amount(table);
    let often = often(table);
    let days_a_week = table.need("days_a_week");
    let aim = table.may("to_degrees");
    let limit = table.may("limit_degrees");
    let range_degrees = table.may("range_degrees");
    let height_cm = table.may("height_cm");
    let seat_cm = table.may("seat_cm");
    let load_g = table.may("load_g");
    let band = table.may("band");
    let support = table.may("support");
    let lower_s = table.may("lower_s");
    let how = table.may("how");
    let (often, slots) = often?;
    let dose = Dose {
        amount: amount?,
        often,
        days_a_week: days_a_week?,
        aim,
        limit,
        range_degrees,
        height_cm,
        seat_cm,
        load_g,
        band,
        support,
        lower_s,
        how,
    };
    Some((dose, slots))
}

/// Reads the slots, whose number is the times a day, or `hourly`.
fn often(table: &mut TableReader<'_>) -> Option<(Often, Vec<Slot>)> {
    let slots = table.may::<BTreeSet<Slot>>("slots");
    let hourly = table.may::<Hourly>("often");
    match (table.has("slots"), table.has("often")) {
        (true, false) => at_slots(table, slots?),
        (false, true) => hourly.map(|Hourly| (Often::Hourly, Vec::new())),
        (true, true) | (false, false) => {
            let message = "a dose needs `slots` or `often`, and not both";
            table.tell(Problem::new(
                Code::KeysClash,
                table.at_key("often"),
                message,
                "",
            ));
            None
        }
    }
}

fn at_slots(table: &mut TableReader<'_>, slots: BTreeSet<Slot>) -> Option<(Often, Vec<Slot>)> {
    let times = i64::try_from(slots.len()).ok();
    let Some(times) = times.and_then(|times| TimesADay::new(times).ok()) else {
        let message = "`slots` must name at least one time of the day";
        table.tell(Problem::new(
            Code::EmptyList,
            table.at_key("slots"),
            message,
            "none",
        ));
        return None;
    };
    Some((Often::Times(times), slots.into_iter().collect()))
}

#[cfg(test)]
mod tests {
    use super::super::samples::{only, sample};
    use super::*;
    use crate::domain::dose::Amount;
    use crate::domain::ids::Id;

    #[test]
    fn an_issued_dose_is_read_as_printed() {
        let record = sample();
        let issued = record.visits[0].issued.as_ref().unwrap();
        let dose = &issued.items[0].dose;
        assert_eq!(issued.items[0].slots, [Slot::Breakfast, Slot::Evening]);
        assert_eq!(dose.often, Often::Times(Quantity::nearest(2)));
        assert_eq!(dose.aim, Some(Quantity::nearest(90)));
        assert_eq!(dose.limit, Some(Quantity::nearest(85)));
        assert_eq!(dose.how, Some(Id::new("strap").unwrap()));
        assert_eq!(issued.items[1].dose.often, Often::Hourly);
        assert!(matches!(issued.items[2].dose.amount, Amount::Timed { .. }));
        assert_eq!(issued.files[0].name, "TE-0007-E1-sheet-01.pdf");
        let second = record.visits[1].issued.as_ref().unwrap();
        assert!(second.phase.is_none() && second.items.is_empty());
    }

    #[test]
    fn a_dose_is_counted_or_timed_and_at_slots_or_hourly() {
        only(
            "{ minutes = 5,",
            "{ minutes = 5, sets = 1,",
            "BN029",
            "counted",
        );
        only("slots = [\"midday\"]", "slots = []", "BN032", "`slots`");
        only(
            "slots = [\"midday\"]",
            "often = \"hourly\", slots = [\"midday\"]",
            "BN029",
            "`slots` or `often`",
        );
        only("slots = [\"midday\"], ", "", "BN029", "`slots` or `often`");
        only(
            "slots = [\"midday\"]",
            "slots = [\"midday\", \"midday\"]",
            "BN030",
            "`slots`",
        );
    }
}
