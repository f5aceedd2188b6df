#![doc = include_str!("d413_as_reported.md")]

use crate::domain::exercise::{Exercise, Rung};
use crate::domain::fact::FactValue;
use crate::domain::quantity::Quantity;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{RuleId, WhyNot};
use crate::engine::allow::Bar;
use crate::engine::amount;
use crate::engine::case::Case;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D413"),
    name: "as-reported",
    stage: Stage::Allow,
    since: "0.1",
    summary: "Holds daily work at one rung above what the person reports of it.",
    sources: &["practice"],
    doc: include_str!("d413_as_reported.md"),
};

/// Returns the bar of a rung too far above what was reported.
pub(crate) fn bar(case: &Case<'_>, exercise: &Exercise, at: usize) -> Option<Bar> {
    let fact = exercise.reported?;
    let value = match case.facts.get(fact) {
        Recorded::Yes(dated) => match dated.value {
            FactValue::Number(number) => Recorded::Yes(number),
            FactValue::Word(_) => Recorded::NotRecorded,
        },
        Recorded::NotRecorded => Recorded::NotRecorded,
    };
    let most = match value {
        Recorded::Yes(minutes) => done(exercise, minutes),
        Recorded::NotRecorded => {
            let mut kept = exercise.unreported_kept.iter();
            kept.find(|condition| case.has(condition))?;
            let last = case.last_item(&exercise.id)?;
            exercise.rung(&last.rung)?.0
        }
    };
    (at > most).then_some(Bar {
        reason: WhyNot::AboveReported { fact, value },
        rule: RULE.id,
    })
}

/// Returns the place of the rung after those whose minutes are all done; the first one is always
/// within reach.
fn done(exercise: &Exercise, minutes: i64) -> usize {
    let rungs = exercise.rungs.iter();
    rungs
        .take_while(|rung| minutes_a_day(rung) <= minutes)
        .count()
}

fn minutes_a_day(rung: &Rung) -> i64 {
    let dose = amount::of_rung(rung);
    let minutes = amount::minutes(rung.amount).map_or(0, Quantity::get);
    minutes.saturating_mul(amount::times(&dose))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::verdict::Why;
    use crate::domain::word::Fact;
    use crate::engine::sample;

    /// The rung of the daily walk, 15 and 21 minutes a day, and whether the rule held it.
    fn walk(reported: Option<i64>, last: Option<&str>) -> (String, bool) {
        walked(reported, last, None)
    }

    /// The same for somebody with a condition, nothing reported.
    fn with(condition: &str, last: Option<&str>) -> (String, bool) {
        walked(None, last, Some(condition))
    }

    fn walked(
        reported: Option<i64>,
        last: Option<&str>,
        condition: Option<&str>,
    ) -> (String, bool) {
        let mut library = sample::library();
        let stroll = sample::exercise(&mut library, "stroll");
        stroll.reported = Some(Fact::WalkMinutes);
        stroll.unreported_kept = [sample::id("frail")].into();
        sample::candidate(&mut library, 0, "stroll").rung = sample::id("w2");
        let mut record = sample::record(20);
        if let Some(last) = last {
            sample::earlier(&mut record, 12, &[("stroll", last), ("bend", "b1")]);
            sample::issued(&mut record, 0).use_until = sample::on(20);
        }
        let visit = record.visits.last_mut().unwrap();
        visit.measured.walk_minutes = Recorded::from(reported.map(sample::n));
        visit.phase = Some(sample::stay("early"));
        if let Some(condition) = condition {
            sample::condition(&mut record, condition);
        }
        let program = sample::program(&library, &record);
        let row = program
            .daily
            .iter()
            .find(|row| row.exercise == sample::id("stroll"));
        let row = row.unwrap();
        let held = row.steps.iter().any(|step| {
            let (Why::KeptNotAllowed { reason } | Why::LowerRungOffered { reason }) = &step.why
            else {
                return false;
            };
            matches!(reason, WhyNot::AboveReported { .. })
        });
        (row.rung.to_string(), held)
    }

    #[test]
    fn each_side_of_the_minutes() {
        assert_eq!(walk(Some(14), Some("w2")), ("w1".to_owned(), true));
        assert_eq!(walk(Some(15), Some("w2")), ("w2".to_owned(), false));
        assert_eq!(walk(Some(14), Some("w1")), ("w1".to_owned(), true));
        assert_eq!(walk(Some(15), Some("w1")), ("w2".to_owned(), false));
        assert_eq!(walk(Some(1), None), ("w1".to_owned(), true));
    }

    #[test]
    fn nothing_reported_is_kept_with_the_named_condition_and_after_a_first_sheet_only() {
        assert_eq!(walk(None, Some("w1")), ("w2".to_owned(), false));
        assert_eq!(with("frail", Some("w1")), ("w1".to_owned(), true));
        assert_eq!(with("frail", Some("w2")), ("w2".to_owned(), false));
        assert_eq!(with("frail", None), ("w2".to_owned(), false));
        assert_eq!(with("heart", Some("w1")), ("w2".to_owned(), false));
    }
}
