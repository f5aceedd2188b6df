//! Reads an exercise's patient words in one language.

use std::collections::BTreeMap;

use crate::domain::exercise::ExerciseWords;
use crate::domain::ids::{EquipmentId, HowId};

use super::super::codes::Code;
use super::super::plain_text::{self, SIDES};
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::values::At;

/// Fewest and most steps.
const STEPS: std::ops::RangeInclusive<usize> = 3..=5;
/// Most words of a step.
const STEP_WORDS: usize = 12;
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
    let steps = steps(table, "steps");
    let errors = plain_text::need_all(table, "errors", SIDES);
    let feel = plain_text::need(table, "feel", SIDES);
    let how = table.map::<HowId, At<String>>("how").unwrap_or_default();
    let make_do = table
        .map::<EquipmentId, At<String>>("make_do")
        .unwrap_or_default();
    table.not_empty("errors");
    for text in how.values().chain(make_do.values()) {
        plain_text::check(table, text, SIDES);
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
        feel: feel?,
        how: without_places(how),
        make_do: without_places(make_do),
    })
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
