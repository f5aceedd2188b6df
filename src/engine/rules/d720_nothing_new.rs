#![doc = include_str!("d720_nothing_new.md")]

use crate::domain::verdict::{RuleId, WhyNot};
use crate::engine::allow::{Bar, Ladder};
use crate::engine::dose::Dosing;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D720"),
    name: "nothing-new",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Adds nothing new while the last answer was worse than settled.",
    sources: &["practice"],
    doc: include_str!("d720_nothing_new.md"),
};

/// Returns the bar for something new after a bad answer.
pub(crate) fn bar(dosing: &Dosing<'_>, ladders: &[Ladder<'_>]) -> Option<Bar> {
    let response = dosing.worse()?;
    let known = dosing.last.is_some() || dosing.wanted.is_some();
    let range = dosing.case.protects(dosing.exercise());
    if known || range || gentler_swap(dosing, ladders) {
        return None;
    }
    Some(Bar {
        reason: WhyNot::NothingNew { response },
        rule: RULE.id,
    })
}

/// Says whether this is a named gentler swap for a line of the last sheet that is now left out.
fn gentler_swap(dosing: &Dosing<'_>, ladders: &[Ladder<'_>]) -> bool {
    let own = dosing.exercise();
    ladders
        .iter()
        .filter(|ladder| ladder.bar.is_some())
        .filter(|ladder| dosing.case.last_item(&ladder.exercise.id).is_some())
        .any(|ladder| {
            ladder.exercise.swaps.contains(&own.id) && own.effort < ladder.exercise.effort
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::word::Response;
    use crate::engine::sample;

    fn run(pain: i64, lag: i64) -> crate::domain::verdict::Program {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("lift", "l1"), ("straight", "s1")]);
        record.visits[1].pain.exercise = sample::pain(Some(pain));
        record.visits[1].measured.lag = sample::degrees(Some(lag));
        sample::program(&sample::library(), &record)
    }

    #[test]
    fn nothing_new_after_a_bad_answer() {
        let program = run(6, 0);
        let reason = WhyNot::NothingNew {
            response: Response::Tolerable,
        };
        assert_eq!(sample::left_out(&program, "rise"), Some(reason.clone()));
        assert_eq!(sample::left_out(&program, "push"), Some(reason));
        assert!(sample::has(&program, "bend"));
    }

    #[test]
    fn a_gentler_swap_comes_in() {
        let program = run(6, 20);
        assert!(!sample::has(&program, "lift"));
        assert!(sample::has(&program, "push"));
    }

    #[test]
    fn new_range_work_comes_in_only_while_it_is_protected() {
        for (day, comes_in) in [(41, true), (42, false)] {
            let mut record = sample::record(day);
            sample::earlier(&mut record, day - 5, &[("lift", "l1")]);
            record.visits[1].pain.exercise = sample::pain(Some(7));
            let program = sample::program(&sample::library(), &record);
            let reason = WhyNot::NothingNew {
                response: Response::Overdone,
            };
            let barred = sample::left_out(&program, "bend") == Some(reason);
            assert_eq!(
                (sample::has(&program, "bend"), barred),
                (comes_in, !comes_in)
            );
        }
    }

    #[test]
    fn after_a_settled_answer_it_is_silent() {
        let program = run(3, 0);
        assert!(sample::has(&program, "rise"));
        assert!(!program.fired.contains(&RULE.id));
    }
}
