//! The other records of a folder: the next free number, and what was used last.
//!
//! Reads only; a file that is no sound record is passed over, since `check` and `due` tell of it.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use crate::domain::clinic::Clinic;
use crate::domain::ids::Id;
use crate::domain::library::Library;
use crate::domain::record::Record;
use crate::files::record;
use crate::files::source::{RECORD_BYTES, SourceFile};

/// What a folder of records tells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Nearby {
    /// The next free record number.
    pub next_token: String,
    /// Whose standing orders the newest record names.
    pub surgeon: Option<String>,
    /// The numbers that are taken.
    pub tokens: BTreeSet<String>,
}

impl Nearby {
    /// Knows of no other record.
    pub const fn nothing() -> Self {
        Self {
            next_token: String::new(),
            surgeon: None,
            tokens: BTreeSet::new(),
        }
    }
}

/// Looks at the records of a folder.
pub fn look(folder: &Path, library: &Library) -> Nearby {
    let mut files = records(folder);
    files.sort();
    let tokens: BTreeSet<String> = files.iter().filter_map(|(_, path)| token(path)).collect();
    let newest = files
        .iter()
        .rev()
        .find_map(|(_, path)| whole(path, library));
    let last = newest.as_ref().and_then(|record| record.visits.last());
    let patient = last.map(|visit| &visit.patient);
    let patient = patient.or(newest.as_ref().map(|record| &record.patient));
    let newest_token = newest.as_ref().map(|record| record.episode.token.as_str());
    Nearby {
        next_token: next_free(newest_token, &tokens, &library.clinic),
        surgeon: patient
            .and_then(|patient| patient.surgeon.as_ref().known())
            .map(ToString::to_string),
        tokens,
    }
}

fn records(folder: &Path) -> Vec<(SystemTime, PathBuf)> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    entries
        .filter_map(|entry| {
            let path = entry.path();
            let changed = entry.metadata().ok()?.modified().ok()?;
            let toml = path.extension().is_some_and(|end| end == "toml");
            (toml && path.is_file()).then_some((changed, path))
        })
        .collect()
}

fn token(path: &Path) -> Option<String> {
    let file = SourceFile::read(path, RECORD_BYTES).ok()?;
    record::head(&file).ok()?.token
}

fn whole(path: &Path, library: &Library) -> Option<Record> {
    let file = SourceFile::read(path, RECORD_BYTES).ok()?;
    record::read(&file, library).ok()
}

/// Counts on from the highest number of the newest record's kind.
fn next_free(newest: Option<&str>, tokens: &BTreeSet<String>, clinic: &Clinic) -> String {
    let first = format!("{}-0001-E1", initials(clinic));
    let newest = newest.or_else(|| tokens.iter().next_back().map(String::as_str));
    let Some((front, width, back)) = newest.and_then(parts) else {
        return first;
    };
    let highest = tokens
        .iter()
        .filter_map(|token| {
            let number = token.strip_prefix(front)?.strip_suffix(back)?;
            number.parse::<u64>().ok()
        })
        .max()
        .unwrap_or(0);
    let next = highest.saturating_add(1);
    format!("{front}{next:0width$}{back}")
}

/// Splits a token at its counting number: `EX-`, four digits, `-E1`.
fn parts(token: &str) -> Option<(&str, usize, &str)> {
    let front = token.find(|c: char| c.is_ascii_digit())?;
    let (start, rest) = token.split_at_checked(front)?;
    let end = rest
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(rest.len());
    Some((start, end, rest.get(end..)?))
}

/// Takes the clinic's initials, so that two clinics rarely count alike.
fn initials(clinic: &Clinic) -> String {
    clinic
        .id
        .as_str()
        .split('-')
        .filter_map(|word| word.chars().next())
        .collect::<String>()
        .to_uppercase()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::clinic::{Control, Phones};
    use crate::domain::quantity::Quantity;
    use crate::domain::word::{DocumentState, Paper};

    fn clinic() -> Clinic {
        let day = chrono::NaiveDate::MIN;
        Clinic {
            id: Id::new("alder-row").unwrap(),
            name: String::new(),
            phones: Phones {
                same_day: String::new(),
                closed: String::new(),
            },
            hours: String::new(),
            emergency: None,
            paper: Paper::A4,
            language: String::new(),
            items: Quantity::nearest(6),
            minutes_a_day: Quantity::nearest(45),
            sheet_days: Quantity::nearest(14),
            also_ask: BTreeSet::new(),
            status: Control {
                state: DocumentState::Draft,
                by: String::new(),
                on: day,
                review_due: day,
            },
            adopted: None,
            standing_orders: Vec::new(),
            usual_sets: Vec::new(),
            replaced: Vec::new(),
        }
    }

    #[test]
    fn numbers_count_on_and_never_meet_one_that_is_there() {
        let next = |newest: Option<&str>, all: &[&str]| {
            let all = all.iter().map(|token| (*token).to_owned()).collect();
            next_free(newest, &all, &clinic())
        };
        assert_eq!(next(None, &[]), "AR-0001-E1");
        assert_eq!(next(Some("EX-0007-E1"), &["EX-0007-E1"]), "EX-0008-E1");
        assert_eq!(
            next(
                Some("EX-0007-E1"),
                &["EX-0007-E1", "EX-0041-E1", "ZZ-0099-E1"]
            ),
            "EX-0042-E1"
        );
        assert_eq!(next(Some("K9999"), &["K9999"]), "K10000");
        assert_eq!(next(Some("blue-heron"), &["blue-heron"]), "AR-0001-E1");
    }
}
