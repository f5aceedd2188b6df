#![doc = include_str!("d1004_stages.md")]

use crate::domain::quantity::Quantity;
use crate::domain::record::NextVisit;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Life, RuleId};
use crate::domain::word::Response;
use crate::engine::case::Case;
use crate::engine::dates::{date_of, days_between, later};
use crate::engine::gate::Gate;

use super::d304_slipped_visit::stricter_from;
use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D1004"),
    name: "stages",
    stage: Stage::Ahead,
    since: "0.1",
    summary: "Makes the sheet of dated stages when no next visit is booked.",
    sources: &["practice"],
    doc: include_str!("d1004_stages.md"),
};

/// Returns the life of a sheet made of stages and how many may fit; none when stages may not be.
pub(crate) fn life(case: &Case<'_>, gate: &Gate) -> Option<(Life, i64)> {
    let rules = case.settings().stages;
    let days = rules.days.get();
    if !applies(case, gate) || days < 1 {
        return None;
    }
    let most = if case.answers.overall == Recorded::Yes(Response::Settled) {
        rules.most.get()
    } else {
        rules.most.min(rules.most_first).get()
    };
    let wide = whole(case, days.saturating_mul(most));
    let looked = Case {
        life: wide,
        ..case.clone()
    };
    let stricter = stricter_from(&looked, gate, case.date).map(|date| later(date, -1));
    let covered = date_of(case.record.episode.operation, case.settings().last_day);
    let last = wide.until.min(covered).min(stricter.unwrap_or(wide.until));
    let room = days_between(case.date, last).saturating_add(1);
    let stages = room.checked_div(days)?;
    (stages > 1).then(|| (whole(case, stages.saturating_mul(days)), stages))
}

/// Returns the life of so many days, today included.
fn whole(case: &Case<'_>, days: i64) -> Life {
    let bounds = &case.settings().bounds;
    let days = days.min(bounds.sheet_days_most.get()).saturating_sub(1);
    let until = later(case.date, days);
    Life {
        until,
        slip_until: later(until, bounds.slip_days.get()),
        ..case.life
    }
}

fn applies(case: &Case<'_>, gate: &Gate) -> bool {
    case.life.next_visit == NextVisit::None
        && case.day.get() >= 0
        && gate.raised.is_empty()
        && !gate.stood.iter().any(|flag| flag.limits_stand)
        && case.answers.worse_than_settled().is_none()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::limit::LimitSpan;
    use crate::domain::record::{Order, Record, Until};
    use crate::domain::time::{Day, Window};
    use crate::domain::verdict::Program;
    use crate::domain::word::{ScreenAnswer, WeightBearing};
    use crate::engine::sample;

    fn record() -> Record {
        let mut record = sample::record(40);
        sample::earlier(&mut record, 30, &[("bend", "b1"), ("straight", "s1")]);
        record.visits[1].measured.lag = sample::degrees(Some(0));
        record.visits[1].phase = Some(sample::stay("middle"));
        record.visits[1].did = Recorded::Yes(crate::domain::word::Did::Half);
        record.visits[1].next_visit = Recorded::Yes(NextVisit::None);
        record
    }

    fn run(change: impl Fn(&mut Record)) -> Program {
        let mut record = record();
        change(&mut record);
        sample::program(&sample::library(), &record)
    }

    #[test]
    fn somebody_with_no_next_visit_has_four_dated_stages() {
        let program = run(|_| {});
        let dates: Vec<_> = program.stages.iter().map(|stage| stage.from).collect();
        assert_eq!(dates, [40, 47, 54, 61].map(sample::on));
        let ring: Vec<_> = program.stages.iter().map(|stage| stage.ring_by).collect();
        assert_eq!(ring, [67, 53, 60, 67].map(sample::on));
        assert_eq!(program.life.until, sample::on(67));
        assert!(program.stages[0].check.is_none());
        assert!(
            program.stages[1..]
                .iter()
                .all(|stage| stage.check.is_some())
        );
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn a_visit_a_bad_answer_and_a_flag_each_leave_none() {
        let date = NextVisit::Date(sample::on(47));
        for next in [NextVisit::Unknown, date] {
            let program = run(|record| record.visits[1].next_visit = Recorded::Yes(next));
            assert!(program.stages.is_empty() && !program.fired.contains(&RULE.id));
        }
        for pain in [6, 9] {
            let program = run(|record| record.visits[1].pain.exercise = sample::pain(Some(pain)));
            assert!(program.stages.is_empty());
            assert_eq!(program.life.until, sample::on(54), "the clinic's own days");
        }
        let program = run(|record| sample::answer(record, "wound", ScreenAnswer::Yes));
        assert!(program.stages.is_empty());
    }

    #[test]
    fn somebody_seen_for_the_first_time_has_fewer() {
        let mut record = sample::record(40);
        record.visits[0].measured.lag = sample::degrees(Some(0));
        record.visits[0].next_visit = Recorded::Yes(NextVisit::None);
        let program = sample::program(&sample::library(), &record);
        assert!(
            (2..=3).contains(&program.stages.len()),
            "{}",
            program.stages.len()
        );
        assert_eq!(program.life.until, sample::on(60));
    }

    #[test]
    fn they_end_before_a_limit_begins() {
        let until = |day: i64| {
            let mut library = sample::library();
            let mut limits = library.procedure.limits.iter_mut();
            let limit = limits.find(|limit| limit.id == sample::id("thin-bone"));
            limit.unwrap().span = LimitSpan::Days(Window {
                from: Day::new(day),
                before: None,
            });
            let mut record = record();
            sample::condition(&mut record, "thin-bone");
            let program = sample::program(&library, &record);
            (program.stages.len(), program.life.until)
        };
        assert_eq!(until(68), (4, sample::on(67)));
        assert_eq!(until(67).1, sample::on(60));
        assert_eq!(until(54).1, sample::on(53));
        assert_eq!(until(53).0, 0, "one stage is none");
    }

    #[test]
    fn they_end_before_the_leg_may_bear_less_and_with_the_library() {
        let bears = |last: i64| {
            let program = run(|record| {
                let less = sample::bears(WeightBearing::Partial, 1, Until::Open);
                record.orders.push(Order {
                    from: Some(sample::on(last + 1)),
                    ..less
                });
            });
            (program.stages.len(), program.life.until)
        };
        assert_eq!(bears(67).1, sample::on(67));
        assert_eq!(bears(66).1, sample::on(60));
        let until = |last_day: i64| {
            let mut library = sample::library();
            library.procedure.settings.last_day = Day::new(last_day);
            let program = sample::program(&library, &record());
            (program.stages.len(), program.life.until)
        };
        assert_eq!(until(67).1, sample::on(67));
        assert_eq!(until(66).1, sample::on(60));
        assert_eq!(until(52).0, 0);
    }

    #[test]
    fn the_check_asks_for_the_strictest_settled_line_of_the_lines_on_the_sheet() {
        let program = run(|_| {});
        let bands = &sample::library().procedure.bands;
        let asked = program.stages[1].check.unwrap().pain_at_most;
        assert!(bands.iter().any(|band| band.settled == asked));
        assert!(asked <= sample::n(5));
    }
}
