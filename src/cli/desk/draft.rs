//! What was typed and not written: kept after every answer, offered again next time.
//!
//! Private like a record, never read by anything else, and gone once the visit is written.
//! A draft is for one purpose; the side and the red flags are never taken from one.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use crate::store::{Existing, sha256, write_output};

use super::super::error::CliError;
use super::answers::{Answers, Flag};

/// The form this file has; another one is set aside.
const FORM: u8 = 2;

/// What is asked again whatever a draft says.
const ALWAYS_AGAIN: &[&str] = &["screen", "side", ".side-again"];

/// What hangs on the last sheet, and is asked again once the record has changed.
const OF_THE_LAST_SHEET: &[&str] = &[
    "did",
    "done",
    "morning",
    "swelling",
    "seen",
    "corrected",
    "not-well",
    "keep-changes",
];

/// What is being typed: an intake, a visit, a call, a correction of one visit.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Purpose {
    /// A new record.
    Intake,
    /// A visit in person.
    Visit,
    /// A visit by phone.
    Call,
    /// A visit given again.
    Correction(i64),
}

impl Purpose {
    /// Returns the ending that tells drafts of one record apart.
    fn ending(&self) -> String {
        match self {
            Self::Intake => "intake".to_owned(),
            Self::Visit => "visit".to_owned(),
            Self::Call => "call".to_owned(),
            Self::Correction(n) => format!("corrects-{n}"),
        }
    }
}

/// One draft.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Draft {
    form: u8,
    purpose: Purpose,
    /// Digest of the record it was typed for; empty for a new record.
    record: String,
    typed: BTreeMap<Flag, String>,
    passed: BTreeSet<Flag>,
}

/// What stands at the place of a draft.
#[derive(Debug)]
pub enum Found {
    /// Nothing.
    Nothing,
    /// A draft.
    Draft(Box<Draft>),
    /// Something that cannot be read; it was moved to this name.
    Unreadable(PathBuf),
}

/// Returns the place of the draft of a record for one purpose.
pub fn place(record: &Path, purpose: &Purpose) -> PathBuf {
    let name = record.file_name().unwrap_or_default().to_string_lossy();
    record.with_file_name(format!(".{name}.{}.draft", purpose.ending()))
}

/// Lists the drafts of new records in a folder.
pub fn of_new_records(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let ending = format!(".{}.draft", Purpose::Intake.ending());
    let mut found: Vec<PathBuf> = entries
        .filter(|entry| entry.file_name().to_string_lossy().ends_with(&ending))
        .map(|entry| entry.path())
        .collect();
    found.sort();
    found
}

impl Draft {
    /// Reads what stands at a place; what cannot be read is moved aside, not lost.
    pub fn find(path: &Path, purpose: &Purpose) -> Found {
        let Ok(bytes) = fs::read(path) else {
            return Found::Nothing;
        };
        let draft = serde_json::from_slice::<Self>(&bytes).ok();
        if let Some(draft) = draft.filter(|draft| draft.form == FORM && draft.purpose == *purpose) {
            return Found::Draft(Box::new(draft));
        }
        let aside = path.with_extension("draft-unreadable");
        let _ = fs::rename(path, &aside);
        Found::Unreadable(aside)
    }

    /// Says whether the record is still the one it was typed for.
    pub fn is_for(&self, record: &[u8]) -> bool {
        self.record == digest(record)
    }

    /// Says whose it is, in one line.
    pub fn shown(&self) -> String {
        let said = |flag: &str| self.typed.get(flag).map(String::as_str);
        let parts = [
            said("token").map(ToOwned::to_owned),
            said("side").map(|side| format!("{side} side")),
            said("by").map(|by| format!("typed by {by}")),
            said("date").map(|date| format!("visit of {date}")),
            Some(format!("{} answers", self.passed.len())),
        ];
        parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }

    /// Puts its answers in, without those that are always asked again.
    pub fn resume(self, answers: &mut Answers, record: &[u8]) {
        let changed = !self.is_for(record);
        answers.resume(self.typed, self.passed);
        answers.take_back(ALWAYS_AGAIN);
        if changed {
            answers.take_back(OF_THE_LAST_SHEET);
        }
    }
}

/// Keeps a draft of one conversation.
#[derive(Debug)]
pub struct Keeper {
    purpose: Purpose,
    /// The record's file; for an intake its folder, since the token names the file.
    record: PathBuf,
    digest: String,
    kept: Option<PathBuf>,
}

impl Keeper {
    /// Keeps drafts beside a record, or in the folder of a new one.
    pub fn new(purpose: Purpose, record: &Path, bytes: &[u8]) -> Self {
        Self {
            purpose,
            record: record.to_owned(),
            digest: digest(bytes),
            kept: None,
        }
    }

    /// Goes on with the draft that was taken up.
    pub fn took(&mut self, path: PathBuf) {
        self.kept = Some(path);
    }

    fn place(&self, answers: &Answers) -> Option<PathBuf> {
        if self.purpose != Purpose::Intake || !self.record.is_dir() {
            return Some(place(&self.record, &self.purpose));
        }
        let token = answers
            .get("token")
            .filter(|token| !token.contains(['/', '\\']))?;
        Some(place(
            &self.record.join(format!("{token}.toml")),
            &self.purpose,
        ))
    }

    /// Keeps the answers so far and says where; nothing before there is one.
    pub fn keep(&mut self, answers: &Answers) -> Result<Option<PathBuf>, CliError> {
        let Some(path) = self.place(answers).filter(|_| !answers.passed().is_empty()) else {
            return Ok(None);
        };
        let draft = Draft {
            form: FORM,
            purpose: self.purpose.clone(),
            record: self.digest.clone(),
            typed: answers.typed().clone(),
            passed: answers.passed().clone(),
        };
        let json = serde_json::to_vec_pretty(&draft)
            .map_err(|error| CliError::Usage(error.to_string()))?;
        write_output(&path, &json, Existing::Replace)?;
        if let Some(old) = self.kept.replace(path.clone()).filter(|old| *old != path) {
            let _ = fs::remove_file(old);
        }
        Ok(Some(path))
    }

    /// Takes the draft away: what it held is written.
    pub fn discard(&mut self) {
        if let Some(path) = self.kept.take() {
            let _ = fs::remove_file(path);
        }
    }
}

fn digest(record: &[u8]) -> String {
    if record.is_empty() {
        String::new()
    } else {
        sha256(record)
    }
}
