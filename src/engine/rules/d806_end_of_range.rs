#![doc = include_str!("d806_end_of_range.md")]

use std::collections::BTreeSet;

use crate::domain::exercise::Exercise;
use crate::domain::verdict::{Notice, RuleId, Step, Why};
use crate::domain::word::{Fact, Work, YesNo};
use crate::engine::case::Case;
use crate::engine::choose::seconds_a_day;
use crate::engine::dose::{Dosed, Dosing, FINISH, Working};
use crate::engine::judge::{Judged, judge};
use crate::engine::log::Log;
use crate::engine::need::{STANDS_FOR, Standing, facts_of, standing};

use super::{Rule, Stage, d205_review_lines};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D806"),
    name: "end-of-range",
    stage: Stage::Choose,
    since: "0.1",
    summary: "Keeps work for a measure past its review line, and its minutes a day.",
    sources: &["practice"],
    doc: include_str!("d806_end_of_range.md"),
};

/// Lists the measures past a review line that range work is for.
pub(crate) fn ends(case: &Case<'_>) -> BTreeSet<Fact> {
    if case.day.is_before_operation() {
        return BTreeSet::new();
    }
    let range = case.library.exercises.values();
    range
        .filter(|exercise| exercise.work == Work::Range)
        .filter_map(|exercise| exercise.behind.as_ref().map(|behind| behind.fact))
        .filter(|fact| past_review(case, *fact))
        .collect()
}

fn past_review(case: &Case<'_>, fact: Fact) -> bool {
    let by_course = match standing(case, fact) {
        Standing::PastReview { .. } => true,
        Standing::Usual | Standing::Behind => false,
    };
    by_course || d205_review_lines::is_due(case, fact)
}

/// Says whether an exercise is range work for a measure.
pub(crate) fn works_at(case: &Case<'_>, exercise: &Exercise, fact: Fact) -> bool {
    let stands_for = || {
        let domains = exercise.domains.iter();
        domains
            .filter(|(_, weight)| crate::domain::quantity::Quantity::get(**weight) >= STANDS_FOR)
            .any(|(domain, _)| facts_of(case, domain).contains(&fact))
    };
    exercise.work == Work::Range && stands_for()
}

/// Returns the seconds a day that the last sheet asked for one measure.
pub(crate) fn seconds_before(case: &Case<'_>, fact: Fact) -> i64 {
    let items = case.last.into_iter().flat_map(|last| &last.issued.items);
    items
        .filter_map(|item| Some((case.library.exercises.get(&item.exercise)?, &item.dose)))
        .filter(|(exercise, _)| works_at(case, exercise, fact))
        .map(|(exercise, dose)| seconds_a_day(exercise, dose))
        .fold(0, i64::saturating_add)
}

/// Says whether a line of the last sheet stays by its own tests; on a first sheet it comes by them.
pub(crate) fn stays(case: &Case<'_>, exercise: &Exercise) -> YesNo {
    let given = case.last.is_none() || case.last_item(&exercise.id).is_some();
    let on_it = given && !exercise.stay.is_empty();
    let holds = |test| matches!(judge(case, test, case.day), Judged::Passes);
    if on_it && exercise.stay.iter().all(holds) {
        YesNo::Yes
    } else {
        YesNo::No
    }
}

/// Returns the dose of work for a measure past its review line without the climb it made.
pub(crate) fn without_climb(dosing: &Dosing<'_>, working: &Working) -> Option<Working> {
    dosing.end_of_range()?;
    let climbed = |step: &Step| matches!(step.why, Why::Climbed { .. });
    let at = working.steps.iter().position(climbed)?;
    let before = working.steps.get(at)?.before.clone()?;
    let mut kept = Working {
        given: Some(before.clone()),
        steps: working.steps.iter().take(at).cloned().collect(),
    };
    kept.apply(&RULE, before, Why::KeptForRoom);
    kept.run(FINISH, dosing, &mut Log::new());
    dosing.wanted.is_none().then_some(kept)
}

/// Tells of each measure past its review line for which less is done than before.
pub(crate) fn note(case: &Case<'_>, inside: &[Dosed<'_>], log: &mut Log) {
    for fact in ends(case) {
        log.fire(&RULE);
        let seconds = inside
            .iter()
            .filter(|item| works_at(case, item.dosing.exercise(), fact))
            .map(|item| seconds_a_day(item.dosing.exercise(), &item.given.dose))
            .fold(0, i64::saturating_add);
        let before = seconds_before(case, fact);
        if seconds == 0 || seconds < before {
            let rule = RULE.id;
            log.notice(
                &RULE,
                Notice::EndWorkLost {
                    rule,
                    fact,
                    seconds,
                    before,
                },
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::library::Library;
    use crate::domain::recorded::Recorded;
    use crate::domain::verdict::Program;
    use crate::domain::word::ScreenAnswer;
    use crate::engine::sample;

    /// Somebody of the last phase with a bend of so many degrees and room for so many lines.
    fn run(flexion: Option<i64>, room: i64, change: impl Fn(&mut Library)) -> Program {
        let mut library = sample::library();
        library.clinic.items = sample::n(room);
        for phase in &mut library.procedure.phases {
            phase.core = vec![sample::id("strength")];
        }
        let out = vec![sample::at_least(Fact::Stance, 5)];
        sample::exercise(&mut library, "straight").entry = out;
        change(&mut library);
        let mut record = sample::record(60);
        sample::earlier(
            &mut record,
            50,
            &[("bend", "b2"), ("lift", "l2"), ("rise", "r1")],
        );
        record.visits[1].measured.flexion = sample::degrees(flexion);
        record.visits[1].measured.lag = sample::degrees(Some(0));
        sample::program(&library, &record)
    }

    fn lost(program: &Program) -> Option<(i64, i64)> {
        program.notices.iter().find_map(|notice| {
            let Notice::EndWorkLost {
                seconds, before, ..
            } = notice
            else {
                return None;
            };
            Some((*seconds, *before))
        })
    }

    #[test]
    fn past_its_line_the_work_for_it_comes_before_all_else() {
        let program = run(Some(93), 1, |_| {});
        assert!(sample::has(&program, "bend"));
        assert_eq!(lost(&program), None);
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn at_its_line_unknown_or_before_the_operation_it_is_silent() {
        for flexion in [Some(110), None] {
            let program = run(flexion, 1, |_| {});
            assert!(!sample::has(&program, "bend"), "others serve more");
            assert!(!program.fired.contains(&RULE.id));
        }
    }

    #[test]
    fn what_it_loses_is_told() {
        let program = run(Some(80), 6, |library| {
            let bend = sample::exercise(library, "bend");
            bend.entry = vec![sample::at_least(Fact::Stance, 5)];
        });
        let (seconds, before) = lost(&program).unwrap();
        assert_eq!(seconds, 0);
        assert!(before > 0);
    }

    #[test]
    fn a_line_stays_while_its_own_tests_hold() {
        let kept = |lag, measured, first: bool| {
            let mut library = sample::library();
            library.clinic.items = sample::n(1);
            let stay = vec![sample::at_least(Fact::Lag, 11)];
            sample::exercise(&mut library, "push").stay = stay;
            let mut record = sample::record(60);
            if !first {
                sample::earlier(&mut record, 50, &[("push", "u1")]);
                record.visits[0].measured.lag = Recorded::NotRecorded;
            }
            let now = record.visits.last_mut().unwrap();
            now.measured.lag = sample::degrees(measured);
            let program = sample::program(&library, &record);
            assert_eq!(sample::has(&program, "push"), lag, "{measured:?}");
        };
        for first in [true, false] {
            kept(true, Some(11), first);
            kept(false, Some(10), first);
            kept(false, None, first);
        }
    }

    #[test]
    fn a_red_flag_comes_first() {
        let mut record = sample::record(60);
        sample::earlier(&mut record, 50, &[("lift", "l2")]);
        record.visits[1].measured.flexion = sample::degrees(Some(80));
        sample::answer(&mut record, "wound", ScreenAnswer::Yes);
        let program = sample::program(&sample::library(), &record);
        assert!(!sample::has(&program, "bend"));
        assert_eq!(lost(&program), Some((0, 0)));
    }
}
