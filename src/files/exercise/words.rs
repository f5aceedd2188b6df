//! Reads an exercise's patient words in one language.

use std::collections::BTreeMap;

use crate::domain::exercise::ExerciseWords;
use crate::domain::fitted::{FittedWords, ForWhom};
use crate::domain::ids::{ConditionId, EquipmentId, FlagId, HowId};

use super::super::codes::Code;
use super::super::plain_text::{self, SIDES};
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::reading::Link;
use super::super::source::Span;
use super::super::values::At;
use super::keys::FOR;

/// Fewest and most steps.
const STEPS: std::ops::RangeInclusive<usize> = 3..=5;
/// Most words of a step.
const STEP_WORDS: usize = 12;
/// What no word may ask for beside a limit of the motion.
const HARD_PULL: &str = "firm pull";
/// Most characters of a short name.
const SHORT: usize = 16;

/// Reads the words.
pub fn read(table: &mut TableReader<'_>) -> Option<ExerciseWords> {
    let name = plain_text::need(table, "name", SIDES);
    let short = short(table);
    let why = plain_text::need(table, "why", SIDES);
    let why_if_no_pain = plain_text::need(table, "why_if_no_pain", SIDES);
    let set_up = plain_text::need(table, "set_up", SIDES);
    let steps_if_stopped = if_there(table, "steps_if_stopped", steps);
    let errors_if_stopped = if_there(table, "errors_if_stopped", |table, key| {
        plain_text::need_all(table, key, SIDES)
    });
    let steps_if_limited = if_there(table, "steps_if_limited", steps);
    let steps = steps(table, "steps");
    let errors = plain_text::need_all(table, "errors", SIDES);
    let feel = plain_text::need(table, "feel", SIDES);
    let feel_if_limited = plain_text::may(table, "feel_if_limited", SIDES);
    let how = table.map::<HowId, At<String>>("how").unwrap_or_default();
    let how_if_limited = table
        .map::<HowId, At<String>>("how_if_limited")
        .unwrap_or_default();
    let make_do = table
        .map::<EquipmentId, At<String>>("make_do")
        .unwrap_or_default();
    table.not_empty("errors");
    let fitted = table.tables("for", &FOR, |table| fitted(table, &how));
    let ways = how.values().chain(how_if_limited.values());
    for text in ways.chain(make_do.values()) {
        plain_text::check(table, text, SIDES);
    }
    let usual = steps.iter().flatten().map(|step| ("steps", step));
    let ways = how
        .iter()
        .filter(|(key, _)| !how_if_limited.contains_key(*key));
    let limited = steps_if_limited.iter().flatten();
    let texts: Vec<(&str, &At<String>)> = usual
        .filter(|_| !table.has("steps_if_limited"))
        .chain(ways.map(|(_, text)| ("how", text)))
        .chain(limited.map(|step| ("steps_if_limited", step)))
        .chain(how_if_limited.values().map(|text| ("how_if_limited", text)))
        .collect();
    for (key, text) in texts {
        gentle(table, key, &text.value, text.at.clone());
    }
    for (key, feel) in [("feel", &feel), ("feel_if_limited", &feel_if_limited)] {
        let told = key == "feel" && feel_if_limited.is_some();
        if let Some(feel) = feel.as_ref().filter(|_| !told) {
            gentle(table, key, feel, table.at_key(key));
        }
    }
    Some(ExerciseWords {
        name: name?,
        short: short?,
        why: why?,
        why_if_no_pain: why_if_no_pain?,
        set_up: set_up?,
        steps: plain(steps?),
        errors: plain(errors?),
        steps_if_stopped: plain(steps_if_stopped?),
        errors_if_stopped: plain(errors_if_stopped?),
        steps_if_limited: plain(steps_if_limited?),
        feel: feel?,
        feel_if_limited,
        how: without_places(how),
        how_if_limited: without_places(how_if_limited),
        make_do: without_places(make_do),
        fitted,
    })
}

/// Reads words for some people; for nobody in particular, or with no words, they say nothing.
fn fitted(table: &mut TableReader<'_>, ways: &BTreeMap<HowId, At<String>>) -> Option<FittedWords> {
    let whom = for_whom(table);
    let flags = table.may::<Vec<At<FlagId>>>("flags").unwrap_or_default();
    for flag in &flags {
        let link = Link::Flag(flag.value.clone());
        table.reading().link(link, flag.at.clone());
    }
    let support = table.may("support").unwrap_or_default();
    let of_ways = table.may("ways").unwrap_or_default();
    let set_up = plain_text::may(table, "set_up", SIDES);
    let steps = if_there(table, "steps", steps);
    let errors = if_there(table, "errors", |table, key| {
        plain_text::need_all(table, key, SIDES)
    });
    let feel = plain_text::may(table, "feel", SIDES);
    let how = table.map::<HowId, At<String>>("how").unwrap_or_default();
    for (way, text) in &how {
        plain_text::check(table, text, SIDES);
        if !ways.contains_key(way) {
            let message = format!("no rung is done the way `{way}`");
            table.tell(Problem::new(
                Code::HowWords,
                text.at.clone(),
                message,
                "not used",
            ));
        }
    }
    some_of(table, &["facts", "conditions", "flags", "support", "ways"]);
    some_of(table, &["set_up", "steps", "errors", "feel", "how"]);
    Some(FittedWords {
        whom: ForWhom {
            flags: flags.into_iter().map(|flag| flag.value).collect(),
            support,
            ways: of_ways,
            ..whom
        },
        set_up,
        steps: plain(steps?),
        errors: plain(errors?),
        feel,
        how: without_places(how),
    })
}

/// Reads the facts and the illnesses by which words are chosen.
pub fn for_whom(table: &mut TableReader<'_>) -> ForWhom {
    let facts = table.may("facts").unwrap_or_default();
    let conditions = table.may::<Vec<At<ConditionId>>>("conditions");
    let conditions = conditions.unwrap_or_default();
    for condition in &conditions {
        let link = Link::Condition(condition.value.clone());
        table.reading().link(link, condition.at.clone());
    }
    ForWhom {
        facts,
        conditions: conditions.into_iter().map(|own| own.value).collect(),
        ..ForWhom::default()
    }
}

/// Tells when a table has none of some keys.
pub fn some_of(table: &mut TableReader<'_>, names: &[&str]) {
    if !names.iter().any(|name| table.has(name)) {
        let names: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
        let message = format!("one of {} is needed here", names.join(", "));
        table.tell(Problem::new(Code::KeysClash, table.at(), message, ""));
    }
}

/// Tells of a text that asks for more than a gentle pull and would be said beside a limit.
fn gentle(table: &mut TableReader<'_>, key: &str, text: &str, at: Span) {
    if !text.to_lowercase().contains(HARD_PULL) {
        return;
    }
    let own = key.strip_suffix("_if_limited").unwrap_or(key);
    let message = format!("`{key}` asks for a {HARD_PULL}, also while a limit stops the motion");
    let problem = Problem::new(Code::HardPull, at, message, "too much beside a limit");
    table.tell(problem.help(format!(
        "say it for a limit in `{own}_if_limited`: a gentle pull, and a stop before the limit"
    )));
}

fn short(table: &mut TableReader<'_>) -> Option<String> {
    let short = table.need::<At<String>>("short")?;
    plain_text::check(table, &short, SIDES);
    let length = short.value.chars().count();
    if length > SHORT {
        let message = format!("`short` has {length} characters; {SHORT} is the most");
        table.tell(Problem::new(
            Code::PlainWords,
            short.at,
            message,
            "too long",
        ));
    }
    Some(short.value)
}

/// Reads a list that may be left out.
fn if_there(
    table: &mut TableReader<'_>,
    key: &'static str,
    read: impl Fn(&mut TableReader<'_>, &'static str) -> Option<Vec<At<String>>>,
) -> Option<Vec<At<String>>> {
    if table.has(key) {
        return read(table, key);
    }
    Some(table.may::<Vec<At<String>>>(key).unwrap_or_default())
}

fn steps(table: &mut TableReader<'_>, key: &'static str) -> Option<Vec<At<String>>> {
    let steps = plain_text::need_all(table, key, SIDES)?;
    if !STEPS.contains(&steps.len()) {
        let message = format!(
            "{} steps; {} to {} are allowed",
            steps.len(),
            STEPS.start(),
            STEPS.end()
        );
        table.tell(Problem::new(
            Code::PlainWords,
            table.at_key(key),
            message,
            "",
        ));
    }
    for step in &steps {
        plain_text::at_most_words(table, step, STEP_WORDS);
    }
    Some(steps)
}

fn plain(texts: Vec<At<String>>) -> Vec<String> {
    texts.into_iter().map(|text| text.value).collect()
}

fn without_places<K: Ord>(map: BTreeMap<K, At<String>>) -> BTreeMap<K, String> {
    map.into_iter()
        .map(|(key, text)| (key, text.value))
        .collect()
}
