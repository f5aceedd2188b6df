#![doc = include_str!("d711_rest_loaded.md")]

use crate::domain::quantity::Quantity;
use crate::domain::verdict::{RuleId, Why};
use crate::domain::word::{BandWork, Row};
use crate::engine::dates::later;
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage, d710_ease};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D711"),
    name: "rest-loaded",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Rests overdone loaded work for some days, then goes on one rung lower.",
    sources: &["practice"],
    doc: include_str!("d711_rest_loaded.md"),
};

/// Proposes rest and one rung down.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let given = working.given.as_ref()?;
    let at = dosing.at(given)?;
    let sign = d710_ease::overdone(dosing, at)?;
    if dosing.last_work()? != BandWork::Loaded || dosing.exercise().row != Row::Exercise {
        return None;
    }
    let after = match dosing.highest_below(at) {
        Some(lower) => dosing.easier(lower, given)?,
        None => given.clone(),
    };
    let until = later(dosing.case.date, dosing.case.settings().rest_days.get());
    Some((after, Why::Rests { sign, until }))
}

#[cfg(test)]
mod tests {
    use crate::engine::sample;

    fn run(pain: i64) -> crate::domain::verdict::Item {
        let mut record = sample::record(40);
        sample::earlier(&mut record, 30, &[("lift", "l6")]);
        record.visits[1].measured.lag = sample::degrees(Some(0));
        record.visits[1].pain.exercise = sample::pain(Some(pain));
        record.visits[1].phase = Some(sample::stay("middle"));
        sample::item(&sample::program(&sample::library(), &record), "lift").clone()
    }

    #[test]
    fn overdone_loaded_work_rests_and_goes_down() {
        let item = run(6);
        assert_eq!(item.rung, sample::id("l5"));
        assert_eq!(item.rests_until, Some(sample::on(42)));
    }

    #[test]
    fn tolerable_loaded_work_does_not() {
        let item = run(5);
        assert_eq!(item.rung, sample::id("l6"));
        assert_eq!(item.rests_until, None);
    }
}
