//! The kinds of expectation a case may hold, and how each is checked.

use std::collections::BTreeSet;

use banister::domain::ids::Id;
use banister::domain::recorded::Recorded;
use banister::domain::verdict::{Program, Verdict};
use banister::domain::word::{LegLoad, Word, YesNo};
use toml::{Table, Value};

use super::compare::{all_of, none_of, pairs, same, set, text, within, words};
use super::line::{dose, rests, rung};
use super::seen::{Seen, find, not_recorded, notices, rows, tells_team};

type Check = fn(&Value, &Table, &Seen<'_>) -> Result<(), String>;

/// What stands beside an expectation and is none itself.
pub const BESIDE: &[&str] = &[
    "because",
    "source",
    "at",
    "open",
    "corrected",
    "exercise",
    "if_given",
    "same_as",
];

/// Every kind by its key.
pub const KINDS: &[(&str, Check)] = &[
    ("verdict", verdict),
    ("level", level),
    ("asks", asks),
    ("phase", phase),
    ("held_by", held_by),
    ("response", response),
    ("on_sheet", on_sheet),
    ("one_of", one_of),
    ("not_on_sheet", not_on_sheet),
    ("offered", offered),
    ("not_offered", not_offered),
    ("core", core),
    ("no_position", no_position),
    ("no_weight_bearing", no_weight_bearing),
    ("loaded", loaded),
    ("dose", dose),
    ("rung", rung),
    ("rests", rests),
    ("harder", harder),
    ("stop_at", stop_at),
    ("limits", limits),
    ("reviews", reviews),
    ("no_review", no_review),
    ("tells_team", tells),
    ("acts_on", acts_on),
    ("stands", stands),
    ("says", says),
    ("not_recorded", says_not_recorded),
    ("items", items),
    ("minutes", minutes),
    ("care", care),
    ("no_care", no_care),
    ("use_days", use_days),
    ("slip_days", slip_days),
    ("stages", stages),
    ("keeps", keeps),
];

fn verdict(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let found = match &seen.verdict {
        Verdict::Program(_) => "program",
        Verdict::Withheld(_) => "withheld",
        Verdict::Unanswered(_) => "unanswered",
    };
    same(text(wanted), found).map_err(|_| seen.outcome())
}

fn level(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    match &seen.verdict {
        Verdict::Withheld(withheld) => same(text(wanted), withheld.level.as_str()),
        Verdict::Program(_) | Verdict::Unanswered(_) => Err(seen.outcome()),
    }
}

fn asks(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    all_of(wanted, &seen.asked())
}

fn phase(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    same(text(wanted), seen.program()?.phase_id())
}

trait PhaseName {
    fn phase_id(&self) -> &str;
}

impl PhaseName for Program {
    fn phase_id(&self) -> &str {
        banister::domain::ids::Id::as_str(&self.phase)
    }
}

fn held_by(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let found = set(&seen.program()?.held_by);
    if found == set(words(wanted)) {
        Ok(())
    } else {
        Err(format!("{found:?}"))
    }
}

fn response(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    match seen.program()?.response {
        Recorded::Yes(found) => same(text(wanted), found.as_str()),
        Recorded::NotRecorded => Err("not recorded".to_owned()),
    }
}

fn on_sheet(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let program = seen.program()?;
    each(
        wanted,
        |name| find(program, seen.id(name).as_str()).is_some(),
        program,
    )
}

/// Every name must pass; those that do not are told with why they are not on the sheet.
fn each(names: &Value, pass: impl Fn(&str) -> bool, program: &Program) -> Result<(), String> {
    let failed: Vec<String> = words(names)
        .into_iter()
        .filter(|name| !pass(name))
        .map(|name| Seen::why_not(program, name))
        .collect();
    if failed.is_empty() {
        Ok(())
    } else {
        Err(failed.join("; "))
    }
}

fn one_of(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let program = seen.program()?;
    let there = |name: &str| find(program, seen.id(name).as_str()).is_some();
    if words(wanted).into_iter().any(there) {
        Ok(())
    } else {
        Err(seen.outcome())
    }
}

fn not_on_sheet(barred: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let program = seen.program()?;
    each(
        barred,
        |name| find(program, seen.id(name).as_str()).is_none(),
        program,
    )
}

fn offered(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let program = seen.program()?;
    each(wanted, |name| seen.offered(program, name), program)
}

fn not_offered(barred: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let program = seen.program()?;
    each(barred, |name| !seen.offered(program, name), program)
}

/// Each domain is served by an exercise of which it is no mere by-product.
fn core(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let items = &seen.program()?.items;
    let served = items.iter().flat_map(|item| {
        let domains = &seen.library.exercises[&item.exercise].domains;
        let well = domains
            .iter()
            .filter(|(_, weight)| **weight >= banister::domain::quantity::Quantity::nearest(2));
        well.map(|(domain, _)| domain.to_string())
    });
    all_of(wanted, &served.collect())
}

fn no_position(barred: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let program = seen.program()?;
    let items = program.items.iter().chain(&program.background);
    let found = items.map(|item| seen.library.exercises[&item.exercise].position);
    none_of(barred, &set(found))
}

/// The loads of the operated leg on the sheet's exercises; walking goes by the aid.
fn no_weight_bearing(barred: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let program = seen.program()?;
    let items = program.items.iter().chain(&program.background);
    let found = items.flat_map(|item| {
        let demands = seen.library.exercises[&item.exercise].demands.iter();
        let own = seen.rung(item).weight_bearing;
        demands.map(move |demand| own.map_or(demand.weight_bearing, |own: LegLoad| own))
    });
    none_of(barred, &set(found))
}

fn loaded(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let program = seen.program()?;
    let loaded: Vec<String> = rows(program)
        .filter(|item| seen.rung(item).loaded == YesNo::Yes)
        .map(|item| format!("{} {}", item.exercise, item.rung))
        .collect();
    let found = if loaded.is_empty() { "no" } else { "yes" };
    same(text(wanted), found).map_err(|_| format!("loaded: {loaded:?}"))
}

/// Nothing on a higher rung, and nothing new but a swap of what was there.
fn harder(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    assert_eq!(text(wanted), "none");
    let swaps: BTreeSet<_> = seen
        .last
        .keys()
        .flat_map(|id| &seen.library.exercises[id].swaps)
        .collect();
    let harder: Vec<String> = rows(seen.program()?)
        .filter(|item| match seen.moved(item) {
            Some(moved) => moved > 0,
            None => !swaps.contains(&item.exercise),
        })
        .map(|item| format!("{} {}", item.exercise, item.rung))
        .collect();
    if harder.is_empty() {
        Ok(())
    } else {
        Err(format!("harder or new: {harder:?}"))
    }
}

fn stop_at(bound: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let stops = seen
        .program()?
        .limits
        .iter()
        .filter_map(|limit| limit.stop_at);
    match stops.map(banister::domain::quantity::Quantity::get).min() {
        Some(found) => within(bound, found),
        None => Err("no limit of a motion".to_owned()),
    }
}

fn limits(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    all_of(
        wanted,
        &set(seen.program()?.limits.iter().map(|limit| &limit.limit)),
    )
}

fn reviews(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let due = seen.program()?.reviews.iter();
    pairs(wanted, due.map(|due| (due.fact, due.tell)))
}

fn no_review(barred: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    none_of(
        barred,
        &set(seen.program()?.reviews.iter().map(|due| due.fact)),
    )
}

fn tells(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let found = if tells_team(seen.program()?) {
        "yes"
    } else {
        "no"
    };
    same(text(wanted), found)
}

fn acts_on(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let flags = seen.program()?.flags.iter();
    pairs(wanted, flags.map(|flag| (&flag.flag, flag.level)))
}

fn stands(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    all_of(
        wanted,
        &set(seen.program()?.stood.iter().map(|stood| &stood.flag)),
    )
}

/// Notices of the program, by their names.
fn says(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    all_of(wanted, &notices(seen.program()?))
}

fn says_not_recorded(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    all_of(wanted, &not_recorded(seen.program()?))
}

fn items(bound: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    within(bound, i64::try_from(seen.program()?.items.len()).unwrap())
}

fn minutes(bound: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    within(bound, seen.program()?.load.exercises)
}

fn care(wanted: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    all_of(wanted, &set(&seen.program()?.care))
}

fn no_care(barred: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    none_of(barred, &set(&seen.program()?.care))
}

fn use_days(bound: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let life = &seen.program()?.life;
    within(bound, (life.until - life.from).num_days())
}

fn slip_days(bound: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let life = &seen.program()?.life;
    within(bound, (life.slip_until - life.until).num_days())
}

/// Stages of a sheet without a next visit; a program that has none has not got them.
fn stages(bound: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let stages = seen.program()?.stages.len();
    within(bound, i64::try_from(stages).unwrap())
}

/// How many exercises of the last sheet are on this one too.
fn keeps(bound: &Value, _: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let items = seen.program()?.items.iter();
    let kept = items.filter(|item| seen.last.contains_key(&item.exercise));
    within(bound, i64::try_from(kept.count()).unwrap()).map_err(|_| seen.outcome())
}
