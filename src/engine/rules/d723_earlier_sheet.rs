#![doc = include_str!("d723_earlier_sheet.md")]

use crate::domain::quantity::Quantity;
use crate::domain::record::Visit;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{RuleId, Why};
use crate::domain::word::{AdjustAction, Response};
use crate::engine::answer;
use crate::engine::case::{Sheet, Stands};
use crate::engine::dates::days_between;
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D723"),
    name: "earlier-sheet",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Begins what comes back one rung below where it stood.",
    sources: &["practice"],
    doc: include_str!("d723_earlier_sheet.md"),
};

/// Proposes the rung below that of the latest sheet that held the exercise.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let new = working.given.is_none() && dosing.last.is_none() && dosing.wanted.is_none();
    if !new || dosing.ladder.first_only.is_some() || dosing.only_easiest() {
        return None;
    }
    let line = dosing.case.settings().gap_days.get();
    let exercise = dosing.exercise();
    let (sheet, stood) = dosing.case.sheets.iter().find_map(|sheet| {
        let mut items = sheet.issued.items.iter();
        let item = items.find(|item| item.exercise == exercise.id)?;
        let (at, _) = exercise.rung(&item.rung)?;
        Some((sheet, at))
    })?;
    let days = days_between(sheet.issued.use_until, dosing.case.date);
    if sheet.stands == Stands::Void || days > line || !left_calmly(dosing, *sheet) {
        return None;
    }
    let start = dosing.ladder.start.unwrap_or(0).min(stood);
    let given = dosing.given(stood.saturating_sub(1).max(start))?;
    let why = Why::EarlierSheet {
        sheet: sheet.issued.sheet,
        days,
    };
    Some((given, why))
}

/// Says whether it was settled when the sheet was answered, and nobody left it out since.
fn left_calmly(dosing: &Dosing<'_>, sheet: Sheet<'_>) -> bool {
    let (case, id) = (dosing.case, &dosing.exercise().id);
    let newer = |visit: &&&Visit| visit.n != sheet.visit.n;
    let since: Vec<&Visit> = case.history.iter().take_while(newer).copied().collect();
    let left_out = since.iter().any(|visit| {
        let mut words = visit.adjust.iter().rev();
        let word = words.find(|word| word.exercise == *id);
        word.is_some_and(|word| word.action == AdjustAction::LeaveOut)
    });
    let settled = since.last().is_some_and(|visit| {
        let answers = answer::at(case.library, visit, case.day_of(visit.date), sheet);
        let own = answers.each.get(id).map(|own| own.response);
        own == Some(Recorded::Yes(Response::Settled))
    });
    settled && !left_out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::Record;
    use crate::engine::sample;

    /// Somebody whose first sheet held the bend, and whose second did not.
    fn record(rung: &str, last: i64) -> Record {
        let mut record = sample::record(30);
        sample::earlier(&mut record, 2, &[("bend", rung)]);
        sample::issued(&mut record, 0).use_until = sample::on(last);
        sample::earlier(&mut record, 20, &[("lift", "l1")]);
        record.visits[2].phase = Some(sample::stay("early"));
        sample::silent(&mut record, 2);
        record
    }

    fn begins(rung: &str, last: i64) -> (String, bool) {
        let program = sample::program(&sample::library(), &record(rung, last));
        let step = &sample::item(&program, "bend").steps[0];
        assert_eq!(step.before, None);
        (step.after.rung.to_string(), step.rule == RULE.id)
    }

    #[test]
    fn what_comes_back_begins_a_rung_below_where_it_stood() {
        assert_eq!(begins("b3", 9), ("b2".to_owned(), true));
        assert_eq!(begins("b1", 9), ("b1".to_owned(), true));
    }

    #[test]
    fn after_a_bad_answer_no_answer_or_a_leave_out_it_is_silent() {
        let fired = |change: &dyn Fn(&mut Record)| {
            let mut record = record("b3", 9);
            change(&mut record);
            let program = sample::program(&sample::library(), &record);
            program.fired.contains(&RULE.id)
        };
        assert!(fired(&|_| {}));
        assert!(!fired(
            &|r| r.visits[1].pain.exercise = sample::pain(Some(9))
        ));
        assert!(!fired(&|r| sample::silent(r, 1)));
        assert!(!fired(&|r| {
            let today = r.visits[2].adjust.clone();
            sample::adjust(r, "bend", AdjustAction::LeaveOut, None);
            let said = std::mem::replace(&mut r.visits[2].adjust, today);
            r.visits[1].adjust.extend(said);
        }));
    }

    #[test]
    fn past_the_line_it_is_silent() {
        assert_eq!(begins("b3", 2), ("b2".to_owned(), true));
        assert_eq!(begins("b3", 1), ("b1".to_owned(), false));
    }

    #[test]
    fn a_void_sheet_is_not_gone_on_from() {
        let fired = |record: &Record| {
            let program = sample::program(&sample::library(), record);
            program.fired.contains(&RULE.id)
        };
        let mut record = record("b3", 9);
        assert!(fired(&record));
        record.corrections.push(sample::day_put_right(-1, 2));
        assert!(!fired(&record));
    }

    #[test]
    fn where_the_phase_begins_higher_it_begins_there_but_not_above_where_it_stood() {
        let begins = |start: &str, stood: &str| {
            let mut library = sample::library();
            sample::candidate(&mut library, 0, "bend").rung = sample::id(start);
            let program = sample::program(&library, &record(stood, 9));
            let step = &sample::item(&program, "bend").steps[0];
            step.after.rung.to_string()
        };
        assert_eq!(begins("b3", "b3"), "b3");
        assert_eq!(begins("b3", "b2"), "b2");
    }
}
