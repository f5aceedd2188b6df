#![doc = include_str!("d708_climb.md")]

use crate::domain::quantity::Quantity;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{NeededFact, RuleId, Why};
use crate::domain::word::{Did, Response, Seen, YesNo};
use crate::engine::answer::{self, Answer};
use crate::engine::case::Stands;
use crate::engine::dates::days_between;
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage, d606_amount_done};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D708"),
    name: "climb",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Climbs one rung when the work settled, was done and was given long enough.",
    sources: &["practice"],
    doc: include_str!("d708_climb.md"),
};

/// Proposes one rung up, or keeps and says why.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let given = working.given.as_ref()?;
    let answer = dosing.answer?;
    let at = dosing.at(given)?;
    let goes_on = working.took(|why| matches!(why, Why::LastSheet { .. }))
        && dosing.last_at() == Some(at)
        && dosing
            .response()
            .is_none_or(|response| response == Response::Settled);
    if !goes_on {
        return None;
    }
    let next = at.saturating_add(1);
    match kept(dosing, answer, at, next) {
        Some(why) => Some((given.clone(), why)),
        None => Some((
            dosing.given(next)?,
            Why::Climbed {
                pain: answer.pain,
                line: answer.line?,
                did: dosing.case.visit.did,
            },
        )),
    }
}

/// Returns the first condition of a climb that is missing.
fn kept(dosing: &Dosing<'_>, answer: &Answer, at: usize, next: usize) -> Option<Why> {
    let loaded = loaded(dosing, at, next);
    by_answer(dosing, answer)
        .or_else(|| (next >= dosing.ladder.rungs.len()).then_some(Why::KeptTopRung))
        .or_else(|| by_done(dosing, loaded))
        .or_else(|| by_days(dosing, loaded))
        .or_else(|| by_seen(dosing, loaded))
        .or_else(|| by_next_rung(dosing, next))
}

fn loaded(dosing: &Dosing<'_>, at: usize, next: usize) -> YesNo {
    let rungs = &dosing.exercise().rungs;
    let any = [at, next]
        .into_iter()
        .filter_map(|rung| rungs.get(rung))
        .any(|rung| rung.loaded == YesNo::Yes);
    if any { YesNo::Yes } else { YesNo::No }
}

fn by_answer(dosing: &Dosing<'_>, answer: &Answer) -> Option<Why> {
    if let (Some(_), Some(closed)) = (dosing.worse(), dosing.closed()) {
        let reason = closed.reason();
        return Some(Why::KeptNotAllowed { reason });
    }
    if answer.line.is_none() || !answer.pain.is_recorded() {
        return Some(Why::KeptNotRecorded {
            fact: NeededFact::Pain,
        });
    }
    let blank = Why::KeptNotRecorded {
        fact: NeededFact::Morning,
    };
    (!answer.morning.is_recorded()).then_some(blank)
}

fn by_done(dosing: &Dosing<'_>, loaded: YesNo) -> Option<Why> {
    let line = dosing.case.settings().enough_done.get();
    let did = dosing.case.visit.did;
    let little = |percent| Why::KeptLittleDone {
        done_percent: percent,
        line,
        did,
    };
    if let Some(percent) = dosing.done.and_then(d606_amount_done::percent) {
        return if percent < line {
            Some(little(Recorded::Yes(percent)))
        } else {
            (percent >= far_more_line(dosing))
                .then(|| far_more(dosing, Recorded::Yes(percent)))
                .flatten()
        };
    }
    match did {
        Recorded::Yes(Did::More) => far_more(dosing, Recorded::NotRecorded),
        Recorded::Yes(Did::All | Did::Most) => None,
        Recorded::Yes(Did::Half | Did::Little | Did::None) => Some(little(Recorded::NotRecorded)),
        Recorded::NotRecorded => (loaded == YesNo::Yes).then_some(Why::KeptNotRecorded {
            fact: NeededFact::Did,
        }),
    }
}

/// Keeps work of which far more was done than asked, until two answers running were settled.
///
/// A sheet with stages let the person go up alone: more than its first dose was asked for then.
fn far_more(dosing: &Dosing<'_>, done_percent: Recorded<i64>) -> Option<Why> {
    let line = far_more_line(dosing);
    let before = dosing.case.last.map(|last| last.visit);
    let calm_before = before.is_some_and(|visit| {
        answer::earlier(dosing.case, visit) == Recorded::Yes(Response::Settled)
    });
    let staged = dosing.last.is_some_and(|item| !item.may_reach.is_empty());
    (!calm_before && !staged).then_some(Why::KeptFarMore { done_percent, line })
}

fn far_more_line(dosing: &Dosing<'_>) -> i64 {
    dosing.case.settings().far_more.get()
}

fn by_days(dosing: &Dosing<'_>, loaded: YesNo) -> Option<Why> {
    let wait = dosing.case.settings().wait_days;
    let line = match loaded {
        YesNo::Yes => wait.loaded.get(),
        YesNo::No => wait.unloaded.get(),
    };
    let days = days_on_rung(dosing)?;
    (days < line).then_some(Why::KeptTooSoon { days, line })
}

/// Counts the days since this rung was first given, without another rung between.
///
/// A void sheet counted the days wrongly, so the count begins after it.
fn days_on_rung(dosing: &Dosing<'_>) -> Option<i64> {
    let item = dosing.last?;
    let first = dosing
        .case
        .sheets
        .iter()
        .filter(|sheet| sheet.issued.phase.is_some())
        .take_while(|sheet| {
            let same = |given: &crate::domain::record::IssuedItem| {
                given.exercise == item.exercise && given.rung == item.rung
            };
            sheet.stands == Stands::Valid && sheet.issued.items.iter().any(same)
        })
        .last();
    first.map(|sheet| days_between(sheet.visit.date, dosing.case.date))
}

fn by_seen(dosing: &Dosing<'_>, loaded: YesNo) -> Option<Why> {
    if loaded == YesNo::No {
        return None;
    }
    match dosing.done.map(|done| done.seen) {
        Some(Recorded::Yes(Seen::Yes)) => None,
        Some(Recorded::Yes(Seen::Corrected | Seen::No)) => Some(Why::KeptNotSeen),
        Some(Recorded::NotRecorded) | None => Some(Why::KeptNotRecorded {
            fact: NeededFact::Seen,
        }),
    }
}

fn by_next_rung(dosing: &Dosing<'_>, next: usize) -> Option<Why> {
    if let Some(bar) = dosing.bar(next) {
        return Some(Why::KeptNotAllowed {
            reason: bar.reason.clone(),
        });
    }
    dosing.entry(next).map(|failing| Why::KeptByTest {
        test: failing.test.clone(),
        value: failing.value.clone(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::Record;
    use crate::domain::verdict::WhyNot;
    use crate::engine::sample;

    fn run(
        exercise: &str,
        rung: &str,
        days: i64,
        change: impl Fn(&mut Record),
    ) -> (String, Option<Why>) {
        let mut record = sample::record(40);
        sample::earlier(&mut record, 40 - days, &[(exercise, rung)]);
        record.visits[1].measured.lag = sample::degrees(Some(0));
        record.visits[1].phase = Some(sample::stay("middle"));
        change(&mut record);
        let program = sample::program(&sample::library(), &record);
        let item = sample::item(&program, exercise);
        let why = item
            .steps
            .iter()
            .find(|step| step.rule == RULE.id)
            .map(|step| step.why.clone());
        (item.rung.to_string(), why)
    }

    #[test]
    fn settled_and_done_climbs_one_rung() {
        let (rung, why) = run("bend", "b1", 4, |_| {});
        assert_eq!(rung, "b2");
        assert!(matches!(why, Some(Why::Climbed { .. })));
    }

    #[test]
    fn too_soon_keeps() {
        let (rung, why) = run("bend", "b1", 3, |_| {});
        assert_eq!(rung, "b1");
        assert_eq!(why, Some(Why::KeptTooSoon { days: 3, line: 4 }));
    }

    #[test]
    fn a_blank_morning_or_pain_keeps() {
        let (_, why) = run("bend", "b1", 9, |r| {
            r.visits[1].pain.morning = Recorded::NotRecorded;
        });
        assert_eq!(
            why,
            Some(Why::KeptNotRecorded {
                fact: NeededFact::Morning
            })
        );
        let (_, why) = run("bend", "b1", 9, |r| {
            r.visits[1].pain.exercise = Recorded::NotRecorded;
        });
        assert_eq!(
            why,
            Some(Why::KeptNotRecorded {
                fact: NeededFact::Pain
            })
        );
    }

    #[test]
    fn little_done_keeps_at_each_side_of_the_line() {
        let share = |done| {
            move |record: &mut Record| {
                let row = sample::done(record, 1, "bend");
                row.done = Recorded::Yes(done);
                row.asked = Recorded::Yes(100);
            }
        };
        assert_eq!(run("bend", "b1", 9, share(74)).0, "b1");
        assert_eq!(run("bend", "b1", 9, share(75)).0, "b2");
        let (rung, _) = run("bend", "b1", 9, |r| {
            r.visits[1].did = Recorded::Yes(Did::Half);
        });
        assert_eq!(rung, "b1");
    }

    #[test]
    fn far_more_done_keeps_until_two_answers_running_were_settled() {
        let share = |done, before: Option<i64>| {
            run("bend", "b1", 9, move |record: &mut Record| {
                if let Some(pain) = before {
                    sample::earlier(record, 25, &[("bend", "b1")]);
                    record.visits[1].pain.exercise = sample::pain(Some(pain));
                }
                let last = record.visits.len() - 1;
                let row = sample::done(record, last, "bend");
                row.done = Recorded::Yes(done);
                row.asked = Recorded::Yes(100);
            })
        };
        let kept = Why::KeptFarMore {
            done_percent: Recorded::Yes(150),
            line: 150,
        };
        assert_eq!(share(150, None), ("b1".to_owned(), Some(kept.clone())));
        assert_eq!(share(149, None).0, "b2");
        assert_eq!(share(150, Some(6)).1, Some(kept));
        assert_eq!(share(150, Some(3)).0, "b2");
        let (rung, why) = run("bend", "b1", 9, |record: &mut Record| {
            record.visits[1].did = Recorded::Yes(Did::More);
        });
        let kept = Why::KeptFarMore {
            done_percent: Recorded::NotRecorded,
            line: 150,
        };
        assert_eq!((rung.as_str(), why), ("b1", Some(kept)), "more, in words");
    }

    #[test]
    fn unknown_adherence_keeps_loaded_work_only() {
        let unknown = |record: &mut Record| {
            record.visits[1].did = Recorded::NotRecorded;
            sample::done(record, 1, "lift").seen = Recorded::Yes(Seen::Yes);
        };
        assert_eq!(run("bend", "b1", 9, unknown).0, "b2");
        let (rung, why) = run("lift", "l5", 9, unknown);
        assert_eq!(rung, "l5");
        assert_eq!(
            why,
            Some(Why::KeptNotRecorded {
                fact: NeededFact::Did
            })
        );
    }

    #[test]
    fn loaded_work_climbs_only_when_seen() {
        let seen = |how| {
            move |record: &mut Record| {
                sample::done(record, 1, "lift").seen = Recorded::Yes(how);
            }
        };
        assert_eq!(run("lift", "l5", 7, seen(Seen::Yes)).0, "l6");
        assert_eq!(run("lift", "l5", 6, seen(Seen::Yes)).0, "l5");
        assert_eq!(
            run("lift", "l5", 7, seen(Seen::Corrected)).1,
            Some(Why::KeptNotSeen)
        );
        assert_eq!(run("lift", "l4", 7, |_| {}).0, "l4");
    }

    #[test]
    fn the_top_rung_is_kept() {
        assert_eq!(run("bend", "b4", 9, |_| {}).1, Some(Why::KeptTopRung));
    }

    #[test]
    fn a_failing_test_of_the_next_rung_keeps() {
        let lag = |record: &mut Record| {
            record.visits[1].measured.lag = sample::degrees(Some(6));
            sample::done(record, 1, "lift").seen = Recorded::Yes(Seen::Yes);
        };
        assert!(matches!(
            run("lift", "l4", 9, lag).1,
            Some(Why::KeptByTest { .. })
        ));
    }

    #[test]
    fn another_bad_answer_keeps() {
        let (rung, why) = run("bend", "b1", 9, |record| {
            sample::issue_too(record, 0, "rise", "r1");
            sample::done(record, 1, "rise").during = sample::pain(Some(9));
        });
        assert_eq!(rung, "b1");
        let reason = WhyNot::NothingNew {
            response: Response::Overdone,
        };
        assert_eq!(why, Some(Why::KeptNotAllowed { reason }));
    }
}
