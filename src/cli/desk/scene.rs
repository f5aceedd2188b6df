//! What a question may look at: the library, the record so far, the answers so far.
//!
//! Must not print. Next: `question`.

use chrono::NaiveDate;

use crate::domain::correction::PutRight;
use crate::domain::ids::{ExerciseId, Id};
use crate::domain::library::Library;
use crate::domain::procedure::RedFlag;
use crate::domain::record::{Issued, IssuedItem, NextVisit, Patient, Record, Visit};
use crate::domain::recorded::Recorded;
use crate::domain::time::{Day, OperationDate};
use crate::domain::timeline::named_before;
use crate::domain::word::{FlagEffect, How, Optional};

use super::answers::Answers;
use super::dates;
use super::nearby::Nearby;

/// How much is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Depth {
    /// The usual questions and those the clinic turned on.
    Usual,
    /// Every question there is.
    Full,
}

/// What questions look at.
pub struct Scene<'a> {
    /// The library of the operation.
    pub library: &'a Library,
    /// The record, when there is one already.
    pub record: Option<&'a Record>,
    /// The visit that is typed once more, when it is a correction.
    pub corrects: Option<&'a Visit>,
    /// Other records of the folder.
    pub near: Nearby,
    /// The day of the visit.
    pub date: NaiveDate,
    /// How much is asked.
    pub depth: Depth,
    /// The answers so far.
    pub answers: Answers,
    /// Nothing more is asked before the page is looked at: a red flag withholds.
    pub cut: Cut,
    /// The page has been looked at, and the rest is asked all the same.
    pub told: Cut,
}

/// Whether the remaining questions wait.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cut {
    /// They are asked.
    No,
    /// They wait: a red flag comes first.
    RedFlag,
}

/// Says whether a visit was of the other leg: what it measured and gave counts no more.
fn of_the_wrong_leg(record: &Record, visit: &Visit) -> bool {
    record
        .voided_by(visit)
        .any(|correction| matches!(correction.what, PutRight::Side { .. }))
}

impl<'a> Scene<'a> {
    /// Begins with what the command line said; nothing of a record is known yet.
    pub fn new(library: &'a Library, date: NaiveDate, depth: Depth, answers: Answers) -> Self {
        Self {
            library,
            record: None,
            corrects: None,
            near: Nearby::nothing(),
            date,
            depth,
            answers,
            cut: Cut::No,
            told: Cut::No,
        }
    }

    /// Returns the answer of a flag.
    pub fn said(&self, flag: &str) -> Option<&str> {
        self.answers.get(flag)
    }

    /// Says whether a flag was answered with this word.
    pub fn said_is(&self, flag: &str, word: &str) -> bool {
        self.said(flag) == Some(word)
    }

    /// Says whether this is a visit by phone.
    pub fn by_phone(&self) -> bool {
        let then = self.corrects.is_some_and(|wrong| wrong.how == How::Phone);
        then || self.said("phone").is_some()
    }

    /// Says whether no visit was ever held, or the first one is given again.
    pub fn is_the_first_visit(&self) -> bool {
        match (self.record, self.corrects) {
            (None, _) => true,
            (Some(record), None) => record.visits.is_empty(),
            (Some(record), Some(wrong)) => record.before(wrong).is_empty(),
        }
    }

    /// Returns what is known of the person so far, when there is a record.
    pub fn patient(&self) -> Option<&Patient> {
        let record = self.record?;
        let latest = self.earlier().into_iter().next();
        Some(latest.map_or(&record.patient, |visit| &visit.patient))
    }

    /// Says whether a red flag may be one for this person: by what is known or typed of them.
    pub fn may_concern(&self, flag: &RedFlag) -> bool {
        let typed = self.said("conditions").unwrap_or_default();
        let patient = self.patient();
        patient.is_none_or(|patient| flag.concerns(patient.conditions.as_ref()))
            || typed
                .split(',')
                .any(|typed| flag.only_if.iter().any(|own| own.as_str() == typed.trim()))
    }

    /// Says whether a measure that is usually left out is asked for.
    pub fn also(&self, measure: Optional) -> bool {
        self.depth == Depth::Full || self.library.clinic.also_ask.contains(&measure)
    }

    /// Looks whether the screen holds a sign that withholds: then the rest can wait.
    pub fn look_at_screen(&mut self) {
        let screen = self.said("screen").unwrap_or_default();
        let withholds = |pair: &str| {
            let flag = pair.strip_suffix("=yes");
            let flags = &self.library.procedure.red_flags;
            flags.iter().any(|known| {
                flag == Some(known.id.as_str()) && known.effect == FlagEffect::Withhold
            })
        };
        self.cut = if self.told == Cut::No && screen.split(',').any(withholds) {
            Cut::RedFlag
        } else {
            Cut::No
        };
    }

    /// Asks what waits: the page of the red flag has been looked at, or is not there.
    pub fn go_on(&mut self) {
        self.cut = Cut::No;
        self.told = Cut::RedFlag;
    }

    /// Returns the day since the operation, once that is known.
    pub fn day(&self) -> Option<Day> {
        let operation = match self.record {
            Some(record) => record.episode.operation,
            None => OperationDate(self.said("operation")?.parse().ok()?),
        };
        Some(Day::of(operation, self.date))
    }

    /// Says whether the visit is held before the operation: there is no wound, block or ward then.
    pub fn is_before_operation(&self) -> bool {
        self.day().is_some_and(Day::is_before_operation)
    }

    /// Lists earlier visits that count, latest first.
    pub fn earlier(&self) -> Vec<&Visit> {
        let Some(record) = self.record else {
            return Vec::new();
        };
        let mut visits = match self.corrects {
            Some(wrong) => record.before(wrong),
            None => record.effective().into_iter().rev().collect(),
        };
        visits.retain(|visit| !of_the_wrong_leg(record, visit));
        visits
    }

    /// Returns the next visit that a new call leaves as it is.
    pub fn appointment(&self) -> Option<NextVisit> {
        let call = self.by_phone() && self.corrects.is_none();
        call.then(|| named_before(self.earlier(), self.date).known())
            .flatten()
    }

    /// Finds the last sheet that held a program; one of a visit put right late was given before.
    pub fn last_sheet(&self) -> Option<(&Visit, &Issued)> {
        let record = self.record?;
        self.earlier().into_iter().find_map(|visit| {
            let given = record.given_at(visit)?;
            let issued = given.issued;
            issued.phase.as_ref().map(|_| (visit, issued))
        })
    }

    /// Lists the exercises of the last sheet, in the order printed.
    pub fn last_items(&self) -> Vec<&IssuedItem> {
        let items = self.last_sheet().map(|(_, issued)| issued.items.iter());
        items.into_iter().flatten().collect()
    }

    /// Returns what the clinician calls an exercise.
    pub fn trade_name(&self, id: &ExerciseId) -> String {
        let exercise = self.library.exercises.get(id);
        exercise.map_or_else(|| id.to_string(), |exercise| exercise.trade_name.clone())
    }

    /// Returns the last value of a measure and its date: as typed, and as shown.
    pub fn last<T: ToString>(
        &self,
        measure: impl Fn(&Visit) -> Recorded<T>,
    ) -> Option<(String, NaiveDate)> {
        self.earlier().into_iter().find_map(|visit| {
            let value = measure(visit).known()?;
            Some((value.to_string(), visit.date))
        })
    }

    /// Shows the last value of a measure: `82 on 11 Mar`.
    pub fn last_shown<T: ToString>(
        &self,
        measure: impl Fn(&Visit) -> Recorded<T>,
    ) -> Option<String> {
        let (value, date) = self.last(measure)?;
        Some(format!("{value} on {}", dates::short(date)))
    }

    /// Returns what the visit that is typed once more says, as typed.
    pub fn wrong<T: ToString>(&self, measure: impl Fn(&Visit) -> Recorded<T>) -> Option<String> {
        let value = measure(self.corrects?).known()?;
        Some(value.to_string())
    }
}
