#![doc = include_str!("d201_floor_day.md")]

use crate::domain::procedure::Phase;
use crate::domain::verdict::RuleId;
use crate::engine::case::{Case, Stands};
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D201"),
    name: "floor-day",
    stage: Stage::Place,
    since: "0.1",
    summary: "Starts in the phase of the last sheet and goes no further than the day allows.",
    sources: &["practice"],
    doc: include_str!("d201_floor_day.md"),
};

/// Returns the phase to start from and its place.
pub(crate) fn start<'a>(case: &Case<'a>) -> Option<(usize, &'a Phase)> {
    let procedure = case.procedure();
    let last = case.last.filter(|last| last.stands == Stands::Valid);
    last.and_then(|last| last.issued.phase.as_ref())
        .and_then(|id| procedure.phase(id))
        .or_else(|| procedure.first_phase(case.day))
}

/// Says whether the floor day of a phase is reached.
pub(crate) fn reached(case: &Case<'_>, phase: &Phase, log: &mut Log) -> bool {
    let reached = phase.window.from <= case.day;
    if reached {
        log.fire(&RULE);
    }
    reached
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    #[test]
    fn the_next_phase_opens_on_its_floor_day() {
        let program = sample::program(&sample::library(), &sample::record(14));
        assert_eq!(program.phase, sample::id("middle"));
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn the_day_before_it_stays_shut() {
        let program = sample::program(&sample::library(), &sample::record(13));
        assert_eq!(program.phase, sample::id("early"));
        assert!(!program.fired.contains(&RULE.id));
    }

    #[test]
    fn the_last_sheet_sets_the_start() {
        let mut record = sample::record(15);
        sample::earlier(&mut record, 12, &[("bend", "b1")]);
        sample::issued(&mut record, 0).phase = Some(sample::id("middle"));
        let program = sample::program(&sample::library(), &record);
        assert_eq!(program.phase, sample::id("middle"));
    }
}
