//! How quickly a visit is decided, beside something else of the same run.

use std::time::{Duration, Instant};

use banister::domain::record::Record;
use banister::domain::time::VisitDate;

use super::read;
use super::state::{Before, Sheet, date, operation};
use super::world::{Measures, World};

/// Decisions timed one by one.
const TIMED: usize = 3000;

/// Prints decisions a second on one core with full trace, and the slowest of a hundred.
pub fn measure(worlds: &[World]) {
    for world in worlds {
        let cases: Vec<(Record, VisitDate)> = (0..=170)
            .step_by(5)
            .flat_map(|day| {
                [None, Some(Sheet::Own), Some(Sheet::Highest)].map(|sheet| (day, sheet))
            })
            .filter_map(|(day, sheet)| {
                let mut state = world.on(&world.usual, day, Measures::Usual);
                state.before = sheet.map(|sheet| Before { days: 7, sheet });
                let decided = read::decide(world, &state).ok()?;
                decided.program()?;
                Some((decided.record, VisitDate(date(operation(), day))))
            })
            .collect();
        if cases.is_empty() {
            println!("{}: nobody to decide for", world.name);
            continue;
        }
        let each: Vec<(Duration, Duration)> = (0..TIMED)
            .map(|at| {
                let (record, date) = &cases[at % cases.len()];
                let begun = Instant::now();
                std::hint::black_box(banister::engine::decide(&world.library, record, *date));
                let decided = begun.elapsed();
                let begun = Instant::now();
                std::hint::black_box(work(record));
                (decided, begun.elapsed())
            })
            .collect();
        print(&world.name, cases.len(), each);
    }
}

/// The work beside: the canonical form of the same record, digested.
fn work(record: &Record) -> String {
    let text = serde_json::to_vec(record).unwrap();
    banister::store::sha256(&text)
}

fn print(name: &str, cases: usize, each: Vec<(Duration, Duration)>) {
    let (mut decided, mut beside): (Vec<Duration>, Vec<Duration>) = each.into_iter().unzip();
    let total: Duration = decided.iter().sum();
    let other: Duration = beside.iter().sum();
    decided.sort_unstable();
    beside.sort_unstable();
    let at = |of: &[Duration], per_cent: usize| of[(of.len() - 1) * per_cent / 100];
    println!(
        "{name}: {:.0} decisions a second ({TIMED} over {cases} records), half below {:?}, \
         99 of 100 below {:?}; {:.1} times a record put into JSON and digested (half below {:?})",
        TIMED as f64 / total.as_secs_f64(),
        at(&decided, 50),
        at(&decided, 99),
        total.as_secs_f64() / other.as_secs_f64(),
        at(&beside, 50),
    );
}
