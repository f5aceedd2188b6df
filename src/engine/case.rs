//! One visit as the stages see it: the record up to that day, its facts and the last sheet.
//!
//! Computed once; must not decide anything.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::domain::exercise::Exercise;
use crate::domain::fact::Facts;
use crate::domain::ids::{ConditionId, ExerciseId};
use crate::domain::library::Library;
use crate::domain::procedure::{Procedure, Settings};
use crate::domain::record::{Adjust, Done, Issued, IssuedItem, Patient, Record, Visit};
use crate::domain::recorded::Recorded;
use crate::domain::time::{Day, VisitDate};
use crate::domain::verdict::Life;
use crate::domain::word::{AdjustAction, Slot, Work};

use super::answer::Answers;
use super::dates::days_between;
use super::life;

/// The last sheet that held a program, and the visit it was issued at.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LastSheet<'a> {
    pub(crate) visit: &'a Visit,
    pub(crate) issued: &'a Issued,
}

/// Everything the stages may look at.
#[derive(Debug, Clone)]
pub(crate) struct Case<'a> {
    pub(crate) library: &'a Library,
    pub(crate) record: &'a Record,
    pub(crate) visit: &'a Visit,
    /// Earlier visits that nobody corrected, latest first.
    pub(crate) history: Vec<&'a Visit>,
    pub(crate) date: NaiveDate,
    pub(crate) day: Day,
    pub(crate) life: Life,
    pub(crate) last: Option<LastSheet<'a>>,
    pub(crate) facts: Facts,
    pub(crate) answers: Answers,
}

/// Finds the last program among visits that run from the latest back.
pub(crate) fn last_sheet<'a>(history: &[&'a Visit]) -> Option<LastSheet<'a>> {
    history.iter().copied().find_map(|visit| {
        let issued = visit.issued.as_ref()?;
        issued.phase.as_ref().map(|_| LastSheet { visit, issued })
    })
}

impl<'a> Case<'a> {
    /// Opens the latest visit of a date that nobody corrected; facts and answers are still empty.
    pub(crate) fn open(
        library: &'a Library,
        record: &'a Record,
        date: VisitDate,
    ) -> Option<Case<'a>> {
        let visit = record
            .visits
            .iter()
            .rev()
            .find(|visit| visit.date == date.0 && !record.is_corrected(visit))?;
        let history: Vec<&Visit> = record
            .visits
            .iter()
            .rev()
            .filter(|earlier| earlier.n < visit.n && !record.is_corrected(earlier))
            .collect();
        Some(Case {
            library,
            record,
            visit,
            date: date.0,
            day: record.day(date.0),
            life: life::of(library, visit, date.0),
            last: last_sheet(&history),
            history,
            facts: Facts(BTreeMap::new()),
            answers: Answers::none(),
        })
    }

    pub(crate) fn procedure(&self) -> &'a Procedure {
        &self.library.procedure
    }

    pub(crate) fn settings(&self) -> &'a Settings {
        &self.library.procedure.settings
    }

    pub(crate) fn patient(&self) -> &'a Patient {
        &self.visit.patient
    }

    /// Says whether the person has a condition; the gate has asked before.
    pub(crate) fn has(&self, condition: &ConditionId) -> bool {
        match &self.visit.patient.conditions {
            Recorded::Yes(conditions) => conditions.contains(condition),
            Recorded::NotRecorded => false,
        }
    }

    /// Returns the conditions on record; none when nobody asked.
    pub(crate) fn conditions(&self) -> BTreeSet<ConditionId> {
        match &self.visit.patient.conditions {
            Recorded::Yes(conditions) => conditions.clone(),
            Recorded::NotRecorded => BTreeSet::new(),
        }
    }

    /// Finds an exercise on the last sheet.
    pub(crate) fn last_item(&self, exercise: &ExerciseId) -> Option<&'a IssuedItem> {
        self.last?
            .issued
            .items
            .iter()
            .find(|item| item.exercise == *exercise)
    }

    /// Finds what was done of an exercise.
    pub(crate) fn done(&self, exercise: &ExerciseId) -> Option<&'a Done> {
        self.visit
            .done
            .iter()
            .find(|done| done.exercise == *exercise)
    }

    /// Finds the clinician's last word on an exercise.
    pub(crate) fn adjust(&self, exercise: &ExerciseId) -> Option<&'a Adjust> {
        self.visit
            .adjust
            .iter()
            .rev()
            .find(|adjust| adjust.exercise == *exercise)
    }

    /// Finds the clinician's word that an exercise stands on the sheet.
    pub(crate) fn wanted(&self, exercise: &ExerciseId) -> Option<&'a Adjust> {
        self.adjust(exercise).filter(|adjust| match adjust.action {
            AdjustAction::Set | AdjustAction::Add => true,
            AdjustAction::LeaveOut => false,
        })
    }

    /// Returns the days from the end of the last sheet to today, when there was one.
    pub(crate) fn gap(&self) -> Option<i64> {
        self.last
            .map(|last| days_between(last.issued.use_until, self.date))
    }

    /// Says whether an exercise is range work that is not eased for ordinary pain or blanks today.
    pub(crate) fn protects(&self, exercise: &Exercise) -> bool {
        exercise.work == Work::Range && self.day < self.settings().range_protected_before
    }

    /// Returns the slots of the patient's own day, in order.
    pub(crate) fn own_slots(&self) -> Vec<Slot> {
        let own = match &self.visit.patient.day {
            Recorded::Yes(day) if !day.slots.is_empty() => &day.slots,
            Recorded::Yes(_) | Recorded::NotRecorded => &self.settings().default_slots,
        };
        let sorted: BTreeSet<Slot> = own.iter().copied().collect();
        sorted.into_iter().collect()
    }

    /// Returns the day of a date in this episode.
    pub(crate) fn day_of(&self, date: NaiveDate) -> Day {
        self.record.day(date)
    }
}

#[cfg(test)]
mod tests {
    use crate::domain::recorded::Recorded;
    use crate::domain::verdict::{Question, Why};
    use crate::domain::word::Response;
    use crate::engine::sample;

    #[test]
    fn a_date_without_a_visit_is_asked_about() {
        let record = sample::record(10);
        let date = crate::domain::time::VisitDate(sample::on(11));
        let verdict = crate::engine::decide(&sample::library(), &record, date);
        let crate::domain::verdict::Verdict::Unanswered(page) = verdict else {
            panic!("questions");
        };
        assert_eq!(page.questions[0].0, Question::NoVisit);
    }

    #[test]
    fn a_correction_answers_to_the_sheet_before_the_one_it_replaces() {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("bend", "b2")]);
        let mut wrong = record.visits[1].clone();
        wrong.pain.exercise = sample::pain(Some(9));
        wrong.issued = record.visits[0].issued.clone();
        record.visits.insert(1, wrong);
        record.visits[2].n = 3;
        record.visits[2].corrects = Some(2);
        let program = sample::program(&sample::library(), &record);
        assert_eq!(program.response, Recorded::Yes(Response::Settled));
        let step = &sample::item(&program, "bend").steps[0];
        assert_eq!(
            step.why,
            Why::LastSheet {
                sheet: 1,
                days_ago: 5
            }
        );
    }

    #[test]
    fn a_closed_visit_is_decided_without_its_own_sheet() {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("bend", "b2")]);
        let open = sample::program(&sample::library(), &record);
        record.visits[1].issued = record.visits[0].issued.clone();
        assert_eq!(sample::program(&sample::library(), &record), open);
    }

    #[test]
    fn a_withheld_page_is_no_sheet_to_go_on_from() {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("bend", "b2")]);
        sample::issued(&mut record, 0).phase = None;
        let program = sample::program(&sample::library(), &record);
        assert_eq!(program.response, Recorded::NotRecorded);
    }
}
