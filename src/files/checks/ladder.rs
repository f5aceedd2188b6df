//! Checks that each rung raises exactly the lever it names.

use crate::domain::dose::{Amount, Often};
use crate::domain::exercise::Rung;
use crate::domain::quantity::Quantity;
use crate::domain::word::{Lever, Word};

use super::super::codes::Code;
use super::super::problem::Problem;
use super::super::reading::{Reading, RungAt};
use super::Files;

/// How one lever moved from a rung to the next.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Move {
    Harder,
    SameOrEasier,
    Unclear,
}

/// Tells of every rung that raises another lever, several or none.
pub(super) fn check(files: &Files<'_>, reading: &mut Reading) {
    for exercise in files.exercises.values() {
        let Some(first) = exercise.rungs.first() else {
            continue;
        };
        if first.lever.is_some() {
            let message = "the first rung has no rung before it, so it has no `lever`";
            let at = reading.rung_at(&exercise.id, &first.id);
            tell(reading, at.as_ref(), message.to_owned(), None);
        }
        for (before, rung) in exercise.rungs.iter().zip(exercise.rungs.iter().skip(1)) {
            if let Some(message) = fault(before, rung) {
                let at = reading.rung_at(&exercise.id, &rung.id);
                let earlier = reading.rung_at(&exercise.id, &before.id);
                tell(reading, at.as_ref(), message, earlier.as_ref());
            }
        }
    }
}

fn tell(reading: &mut Reading, at: Option<&RungAt>, message: String, before: Option<&RungAt>) {
    let Some(at) = at else {
        return;
    };
    let mut problem = Problem::new(Code::Lever, at.lever.clone(), message, "");
    if let Some(before) = before {
        problem = problem.also(before.id.clone(), "the rung before");
    }
    reading.tell(problem.help(
        "a rung makes one thing harder and names it in `lever`; the rest stays or gets easier",
    ));
}

/// Says what is wrong with a rung after the one before it.
fn fault(before: &Rung, rung: &Rung) -> Option<String> {
    let Some(lever) = rung.lever else {
        return Some(format!("rung `{}` needs a `lever`", rung.id));
    };
    if lever == Lever::Task {
        return (before.how == rung.how && before.weight_bearing == rung.weight_bearing).then(
            || {
                format!(
                    "rung `{}` has the lever `task`, but is done as the rung before",
                    rung.id
                )
            },
        );
    }
    let moves = Lever::ALL
        .iter()
        .map(|lever| (*lever, moved(*lever, before, rung)));
    let moves: Vec<(Lever, Move)> = moves.collect();
    let named = |kind: Move| {
        let of_kind = moves.iter().filter(|(_, how)| *how == kind);
        of_kind
            .map(|(lever, _)| lever.to_string())
            .collect::<Vec<_>>()
    };
    let unclear = named(Move::Unclear);
    if !unclear.is_empty() {
        let what = unclear.join(" and ");
        return Some(format!(
            "rung `{}` cannot be compared with the one before: {what}",
            rung.id
        ));
    }
    let harder = named(Move::Harder);
    if harder == [lever.to_string()] {
        return None;
    }
    let found = if harder.is_empty() {
        "nothing is harder".to_owned()
    } else {
        format!("harder is: {}", harder.join(", "))
    };
    Some(format!(
        "rung `{}` names the lever `{lever}`, but {found}",
        rung.id
    ))
}

/// Compares one lever of two rungs.
fn moved(lever: Lever, before: &Rung, after: &Rung) -> Move {
    match lever {
        Lever::Repetitions | Lever::Hold | Lever::Minutes | Lever::Sets => {
            amount(lever, before.amount, after.amount)
        }
        Lever::Range => up(
            before.range_degrees.map(Quantity::get),
            after.range_degrees.map(Quantity::get),
        ),
        Lever::Height => up(before.height_cm, after.height_cm),
        Lever::Load => up(before.load_g, after.load_g),
        Lever::Band => up(before.band, after.band),
        Lever::Support => match (before.support, after.support) {
            (None, None) => Move::SameOrEasier,
            (Some(before), Some(after)) => up(before, after),
            (None, Some(_)) | (Some(_), None) => Move::Unclear,
        },
        Lever::Seat => match (before.seat_cm, after.seat_cm) {
            (None, None) => Move::SameOrEasier,
            (Some(before), Some(after)) => up(after, before),
            (None, Some(_)) | (Some(_), None) => Move::Unclear,
        },
        Lever::Tempo => up(before.lower_s, after.lower_s),
        Lever::Times => up(times(before.often), times(after.often)),
        Lever::Days => up(before.days_a_week, after.days_a_week),
        Lever::Task => Move::SameOrEasier,
    }
}

fn up<T: PartialOrd + Copy>(before: T, after: T) -> Move {
    if before < after {
        Move::Harder
    } else {
        Move::SameOrEasier
    }
}

/// Hourly is more often than any number of times.
fn times(often: Often) -> i64 {
    match often {
        Often::Times(times) => times.get(),
        Often::Hourly => i64::MAX,
    }
}

fn amount(lever: Lever, before: Amount, after: Amount) -> Move {
    match (before, after) {
        (Amount::Timed { minutes: before }, Amount::Timed { minutes: after }) => {
            if lever == Lever::Minutes {
                up(before, after)
            } else {
                Move::SameOrEasier
            }
        }
        (Amount::Counted { .. }, Amount::Counted { .. }) => {
            let part = |amount: Amount| counted(lever, amount);
            up(part(before), part(after))
        }
        (Amount::Timed { .. }, Amount::Counted { .. })
        | (Amount::Counted { .. }, Amount::Timed { .. }) => Move::Unclear,
    }
}

fn counted(lever: Lever, amount: Amount) -> Option<i64> {
    let Amount::Counted {
        sets,
        repetitions,
        hold_s,
        ..
    } = amount
    else {
        return None;
    };
    match lever {
        Lever::Sets => Some(sets.get()),
        Lever::Repetitions => Some(repetitions.get()),
        Lever::Hold => Some(hold_s.get()),
        Lever::Minutes
        | Lever::Range
        | Lever::Height
        | Lever::Load
        | Lever::Band
        | Lever::Support
        | Lever::Seat
        | Lever::Tempo
        | Lever::Times
        | Lever::Days
        | Lever::Task => None,
    }
}
