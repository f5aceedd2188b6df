//! Reads doses back from the printed text with a parser that shares nothing with the writer.

use banister::domain::dose::{Amount, Dose, Often};
use banister::domain::quantity::Quantity;
use banister::domain::verdict::Item;
use banister::domain::word::Slot;
use banister::render::text::text;

use super::cases::{first_sheet, follow_up};
use super::pages::write;
use super::patient::record;
use super::sample::{counted, timed, times};

/// A dose as a reader understands the page.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Read {
    sets: i64,
    repetitions: i64,
    hold_s: i64,
    rest_s: i64,
    minutes: i64,
    times: i64,
    slots: Vec<String>,
    total: i64,
}

/// Reads the block of an exercise: the lines under its underlined name.
pub(crate) fn read(page: &str, name: &str) -> Read {
    let lines: Vec<&str> = page.lines().collect();
    let head = lines
        .windows(2)
        .position(|pair| pair[0].contains(name) && pair[1].starts_with("---"))
        .unwrap_or_else(|| panic!("no block {name}"));
    let block: Vec<&str> = lines[head + 2..]
        .iter()
        .take_while(|line| !line.is_empty())
        .copied()
        .collect();
    let mut read = Read {
        sets: 1,
        ..Read::default()
    };
    for sentence in block.join(" ").split_inclusive('.') {
        read_sentence(&mut read, sentence.trim().trim_end_matches('.'));
    }
    read
}

fn read_sentence(read: &mut Read, sentence: &str) {
    let words: Vec<&str> = sentence.split(' ').collect();
    match words.as_slice() {
        [n, "time" | "times"] => read.repetitions = number(n),
        [n, "minute" | "minutes"] => read.minutes = number(n),
        ["Hold", "each", "one", "for", n, _] => read.hold_s = number(n),
        ["Rest", n, unit] | ["Rest", n, unit, "between", "rounds"] => {
            read.rest_s = seconds(n, unit);
        }
        ["Then", _, _, "again"] => read.sets = 2,
        ["Do", n, "rounds"] => read.sets = number(n),
        [
            n,
            "times" | "time" | "minutes" | "minute",
            "in",
            "a",
            "day",
            ..,
        ] => {
            read.total = number(n);
        }
        ["Once", "a", ..] => read_times(read, 1, sentence),
        [n, "times", "a", ..] => read_times(read, number(n), sentence),
        ["Each", "hour:", ..] => read.slots = vec!["hourly".to_owned()],
        _ => {}
    }
}

fn read_times(read: &mut Read, times: i64, sentence: &str) {
    let (_, slots) = sentence.split_once(": ").unwrap();
    read.times = times;
    read.slots = slots.split(", ").map(str::to_owned).collect();
}

fn number(word: &str) -> i64 {
    word.parse()
        .unwrap_or_else(|_| panic!("{word} is no number"))
}

fn seconds(n: &str, unit: &str) -> i64 {
    match unit {
        "second" | "seconds" => number(n),
        "minute" | "minutes" => number(n) * 60,
        _ => panic!("{unit} is no unit"),
    }
}

/// What the reader should have understood.
pub(crate) fn meant(item: &Item) -> Read {
    let Dose { amount, often, .. } = &item.dose;
    let mut read = Read {
        sets: 1,
        ..Read::default()
    };
    match amount {
        Amount::Counted {
            sets,
            repetitions,
            hold_s,
            rest_s,
            ..
        } => {
            read.sets = sets.get();
            read.repetitions = repetitions.get();
            read.hold_s = hold_s.get();
            read.rest_s = if sets.get() > 1 { rest_s.get() } else { 0 };
            read.total = sets.get() * repetitions.get();
        }
        Amount::Timed { minutes } => {
            read.minutes = minutes.get();
            read.total = minutes.get();
        }
    }
    match often {
        Often::Times(times) => {
            read.times = times.get();
            read.total *= times.get();
            read.slots = item
                .slots
                .iter()
                .map(|slot| name(*slot).to_owned())
                .collect();
        }
        Often::Hourly => {
            read.total = 0;
            read.slots = vec!["hourly".to_owned()];
        }
    }
    read
}

fn name(slot: Slot) -> &'static str {
    match slot {
        Slot::Breakfast => "morning",
        Slot::MidMorning => "mid-morning",
        Slot::Midday => "midday",
        Slot::Afternoon => "afternoon",
        Slot::Evening => "evening",
        Slot::Bedtime => "bedtime",
    }
}

#[test]
fn every_dose_of_a_sheet_reads_back_as_it_was_meant() {
    let (library, program) = follow_up();
    let page = text(&write(&library, program.clone(), &record()));
    for item in program
        .items
        .iter()
        .chain(&program.daily)
        .chain(&program.background)
    {
        let title = &library.exercises[&item.exercise].words["en"].name;
        assert_eq!(read(&page, title), meant(item), "{title}");
    }
}

#[test]
fn every_shape_of_dose_reads_back() {
    let (library, program) = first_sheet();
    for sets in 1..=6 {
        for (repetitions, hold, pause, rest, each_day) in [
            (1, 0, 0, 0, 1),
            (5, 1, 5, 45, 2),
            (8, 3, 2, 60, 3),
            (12, 30, 10, 90, 2),
            (60, 120, 60, 300, 3),
        ] {
            let mut program = program.clone();
            let item = &mut program.items[0];
            item.dose.amount = counted(sets, repetitions, hold, pause, rest);
            item.dose.often = times(each_day);
            item.slots.truncate(usize::try_from(each_day).unwrap());
            let meant = meant(item);
            let page = text(&write(&library, program, &record()));
            assert_eq!(read(&page, "Squeeze your thigh"), meant);
        }
    }
    for minutes in [1, 2, 30, 120] {
        let mut program = program.clone();
        program.items[0].dose.amount = timed(minutes);
        let meant = meant(&program.items[0]);
        let page = text(&write(&library, program, &record()));
        assert_eq!(read(&page, "Squeeze your thigh"), meant);
    }
}
