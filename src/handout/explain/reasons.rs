//! The reasons of a sheet, kept beside it: what was decided, on what answers, and in what words.
//!
//! Made once, when the sheet goes out; read back as it was, whatever is installed by then.
//! Holds no name of a person or a path. Must not decide anything.

use std::collections::BTreeMap;

use serde_json::Value;

use super::{explain_exercise, explain_program};
use crate::domain::ids::{ExerciseId, Id};
use crate::domain::library::Library;
use crate::domain::record::{Record, Visit};
use crate::domain::source::Source;
use crate::domain::verdict::Verdict;

/// The form of the file; a newer one is not read.
const SCHEMA: i64 = 1;
/// What kind of file it is.
const KIND: &str = "reasons";
/// Where something stands in a file: nothing of why, and it would name folders.
const PLACE: &str = "origin";
/// How a visit ended: the sheet is not its own reason.
const END: [&str; 4] = ["issued", "closed", "kept", "seal"];

/// Everything that is later said of a sheet.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Reasons {
    schema: i64,
    kind: String,
    /// The sheet's number.
    sheet: i64,
    /// The version that decided.
    program: String,
    /// Digests of the files that were decided with.
    digests: Value,
    /// What the record is about, corrections until then applied.
    episode: Value,
    /// What was asked and found at the visit, and the person as known then.
    answers: Value,
    /// Steps, limits in force with the orders behind them, what was left out, what is to be done.
    verdict: Value,
    /// What vouches for each limit in force that no order brings.
    limits: Value,
    /// What the clinic had replaced in the library.
    replaced: Value,
    words: Words,
}

/// The explanation as it was made then.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
struct Words {
    whole: String,
    exercises: BTreeMap<String, String>,
}

/// Why kept reasons cannot be read although they are the very bytes that were kept.
#[derive(Debug, thiserror::Error)]
pub enum Unreadable {
    /// A newer version wrote them.
    #[error("the reasons were kept by a newer banister (form {0}); this one reads form {SCHEMA}")]
    Newer(i64),
    /// They are no reasons.
    #[error("the file does not hold the reasons of a sheet: {0}")]
    Broken(serde_json::Error),
}

impl Reasons {
    /// Gathers the reasons of a sheet that is about to go out.
    pub fn of(
        verdict: &Verdict,
        library: &Library,
        record: &Record,
        visit: &Visit,
        sheet: i64,
    ) -> Result<Self, serde_json::Error> {
        let mut answers = plain(visit)?;
        if let Value::Object(answers) = &mut answers {
            answers.retain(|key, _| !END.contains(&key.as_str()));
        }
        let exercise = |id: &ExerciseId| {
            let words = explain_exercise(verdict, library, record, id)?;
            Some((id.as_str().to_owned(), words))
        };
        Ok(Self {
            schema: SCHEMA,
            kind: KIND.to_owned(),
            sheet,
            program: env!("CARGO_PKG_VERSION").to_owned(),
            digests: plain(&library.digests)?,
            episode: plain(&record.episode)?,
            answers,
            verdict: plain(verdict)?,
            limits: plain(&sources(verdict, library))?,
            replaced: plain(&library.clinic.replaced)?,
            words: Words {
                whole: explain_program(verdict, library, record),
                exercises: library.exercises.keys().filter_map(exercise).collect(),
            },
        })
    }

    /// Returns the bytes to be kept; the same reasons give the same bytes.
    pub fn to_bytes(&self) -> Result<Vec<u8>, serde_json::Error> {
        let mut bytes = serde_json::to_vec_pretty(self)?;
        bytes.push(b'\n');
        Ok(bytes)
    }

    /// Reads reasons that were kept.
    pub fn read(bytes: &[u8]) -> Result<Self, Unreadable> {
        let value: Value = serde_json::from_slice(bytes).map_err(Unreadable::Broken)?;
        match value.get("schema").and_then(Value::as_i64) {
            Some(newer) if newer > SCHEMA => Err(Unreadable::Newer(newer)),
            Some(_) | None => serde_json::from_value(value).map_err(Unreadable::Broken),
        }
    }

    /// Returns the explanation of the whole sheet, as it was made then.
    pub fn whole(&self) -> &str {
        &self.words.whole
    }

    /// Returns the explanation of one exercise; none when the library had none of this id then.
    pub fn exercise(&self, id: &ExerciseId) -> Option<&str> {
        self.words.exercises.get(id.as_str()).map(String::as_str)
    }
}

/// Finds what vouches for each limit in force.
fn sources<'a>(verdict: &'a Verdict, library: &'a Library) -> BTreeMap<&'a str, &'a Source> {
    let limits = match verdict {
        Verdict::Program(program) => program.limits.as_slice(),
        Verdict::Withheld(_) | Verdict::Unanswered(_) => &[],
    };
    let of = |id: &str| {
        let mut known = library.procedure.limits.iter();
        known.find(|known| known.id.as_str() == id)
    };
    limits
        .iter()
        .filter_map(|limit| {
            let id = limit.limit.as_str();
            Some((id, &of(id)?.source))
        })
        .collect()
}

/// Turns a value into JSON without the places of files.
fn plain(value: &impl serde::Serialize) -> Result<Value, serde_json::Error> {
    let mut value = serde_json::to_value(value)?;
    without_places(&mut value);
    Ok(value)
}

fn without_places(value: &mut Value) {
    match value {
        Value::Object(map) => {
            map.remove(PLACE);
            map.values_mut().for_each(without_places);
        }
        Value::Array(list) => list.iter_mut().for_each(without_places),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}
