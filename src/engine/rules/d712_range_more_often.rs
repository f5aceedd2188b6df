#![doc = include_str!("d712_range_more_often.md")]

use crate::domain::dose::{Amount, Dose};
use crate::domain::quantity::{Quantity, TimesADay};
use crate::domain::verdict::{Given, RuleId, Why};
use crate::engine::amount;
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage, d710_ease};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D712"),
    name: "range-more-often",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Keeps overdone range work in the early weeks: shorter, but more often.",
    sources: &["practice"],
    doc: include_str!("d712_range_more_often.md"),
};

/// Proposes shorter and more often.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let given = working.given.as_ref()?;
    let at = dosing.at(given)?;
    let sign = d710_ease::overdone(dosing, at)?;
    if !dosing.protected() {
        return None;
    }
    let shorter = shorter(dosing, at, given.dose.amount)?;
    let times = amount::times(&given.dose);
    let most = dosing.case.settings().bounds.times_a_day_most.get();
    let more = times.saturating_add(1).min(most).max(times);
    let dose = amount::at_times(
        &Dose {
            amount: shorter,
            ..given.dose.clone()
        },
        TimesADay::nearest(more),
    );
    let after = Given {
        rung: given.rung.clone(),
        dose,
    };
    Some((after, Why::RangeShorterMoreOften { sign }))
}

/// Returns the amount with the nearest shorter hold or time of an easier rung.
fn shorter(dosing: &Dosing<'_>, at: usize, now: Amount) -> Option<Amount> {
    dosing
        .exercise()
        .rungs
        .iter()
        .take(at)
        .rev()
        .map(|rung| amount::no_longer(now, rung.amount))
        .find(|amount| *amount != now)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn run(day: i64, pain: i64) -> crate::domain::verdict::Item {
        let mut record = sample::record(day);
        sample::earlier(&mut record, day - 8, &[("bend", "b3")]);
        record.visits[1].pain.exercise = sample::pain(Some(pain));
        record.visits[1].phase = Some(sample::stay("middle"));
        sample::item(&sample::program(&sample::library(), &record), "bend").clone()
    }

    #[test]
    fn overdone_range_work_is_kept_shorter_and_more_often() {
        let item = run(41, 9);
        assert_eq!(item.rung, sample::id("b3"));
        assert_eq!(amount::hold(item.dose.amount).map(Quantity::get), Some(5));
        assert_eq!(amount::times(&item.dose), 4);
        assert_eq!(item.slots.len(), 4);
    }

    #[test]
    fn from_the_day_protection_ends_it_is_eased() {
        let item = run(42, 9);
        assert_eq!(item.rung, sample::id("b2"));
        assert!(item.steps.iter().all(|step| step.rule != RULE.id));
    }

    #[test]
    fn tolerable_range_work_is_silent() {
        let item = run(20, 6);
        assert!(item.steps.iter().all(|step| step.rule != RULE.id));
    }
}
