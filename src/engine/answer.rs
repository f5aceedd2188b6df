//! Stage 6: how the body took the last dose.
//!
//! One exercise at a time where that was recorded; the worst sign wins. Heard before the phase
//! is chosen, because some safety criteria look at it.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::domain::exercise::Exercise;
use crate::domain::fact::FactValue;
use crate::domain::ids::{ExerciseId, FlagId, RungId};
use crate::domain::library::Library;
use crate::domain::quantity::PainScore;
use crate::domain::record::{Done, Visit};
use crate::domain::recorded::Recorded;
use crate::domain::time::Day;
use crate::domain::verdict::{BadSign, Notice};
use crate::domain::word::{BandWork, Fact, Morning, Response, Row, Work, YesNo};

use super::case::{Case, Sheet};
use super::facts::word;
use super::log::Log;
use super::rules::{
    d601_pain_bands, d602_medicine_first, d603_next_morning, d604_swelling, d605_tell_team,
    d606_amount_done,
};

/// What was heard of one exercise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Answer {
    pub(crate) response: Recorded<Response>,
    pub(crate) pain: Recorded<PainScore>,
    /// Settled up to and including this; none when no band fits the day.
    pub(crate) line: Option<PainScore>,
    pub(crate) morning: Recorded<Morning>,
    /// The sign that decided, when it was worse than settled.
    pub(crate) sign: Option<BadSign>,
    /// Pain was the only bad sign and the medicine had not been taken.
    pub(crate) medicine_first: YesNo,
}

/// What was heard of the last sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Answers {
    pub(crate) each: BTreeMap<ExerciseId, Answer>,
    pub(crate) overall: Recorded<Response>,
    /// The same without work that loads and was tolerable for its pain alone: that holds back
    /// what loads, and nothing else.
    pub(crate) beside_loading: Recorded<Response>,
    /// The flags that narrow the program: nothing new and no climb, whatever the answer.
    pub(crate) narrowed_by: BTreeSet<FlagId>,
}

/// One sign after the work, judged.
pub(crate) type Judged = Option<(Response, Option<BadSign>)>;

/// What one exercise of the last sheet is judged by.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Heard<'a> {
    pub(crate) library: &'a Library,
    pub(crate) visit: &'a Visit,
    pub(crate) day: Day,
    pub(crate) work: BandWork,
    pub(crate) done: Option<&'a Done>,
}

impl Answers {
    /// Returns the answers of somebody who had no sheet.
    pub(crate) const fn none() -> Self {
        Self {
            each: BTreeMap::new(),
            overall: Recorded::NotRecorded,
            beside_loading: Recorded::NotRecorded,
            narrowed_by: BTreeSet::new(),
        }
    }

    /// Returns the overall answer when it is worse than settled.
    pub(crate) fn worse_than_settled(&self) -> Option<Response> {
        self.worse(self.overall)
    }

    /// Returns what holds back one kind of work, when it is worse than settled.
    pub(crate) fn worse_for(&self, work: BandWork) -> Option<Response> {
        match work {
            BandWork::Loaded => self.worse(self.overall),
            BandWork::Range | BandWork::Other => self.worse(self.beside_loading),
        }
    }

    fn worse(&self, response: Recorded<Response>) -> Option<Response> {
        let narrowed = (!self.narrowed_by.is_empty()).then_some(Response::Tolerable);
        let worst = response.known().max(narrowed);
        worst.filter(|response| *response > Response::Settled)
    }
}

/// Returns by which band an exercise is judged at a rung; one it no longer has is not loaded.
pub(crate) fn work_of(library: &Library, exercise: &Exercise, rung: &RungId) -> BandWork {
    let tags = &library.procedure.settings.loading_tags;
    let rung = exercise.rung(rung).map(|(_, rung)| rung);
    let own = rung.into_iter().flat_map(|rung| &rung.tags);
    let loading = exercise.demands.iter().flat_map(|demand| &demand.tags);
    let loaded = rung.is_some_and(|rung| rung.loaded == YesNo::Yes)
        || own.chain(loading).any(|tag| tags.contains(tag));
    match exercise.work {
        Work::Range | Work::Other if loaded => BandWork::Loaded,
        Work::Range => BandWork::Range,
        Work::Other => BandWork::Other,
    }
}

/// Hears the answer to the last sheet and leaves what it calls for.
pub(crate) fn hear(case: &Case<'_>, log: &mut Log) -> Answers {
    let Some(last) = case.last else {
        return Answers::none();
    };
    let answers = at(case.library, case.visit, case.day, last);
    for answer in answers.each.values() {
        d601_pain_bands::note(answer, log);
        d602_medicine_first::note(answer, log);
    }
    d603_next_morning::note(case, log);
    d604_swelling::note(case, log);
    d605_tell_team::note(case, &answers, log);
    d606_amount_done::note(case, last, log);
    answers
}

/// Judges the answer given at one visit to the sheet before it.
pub(crate) fn at(library: &Library, visit: &Visit, day: Day, last: Sheet<'_>) -> Answers {
    let mut answers = Answers::none();
    let (mut worst, mut beside) = (None, None);
    for item in &last.issued.items {
        let Some(exercise) = library.exercises.get(&item.exercise) else {
            continue;
        };
        let heard = Heard {
            library,
            visit,
            day,
            work: work_of(library, exercise, &item.rung),
            done: visit
                .done
                .iter()
                .find(|done| done.exercise == item.exercise),
        };
        let answer = judge(&heard);
        if exercise.row == Row::Exercise {
            let response = answer.response.known();
            worst = worst.max(response);
            if !for_loading_alone(heard.work, &answer) {
                beside = beside.max(response);
            }
        }
        answers.each.insert(item.exercise.clone(), answer);
    }
    answers.overall = Recorded::from(worst);
    answers.beside_loading = Recorded::from(beside);
    answers
}

/// Says whether an answer holds back work that loads and nothing else: not pain without its
/// medicine, since nobody knows how much of that was the work.
fn for_loading_alone(work: BandWork, answer: &Answer) -> bool {
    let pain_alone = matches!(answer.sign, Some(BadSign::Pain { .. }));
    work == BandWork::Loaded
        && answer.response == Recorded::Yes(Response::Tolerable)
        && answer.medicine_first == YesNo::No
        && pain_alone
}

fn judge(heard: &Heard<'_>) -> Answer {
    let pain = d601_pain_bands::pain(heard);
    let after = [d603_next_morning::judge(heard), d604_swelling::judge(heard)];
    let (by_pain, line) = d601_pain_bands::judge(heard, pain, after);
    let medicine_first = d602_medicine_first::applies(heard, by_pain, &after);
    let by_pain = match (medicine_first, by_pain) {
        (YesNo::Yes, Some((_, sign))) => Some((Response::Tolerable, sign)),
        (YesNo::Yes | YesNo::No, judged) => judged,
    };
    let worst = worst(by_pain.into_iter().chain(after.into_iter().flatten()));
    let response = match worst {
        Some((Response::Settled, _)) if by_pain.is_none() => None,
        Some((response, _)) => Some(response),
        None => None,
    };
    Answer {
        response: Recorded::from(response),
        pain,
        line,
        morning: d603_next_morning::of(heard),
        sign: worst.and_then(|(_, sign)| sign),
        medicine_first,
    }
}

/// Returns the worst of some signs; of equally bad ones the last.
pub(crate) fn worst(signs: impl Iterator<Item = (Response, Option<BadSign>)>) -> Judged {
    signs.max_by_key(|(response, _)| *response)
}

/// Finds what the procedure says a word after the work means.
pub(crate) fn meaning(library: &Library, sign: Fact, found: &FactValue) -> Option<Response> {
    library
        .procedure
        .answers
        .iter()
        .find(|answer| answer.sign == sign && FactValue::Word(answer.word.clone()) == *found)
        .map(|answer| answer.means)
}

/// Returns the overall answer at an earlier visit, when it had a sheet before it.
pub(crate) fn earlier(case: &Case<'_>, visit: &Visit) -> Recorded<Response> {
    match case.last_before(visit) {
        Some(last) => at(case.library, visit, case.day_of(visit.date), last).overall,
        None => Recorded::NotRecorded,
    }
}

/// Makes the overall answer a fact that tests can look at.
pub(crate) fn as_fact(answers: &Answers) -> Option<FactValue> {
    answers.overall.known().map(word)
}

/// Notes a blank among the answers of the day.
pub(crate) fn blank(rule: &super::rules::Rule, fact: Fact, log: &mut Log) {
    log.notice(
        rule,
        Notice::NotRecorded {
            rule: rule.id,
            fact,
        },
    );
}

/// Says whether a date lies no more than so many days before another.
pub(crate) fn within(days: i64, earlier: NaiveDate, later: NaiveDate) -> bool {
    super::dates::days_between(earlier, later) <= days
}
