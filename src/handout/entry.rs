//! One line of the program with everything the sheet says of it at hand.
//!
//! The number given here is the same on the plan, at the block and in the diary.

use chrono::{Datelike, NaiveDate};

use super::error::HandoutError;
use super::wording::Wording;
use super::{dates, numbers};
use crate::domain::exercise::{Exercise, ExerciseWords};
use crate::domain::ids::Id;
use crate::domain::phrase::Phrase;
use crate::domain::quantity::Quantity;
use crate::domain::verdict::{Item, Life, Program};
use crate::domain::word::{Row, YesNo};

/// An item with its exercise and words.
pub(super) struct Entry<'a> {
    /// Its number; only numbered exercises have one.
    pub(super) number: Option<u8>,
    /// The line of the program.
    pub(super) item: &'a Item,
    /// The exercise.
    pub(super) exercise: &'a Exercise,
    /// Its words, as this person reads them.
    pub(super) words: ExerciseWords,
    /// A limit of one of its motions stands: no word asks for more than a gentle pull.
    pub(super) limited: bool,
}

/// All lines of a program, in the order printed.
pub(super) struct Entries<'a> {
    /// Numbered exercises.
    pub(super) numbered: Vec<Entry<'a>>,
    /// Walking and the like.
    pub(super) daily: Vec<Entry<'a>>,
    /// Hourly work and the like.
    pub(super) background: Vec<Entry<'a>>,
    /// Rows of advice without a dose, such as which walking aid; they stand with home care.
    pub(super) advice: Vec<Entry<'a>>,
}

impl<'a> Entries<'a> {
    /// Finds the words of every line.
    pub(super) fn of(words: &Wording<'a>, program: &'a Program) -> Result<Self, HandoutError> {
        let plain = |items: &'a [Item]| -> Result<Vec<Entry<'a>>, HandoutError> {
            items
                .iter()
                .map(|item| Entry::of(words, program, item, None))
                .collect()
        };
        let numbered: Result<Vec<_>, _> = program
            .items
            .iter()
            .zip(1_u8..)
            .map(|(item, number)| Entry::of(words, program, item, Some(number)))
            .collect();
        let (advice, daily) = plain(&program.daily)?
            .into_iter()
            .partition(|entry| entry.exercise.row == Row::Advice);
        Ok(Self {
            numbered: numbered?,
            daily,
            background: plain(&program.background)?,
            advice,
        })
    }
}

impl<'a> Entry<'a> {
    fn of(
        words: &Wording<'a>,
        program: &Program,
        item: &'a Item,
        number: Option<u8>,
    ) -> Result<Self, HandoutError> {
        let (exercise, of_all) = words.exercise(&item.exercise)?;
        Ok(Self {
            number,
            item,
            limited: program.stops_in(exercise).next().is_some(),
            exercise,
            words: of_all.fitted_to(&words.person(program), &item.dose),
        })
    }

    /// Says whether it is done on a date.
    pub(super) fn due(&self, date: NaiveDate) -> bool {
        let rested = self.item.rests_until.is_none_or(|until| date >= until);
        let weekdays = &self.item.weekdays;
        rested && (weekdays.is_empty() || weekdays.contains(&date.weekday()))
    }

    /// Says whether it is done every day of the sheet.
    pub(super) fn every_day(&self) -> bool {
        self.item.weekdays.is_empty()
            && self.item.rests_until.is_none()
            && self.item.dose.days_a_week.get() == 7
    }

    /// Returns its first day on a sheet, when there is one.
    pub(super) fn first_day(&self, life: Life) -> Option<NaiveDate> {
        dates::days(life.from, life.until).find(|date| self.due(*date))
    }

    /// Says whether its rung is loaded work.
    pub(super) fn loaded(&self) -> Result<bool, HandoutError> {
        let rung = self.exercise.rung(&self.item.rung);
        let (_, rung) =
            rung.ok_or_else(|| super::wording::unknown("rung", self.item.rung.as_str()))?;
        Ok(rung.loaded == YesNo::Yes)
    }

    /// Says its number and short name, such as "5 Stand up".
    pub(super) fn short_name(&self, words: &Wording<'_>) -> Result<String, HandoutError> {
        let name = words.tell(&self.words.short, &[])?;
        self.number.map_or(Ok(name.clone()), |number| {
            let number = number.to_string();
            words.say(Phrase::LedNumber, &[("number", &number), ("name", &name)])
        })
    }

    /// Lists its named days of the week, when there are any.
    pub(super) fn weekdays(&self, words: &Wording<'_>) -> Result<Option<String>, HandoutError> {
        if self.item.weekdays.is_empty() {
            return Ok(None);
        }
        let days = self
            .item
            .weekdays
            .iter()
            .map(|day| dates::weekday(words, *day));
        numbers::list(words, &days.collect::<Result<Vec<_>, _>>()?).map(Some)
    }
}
