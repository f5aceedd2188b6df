#![doc = include_str!("d714_behind_more_often.md")]

use crate::domain::quantity::{Quantity, TimesADay};
use crate::domain::verdict::{Given, RuleId, Why};
use crate::domain::word::{Response, Work};
use crate::engine::amount;
use crate::engine::dose::{Dosing, Proposal, Working};
use crate::engine::need::{Standing, standing};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D714"),
    name: "behind-more-often",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Asks for more times a day while a measure is past its review line.",
    sources: &["practice"],
    doc: include_str!("d714_behind_more_often.md"),
};

/// Proposes more times a day.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let given = working.given.as_ref()?;
    let behind = dosing.exercise().behind.as_ref()?;
    let (value, line) = match standing(dosing.case, behind.fact) {
        Standing::Usual | Standing::Behind => return None,
        Standing::PastReview { value, review } => (value, review),
    };
    let other = dosing.exercise().work == Work::Other;
    let narrowed = !dosing.case.answers.narrowed_by.is_empty();
    if narrowed || (other && dosing.worse().is_some()) {
        return None;
    }
    let most = dosing.case.settings().bounds.times_a_day_most.get();
    let overdone = dosing.response() == Some(Response::Overdone);
    let last = dosing.last.and_then(|item| item.dose.times_a_day());
    let most = last
        .filter(|_| overdone)
        .map_or(most, |last| most.min(last.get()));
    let now = given.dose.times_a_day()?.get();
    let times = behind.times_a_day.get().min(most);
    (times > now).then(|| {
        let dose = amount::at_times(&given.dose, TimesADay::nearest(times));
        let why = Why::BehindCourse {
            fact: behind.fact,
            value,
            line,
        };
        (
            Given {
                rung: given.rung.clone(),
                dose,
            },
            why,
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn times(flexion: Option<i64>) -> (i64, bool) {
        let mut record = sample::record(14);
        record.visits[0].measured.flexion = sample::degrees(flexion);
        let program = sample::program(&sample::library(), &record);
        let times = amount::times(&sample::item(&program, "bend").dose);
        (times, program.fired.contains(&RULE.id))
    }

    #[test]
    fn behind_is_more_often() {
        assert_eq!(times(Some(74)), (4, true));
    }

    #[test]
    fn at_the_line_better_or_unknown_is_silent() {
        assert_eq!(times(Some(75)), (3, false));
        assert_eq!(times(None), (3, false));
    }
}
