//! Changes of one dose that only ever go one way.
//!
//! Must not know why a dose changes.

use crate::domain::dose::{Amount, Dose, Often};
use crate::domain::exercise::{Exercise, Rung};
use crate::domain::quantity::{HoldSeconds, Minutes, Quantity, TimesADay};

/// Returns the dose a rung names, nothing added.
pub(crate) fn of_rung(rung: &Rung) -> Dose {
    Dose {
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
    }
}

/// Returns the smaller of two values where both stand.
fn least<T: Ord + Copy>(own: Option<T>, other: Option<T>) -> Option<T> {
    match (own, other) {
        (Some(own), Some(other)) => Some(own.min(other)),
        (own, _) => own,
    }
}

/// Returns the dose with nothing in it above the other one; rests and pauses stay.
///
/// Another way of doing it is another task: its numbers are not compared.
pub(crate) fn no_harder(dose: &Dose, than: &Dose) -> Dose {
    if dose.how != than.how {
        return dose.clone();
    }
    Dose {
        amount: amount_no_harder(dose.amount, than.amount),
        often: often_no_harder(dose.often, than.often),
        days_a_week: dose.days_a_week.min(than.days_a_week),
        range_degrees: least(dose.range_degrees, than.range_degrees),
        height_cm: least(dose.height_cm, than.height_cm),
        load_g: least(dose.load_g, than.load_g),
        band: least(dose.band, than.band),
        support: least(dose.support, than.support),
        lower_s: least(dose.lower_s, than.lower_s),
        ..dose.clone()
    }
}

/// Returns a dose whose hold of the hands was made firmer, done the way that goes with it.
///
/// Of the ways that say which hold they go with, the one with the least help that is still enough.
pub(crate) fn with_hands(exercise: &Exercise, dose: Dose) -> Dose {
    let ways = exercise.hands.iter();
    let enough = ways.filter(|way| dose.support.is_some_and(|own| way.support <= own));
    match enough.max_by_key(|way| way.support) {
        Some(way) => Dose {
            support: Some(way.support),
            how: Some(way.how.clone()),
            ..dose
        },
        None => dose,
    }
}

fn amount_no_harder(amount: Amount, than: Amount) -> Amount {
    match (amount, than) {
        (
            Amount::Counted {
                sets,
                repetitions,
                hold_s,
                pause_s,
                rest_s,
            },
            Amount::Counted {
                sets: most_sets,
                repetitions: most_repetitions,
                hold_s: most_hold,
                ..
            },
        ) => Amount::Counted {
            sets: sets.min(most_sets),
            repetitions: repetitions.min(most_repetitions),
            hold_s: hold_s.min(most_hold),
            pause_s,
            rest_s,
        },
        (Amount::Timed { minutes }, Amount::Timed { minutes: most }) => Amount::Timed {
            minutes: minutes.min(most),
        },
        (Amount::Counted { .. }, Amount::Timed { .. })
        | (Amount::Timed { .. }, Amount::Counted { .. }) => amount,
    }
}

fn often_no_harder(often: Often, than: Often) -> Often {
    match (often, than) {
        (Often::Times(times), Often::Times(most)) => Often::Times(times.min(most)),
        (Often::Times(_) | Often::Hourly, _) => often,
    }
}

/// Returns the hold of counted work.
pub(crate) fn hold(amount: Amount) -> Option<HoldSeconds> {
    match amount {
        Amount::Counted { hold_s, .. } => Some(hold_s),
        Amount::Timed { .. } => None,
    }
}

/// Returns the minutes of work by the clock.
pub(crate) fn minutes(amount: Amount) -> Option<Minutes> {
    match amount {
        Amount::Timed { minutes } => Some(minutes),
        Amount::Counted { .. } => None,
    }
}

/// Returns the dose held, or done by the clock, no longer than another amount.
pub(crate) fn no_longer(amount: Amount, than: Amount) -> Amount {
    match amount {
        Amount::Counted {
            sets,
            repetitions,
            hold_s,
            pause_s,
            rest_s,
        } => Amount::Counted {
            sets,
            repetitions,
            hold_s: hold(than).map_or(hold_s, |most| hold_s.min(most)),
            pause_s,
            rest_s,
        },
        Amount::Timed { minutes: own } => Amount::Timed {
            minutes: minutes(than).map_or(own, |most| own.min(most)),
        },
    }
}

/// Returns the dose so many times a day; hourly work stays hourly.
pub(crate) fn at_times(dose: &Dose, times: TimesADay) -> Dose {
    let often = match dose.often {
        Often::Times(_) => Often::Times(times),
        Often::Hourly => Often::Hourly,
    };
    Dose {
        often,
        ..dose.clone()
    }
}

/// Returns the times a day as a plain number, 0 for hourly work.
pub(crate) fn times(dose: &Dose) -> i64 {
    dose.times_a_day().map_or(0, Quantity::get)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::word::Support;
    use crate::engine::sample;

    #[test]
    fn nothing_goes_above_the_other_dose() {
        let library = sample::library();
        let rungs = &library.exercises[&sample::id("lift")].rungs;
        let (easy, hard) = (of_rung(&rungs[0]), of_rung(&rungs[5]));
        let held = no_harder(&hard, &easy);
        let Amount::Counted {
            sets,
            repetitions,
            hold_s,
            rest_s,
            ..
        } = held.amount
        else {
            panic!("counted");
        };
        assert_eq!((sets.get(), repetitions.get(), hold_s.get()), (1, 5, 2));
        assert_eq!(rest_s.get(), 60);
        assert_eq!(no_harder(&easy, &hard).days_a_week.get(), 3);
        assert_eq!(no_harder(&easy, &hard).often, hard.often);
    }

    #[test]
    fn a_hold_and_hand_support_are_held_too() {
        let library = sample::library();
        let bend = &library.exercises[&sample::id("bend")].rungs;
        let short = no_harder(&of_rung(&bend[3]), &of_rung(&bend[1]));
        assert_eq!(hold(short.amount).map(Quantity::get), Some(5));
        let rise = &library.exercises[&sample::id("rise")].rungs;
        let held = no_harder(&of_rung(&rise[2]), &of_rung(&rise[0]));
        assert_eq!(held.support, Some(Support::TwoHands));
    }

    #[test]
    fn counted_and_timed_work_do_not_hold_each_other() {
        let library = sample::library();
        let bend = of_rung(&library.exercises[&sample::id("bend")].rungs[3]);
        let straight = of_rung(&library.exercises[&sample::id("straight")].rungs[0]);
        assert_eq!(no_harder(&bend, &straight).amount, bend.amount);
        let five = of_rung(&library.exercises[&sample::id("straight")].rungs[2]);
        assert_eq!(no_harder(&five, &straight).amount, straight.amount);
    }
}
