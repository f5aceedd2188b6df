//! What is found, held against what an expectation says.

use std::collections::BTreeSet;

use toml::Value;

use super::bound::Bound;

pub fn text(value: &Value) -> &str {
    value.as_str().expect("a word")
}

pub fn words(value: &Value) -> Vec<&str> {
    value.as_array().expect("a list").iter().map(text).collect()
}

pub fn set<T: ToString>(values: impl IntoIterator<Item = T>) -> BTreeSet<String> {
    values.into_iter().map(|value| value.to_string()).collect()
}

/// Every one of these, or what was found instead.
pub fn all_of(wanted: &Value, found: &BTreeSet<String>) -> Result<(), String> {
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

pub fn none_of(barred: &Value, found: &BTreeSet<String>) -> Result<(), String> {
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

pub fn same(wanted: &str, found: &str) -> Result<(), String> {
    if wanted == found {
        Ok(())
    } else {
        Err(found.to_owned())
    }
}

pub fn within(bound: &Value, found: i64) -> Result<(), String> {
    if Bound::read(text(bound)).holds(Some(found)) {
        Ok(())
    } else {
        Err(found.to_string())
    }
}

/// Each name of a table must be found with its word.
pub fn pairs<A: ToString, B: ToString>(
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
