//! Our ladders against doses other people give after a knee replacement, row by row.
//!
//! `tables/prescriptions_after_knee_replacement.csv` retells trials and patient sheets, each cited.
//! A row is reached when the ladder's span of daily work, of hold and of days meets the row's.
//! A row out of reach needs an exception with its reason; an exception nobody needs fails too.

use std::collections::BTreeSet;

use banister::domain::dose::{Amount, Often};
use banister::domain::exercise::{Exercise, Rung};
use banister::domain::ids::{ExerciseId, Id};
use banister::domain::quantity::Quantity;

use crate::support;

/// Source, exercise as retold, what is out of reach, and why we leave it so.
const EXCEPTIONS: &[(&str, &str, &str, &str)] = &[
    (
        "LAKE",
        "ankle pump",
        "repetitions a day",
        "ours goes by the hour, 10 to 20 each time; no number is better supported than another",
    ),
    (
        "TBAY",
        "ankle pump",
        "repetitions a day",
        "50 each hour; ours is 10 to 20, and no number is better supported than another",
    ),
    (
        "LAKE",
        "hamstring set",
        "repetitions a day",
        "a wake-up exercise that ends at four weeks; ours tops at 30 a day",
    ),
    (
        "LAKE",
        "short arc over roll",
        "repetitions a day",
        "60 a day; ours tops at 40, and the leg raise takes over",
    ),
    (
        "LAKE",
        "seated knee bend",
        "repetitions a day",
        "60 a day; ours grows by longer holds instead, and by 4 times a day past the review line",
    ),
    (
        "LAKE",
        "straight leg raise",
        "repetitions a day",
        "60 a day; ours tops at 40 and then takes weight",
    ),
    (
        "LAKE",
        "heel slide",
        "repetitions a day",
        "20 a day from week 13; range work that is still needed then keeps three times a day",
    ),
    (
        "ARENA",
        "knee bend/straighten",
        "repetitions a day",
        "16 in a class; at home range work keeps three times a day",
    ),
    (
        "NBT",
        "straight leg raise 10 cm",
        "hold",
        "5 s; practice holds the raise 2 s and adds repetitions, sets, then weight",
    ),
    (
        "AAOSP",
        "straight leg raise",
        "hold",
        "5 to 10 s; practice holds the raise 2 s and adds repetitions, sets, then weight",
    ),
    (
        "NBT",
        "heel prop stretch",
        "seconds a day",
        "30 s at a time; ours counts whole minutes and starts at 2",
    ),
    (
        "MAR",
        "seated extension",
        "hold",
        "5 to 10 s; practice holds 3 s and adds repetitions, sets, then weight",
    ),
    (
        "PLOG",
        "seated knee extension",
        "hold",
        "5 s; practice holds 3 s and adds repetitions, sets, then weight",
    ),
    (
        "PLOG",
        "seated knee extension",
        "repetitions a day",
        "10 a day at six weeks; ours starts at 16",
    ),
    (
        "PLOG",
        "quarter squat",
        "hold",
        "5 s; practice does not hold the squat at home",
    ),
];

/// Exercises of the table that are not among ours, and why.
const NOT_OURS: &[(&str, &str)] = &[
    (
        "bed transfer practice",
        "taught by hand; getting in and out of bed is home care",
    ),
    ("leg curl 70% 1RM", "a machine in a gym"),
    ("leg press 70% 1RM", "a machine in a gym"),
    (
        "leg raised above heart",
        "home care, not an exercise: see home_care in the procedure",
    ),
    (
        "wobble board",
        "needs someone beside; not home work early on",
    ),
];

struct Row {
    source: String,
    exercise: String,
    id: String,
    sets: Option<(i64, i64)>,
    repetitions: Option<(i64, i64)>,
    hold: Option<(i64, i64)>,
    times: Option<(i64, i64)>,
    days: Option<(i64, i64)>,
}

fn span(low: &str, high: &str) -> Option<(i64, i64)> {
    let high = high.parse().ok()?;
    Some((low.parse().unwrap_or(high), high))
}

fn rows() -> Vec<Row> {
    let text = support::read("tests/tables/prescriptions_after_knee_replacement.csv");
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let head = support::csv_cells(lines.next().unwrap());
    let rows: Vec<Row> = lines
        .map(|line| {
            let cells = support::csv_cells(line);
            assert_eq!(cells.len(), head.len(), "{line}");
            let cell =
                |name: &str| cells[head.iter().position(|column| column == name).unwrap()].clone();
            assert!(
                !cell("cited_as").is_empty(),
                "a row without its source: {line}"
            );
            Row {
                source: cell("source"),
                exercise: cell("exercise"),
                id: cell("exercise_id"),
                sets: span(&cell("sets"), &cell("sets")),
                repetitions: span(&cell("reps_low"), &cell("reps_high")),
                hold: span(&cell("hold_low"), &cell("hold_high")),
                times: span(&cell("per_day_low"), &cell("per_day_high")),
                days: span(&cell("days_a_week"), &cell("days_a_week")),
            }
        })
        .collect();
    assert!(rows.len() > 80, "the table was not read whole");
    rows
}

fn meets(ours: (i64, i64), theirs: (i64, i64)) -> bool {
    ours.0 <= theirs.1 && theirs.0 <= ours.1
}

fn span_of(exercise: &Exercise, value: impl Fn(&Rung) -> Vec<i64>) -> Option<(i64, i64)> {
    let all: BTreeSet<i64> = exercise.rungs.iter().flat_map(value).collect();
    Some((*all.first()?, *all.last()?))
}

/// Times a day of a rung, with the times allowed while a measure is behind its course.
/// Hourly work counts as 12 to 14 waking hours.
fn times(exercise: &Exercise, rung: &Rung) -> Vec<i64> {
    let more = exercise
        .behind
        .as_ref()
        .map(|behind| behind.times_a_day.get());
    match rung.often {
        Often::Times(times) => [Some(times.get()), more].into_iter().flatten().collect(),
        Often::Hourly => vec![12, 14],
    }
}

fn repetitions(rung: &Rung) -> Option<i64> {
    match rung.amount {
        Amount::Counted {
            sets, repetitions, ..
        } => Some(sets.get() * repetitions.get()),
        Amount::Timed { .. } => None,
    }
}

fn hold(rung: &Rung) -> Option<i64> {
    match rung.amount {
        Amount::Counted { hold_s, .. } => Some(hold_s.get()),
        Amount::Timed { .. } => None,
    }
}

fn minutes(rung: &Rung) -> Option<i64> {
    match rung.amount {
        Amount::Timed { minutes } => Some(minutes.get()),
        Amount::Counted { .. } => None,
    }
}

/// What of a row our ladder does not reach.
fn out_of_reach(row: &Row, exercise: &Exercise) -> Vec<&'static str> {
    let mut missed = Vec::new();
    let mut compare = |what, ours: Option<(i64, i64)>, theirs: Option<(i64, i64)>| {
        if let (Some(ours), Some(theirs)) = (ours, theirs)
            && !meets(ours, theirs)
        {
            missed.push(what);
        }
    };
    let product = |a: (i64, i64), b: (i64, i64)| (a.0 * b.0, a.1 * b.1);
    let session = row
        .sets
        .zip(row.repetitions)
        .map(|(sets, reps)| product(sets, reps));
    let timed = exercise.rungs.iter().any(|rung| minutes(rung).is_some());
    if timed {
        let seconds = session
            .zip(row.hold)
            .map(|(reps, hold)| product(reps, hold));
        let daily = seconds
            .zip(row.times)
            .map(|(seconds, times)| product(seconds, times));
        let ours = span_of(exercise, |rung| {
            let minutes = minutes(rung).unwrap_or(0);
            times(exercise, rung)
                .into_iter()
                .map(|times| times * minutes * 60)
                .collect()
        });
        compare("seconds a day", ours, daily);
    } else {
        let daily = session
            .zip(row.times)
            .map(|(reps, times)| product(reps, times));
        let ours = span_of(exercise, |rung| {
            let repetitions = repetitions(rung).unwrap_or(0);
            times(exercise, rung)
                .into_iter()
                .map(|times| times * repetitions)
                .collect()
        });
        compare("repetitions a day", ours, daily);
        compare(
            "hold",
            span_of(exercise, |rung| hold(rung).into_iter().collect()),
            row.hold,
        );
    }
    // A class once or twice a week stands beside a home program; only daily work is compared.
    if row.days == Some((7, 7)) {
        compare(
            "days",
            span_of(exercise, |rung| vec![rung.days_a_week.get()]),
            row.days,
        );
    }
    missed
}

#[test]
fn every_published_row_is_reached_or_argued() {
    let library = support::library();
    let mut needed = BTreeSet::new();
    let mut missed = Vec::new();
    let mut compared = 0;
    for row in rows() {
        if row.id.is_empty() {
            continue;
        }
        let exercise = &library.exercises[&ExerciseId::new(&row.id).unwrap()];
        compared += 1;
        for what in out_of_reach(&row, exercise) {
            let known = EXCEPTIONS.iter().position(|(source, name, out, reason)| {
                *source == row.source && *name == row.exercise && *out == what && !reason.is_empty()
            });
            match known {
                Some(index) => {
                    needed.insert(index);
                }
                None => missed.push(format!(
                    "{} {} ({}): {what}",
                    row.source, row.exercise, row.id
                )),
            }
        }
    }
    assert!(compared >= 60, "only {compared} rows compared");
    assert!(
        missed.is_empty(),
        "out of reach and not argued:\n{}",
        missed.join("\n")
    );
    for (index, exception) in EXCEPTIONS.iter().enumerate() {
        assert!(
            needed.contains(&index),
            "nobody needs the exception {exception:?}"
        );
    }
}

#[test]
fn every_row_that_is_not_ours_says_why() {
    let mut seen = BTreeSet::new();
    for row in rows().into_iter().filter(|row| row.id.is_empty()) {
        let why = NOT_OURS.iter().find(|(name, _)| *name == row.exercise);
        assert!(
            why.is_some(),
            "no reason why `{}` is not ours",
            row.exercise
        );
        seen.insert(row.exercise);
    }
    assert_eq!(
        seen.len(),
        NOT_OURS.len(),
        "a reason for something that is not in the table"
    );
}
