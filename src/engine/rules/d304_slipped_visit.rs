#![doc = include_str!("d304_slipped_visit.md")]

use chrono::NaiveDate;

use crate::domain::limit::{Limit, LimitSpan};
use crate::domain::time::Window;
use crate::domain::verdict::RuleId;
use crate::domain::word::FlagEffect;
use crate::engine::case::Case;
use crate::engine::dates::{date_of, each, later};
use crate::engine::gate::Gate;
use crate::engine::limit::{Held, holds};
use crate::engine::log::Log;
use crate::engine::orders;
use crate::engine::profile;

use super::{Rule, Stage, d305_limit_overridden};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D304"),
    name: "slipped-visit",
    stage: Stage::Limit,
    since: "0.1",
    summary: "Stops a slipped visit from carrying a sheet past a new limit.",
    sources: &["practice"],
    doc: include_str!("d304_slipped_visit.md"),
};

/// Returns the last day the same dose may go on if the visit slips.
pub(crate) fn slip_until(case: &Case<'_>, gate: &Gate, log: &mut Log) -> NaiveDate {
    if gate
        .raised
        .iter()
        .any(|flag| flag.effect == FlagEffect::Restrict)
    {
        log.fire(&RULE);
        return case.life.until;
    }
    let wanted = case.life.slip_until;
    match stricter_from(case, gate, case.life.until) {
        Some(start) if start <= wanted => {
            log.fire(&RULE);
            later(start, -1).max(case.life.until)
        }
        Some(_) | None => wanted,
    }
}

/// Returns the first day after another on which a limit begins or the leg may bear less.
pub(crate) fn stricter_from(case: &Case<'_>, gate: &Gate, after: NaiveDate) -> Option<NaiveDate> {
    let starts = case
        .procedure()
        .limits
        .iter()
        .filter_map(|limit| start(case, gate, limit, after));
    starts.chain(less_weight(case, after)).min()
}

/// Returns the day a limit begins, or stands again, when that lies after another day.
fn start(case: &Case<'_>, gate: &Gate, limit: &Limit, after: NaiveDate) -> Option<NaiveDate> {
    let LimitSpan::Days(window) = limit.span else {
        return None;
    };
    let date = |day| date_of(case.record.episode.operation, day);
    let again = d305_limit_overridden::stands_again(case, limit)
        .filter(|again| window.before.is_none_or(|before| *again < date(before)));
    if holds(case, gate, &limit.when) == Held::No {
        return None;
    }
    if !profile::counts(case, limit) {
        return profile_begins(case, limit, window, after);
    }
    let starts = again.into_iter().chain([date(window.from)]);
    starts.filter(|from| *from > after).min()
}

/// Returns the first day on which a profile that does not count on this sheet brings its limit.
fn profile_begins(
    case: &Case<'_>,
    limit: &Limit,
    window: Window,
    after: NaiveDate,
) -> Option<NaiveDate> {
    each(later(after, 1), case.life.slip_until)
        .find(|date| window.holds(case.day_of(*date)) && profile::counts_on(case, limit, *date))
}

/// Returns the first day after another on which the leg may bear less than before.
fn less_weight(case: &Case<'_>, after: NaiveDate) -> Option<NaiveDate> {
    let mut before = case.clone();
    before.life.until = after;
    let now = orders::weight_bearing(&before);
    each(later(after, 1), case.life.slip_until)
        .find(|date| orders::weight_bearing_on(case, *date) > now)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::time::Day;
    use crate::engine::sample;

    fn with_limit_from(day: i64) -> (i64, bool) {
        let mut library = sample::library();
        let limit = library
            .procedure
            .limits
            .iter_mut()
            .find(|l| l.id == sample::id("thin-bone"));
        limit.unwrap().span = LimitSpan::Days(Window {
            from: Day::new(day),
            before: None,
        });
        let mut record = sample::record(10);
        sample::condition(&mut record, "thin-bone");
        let program = sample::program(&library, &record);
        let slip = program
            .life
            .slip_until
            .signed_duration_since(program.life.until)
            .num_days();
        (slip, program.fired.contains(&RULE.id))
    }

    #[test]
    fn it_stops_the_day_before_a_limit_begins() {
        assert_eq!(with_limit_from(25), (0, true));
        assert_eq!(with_limit_from(26), (1, true));
        assert_eq!(with_limit_from(37), (12, true));
        assert_eq!(with_limit_from(38), (13, true));
    }

    #[test]
    fn a_later_limit_changes_nothing() {
        assert_eq!(with_limit_from(39), (14, false));
    }

    #[test]
    fn one_that_begins_on_the_last_day_of_the_sheet_is_in_force_from_its_first() {
        assert_eq!(with_limit_from(24), (14, false));
    }
}
