//! The kinds of expectation a case may hold, and how each is checked.

use std::collections::BTreeSet;

use banister::domain::ids::Id;
use banister::domain::recorded::Recorded;
use banister::domain::verdict::{Item, Program, Verdict};
use banister::domain::word::{LegLoad, Support, Word, YesNo};
use toml::{Table, Value};

use super::bound::Bound;
use super::made_up::numbers;
use super::seen::{Seen, find, not_recorded, rows, tells_team};

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

fn text(value: &Value) -> &str {
    value.as_str().expect("a word")
}

fn words(value: &Value) -> Vec<&str> {
    value.as_array().expect("a list").iter().map(text).collect()
}

fn set<T: ToString>(values: impl IntoIterator<Item = T>) -> BTreeSet<String> {
    values.into_iter().map(|value| value.to_string()).collect()
}

/// Every one of these, or what was found instead.
fn all_of(wanted: &Value, found: &BTreeSet<String>) -> Result<(), String> {
    let missing: Vec<_> = words(wanted)
        .into_iter()
        .filter(|word| !found.contains(*word))
        .collect();
    if missing.is_empty() {
        Ok(())
    } else {
        Err(format!("{missing:?} not among {found:?}"))
    }
}

fn none_of(barred: &Value, found: &BTreeSet<String>) -> Result<(), String> {
    let there: Vec<_> = words(barred)
        .into_iter()
        .filter(|word| found.contains(*word))
        .collect();
    if there.is_empty() {
        Ok(())
    } else {
        Err(format!("{there:?} among {found:?}"))
    }
}

fn same(wanted: &str, found: &str) -> Result<(), String> {
    if wanted == found {
        Ok(())
    } else {
        Err(found.to_owned())
    }
}

fn within(bound: &Value, found: i64) -> Result<(), String> {
    if Bound::read(text(bound)).holds(Some(found)) {
        Ok(())
    } else {
        Err(found.to_string())
    }
}

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

/// The item an expectation is about; none when it need not be there.
fn about<'a>(
    expect: &Table,
    program: &'a Program,
    seen: &Seen<'_>,
) -> Result<Option<&'a Item>, String> {
    let name = text(expect.get("exercise").expect("which exercise"));
    match find(program, seen.id(name).as_str()) {
        Some(item) => Ok(Some(item)),
        None if expect.contains_key("if_given") => Ok(None),
        None => Err(Seen::why_not(program, name)),
    }
}

fn dose(wanted: &Value, expect: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let program = seen.program()?;
    let wanted = wanted.as_table().expect("a table of bounds");
    let every = text(&expect["exercise"]) == "every";
    let items: Vec<&Item> = if every {
        rows(program).collect()
    } else {
        about(expect, program, seen)?.into_iter().collect()
    };
    let failed: Vec<String> = items
        .into_iter()
        .flat_map(|item| {
            wanted
                .iter()
                .filter_map(move |(key, bound)| part(item, key, text(bound), every))
        })
        .collect();
    if failed.is_empty() {
        Ok(())
    } else {
        Err(failed.join("; "))
    }
}

/// Checks one part of a dose; returns what was found when it is not as wanted.
fn part(item: &Item, key: &str, wanted: &str, every: bool) -> Option<String> {
    let (holds, found) = match key {
        "support" => {
            let found = item.dose.support;
            (supports(wanted, found), format!("{found:?}"))
        }
        "how" => {
            let found = item
                .dose
                .how
                .as_ref()
                .map(ToString::to_string)
                .unwrap_or_default();
            let holds = match wanted.strip_prefix("not ") {
                Some(barred) => found != barred,
                None => found == wanted,
            };
            (holds, found)
        }
        "weekdays" => {
            assert_eq!(wanted, "apart");
            (apart(item), format!("{:?}", item.weekdays))
        }
        _ => {
            let known = [
                "sets",
                "repetitions",
                "hold_s",
                "rest_s",
                "minutes",
                "days_a_week",
                "times_a_day",
                "daily_repetitions",
                "aim_degrees",
                "limit_degrees",
                "range_degrees",
                "height_cm",
                "seat_cm",
                "load_g",
            ];
            assert!(known.contains(&key), "a dose has no `{key}`");
            let found = numbers(&item.dose).get(key).copied();
            let found = found.or((key == "load_g").then_some(0));
            let bound = Bound::read(wanted);
            let skipped = every && found.is_none();
            (skipped || bound.holds(found), format!("{found:?}"))
        }
    };
    (!holds).then(|| format!("{} {}: {key} is {found}", item.exercise, item.rung))
}

/// Hand support as asked, or more.
fn supports(wanted: &str, found: Option<Support>) -> bool {
    match wanted.strip_prefix("at least ") {
        Some(least) => found.is_some_and(|found| found <= Support::find(least).unwrap()),
        None => found == Some(Support::find(wanted).unwrap()),
    }
}

/// Named days, no two of them in a row; Sunday and Monday are in a row.
fn apart(item: &Item) -> bool {
    let days = &item.weekdays;
    !days.is_empty() && days.iter().all(|day| !days.contains(&day.succ()))
}

fn rung(wanted: &Value, expect: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let Some(item) = about(expect, seen.program()?, seen)? else {
        return Ok(());
    };
    let Some(moved) = seen.moved(item) else {
        return Err("not on the last sheet".to_owned());
    };
    let holds = match text(wanted) {
        "up" => moved > 0,
        "down" => moved < 0,
        "same" => moved == 0,
        "not up" => moved <= 0,
        "not down" => moved >= 0,
        other => panic!("a rung cannot go `{other}`"),
    };
    let last = item.steps.last().map(|step| format!("{:?}", step.why));
    if holds {
        Ok(())
    } else {
        Err(format!(
            "{} (moved {moved}; {})",
            item.rung,
            last.unwrap_or_default()
        ))
    }
}

fn rests(bound: &Value, expect: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let program = seen.program()?;
    let Some(item) = about(expect, program, seen)? else {
        return Ok(());
    };
    let days = item
        .rests_until
        .map_or(0, |until| (until - program.date.0).num_days());
    within(bound, days)
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

/// Each name of a table must be found with its word.
fn pairs<A: ToString, B: ToString>(
    wanted: &Value,
    found: impl Iterator<Item = (A, B)>,
) -> Result<(), String> {
    let found: BTreeSet<(String, String)> = found
        .map(|(name, word)| (name.to_string(), word.to_string()))
        .collect();
    let mut wanted = wanted.as_table().expect("a table of words").iter();
    let all = wanted.all(|(name, word)| found.contains(&(name.clone(), text(word).to_owned())));
    all.then_some(()).ok_or_else(|| format!("{found:?}"))
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
