//! The walk itself: days shared out among threads, and what is printed of them.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

use super::check::Property;
use super::plan;
use super::read;
use super::state::State;
use super::walker::{Case, Count, Finding, Walker, shrink};
use super::words;
use super::world::{DAYS, World};

/// How much is walked.
#[derive(Debug, Clone, Copy)]
pub struct Amount {
    /// This slice, from 1, of so many.
    pub slice: [usize; 2],
    pub threads: usize,
    /// One of so many groups of states.
    pub one_of: u64,
    /// One of so many days.
    pub days: usize,
    /// Sheets whose words are read.
    pub sheets: usize,
}

/// What a walk came to.
#[derive(Default)]
pub struct Walked {
    /// States by procedure and block.
    pub counts: BTreeMap<(String, &'static str), Count>,
    pub found: BTreeMap<Property, (u64, Vec<(String, Finding)>)>,
    pub fired: BTreeSet<&'static str>,
    pub seconds: u64,
    /// Sheets whose words were read.
    pub sheets: u64,
    pub sheet_seconds: u64,
    /// Lines of them that were wrong.
    pub words: BTreeMap<(Property, String), words::Told>,
}

impl Walked {
    /// All states together.
    pub fn total(&self) -> Count {
        let mut total = Count::default();
        self.counts.values().for_each(|count| total.add(count));
        total
    }
}

/// Walks the days of every procedure.
pub fn walk(worlds: &[World], amount: Amount) -> Walked {
    let begun = Instant::now();
    let [slice, of] = amount.slice;
    let days: Vec<(usize, i64)> = (0..worlds.len())
        .flat_map(|world| (DAYS[0]..=DAYS[1]).map(move |day| (world, day)))
        .enumerate()
        .filter(|(at, _)| at % of == slice - 1 && (at / of).is_multiple_of(amount.days))
        .map(|(_, unit)| unit)
        .collect();
    let next = AtomicUsize::new(0);
    let all = Mutex::new(Walked::default());
    std::thread::scope(|scope| {
        for _ in 0..amount.threads {
            scope.spawn(|| {
                while let Some((world, day)) = days.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let world = &worlds[*world];
                    let mut walked = Walker::new(world, amount.one_of, *day);
                    plan::day(&mut walked, *day);
                    read::forget();
                    take(&all, world, walked);
                }
            });
        }
    });
    let mut walked = all.into_inner().unwrap();
    for world in worlds {
        served(&mut walked, world, amount);
    }
    walked.seconds = begun.elapsed().as_secs();
    words::walk(worlds, amount.slice, amount.sheets, &mut walked);
    walked
}

fn take(all: &Mutex<Walked>, world: &World, day: Walker<'_>) {
    let mut walked = all.lock().unwrap();
    for (block, count) in day.counts {
        let key = (world.name.clone(), block);
        walked.counts.entry(key).or_default().add(&count);
    }
    for (property, (count, findings)) in day.found {
        let own = walked.found.entry(property).or_default();
        own.0 += count;
        let named = findings.into_iter().map(|one| (world.name.clone(), one));
        own.1
            .extend(named.take(3_usize.saturating_sub(own.1.len())));
    }
    walked.fired.extend(day.fired.keys());
}

/// A procedure nobody usual is served by was not walked at all.
fn served(walked: &mut Walked, world: &World, amount: Amount) {
    let of_world = walked
        .counts
        .iter()
        .filter(|((name, _), _)| *name == world.name);
    let programs: u64 = of_world.map(|(_, count)| count.programs).sum();
    if programs == 0 && amount.days == 1 {
        let finding = Finding {
            wrong: (Property::SomebodyIsServed, world.name.clone()),
            case: Case::One(world.usual.clone()),
            note: "no program at all".to_owned(),
        };
        let found = walked.found.entry(Property::SomebodyIsServed).or_default();
        found.0 += 1;
        found.1.push((world.name.clone(), finding));
    }
}

/// Prints what was walked and what was wrong; says whether nothing was.
pub fn print(worlds: &[World], walked: &Walked) -> bool {
    for world in worlds {
        println!(
            "{}: {} exercises, {} limits, {} modifiers, {} red flags, {} kinds of order, {} edge days",
            world.name,
            world.library.exercises.len(),
            world.library.procedure.limits.len(),
            world.library.procedure.modifiers.len(),
            world.library.procedure.red_flags.len(),
            world.library.procedure.order_kinds().len(),
            world.edges.len()
        );
        for ((name, block), count) in &walked.counts {
            if *name == world.name {
                line(block, count);
            }
        }
    }
    let total = walked.total();
    line("all", &total);
    let silent: Vec<&str> = banister::engine::rules::ALL
        .iter()
        .map(|rule| rule.id.0)
        .filter(|id| !walked.fired.contains(id))
        .collect();
    println!("rules that took part in no program: {}", silent.join(" "));
    for (property, (count, findings)) in &walked.found {
        println!("\nVIOLATED {property:?}: {count} times");
        for (name, finding) in findings {
            let world = worlds.iter().find(|world| world.name == *name).unwrap();
            show(world, finding);
        }
    }
    words::print(worlds, walked);
    println!(
        "\n{} sheets were made and read in {} s",
        walked.sheets, walked.sheet_seconds
    );
    let states = total.decided();
    println!(
        "\n{states} states and {} pairs in {} s ({} states a second): {} kinds of violation, {} lines",
        total.pairs,
        walked.seconds,
        states / walked.seconds.max(1),
        walked.found.len(),
        walked.words.len()
    );
    walked.found.is_empty() && walked.words.is_empty()
}

fn line(name: &str, count: &Count) {
    println!(
        "  {name:<40} {:>8} states: {} programs, {} withheld, {} unanswered; {} pairs; {} decided again; {} not to be read",
        count.decided(),
        count.programs,
        count.withheld,
        count.unanswered,
        count.pairs,
        count.again,
        count.refused
    );
}

pub fn show(world: &World, finding: &Finding) {
    let finding = shrink(world, finding);
    println!("\n# {}\n# {}", finding.note, finding.wrong.1);
    let record = |state: &State| match read::text(world, state) {
        Ok(text) => println!("{text}"),
        Err(error) => println!("# not to be written: {error:?}"),
    };
    match &finding.case {
        Case::One(state) => record(state),
        Case::Two(relation, first, second) => {
            println!("# {relation:?}, the first:");
            record(first);
            println!("# and the second:");
            record(second);
        }
    }
}
