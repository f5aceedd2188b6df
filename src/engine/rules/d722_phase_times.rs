#![doc = include_str!("d722_phase_times.md")]

use crate::domain::quantity::Quantity;
use crate::domain::verdict::{Given, RuleId, Why};
use crate::domain::word::Row;
use crate::engine::amount;
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D722"),
    name: "phase-times",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Asks no more often in a day than the phase does.",
    sources: &["practice"],
    doc: include_str!("d722_phase_times.md"),
};

/// Proposes the times of the phase.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let given = working.given.as_ref()?;
    let most = dosing.phase.times_at_most?;
    let asked = given.dose.times_a_day()?;
    (dosing.exercise().row == Row::Exercise && asked > most).then(|| {
        let after = Given {
            rung: given.rung.clone(),
            dose: amount::at_times(&given.dose, most),
        };
        let why = Why::PhaseTimes {
            most: most.get(),
            asked: asked.get(),
        };
        (after, why)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::quantity::TimesADay;
    use crate::engine::sample;

    fn given(most: Option<i64>) -> (Option<i64>, bool) {
        let mut library = sample::library();
        library.procedure.phases[0].times_at_most = most.map(TimesADay::nearest);
        let program = sample::program(&library, &sample::record(5));
        let item = sample::item(&program, "bend");
        let times = item.dose.times_a_day().map(Quantity::get);
        (times, program.fired.contains(&RULE.id))
    }

    #[test]
    fn a_phase_asks_less_often_than_the_rung() {
        assert_eq!(given(Some(1)), (Some(1), true));
    }

    #[test]
    fn a_phase_that_says_nothing_or_more_changes_nothing() {
        let (times, fired) = given(None);
        assert!(times > Some(1) && !fired);
        assert_eq!(given(times), (times, false));
    }
}
