#![doc = include_str!("d703_phase_start.md")]

use crate::domain::recorded::Recorded;
use crate::domain::verdict::{RuleId, Why, WhyNot};
use crate::engine::allow::Bar;
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D703"),
    name: "phase-start",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Starts a new exercise at the rung the phase names.",
    sources: &["practice"],
    doc: include_str!("d703_phase_start.md"),
};

/// Proposes the phase's rung.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    if working.given.is_some() {
        return None;
    }
    if let (Some(fact), None) = (dosing.ladder.first_only, dosing.wanted) {
        return Some((dosing.given(0)?, Why::StartBlank { fact }));
    }
    let wanted = dosing.wanted.and_then(|adjust| match &adjust.rung {
        Recorded::Yes(rung) => dosing.exercise().rung(rung).map(|(at, _)| at),
        Recorded::NotRecorded => None,
    });
    let given = dosing.given(dosing.ladder.start.or(wanted).unwrap_or(0))?;
    Some((
        given,
        Why::PhaseStart {
            phase: dosing.phase.id.clone(),
        },
    ))
}

/// Returns the bar of an exercise without a rung to start from.
pub(crate) const fn nothing_to_start(_: &Dosing<'_>) -> Bar {
    Bar {
        reason: WhyNot::LessNeeded,
        rule: RULE.id,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::procedure::Missing;
    use crate::domain::time::Window;
    use crate::domain::word::{Fact, MissingRule};
    use crate::engine::sample;

    #[test]
    fn a_new_exercise_begins_where_the_phase_says() {
        let mut library = sample::library();
        sample::candidate(&mut library, 0, "bend").rung = sample::id("b3");
        let program = sample::program(&library, &sample::record(10));
        let bend = sample::item(&program, "bend");
        assert_eq!(bend.rung, sample::id("b3"));
        assert_eq!(
            bend.steps[0].why,
            Why::PhaseStart {
                phase: sample::id("early")
            }
        );
    }

    #[test]
    fn a_blank_that_lets_in_at_the_first_rung_only_begins_there() {
        let mut library = sample::library();
        sample::candidate(&mut library, 0, "bend").rung = sample::id("b3");
        let entry = &mut sample::exercise(&mut library, "bend").entry;
        entry.push(sample::at_least(Fact::WalkMinutes, 5));
        let mut record = sample::record(10);
        let mut rung = |record: &crate::domain::record::Record, then| {
            library
                .procedure
                .missing
                .retain(|row| row.fact != Fact::WalkMinutes);
            library.procedure.missing.push(Missing {
                fact: Fact::WalkMinutes,
                window: Window::ALWAYS,
                then,
            });
            let program = sample::program(&library, record);
            let bend = sample::item(&program, "bend").clone();
            (bend.rung.to_string(), bend.steps[0].why.clone())
        };
        let fact = Fact::WalkMinutes;
        let (at, why) = rung(&record, MissingRule::FirstRung);
        assert_eq!((at.as_str(), why), ("b1", Why::StartBlank { fact }));
        assert_eq!(rung(&record, MissingRule::Pass).0, "b3");
        record.visits[0].measured.walk_minutes = Recorded::Yes(sample::n(9));
        assert_eq!(rung(&record, MissingRule::FirstRung).0, "b3");
    }

    #[test]
    fn an_exercise_from_the_last_sheet_does_not() {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("bend", "b2")]);
        let program = sample::program(&sample::library(), &record);
        let bend = sample::item(&program, "bend");
        assert!(bend.steps.iter().all(|step| step.rule != RULE.id));
    }
}
