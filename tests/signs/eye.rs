//! Reads a printed page and tells of every sign that gets another answer than its red flag's row.

use banister::domain::ids::{FlagId, Id};
use banister::domain::library::Library;
use banister::domain::word::Level;

pub use crate::walk::words::known_signs::SIGNS;

/// What each level says, as the made-up clinic prints it.
const LEVELS: [(Level, &str); 4] = [
    (Level::Emergency, "ring your local emergency number now"),
    (Level::SameDay, "ring us today"),
    (Level::Within48Hours, "ring us within 2 days"),
    (Level::NextVisit, "tell us at your next visit"),
];

/// The parts of a text that belong together: a bullet, or lines without a gap between them.
fn parts(text: &str) -> Vec<String> {
    let mut parts = vec![String::new()];
    for line in text.lines() {
        if line.trim().is_empty() || line.starts_with("- ") || line.starts_with("---") {
            parts.push(String::new());
        }
        let last = parts.last_mut().unwrap();
        last.push_str(line.replace('\u{a0}', " ").to_lowercase().trim());
        last.push(' ');
    }
    parts
}

/// Cuts a part at what its levels say: each sign with the level that belongs to it.
///
/// A part that begins with a level is a list under it; else the level follows the sign.
fn answers(part: &str) -> Vec<(String, Level)> {
    let mut said: Vec<(usize, usize, Level)> = LEVELS
        .iter()
        .flat_map(|(level, words)| {
            let found = part.match_indices(words);
            found.map(|(at, words)| (at, at + words.len(), *level))
        })
        .collect();
    said.sort_by_key(|(at, ..)| *at);
    let Some((first, ..)) = said.first() else {
        return Vec::new();
    };
    let leads = part[..*first]
        .trim()
        .trim_start_matches('-')
        .trim()
        .is_empty();
    let mut found = Vec::new();
    for (index, (at, end, level)) in said.iter().enumerate() {
        let before = index.checked_sub(1).map_or(0, |before| said[before].1);
        let after = said.get(index + 1).map_or(part.len(), |next| next.0);
        let segment = if leads {
            &part[*end..after]
        } else {
            &part[before..*at]
        };
        found.push((segment.to_owned(), *level));
    }
    found
}

/// Tells of every sign that a text gives another answer to than its row.
pub fn wrong_tiers(library: &Library, text: &str) -> Vec<String> {
    let mut wrong = Vec::new();
    for (segment, level) in parts(text).iter().flat_map(|part| answers(part)) {
        for (flag, words) in SIGNS {
            let named = words.iter().any(|words| segment.contains(words));
            let row = library.procedure.red_flag(&FlagId::new(flag).unwrap());
            if named && row.is_some_and(|row| row.level != level) {
                wrong.push(format!("{flag} is {level} in: {segment}"));
            }
        }
    }
    wrong
}
