#![doc = include_str!("d1004_stages.md")]

use crate::domain::quantity::Quantity;
use crate::domain::record::NextVisit;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Life, RuleId};
use crate::domain::word::{BandWork, Response, Work};
use crate::engine::ahead::loaded;
use crate::engine::case::Case;
use crate::engine::dates::{date_of, days_between, later};
use crate::engine::dose::Dosing;
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

/// Returns what kind of work a line is at a rung.
pub(crate) fn work(dosing: &Dosing<'_>, at: Option<usize>) -> BandWork {
    if at.is_some_and(|at| loaded(dosing, at)) {
        return BandWork::Loaded;
    }
    match dosing.exercise().work {
        Work::Range => BandWork::Range,
        Work::Other => BandWork::Other,
    }
}
