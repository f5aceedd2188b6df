#![doc = include_str!("d1001_next_rungs.md")]

use crate::domain::limit::Modifier;
use crate::domain::quantity::Quantity;
use crate::domain::verdict::{Notice, RuleId};
use crate::domain::word::YesNo;
use crate::engine::ahead::{loaded, rungs};
use crate::engine::dose::Dosing;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D1001"),
    name: "next-rungs",
    stage: Stage::Ahead,
    since: "0.1",
    summary: "Dates the next rungs that may follow before the next visit.",
    sources: &["practice"],
    doc: include_str!("d1001_next_rungs.md"),
};

/// Says whether a line may have next rungs at all.
pub(crate) fn applies(dosing: &Dosing<'_>) -> bool {
    looks_first(dosing).is_none()
        && dosing.worse().is_none()
        && dosing.answer.is_none_or(|answer| answer.sign.is_none())
}

/// Returns what asks that somebody looks before anything is gone up to.
fn looks_first<'a>(dosing: &Dosing<'a>) -> Option<&'a Modifier> {
    let mut modifiers = dosing.modifiers.iter();
    modifiers
        .find(|modifier| modifier.look_ahead == Some(YesNo::No))
        .copied()
}

/// Leaves the notice of it.
pub(crate) fn note(dosing: &Dosing<'_>, log: &mut Log) {
    if let Some(modifier) = looks_first(dosing) {
        let notice = Notice::LookFirst {
            rule: RULE.id,
            modifier: modifier.id.clone(),
        };
        log.notice(&RULE, notice);
    }
}

/// Returns the days to wait before a rung.
pub(crate) fn wait(dosing: &Dosing<'_>, at: usize, next: usize) -> i64 {
    let days = dosing.case.settings().wait_days;
    if loaded(dosing, at) || loaded(dosing, next) {
        days.loaded.get()
    } else {
        days.unloaded.get()
    }
}

/// Says whether so many rungs ahead are enough.
pub(crate) fn enough(dosing: &Dosing<'_>, at: usize, found: usize) -> bool {
    let most = dosing.case.settings().look_ahead_rungs;
    let most = if loaded(dosing, at) {
        most.loaded
    } else {
        most.unloaded
    };
    found >= rungs(most)
}

#[cfg(test)]
mod tests {
    use crate::engine::sample;

    fn run(pain: i64) -> crate::domain::verdict::Item {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 8, &[("bend", "b1")]);
        record.visits[1].pain.exercise = sample::pain(Some(pain));
        sample::item(&sample::program(&sample::library(), &record), "bend").clone()
    }

    #[test]
    fn the_next_rungs_are_dated() {
        let next = run(3).next;
        let rungs: Vec<String> = next.iter().map(|next| next.rung.to_string()).collect();
        assert_eq!(rungs, ["b2", "b3", "b4"]);
        let dates: Vec<_> = next.iter().map(|next| next.from).collect();
        assert_eq!(dates, [sample::on(14), sample::on(18), sample::on(22)]);
    }

    #[test]
    fn they_end_with_the_sheet() {
        let listed = |last: i64| {
            let mut record = sample::record(10);
            let visit = crate::domain::record::NextVisit::Date(sample::on(last));
            record.visits[0].next_visit = crate::domain::recorded::Recorded::Yes(visit);
            let program = sample::program(&sample::library(), &record);
            sample::item(&program, "bend").next.len()
        };
        // A rung may begin on the last day of the sheet, and on none after it.
        let by_day = [13, 14, 15, 17, 18, 19].map(listed);
        assert_eq!(by_day, [0, 1, 1, 1, 2, 2]);
    }

    #[test]
    fn a_test_that_will_hold_on_its_day_opens_a_rung() {
        let library = sample::library();
        let program = sample::program(&library, &sample::record(5));
        let row = program
            .daily
            .iter()
            .find(|item| item.exercise == sample::id("stroll"));
        assert_eq!(row.unwrap().next[0].from, sample::on(9));
        let program = sample::program(&library, &sample::record(1));
        let row = program
            .daily
            .iter()
            .find(|item| item.exercise == sample::id("stroll"));
        assert!(row.unwrap().next.is_empty());
    }

    #[test]
    fn where_somebody_must_look_first_there_are_none() {
        let mut library = sample::library();
        let modifier = &mut library.procedure.modifiers[0];
        modifier.look_ahead = Some(crate::domain::word::YesNo::No);
        let mut record = sample::record(10);
        let next = |record: &_| {
            let program = sample::program(&library, record);
            sample::item(&program, "bend").next.len()
        };
        let usual = next(&record);
        assert!(usual > 0);
        sample::condition(&mut record, "weak");
        assert_eq!(next(&record), 0);
        let notices = sample::program(&library, &record).notices;
        let told = |notice: &super::Notice| matches!(notice, super::Notice::LookFirst { .. });
        assert!(notices.iter().any(told));
    }

    #[test]
    fn after_a_bad_answer_there_are_none() {
        assert!(run(6).next.is_empty());
        assert!(run(9).next.is_empty());
    }

    #[test]
    fn a_rung_that_must_be_shown_first_is_not_listed() {
        let mut library = sample::library();
        sample::exercise(&mut library, "bend").rungs[2].taught = crate::domain::word::YesNo::Yes;
        let program = sample::program(&library, &sample::record(10));
        let next = &sample::item(&program, "bend").next;
        assert_eq!(next.len(), 1);
    }

    #[test]
    fn a_rung_past_a_limit_is_not_listed() {
        let library = sample::library();
        let mut record = sample::record(10);
        assert_eq!(
            sample::item(&sample::program(&library, &record), "rise")
                .next
                .len(),
            2
        );
        sample::condition(&mut record, "thin-bone");
        assert_eq!(
            sample::item(&sample::program(&library, &record), "rise")
                .next
                .len(),
            1
        );
    }
}
