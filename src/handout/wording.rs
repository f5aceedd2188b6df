//! Where every printed string is made: phrases and library words, filled in and kept together.
//!
//! Must not decide what is said. Next: the parts of a sheet, one file each.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::error::HandoutError;
use super::numbers::join;
use super::ring;
use crate::domain::exercise::{Exercise, ExerciseWords};
use crate::domain::fitted::Person;
use crate::domain::ids::{ExerciseId, FlagId, Id, LimitId};
use crate::domain::library::Library;
use crate::domain::limit::Limit;
use crate::domain::phrase::{Phrase, Phrases, fill, of_both_sides};
use crate::domain::procedure::{FlagWords, ProcedureWords, RedFlag};
use crate::domain::record::{Patient, Record, Visit};
use crate::domain::verdict::Program;
use crate::domain::word::{Operates, Side, Sides, Word};

/// What sentences are made from.
pub(super) struct Wording<'a> {
    /// The library.
    pub(super) library: &'a Library,
    /// The record.
    pub(super) record: &'a Record,
    /// The phrases.
    phrases: &'a Phrases,
    /// The operated side and the other one, in words; none when both are operated on.
    sides: Option<[String; 2]>,
}

impl<'a> Wording<'a> {
    /// Checks language and side, so that every later sentence can rely on them.
    pub(super) fn new(
        library: &'a Library,
        record: &'a Record,
        phrases: &'a Phrases,
    ) -> Result<Self, HandoutError> {
        let asked = &record.episode.language;
        if primary(asked) != primary(&phrases.language) {
            return Err(HandoutError::Language {
                asked: asked.clone(),
                given: phrases.language.clone(),
            });
        }
        let left = phrases.fill(Phrase::SideLeft, &[])?;
        let right = phrases.fill(Phrase::SideRight, &[])?;
        let sides = match (record.episode.side, library.procedure.operates) {
            (Side::Left, Operates::One) => Some([left, right]),
            (Side::Right, Operates::One) => Some([right, left]),
            (Side::Both, Operates::Both) => None,
            (Side::Both, Operates::One) | (Side::Left | Side::Right, Operates::Both) => {
                return Err(HandoutError::BothSides);
            }
        };
        Ok(Self {
            library,
            record,
            phrases,
            sides,
        })
    }

    /// Says a phrase.
    pub(super) fn say(
        &self,
        phrase: Phrase,
        values: &[(&str, &str)],
    ) -> Result<String, HandoutError> {
        Ok(join(&self.phrases.fill(phrase, values)?))
    }

    /// Says a phrase that has no placeholders.
    pub(super) fn plain(&self, phrase: Phrase) -> Result<String, HandoutError> {
        self.say(phrase, &[])
    }

    /// Returns a phrase whose placeholders the renderer fills in.
    pub(super) fn raw(&self, phrase: Phrase) -> Result<String, HandoutError> {
        Ok(self.phrases.raw(phrase)?.to_owned())
    }

    /// Says words of the library: `{side}` and `{other}` are at hand when one side is operated on.
    ///
    /// `{ring:<flag>}` is how soon to act on a red flag. When both are, `{side}` before a noun falls away; in any other place, and `{other}`
    /// anywhere, it is an error: such a text needs a form of its own.
    pub(super) fn tell(&self, text: &str, values: &[(&str, &str)]) -> Result<String, HandoutError> {
        let rings = ring::places(self, text)?;
        let mut all = values.to_vec();
        all.extend(
            rings
                .iter()
                .map(|(place, said)| (place.as_str(), said.as_str())),
        );
        let Some([side, other]) = &self.sides else {
            return Ok(join(&fill(&of_both_sides(text), &all)?));
        };
        all.extend([("side", side.as_str()), ("other", other.as_str())]);
        Ok(join(&fill(text, &all)?))
    }

    /// Says a phrase that needs the side besides other values.
    pub(super) fn say_with_side(
        &self,
        phrase: Phrase,
        values: &[(&str, &str)],
    ) -> Result<String, HandoutError> {
        let Some([side, _]) = &self.sides else {
            return self.tell(self.phrases.raw(phrase)?, values);
        };
        let mut all = vec![("side", side.as_str())];
        all.extend_from_slice(values);
        self.say(phrase, &all)
    }

    /// Says that an exercise is done with each leg, where it is.
    pub(super) fn each_leg(&self, exercise: &Exercise) -> Result<Option<String>, HandoutError> {
        let phrase = match (&self.sides, exercise.sides) {
            (_, Sides::Operated | Sides::Both) => return Ok(None),
            (Some(_), Sides::Either) => Phrase::EachLeg,
            (None, Sides::Either) => Phrase::EachLegInTurn,
        };
        self.plain(phrase).map(Some)
    }

    /// Picks the sheet's language.
    pub(super) fn of<'b, T>(
        &self,
        words: &'b BTreeMap<String, T>,
        kind: &str,
        id: &str,
    ) -> Result<&'b T, HandoutError> {
        words
            .get(&self.phrases.language)
            .ok_or_else(|| HandoutError::NoWords {
                what: format!("{kind} `{id}`"),
                language: self.phrases.language.clone(),
            })
    }

    /// Finds an exercise and its words.
    pub(super) fn exercise(
        &self,
        id: &ExerciseId,
    ) -> Result<(&'a Exercise, &'a ExerciseWords), HandoutError> {
        let exercise = self.library.exercises.get(id);
        let exercise = exercise.ok_or_else(|| unknown("exercise", id.as_str()))?;
        Ok((exercise, self.of(&exercise.words, "exercise", id.as_str())?))
    }

    /// Finds a limit.
    pub(super) fn limit(&self, id: &LimitId) -> Result<&'a Limit, HandoutError> {
        let mut limits = self.library.procedure.limits.iter();
        let found = limits.find(|known| known.id == *id);
        found.ok_or_else(|| unknown("limit", id.as_str()))
    }

    /// Finds a red flag and its words.
    pub(super) fn flag(&self, id: &FlagId) -> Result<(&'a RedFlag, &'a FlagWords), HandoutError> {
        let flag = self.library.procedure.red_flag(id);
        let flag = flag.ok_or_else(|| unknown("red flag", id.as_str()))?;
        Ok((flag, self.of(&flag.words, "red flag", id.as_str())?))
    }

    /// Returns the words of the operation.
    pub(super) fn operation(&self) -> Result<&'a ProcedureWords, HandoutError> {
        let procedure = &self.library.procedure;
        self.of(&procedure.words, "procedure", procedure.id.as_str())
    }

    /// Returns what words are chosen by.
    pub(super) fn person<'b>(&self, program: &'b Program) -> Person<'b>
    where
        'a: 'b,
    {
        Person {
            facts: &program.facts,
            conditions: self.patient(program.date.0).conditions.as_ref(),
            flags: program.standing().collect(),
        }
    }

    /// Finds the visit of a date; a corrected one does not count.
    pub(super) fn visit(&self, date: NaiveDate) -> Option<&'a Visit> {
        let visits = self.record.effective();
        visits.into_iter().rev().find(|visit| visit.date == date)
    }

    /// Returns the person as known on a date.
    pub(super) fn patient(&self, date: NaiveDate) -> &'a Patient {
        self.visit(date)
            .map_or(&self.record.patient, |visit| &visit.patient)
    }
}

/// Finds a phrase whose key ends in an id of the library, such as a stop sign's.
pub(super) fn keyed(start: &str, id: &str) -> Result<Phrase, HandoutError> {
    let key = format!("{start}_{}", id.replace('-', "_"));
    Phrase::find(&key).ok_or_else(|| unknown("phrase", &key))
}

/// Says that the library lacks something.
pub(super) fn unknown(kind: &str, id: &str) -> HandoutError {
    HandoutError::Unknown(format!("{kind} `{id}`"))
}

/// Returns the first part of a language tag.
pub(super) fn primary(tag: &str) -> &str {
    tag.split('-').next().unwrap_or(tag)
}
