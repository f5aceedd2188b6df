#![doc = include_str!("d702_long_gap.md")]

use crate::domain::quantity::Quantity;
use crate::domain::verdict::{RuleId, Why};
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D702"),
    name: "long-gap",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Enters by test again after a long time without a sheet.",
    sources: &["practice"],
    doc: include_str!("d702_long_gap.md"),
};

/// Proposes the phase's own rung after a long gap, but no higher one than the last.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let last_at = dosing.last_at()?;
    let days = dosing.case.gap()?;
    let line = dosing.case.settings().gap_days.get();
    if working.given.is_some() || days <= line {
        return None;
    }
    let start = dosing
        .ladder
        .start
        .map_or(last_at, |start| start.min(last_at));
    let given = dosing.given(start)?;
    Some((given, Why::LongGap { days, line }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn rung(gap: i64) -> String {
        let mut record = sample::record(10 + gap);
        sample::earlier(&mut record, 5, &[("bend", "b3")]);
        sample::issued(&mut record, 0).use_until = sample::on(10);
        record.visits[1].phase = Some(sample::stay("early"));
        sample::silent(&mut record, 1);
        let program = sample::program(&sample::library(), &record);
        assert_eq!(program.fired.contains(&RULE.id), gap > 28);
        sample::item(&program, "bend").rung.to_string()
    }

    #[test]
    fn past_the_line_it_enters_again() {
        assert_eq!(rung(29), "b1");
    }

    #[test]
    fn on_the_line_it_goes_on() {
        assert_eq!(rung(28), "b3");
    }

    #[test]
    fn an_exercise_the_phase_does_not_name_goes_on_from_its_last_rung() {
        let mut library = sample::library();
        let candidates = &mut library.procedure.phases[0].candidates;
        candidates.retain(|candidate| candidate.exercise != sample::id("bend"));
        let mut record = sample::record(40);
        sample::earlier(&mut record, 5, &[("bend", "b3")]);
        sample::issued(&mut record, 0).use_until = sample::on(10);
        record.visits[1].phase = Some(sample::stay("early"));
        let program = sample::program(&library, &record);
        let steps = &sample::item(&program, "bend").steps;
        assert_eq!(steps[0].why, Why::LongGap { days: 30, line: 28 });
        assert_eq!(steps[0].after.rung, sample::id("b3"));
    }
}
