#![doc = include_str!("d712_range_more_often.md")]

use crate::domain::dose::{Amount, Dose};
use crate::domain::quantity::{Quantity, TimesADay};
use crate::domain::verdict::{Given, RuleId, Why};
use crate::engine::amount;
use crate::engine::choose::seconds_a_day;
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
    let shorter = shorter(dosing, at, given.dose.amount);
    let more = shorter.and_then(|amount| match dosing.end_of_range() {
        Some(_) => as_long(dosing, given, amount),
        None => Some(oftener(dosing, given, amount, 1)),
    });
    match (more, dosing.end_of_range()) {
        (Some(dose), _) => {
            let rung = given.rung.clone();
            let why = Why::RangeShorterMoreOften { sign };
            Some((Given { rung, dose }, why))
        }
        (None, Some(fact)) => Some((given.clone(), Why::KeptEndOfRange { sign, fact })),
        (None, None) => None,
    }
}

/// Returns the dose with another amount, so many times a day more, if that may be.
fn oftener(dosing: &Dosing<'_>, given: &Given, amount: Amount, more: i64) -> Dose {
    let times = amount::times(&given.dose);
    let most = dosing.case.settings().bounds.times_a_day_most.get();
    let often = times.saturating_add(more).min(most).max(times);
    let dose = Dose {
        amount,
        ..given.dose.clone()
    };
    amount::at_times(&dose, TimesADay::nearest(often))
}

/// Returns the shorter dose so often that the minutes a day do not fall; none when it cannot be.
fn as_long(dosing: &Dosing<'_>, given: &Given, amount: Amount) -> Option<Dose> {
    let exercise = dosing.exercise();
    let last = dosing.last.map_or(&given.dose, |item| &item.dose);
    let wanted = seconds_a_day(exercise, last);
    let most = dosing.case.settings().bounds.times_a_day_most.get();
    (1..=most)
        .map(|more| oftener(dosing, given, amount, more))
        .find(|dose| seconds_a_day(exercise, dose) >= wanted)
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

    /// Past its review line: bends in so many minutes a day, before and after an overdone answer.
    fn past_its_line(last: &str) -> (i64, crate::domain::verdict::Item) {
        let library = sample::library();
        let mut record = sample::record(60);
        sample::earlier(&mut record, 50, &[("bend", last)]);
        record.visits[1].pain.exercise = sample::pain(Some(9));
        record.visits[1].measured.flexion = sample::degrees(Some(80));
        record.visits[1].phase = Some(sample::stay("middle"));
        let before = sample::issued(&mut record, 0).items[0].dose.clone();
        let item = sample::item(&sample::program(&library, &record), "bend").clone();
        (
            seconds_a_day(&library.exercises[&sample::id("bend")], &before),
            item,
        )
    }

    #[test]
    fn past_its_review_line_the_minutes_never_fall() {
        let library = sample::library();
        for rung in ["b1", "b2", "b3", "b4"] {
            let (before, item) = past_its_line(rung);
            assert_eq!(item.rung, sample::id(rung));
            let now = seconds_a_day(&library.exercises[&sample::id("bend")], &item.dose);
            assert!(now >= before, "{rung}: {now} after {before}");
            let kept = item.steps.iter().any(|step| {
                matches!(
                    step.why,
                    Why::KeptEndOfRange { .. } | Why::RangeShorterMoreOften { .. }
                )
            });
            assert!(kept, "{rung}");
        }
        let (_, shorter) = past_its_line("b2");
        assert_eq!(
            amount::hold(shorter.dose.amount).map(Quantity::get),
            Some(3)
        );
        assert_eq!(amount::times(&shorter.dose), 4);
        let (_, kept) = past_its_line("b3");
        assert_eq!(amount::hold(kept.dose.amount).map(Quantity::get), Some(10));
        assert_eq!(amount::times(&kept.dose), 3);
    }

    #[test]
    fn tolerable_range_work_is_silent() {
        let item = run(20, 6);
        assert!(item.steps.iter().all(|step| step.rule != RULE.id));
    }
}
