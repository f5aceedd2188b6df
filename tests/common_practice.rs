//! Check values of common practice for a calm total knee on days 0 to 27.
//!
//! Common practice, no source: each value must lie within the reach of our ladder, whose own
//! numbers come from the sources named in the files. Reach: from the rung at which a phase starts,
//! one rung in each waiting time for unloaded work, entry days kept.

use banister::domain::dose::{Amount, Often};
use banister::domain::exercise::{Exercise, Rung};
use banister::domain::fact::{Comparison, Test};
use banister::domain::ids::{ExerciseId, Id};
use banister::domain::library::Library;
use banister::domain::quantity::Quantity;
use banister::domain::word::Fact;

use crate::support;

const LAST_DAY: i64 = 27;

fn exercise<'a>(library: &'a Library, id: &str) -> &'a Exercise {
    &library.exercises[&ExerciseId::new(id).unwrap()]
}

/// The first day the tests allow, as far as they speak of days.
fn first_day(tests: &[Test]) -> i64 {
    let days = tests
        .iter()
        .map(|test| match (test.fact, &test.comparison) {
            (Fact::Day, Comparison::AtLeast(day)) => *day,
            _ => 0,
        });
    days.max().unwrap_or(0)
}

/// The first day each rung can be reached by someone calm, if at all.
fn reached<'a>(library: &Library, exercise: &'a Exercise) -> Vec<(i64, &'a Rung)> {
    let wait = library.procedure.settings.wait_days.unloaded.get();
    let mut days: Vec<Option<i64>> = vec![None; exercise.rungs.len()];
    for phase in &library.procedure.phases {
        let Some(candidate) = phase.candidates.iter().find(|c| c.exercise == exercise.id) else {
            continue;
        };
        let (start, _) = exercise.rung(&candidate.rung).unwrap();
        let mut day = phase.window.from.get().max(first_day(&exercise.entry));
        for (index, rung) in exercise.rungs.iter().enumerate().skip(start) {
            day = day.max(first_day(&rung.entry));
            let sooner = days[index].map_or(day, |known| known.min(day));
            days[index] = Some(sooner);
            day += wait;
        }
    }
    days.into_iter()
        .zip(&exercise.rungs)
        .filter_map(|(day, rung)| Some((day?, rung)))
        .collect()
}

fn assert_reached(library: &Library, id: &str, from: i64, fits: impl Fn(&Rung) -> bool) {
    let found = reached(library, exercise(library, id))
        .into_iter()
        .find(|(day, rung)| *day <= LAST_DAY && *day + 28 > from && fits(rung));
    assert!(
        found.is_some(),
        "{id}: no rung of that kind within days {from} to {LAST_DAY}"
    );
}

fn counted(rung: &Rung) -> Option<(i64, i64, i64, i64, i64)> {
    let Often::Times(times) = rung.often else {
        return None;
    };
    match rung.amount {
        Amount::Counted {
            sets,
            repetitions,
            hold_s,
            rest_s,
            ..
        } => Some((
            sets.get(),
            repetitions.get(),
            hold_s.get(),
            rest_s.get(),
            times.get(),
        )),
        Amount::Timed { .. } => None,
    }
}

fn minutes(rung: &Rung) -> Option<(i64, i64)> {
    let Often::Times(times) = rung.often else {
        return None;
    };
    match rung.amount {
        Amount::Timed { minutes } => Some((minutes.get(), times.get())),
        Amount::Counted { .. } => None,
    }
}

#[test]
fn heel_prop_is_built_up_to_five_minutes_once_or_twice_a_day() {
    let library = support::plain_library();
    let first = minutes(&exercise(&library, "heel-prop").rungs[0]).unwrap();
    assert!(first.0 < 5, "it is built up to");
    assert_reached(&library, "heel-prop", 0, |rung| {
        minutes(rung).is_some_and(|(minutes, times)| minutes == 5 && (1..=2).contains(&times))
    });
}

#[test]
fn strap_slides_ten_with_three_to_five_seconds_three_times_a_day() {
    let library = support::plain_library();
    assert_reached(&library, "heel-slide-strap", 0, |rung| {
        counted(rung).is_some_and(|(_, reps, hold, _, times)| {
            reps == 10 && (3..=5).contains(&hold) && times == 3
        })
    });
    let own = exercise(&library, "heel-slide");
    let strap = exercise(&library, "heel-slide-strap");
    assert_eq!(
        own.family, strap.family,
        "own muscles first, then the strap, never both"
    );
    let day = |exercise| reached(&library, exercise)[0].0;
    assert!(day(own) <= day(strap), "own muscles come first");
}

#[test]
fn leg_raise_two_sets_of_six_to_eight_growing_to_ten_behind_the_lag_gate() {
    let library = support::plain_library();
    let raise = exercise(&library, "straight-leg-raise");
    let gate = raise.entry.iter().any(|test| {
        test.fact == Fact::Lag && matches!(test.comparison, Comparison::AtMost(lag) if lag <= 10)
    });
    assert!(gate, "only behind the lag gate");
    for (low, high) in [(6, 8), (10, 10)] {
        assert_reached(&library, "straight-leg-raise", 0, |rung| {
            counted(rung).is_some_and(|(sets, reps, _, rest, _)| {
                sets == 2 && (low..=high).contains(&reps) && rest == 60
            })
        });
    }
}

#[test]
fn thigh_squeeze_ten_holds_of_ten_seconds_three_to_four_times_a_day() {
    let library = support::plain_library();
    assert_reached(&library, "quad-set", 0, |rung| {
        counted(rung)
            .is_some_and(|(_, reps, hold, _, times)| reps == 10 && hold == 10 && times == 3)
    });
    let behind = exercise(&library, "quad-set").behind.as_ref().unwrap();
    assert_eq!(behind.times_a_day.get(), 4);
}

#[test]
fn bike_is_rocked_eight_to_ten_minutes_from_day_seven_to_fourteen_on() {
    let library = support::plain_library();
    assert_reached(&library, "bike", 7, |rung| {
        minutes(rung).is_some_and(|(minutes, _)| (8..=10).contains(&minutes))
    });
    let start = first_day(&exercise(&library, "bike").entry);
    assert!((7..=14).contains(&start), "starts on day {start}");
}

#[test]
fn chair_bend_ten_times_five_to_ten_seconds_through_the_day() {
    let library = support::plain_library();
    assert_reached(&library, "chair-bend", 0, |rung| {
        counted(rung).is_some_and(|(_, reps, hold, _, times)| {
            reps == 10 && (5..=10).contains(&hold) && times >= 3
        })
    });
}

#[test]
fn side_lying_hip_lift_from_two_toward_three_sets_of_ten() {
    let library = support::plain_library();
    for wanted in [2, 3] {
        assert_reached(&library, "hip-lift-side-lying", 0, |rung| {
            counted(rung).is_some_and(|(sets, reps, ..)| sets == wanted && reps == 10)
        });
    }
}

#[test]
fn ten_buttock_and_hamstring_squeezes_of_ten_seconds() {
    let library = support::plain_library();
    assert_reached(&library, "heel-dig-buttock-squeeze", 0, |rung| {
        counted(rung).is_some_and(|(_, reps, hold, ..)| reps == 10 && hold == 10)
    });
}

#[test]
fn long_arc_three_sets_of_ten_with_half_a_minute_to_a_minute_twice_a_day() {
    let library = support::plain_library();
    assert_reached(&library, "long-arc-quad", 0, |rung| {
        counted(rung).is_some_and(|(sets, reps, _, rest, times)| {
            sets == 3 && reps == 10 && (30..=60).contains(&rest) && times == 2
        })
    });
}

#[test]
fn the_raise_tires_most_and_the_heel_prop_least() {
    let library = support::plain_library();
    let effort = |id| exercise(&library, id).effort;
    for other in [
        "quad-set",
        "heel-slide",
        "chair-bend",
        "long-arc-quad",
        "heel-prop",
    ] {
        assert!(effort("straight-leg-raise") > effort(other), "{other}");
    }
    for other in [
        "straight-leg-raise",
        "heel-slide-strap",
        "long-arc-quad",
        "sit-to-stand",
    ] {
        assert!(effort("heel-prop") < effort(other), "{other}");
    }
}

#[test]
fn cold_fifteen_to_twenty_minutes_every_two_to_four_hours_and_compression_only_as_ordered() {
    let library = support::plain_library();
    let care = |id: &str| {
        library
            .procedure
            .home_care
            .iter()
            .find(|care| care.id.as_str().starts_with(id))
            .unwrap()
    };
    let cold = care("cold");
    assert_eq!(
        cold.minutes.map(|both| both.map(Quantity::get)),
        Some([15, 20])
    );
    assert_eq!(cold.every_hours, Some([2, 4]));
    let compression = care("compression");
    assert!(
        compression.when_order.is_some(),
        "only on the surgical team's word"
    );
    assert!(
        !compression.words["en"].text.contains("mmHg"),
        "the number stays in the note"
    );
}
