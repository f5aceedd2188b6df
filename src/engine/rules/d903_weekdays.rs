#![doc = include_str!("d903_weekdays.md")]

use chrono::{Datelike, NaiveDate, Weekday};

use crate::domain::dose::Dose;
use crate::domain::quantity::{DaysAWeek, Quantity};
use crate::domain::verdict::RuleId;
use crate::engine::case::Case;
use crate::engine::dates::later;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D903"),
    name: "weekdays",
    stage: Stage::Plan,
    since: "0.1",
    summary: "Names the days of work that is not for every day.",
    sources: &["practice"],
    doc: include_str!("d903_weekdays.md"),
};

/// Names the days of a dose; none is every day.
pub(crate) fn name(
    case: &Case<'_>,
    dose: &Dose,
    rests: Option<NaiveDate>,
    log: &mut Log,
) -> Vec<Weekday> {
    let days = dose.days_a_week.get();
    if days >= DaysAWeek::MAX {
        return Vec::new();
    }
    log.fire(&RULE);
    let tomorrow = later(case.date, 1);
    let start = rests.map_or(tomorrow, |until| until.max(tomorrow));
    spread(start, days)
}

/// Returns so many days of the week, as far apart as may be, Monday first.
fn spread(start: NaiveDate, days: i64) -> Vec<Weekday> {
    let mut found: Vec<Weekday> = (0..days)
        .filter_map(|step| step.saturating_mul(DaysAWeek::MAX).checked_div(days))
        .map(|gone| later(start, gone).weekday())
        .collect();
    found.sort_by_key(Weekday::num_days_from_monday);
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    #[test]
    fn three_days_are_never_in_a_row() {
        for offset in 0..7 {
            let start = later(sample::on(0), offset);
            let days = spread(start, 3);
            assert_eq!(days.len(), 3);
            assert!(days.contains(&start.weekday()));
            for day in &days {
                assert!(!days.contains(&day.succ()), "{days:?}");
            }
        }
    }

    fn run(rung: &str) -> (usize, bool) {
        let mut record = sample::record(40);
        sample::earlier(&mut record, 38, &[("lift", rung)]);
        record.visits[1].measured.lag = sample::degrees(Some(0));
        record.visits[1].phase = Some(sample::stay("middle"));
        let program = sample::program(&sample::library(), &record);
        (
            sample::item(&program, "lift").weekdays.len(),
            program.fired.contains(&RULE.id),
        )
    }

    #[test]
    fn loaded_work_has_named_days() {
        assert_eq!(run("l5"), (3, true));
    }

    #[test]
    fn daily_work_has_none() {
        assert_eq!(run("l1"), (0, false));
    }
}
