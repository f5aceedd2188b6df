//! One visit as the stages see it: the record up to that day, its facts and the last sheet.
//!
//! Computed once; must not decide anything.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::domain::correction::Correction;
use crate::domain::exercise::Exercise;
use crate::domain::fact::Facts;
use crate::domain::ids::{ConditionId, ExerciseId};
use crate::domain::library::Library;
use crate::domain::procedure::{Procedure, Settings};
use crate::domain::quantity::Quantity;
use crate::domain::record::{Adjust, Done, Issued, IssuedItem, Patient, Record, Visit};
use crate::domain::recorded::Recorded;
use crate::domain::time::{Day, VisitDate};
use crate::domain::verdict::Life;
use crate::domain::word::{AdjustAction, Fact, Slot, Work};

use super::answer::Answers;
use super::dates::days_between;
use super::life;
use super::rules::d902_slots;

/// A sheet given before today, and the visit in whose place it was given.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sheet<'a> {
    pub(crate) visit: &'a Visit,
    pub(crate) issued: &'a Issued,
    /// Whether it was made void since: its answers are heard, its doses are not gone on from.
    pub(crate) stands: Stands,
}

/// Whether a sheet is gone on from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stands {
    /// It is.
    Valid,
    /// It counted the days wrongly.
    Void,
}

/// Everything the stages may look at.
#[derive(Debug, Clone)]
pub(crate) struct Case<'a> {
    pub(crate) library: &'a Library,
    pub(crate) record: &'a Record,
    pub(crate) visit: &'a Visit,
    /// Earlier visits that nobody corrected, latest first; none of the wrong side.
    pub(crate) history: Vec<&'a Visit>,
    /// Those of the wrong side, latest first: red flags alone are looked up in them.
    pub(crate) other_side: Vec<&'a Visit>,
    /// After the operation, those before it, latest first: red flags alone are looked up in them.
    pub(crate) before_operation: Vec<&'a Visit>,
    pub(crate) date: NaiveDate,
    /// Last day whose orders, assessments and overrides are known: the date itself, and for a
    /// stage ahead the date of its sheet.
    pub(crate) known: NaiveDate,
    pub(crate) day: Day,
    pub(crate) life: Life,
    /// Sheets given before today, latest first.
    pub(crate) sheets: Vec<Sheet<'a>>,
    /// The last one that held a program.
    pub(crate) last: Option<Sheet<'a>>,
    pub(crate) facts: Facts,
    pub(crate) answers: Answers,
    /// Measures past a review line today at which all but motion work keeps.
    pub(crate) keeps: Vec<Fact>,
    /// Stages the sheet's life is made for; fewer than two are none.
    pub(crate) stages: i64,
}

/// Lists the sheets given at some visits that still speak of the right side.
fn sheets<'a>(record: &'a Record, history: &[&'a Visit], today: &Visit) -> Vec<Sheet<'a>> {
    history
        .iter()
        .filter_map(|visit| record.given_at(visit))
        .filter_map(|given| {
            let mut between = record.between(given.issued_at, today).peekable();
            let stands = match between.peek() {
                Some(_) => Stands::Void,
                None => Stands::Valid,
            };
            let right_side = !between.any(Correction::is_of_side);
            right_side.then_some(Sheet {
                visit: given.visit,
                issued: given.issued,
                stands,
            })
        })
        .collect()
}

/// Finds the last program among sheets that run from the latest back.
fn last_program<'a>(sheets: impl IntoIterator<Item = Sheet<'a>>) -> Option<Sheet<'a>> {
    sheets
        .into_iter()
        .find(|sheet| sheet.issued.phase.is_some())
}

impl<'a> Case<'a> {
    /// Opens the latest visit of a date that nobody corrected; facts and answers are still empty.
    pub(crate) fn open(
        library: &'a Library,
        record: &'a Record,
        date: VisitDate,
    ) -> Option<Case<'a>> {
        let visit = record
            .effective()
            .into_iter()
            .rev()
            .find(|visit| visit.date == date.0)?;
        let (other_side, history): (Vec<&Visit>, Vec<&Visit>) = record
            .before(visit)
            .into_iter()
            .partition(|earlier| record.between(earlier, visit).any(Correction::is_of_side));
        let day = record.day(date.0);
        let (before_operation, history): (Vec<&Visit>, Vec<&Visit>) =
            history.into_iter().partition(|earlier| {
                let then = record.day(earlier.date);
                then.is_before_operation() && !day.is_before_operation()
            });
        let sheets = sheets(record, &history, visit);
        Some(Case {
            library,
            record,
            visit,
            date: date.0,
            known: date.0,
            day,
            life: life::of(
                library,
                record.next_visit(visit),
                record.episode.operation,
                date.0,
            ),
            last: last_program(sheets.iter().copied()),
            sheets,
            history,
            other_side,
            before_operation,
            facts: Facts(BTreeMap::new()),
            answers: Answers::none(),
            keeps: Vec::new(),
            stages: 0,
        })
    }

    /// Finds the last program given before an earlier visit.
    pub(crate) fn last_before(&self, visit: &Visit) -> Option<Sheet<'a>> {
        let place = self
            .history
            .iter()
            .position(|earlier| earlier.n == visit.n)?;
        let before = self.history.get(place.saturating_add(1)..)?;
        let there = |sheet: &&Sheet<'_>| before.iter().any(|known| known.n == sheet.visit.n);
        last_program(self.sheets.iter().filter(there).copied())
    }

    /// Returns the last sheet when it is void: entered by test again, not gone on from.
    pub(crate) fn void_sheet(&self) -> Option<Sheet<'a>> {
        self.last.filter(|last| last.stands == Stands::Void)
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

    /// Finds the clinician's last word on an exercise; one taken back is none.
    pub(crate) fn adjust(&self, exercise: &ExerciseId) -> Option<&'a Adjust> {
        self.visit
            .adjust
            .iter()
            .rev()
            .find(|adjust| adjust.exercise == *exercise)
            .filter(|adjust| adjust.action != AdjustAction::AsDecided)
    }

    /// Finds the clinician's word that an exercise stands on the sheet.
    pub(crate) fn wanted(&self, exercise: &ExerciseId) -> Option<&'a Adjust> {
        self.adjust(exercise).filter(|adjust| match adjust.action {
            AdjustAction::Set | AdjustAction::Add => true,
            AdjustAction::LeaveOut | AdjustAction::AsDecided => false,
        })
    }

    /// Returns the days from the end of the last sheet to today, when there was one.
    pub(crate) fn gap(&self) -> Option<i64> {
        self.last
            .map(|last| days_between(last.issued.use_until, self.date))
    }

    /// Says whether an exercise is range work that is not eased for ordinary pain or blanks today;
    /// before the operation none is.
    pub(crate) fn protects(&self, exercise: &Exercise) -> bool {
        exercise.work == Work::Range
            && !self.day.is_before_operation()
            && self.day < self.settings().range_protected_before
    }

    /// Returns the slots of the patient's own day, in order; of more than a day has exercises at,
    /// as many as it has, spread from the first to the last.
    pub(crate) fn own_slots(&self) -> Vec<Slot> {
        let own = match &self.visit.patient.day {
            Recorded::Yes(day) if !day.slots.is_empty() => &day.slots,
            Recorded::Yes(_) | Recorded::NotRecorded => &self.settings().default_slots,
        };
        let sorted: BTreeSet<Slot> = own.iter().copied().collect();
        let sorted: Vec<Slot> = sorted.into_iter().collect();
        let most = self.settings().bounds.times_a_day_most.get();
        d902_slots::evenly(&sorted, usize::try_from(most).unwrap_or(sorted.len()))
    }

    /// Returns the day of a date in this episode.
    pub(crate) fn day_of(&self, date: NaiveDate) -> Day {
        self.record.day(date)
    }
}

#[cfg(test)]
mod tests {
    use crate::domain::fact::FactValue;
    use crate::domain::recorded::Recorded;
    use crate::domain::verdict::{Program, Question, RuleId, Verdict, Why};
    use crate::domain::word::{ClosedWith, Fact, Response, ScreenAnswer};
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
    fn a_late_correction_counts_in_its_place_and_leaves_the_sheet_the_person_had() {
        let mut record = sample::record(17);
        sample::earlier(&mut record, 10, &[("bend", "b2")]);
        sample::earlier(&mut record, 12, &[("bend", "b2")]);
        record.visits[1].pain.exercise = sample::pain(Some(9));
        record.visits[2].pain.exercise = sample::pain(Some(9));
        record.visits[2].phase = Some(sample::stay("early"));
        let before = sample::program(&sample::library(), &record);
        let mut late = record.visits[0].clone();
        (late.n, late.corrects) = (3, Some(1));
        (late.issued, late.closed) = (None, Some(ClosedWith::None));
        late.measured.flexion = sample::degrees(Some(71));
        record.visits[2].n = 4;
        record.visits.insert(2, late);
        let program = sample::program(&sample::library(), &record);
        let flexion = &program.facts.0[&Fact::Flexion];
        assert_eq!(
            (&flexion.value, flexion.on.get()),
            (&FactValue::Number(71), 10)
        );
        let told = |program: &Program| program.fired.contains(&RuleId("D605"));
        assert!(
            told(&before) && told(&program),
            "the answer to sheet 1 is still heard"
        );
        let steps = |program: &Program| sample::item(program, "bend").steps[0].why.clone();
        assert_eq!(steps(&program), steps(&before), "sheet 2 is gone on from");
    }

    #[test]
    fn a_red_flag_found_by_a_late_correction_holds_until_somebody_has_assessed_it() {
        let mut record = sample::record(17);
        sample::earlier(&mut record, 10, &[("bend", "b2")]);
        sample::earlier(&mut record, 12, &[("bend", "b2")]);
        let mut late = record.visits[0].clone();
        (late.n, late.corrects) = (3, Some(1));
        (late.issued, late.closed) = (None, Some(ClosedWith::None));
        if let Recorded::Yes(screen) = &mut late.screen {
            screen.insert(sample::id("clot"), ScreenAnswer::Yes);
        }
        record.visits[2].n = 4;
        record.visits.insert(2, late);
        let verdict = sample::verdict(&sample::library(), &record);
        assert!(matches!(verdict, Verdict::Withheld(_)));
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
