#![doc = include_str!("d720_nothing_new.md")]

use crate::domain::verdict::RuleId;
use crate::domain::word::{Response, Row};
use crate::engine::allow::{Bar, Ladder};
use crate::engine::closed::Closed;
use crate::engine::dose::Dosing;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D720"),
    name: "nothing-new",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Adds nothing new after a bad answer, under a red flag, or when nothing was done.",
    sources: &["practice"],
    doc: include_str!("d720_nothing_new.md"),
};

/// Returns the bar for something new after a bad answer, or while little else may begin.
pub(crate) fn bar(dosing: &Dosing<'_>, ladders: &[Ladder<'_>]) -> Option<Bar> {
    let closed = dosing.closed()?;
    let known = dosing.last.is_some() || dosing.wanted.is_some();
    if known || enters(dosing, ladders, &closed) {
        return None;
    }
    Some(Bar {
        reason: closed.reason(),
        rule: RULE.id,
    })
}

/// Says whether this may begin all the same.
fn enters(dosing: &Dosing<'_>, ladders: &[Ladder<'_>], closed: &Closed) -> bool {
    match closed {
        Closed::Flag(_) => called_for(dosing) || gentle_first(dosing),
        Closed::NotDone => !overdone(dosing) && dosing.end_of_range().is_some(),
        Closed::Overdone => gentler_swap(dosing, ladders),
        Closed::Tolerable => {
            dosing.case.protects(dosing.exercise()) || gentler_swap(dosing, ladders)
        }
    }
}

/// Says whether it was too much as well.
fn overdone(dosing: &Dosing<'_>) -> bool {
    dosing.case.answers.worse_than_settled() == Some(Response::Overdone)
}

/// Says whether every flag that narrows calls for it: one flag more never lets anything in.
fn called_for(dosing: &Dosing<'_>) -> bool {
    let id = &dosing.exercise().id;
    let mut flags = dosing.case.answers.narrowed_by.iter();
    flags.all(|flag| {
        let flag = dosing.case.procedure().red_flag(flag);
        flag.is_some_and(|flag| flag.calls_for.contains(id))
    })
}

/// Says whether somebody has no sheet yet and this is gentle work, or no exercise at all.
fn gentle_first(dosing: &Dosing<'_>) -> bool {
    let most = dosing.case.settings().bounds.gentle_effort;
    let exercise = dosing.exercise();
    let gentle = exercise.row != Row::Exercise || exercise.effort <= most;
    dosing.case.last.is_none() && gentle
}

/// Says whether this is a gentler swap for a line of the last sheet that is now left out.
fn gentler_swap(dosing: &Dosing<'_>, ladders: &[Ladder<'_>]) -> bool {
    let own = &dosing.exercise().id;
    ladders
        .iter()
        .filter(|ladder| ladder.bar.is_some())
        .filter(|ladder| dosing.case.last_item(&ladder.exercise.id).is_some())
        .any(|ladder| ladder.exercise.gentler.contains(own))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::verdict::WhyNot;
    use crate::domain::word::ScreenAnswer;
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
    fn after_a_tolerable_answer_new_range_work_comes_in_only_while_it_is_protected() {
        for (day, comes_in) in [(41, true), (42, false)] {
            let mut record = sample::record(day);
            sample::earlier(&mut record, day - 5, &[("lift", "l1")]);
            record.visits[1].pain.exercise = sample::pain(Some(5));
            let program = sample::program(&sample::library(), &record);
            let reason = WhyNot::NothingNew {
                response: Response::Tolerable,
            };
            let barred = sample::left_out(&program, "bend") == Some(reason);
            assert_eq!(
                (sample::has(&program, "bend"), barred),
                (comes_in, !comes_in)
            );
        }
    }

    #[test]
    fn a_new_bend_never_takes_the_place_of_one_after_an_overdone_answer() {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("straight", "s1"), ("push", "u1")]);
        record.visits[1].pain.exercise = sample::pain(Some(9));
        let program = sample::program(&sample::library(), &record);
        let reason = WhyNot::NothingNew {
            response: Response::Overdone,
        };
        assert_eq!(sample::left_out(&program, "bend"), Some(reason));
    }

    #[test]
    fn less_tiring_is_not_enough_for_a_gentler_swap() {
        let mut library = sample::library();
        sample::exercise(&mut library, "lift").gentler = [].into();
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("lift", "l1"), ("straight", "s1")]);
        record.visits[1].pain.exercise = sample::pain(Some(9));
        record.visits[1].measured.lag = sample::degrees(Some(20));
        let has = |library: &crate::domain::library::Library| {
            sample::has(&sample::program(library, &record), "push")
        };
        assert!(has(&sample::library()));
        assert!(!has(&library));
    }

    fn flagged(calls_for: &[&str], sheet: bool) -> crate::domain::verdict::Program {
        let mut library = sample::library();
        let flags = &mut library.procedure.red_flags;
        let flag = flags.iter_mut().find(|flag| flag.id == sample::id("wound"));
        flag.unwrap().calls_for = calls_for.iter().map(|id| sample::id(id)).collect();
        let mut record = sample::record(10);
        if sheet {
            sample::earlier(&mut record, 5, &[("lift", "l2"), ("straight", "s2")]);
        }
        record.visits.last_mut().unwrap().measured.lag = sample::degrees(Some(20));
        sample::answer(&mut record, "wound", ScreenAnswer::Yes);
        sample::program(&library, &record)
    }

    #[test]
    fn under_a_red_flag_nothing_begins_but_what_it_calls_for() {
        let reason = || {
            Some(WhyNot::FlagNarrows {
                flag: sample::id("wound"),
            })
        };
        let program = flagged(&[], true);
        for new in ["bend", "push"] {
            assert_eq!(sample::left_out(&program, new), reason(), "{new}");
        }
        let program = flagged(&["push"], true);
        assert_eq!(sample::item(&program, "push").rung, sample::id("u1"));
        assert_eq!(sample::left_out(&program, "bend"), reason());
    }

    #[test]
    fn a_first_sheet_under_a_red_flag_holds_gentle_work_at_its_first_rungs() {
        let program = flagged(&[], false);
        assert!(sample::has(&program, "bend") && sample::has(&program, "straight"));
        assert!(!sample::has(&program, "rise"), "too tiring");
        for item in &program.items {
            assert!(item.rung.to_string().ends_with('1'), "{}", item.rung);
            assert!(item.next.is_empty(), "{}", item.exercise);
        }
    }

    #[test]
    fn after_a_settled_answer_it_is_silent() {
        let program = run(3, 0);
        assert!(sample::has(&program, "rise"));
        assert!(!program.fired.contains(&RULE.id));
    }
}
