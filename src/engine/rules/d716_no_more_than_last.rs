#![doc = include_str!("d716_no_more_than_last.md")]

use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Given, RuleId, Why, WhyNot};
use crate::domain::word::Response;
use crate::engine::amount;
use crate::engine::closed::Closed;
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D716"),
    name: "no-more-than-last",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Gives no more than last time when the answer was worse than settled.",
    sources: &["practice"],
    doc: include_str!("d716_no_more_than_last.md"),
};

/// Proposes the dose with nothing above the last one.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let given = working.given.as_ref()?;
    let last = dosing.last?;
    let own = dosing
        .response()
        .filter(|response| *response > Response::Settled);
    let response = own.or_else(|| dosing.worse())?;
    let clinician = working.took(|why| matches!(why, Why::Clinician { .. }));
    let narrowed = !dosing.case.answers.narrowed_by.is_empty();
    if (dosing.protected() && !narrowed) || clinician {
        return None;
    }
    let dose = amount::no_harder(&given.dose, &last.dose);
    let dose = if dose.support == given.dose.support {
        dose
    } else {
        amount::with_hands(dosing.exercise(), dose)
    };
    (dose != given.dose).then(|| {
        (
            Given {
                rung: given.rung.clone(),
                dose,
            },
            why(dosing, response),
        )
    })
}

fn why(dosing: &Dosing<'_>, response: Response) -> Why {
    let own = dosing.answer.map(|answer| (answer.response, answer.sign));
    match own {
        Some((Recorded::Yes(Response::Tolerable), Some(sign))) => Why::KeptTolerable { sign },
        Some(_) | None => Why::KeptNotAllowed {
            reason: dosing
                .closed()
                .map_or(WhyNot::NothingNew { response }, Closed::reason),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::dose::Often;
    use crate::domain::quantity::{Quantity, TimesADay};
    use crate::engine::sample;

    fn times(pain: i64) -> (i64, bool) {
        let mut library = sample::library();
        sample::exercise(&mut library, "rise").rungs[1].often = Often::Times(TimesADay::nearest(3));
        let mut record = sample::record(10);
        sample::earlier(&mut record, 8, &[("rise", "r2")]);
        record.visits[1].pain.exercise = sample::pain(Some(pain));
        let program = sample::program(&library, &record);
        (
            amount::times(&sample::item(&program, "rise").dose),
            program.fired.contains(&RULE.id),
        )
    }

    #[test]
    fn after_a_bad_answer_nothing_grows() {
        assert_eq!(times(6), (2, true));
    }

    #[test]
    fn after_a_settled_answer_it_is_silent() {
        assert_eq!(times(3), (3, false));
    }
}
