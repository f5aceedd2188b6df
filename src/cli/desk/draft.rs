//! What was typed and not written: kept beside the record, offered again next time.
//!
//! Private like a record, never read by anything else, and gone once the visit is written.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use crate::store::{Existing, sha256, write_output};

use super::super::error::CliError;
use super::answers::{Answers, Flag};

/// The form this file has; another one is not read.
const FORM: u8 = 1;

/// One draft.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Draft {
    form: u8,
    /// Digest of the record it was typed for; empty for a new record.
    record: String,
    /// Flags and values.
    pub typed: BTreeMap<Flag, String>,
    /// Questions that were answered, "not asked" included.
    pub passed: BTreeSet<Flag>,
}

/// Returns the file of the draft for a record, or for a new record in a folder.
pub fn path_for(record: &Path) -> PathBuf {
    if record.is_dir() {
        return record.join(".intake.draft");
    }
    let name = record.file_name().unwrap_or_default().to_string_lossy();
    record.with_file_name(format!(".{name}.draft"))
}

impl Draft {
    /// Makes a draft of the answers so far.
    pub fn of(answers: &Answers, record: &[u8]) -> Self {
        Self {
            form: FORM,
            record: digest(record),
            typed: answers.typed().clone(),
            passed: answers.passed().clone(),
        }
    }

    /// Reads the draft at a path, if there is a sound one.
    pub fn read(path: &Path) -> Option<Self> {
        let bytes = fs::read(path).ok()?;
        let draft: Self = serde_json::from_slice(&bytes).ok()?;
        (draft.form == FORM).then_some(draft)
    }

    /// Says whether the record is still the one it was typed for.
    pub fn is_for(&self, record: &[u8]) -> bool {
        self.record == digest(record)
    }

    /// Says whether there is anything in it worth keeping.
    pub fn is_empty(&self) -> bool {
        self.passed.is_empty()
    }

    /// Keeps it; only its owner can read it.
    pub fn keep(&self, path: &Path) -> Result<(), CliError> {
        let json =
            serde_json::to_vec_pretty(self).map_err(|error| CliError::Usage(error.to_string()))?;
        write_output(path, &json, Existing::Replace)?;
        Ok(())
    }
}

/// Takes a draft away; one that is not there is no loss.
pub fn remove(path: &Path) {
    let _ = fs::remove_file(path);
}

fn digest(record: &[u8]) -> String {
    if record.is_empty() {
        String::new()
    } else {
        sha256(record)
    }
}
