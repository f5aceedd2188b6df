#![doc = include_str!("d702_long_gap.md")]

use crate::domain::quantity::Quantity;
use crate::domain::verdict::{Notice, RuleId, Why};
use crate::domain::word::{Row, Work};
use crate::engine::case::Case;
use crate::engine::dose::{Dosing, Proposal, Working};
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D702"),
    name: "long-gap",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Begins lower, and climbs nowhere, when the last sheet ran out before today.",
    sources: &["practice"],
    doc: include_str!("d702_long_gap.md"),
};

/// Returns the days since the last sheet ended, when it ran out before today: its last day and
/// the days a visit may slip are over.
pub(crate) fn ran_out(case: &Case<'_>) -> Option<i64> {
    let days = case.gap()?;
    (days > case.settings().bounds.slip_days.get()).then_some(days)
}

/// Notes that it ran out.
pub(crate) fn note(case: &Case<'_>, log: &mut Log) {
    if let (Some(days), Some(last)) = (ran_out(case), case.last) {
        let (rule, sheet) = (RULE.id, last.issued.sheet);
        log.notice(&RULE, Notice::SheetRanOut { rule, sheet, days });
    }
}

/// Proposes a lower rung for the time it was not done; range work is not lowered.
///
/// After a long gap no higher rung than the phase begins at.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let last_at = dosing.last_at()?;
    let days = ran_out(dosing.case)?;
    if working.given.is_some() {
        return None;
    }
    let settings = dosing.case.settings();
    let rungs = lower(dosing, days);
    let lowered = last_at.saturating_sub(usize::try_from(rungs).unwrap_or(usize::MAX));
    let begins = dosing
        .ladder
        .start
        .filter(|_| days > settings.gap_days.get());
    let at = match (kept(dosing), begins) {
        (true, _) => last_at,
        (false, Some(start)) => start.min(lowered),
        (false, None) => lowered,
    };
    let line = settings.bounds.slip_days.get();
    Some((dosing.given(at)?, Why::LongGap { days, line, rungs }))
}

/// Says whether time takes nothing off it: range work, and rows that only say how.
fn kept(dosing: &Dosing<'_>) -> bool {
    let exercise = dosing.exercise();
    match exercise.row {
        Row::Advice => true,
        Row::Exercise | Row::Background | Row::Daily => exercise.work == Work::Range,
    }
}

fn lower(dosing: &Dosing<'_>, days: i64) -> i64 {
    let bounds = &dosing.case.settings().bounds;
    if kept(dosing) {
        return 0;
    }
    let missed = days.checked_div(bounds.missed_days.get()).unwrap_or(0);
    missed.min(bounds.missed_rungs_most)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::Record;
    use crate::engine::sample;

    /// Somebody whose sheet ended so many days ago.
    fn record(gap: i64) -> Record {
        let mut record = sample::record(10 + gap);
        sample::earlier(&mut record, 5, &[("bend", "b3"), ("lift", "l4")]);
        sample::issued(&mut record, 0).use_until = sample::on(10);
        record.visits[1].phase = Some(sample::stay("early"));
        record.visits[1].measured.lag = sample::degrees(Some(0));
        record
    }

    fn rungs(gap: i64) -> (String, String) {
        let program = sample::program(&sample::library(), &record(gap));
        let rung = |name| sample::item(&program, name).rung.to_string();
        let said = program
            .notices
            .iter()
            .any(|notice| matches!(notice, Notice::SheetRanOut { days, .. } if *days == gap));
        assert_eq!(
            (said, program.fired.contains(&RULE.id)),
            (gap > 14, gap > 14)
        );
        (rung("bend"), rung("lift"))
    }

    fn pair(bend: &str, lift: &str) -> (String, String) {
        (bend.to_owned(), lift.to_owned())
    }

    #[test]
    fn while_a_visit_may_slip_it_goes_on() {
        assert_eq!(rungs(14), pair("b4", "l4"));
    }

    #[test]
    fn when_the_sheet_ran_out_it_is_lower_for_every_two_weeks_and_range_work_is_kept() {
        assert_eq!(rungs(15), pair("b3", "l3"));
        assert_eq!(rungs(28), pair("b3", "l2"));
    }

    #[test]
    fn after_a_long_gap_it_begins_no_higher_than_the_phase() {
        assert_eq!(rungs(29), pair("b3", "l1"));
    }

    #[test]
    fn never_more_than_so_many_rungs() {
        let mut library = sample::library();
        let candidates = &mut library.procedure.phases[0].candidates;
        candidates.retain(|candidate| candidate.exercise != sample::id("lift"));
        let program = sample::program(&library, &record(80));
        let steps = &sample::item(&program, "lift").steps;
        let why = Why::LongGap {
            days: 80,
            line: 14,
            rungs: 3,
        };
        assert_eq!(steps[0].why, why);
        assert_eq!(steps[0].after.rung, sample::id("l1"));
    }
}
