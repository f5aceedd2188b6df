//! Expectations about one line of a program: its dose, its rung, its rest.

use banister::domain::ids::Id as _;
use banister::domain::verdict::{Item, Program};
use banister::domain::word::{Support, Word as _};
use toml::{Table, Value};

use super::bound::Bound;
use super::compare::{text, within};
use super::made_up::numbers;
use super::seen::{Seen, find, rows};

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

pub fn dose(wanted: &Value, expect: &Table, seen: &Seen<'_>) -> Result<(), String> {
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

pub fn rung(wanted: &Value, expect: &Table, seen: &Seen<'_>) -> Result<(), String> {
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

pub fn rests(bound: &Value, expect: &Table, seen: &Seen<'_>) -> Result<(), String> {
    let program = seen.program()?;
    let Some(item) = about(expect, program, seen)? else {
        return Ok(());
    };
    let days = item
        .rests_until
        .map_or(0, |until| (until - program.date.0).num_days());
    within(bound, days)
}
