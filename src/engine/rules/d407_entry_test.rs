#![doc = include_str!("d407_entry_test.md")]

use crate::domain::exercise::Exercise;
use crate::domain::fact::Test;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::RuleId;
use crate::domain::word::{Fact, Row};
use crate::engine::allow::NotYet;
use crate::engine::case::Case;
use crate::engine::judge::{Judged, judge};
use crate::engine::log::Log;

use super::{Rule, Stage, d408_missing_fact};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D407"),
    name: "entry-test",
    stage: Stage::Allow,
    since: "0.1",
    summary: "Holds back an exercise or a rung until its own entry test holds.",
    sources: &["practice"],
    doc: include_str!("d407_entry_test.md"),
};

/// What a blank does to a test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Blank {
    /// What the procedure says.
    Counts,
    /// Nothing: the work was given before and goes on.
    Forgiven,
}

/// Returns the first test of the exercise that fails today.
pub(crate) fn failing(case: &Case<'_>, exercise: &Exercise, log: &mut Log) -> Option<NotYet> {
    let goes_on = case.protects(exercise) || beside(exercise);
    let blank = match case.last_item(&exercise.id) {
        Some(_) if goes_on => Blank::Forgiven,
        Some(_) | None => Blank::Counts,
    };
    first_failing(case, &exercise.entry, blank, log)
}

/// Returns the first test of a rung that fails today; `index` is its place in the ladder.
pub(crate) fn failing_rung(
    case: &Case<'_>,
    exercise: &Exercise,
    index: usize,
    log: &mut Log,
) -> Option<NotYet> {
    let rung = exercise.rungs.get(index)?;
    let blank = match case.last_item(&exercise.id) {
        Some(_) if case.protects(exercise) => Blank::Forgiven,
        Some(item) if beside(exercise) && item.rung == rung.id => Blank::Forgiven,
        Some(_) | None => Blank::Counts,
    };
    first_failing(case, &rung.entry, blank, log)
}

/// Says whether the exercise is a row of every day, such as what the person walks with.
fn beside(exercise: &Exercise) -> bool {
    match exercise.row {
        Row::Daily | Row::Advice => true,
        Row::Exercise | Row::Background => false,
    }
}

fn first_failing(case: &Case<'_>, tests: &[Test], blank: Blank, log: &mut Log) -> Option<NotYet> {
    let kept = blank == Blank::Forgiven;
    tests.iter().find_map(|test| {
        let judged = judge(case, test, case.day);
        d408_missing_fact::note(test, &judged, log);
        let value = match judged {
            Judged::Passes | Judged::PassesBlank | Judged::PassesFirst | Judged::PassesUsual(_) => {
                return None;
            }
            Judged::Fails(Recorded::NotRecorded) | Judged::FailsUsual(_) if kept => return None,
            Judged::Fails(value) => value,
            Judged::FailsUsual(_) => Recorded::NotRecorded,
        };
        Some(NotYet {
            test: test.clone(),
            value,
        })
    })
}

/// Returns the blank that lets the exercise in at its first rung only.
pub(crate) fn first_only(case: &Case<'_>, exercise: &Exercise) -> Option<Fact> {
    let mut tests = exercise.entry.iter();
    let blank = tests.find(|test| judge(case, test, case.day) == Judged::PassesFirst);
    blank.map(|test| test.fact)
}

#[cfg(test)]
mod tests {
    use crate::domain::verdict::WhyNot;
    use crate::engine::sample;

    fn fires(lag: Option<i64>, day: i64) -> bool {
        let mut record = sample::record(day);
        record.visits[0].measured.lag = sample::degrees(lag);
        let program = sample::program(&sample::library(), &record);
        matches!(
            sample::left_out(&program, "lift"),
            Some(WhyNot::NotYet { .. })
        )
    }

    #[test]
    fn a_test_opens_at_its_line() {
        assert!(fires(Some(11), 10));
        assert!(!fires(Some(10), 10));
    }

    #[test]
    fn a_blank_goes_by_the_procedure() {
        assert!(fires(None, 3));
        assert!(!fires(None, 4));
    }

    #[test]
    fn protected_range_work_stays_through_a_blank() {
        let mut library = sample::library();
        let test = sample::at_least(crate::domain::word::Fact::Stance, 5);
        sample::exercise(&mut library, "bend").entry.push(test);
        let mut record = sample::record(10);
        assert!(!sample::has(&sample::program(&library, &record), "bend"));
        sample::earlier(&mut record, 5, &[("bend", "b1")]);
        assert!(sample::has(&sample::program(&library, &record), "bend"));
    }

    #[test]
    fn a_row_of_every_day_goes_on_at_its_last_rung_for_a_blank() {
        let library = sample::library();
        let mut record = sample::record(40);
        sample::earlier(&mut record, 5, &[("bend", "b1")]);
        let rungs: Vec<String> = library.exercises[&sample::id("aid")]
            .rungs
            .iter()
            .map(|rung| rung.id.to_string())
            .collect();
        for rung in &rungs {
            let mut record = record.clone();
            sample::issue_too(&mut record, 0, "aid", rung);
            let program = sample::program(&library, &record);
            let row = program
                .daily
                .iter()
                .find(|i| i.exercise == sample::id("aid"));
            assert_eq!(row.map(|item| item.rung.to_string()).as_ref(), Some(rung));
        }
        let program = sample::program(&library, &record);
        let row = program
            .daily
            .iter()
            .find(|i| i.exercise == sample::id("aid"));
        assert!(row.is_none(), "never given, and nobody looked");
    }
}
