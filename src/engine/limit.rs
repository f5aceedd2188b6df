//! Stage 3: the limits in force on any day of the sheet's life.
//!
//! The union counts; what nobody knows stands.

use crate::domain::ids::{FlagId, LimitId};
use crate::domain::limit::{Limit, LimitDegrees, LimitRule, LimitSpan, When};
use crate::domain::quantity::{Degrees, Quantity};
use crate::domain::record::{OrderValue, Until};
use crate::domain::recorded::Recorded;
use crate::domain::verdict::LimitInForce;
use crate::domain::word::{Fact, LimitLevel, MissingRule};

use super::case::Case;
use super::dates::date_of;
use super::gate::Gate;
use super::judge::value_on;
use super::log::Log;
use super::orders::{self, Standing};
use super::profile;
use super::rules::{d302_limits_in_force, d303_unknown_fact_limit, d305_limit_overridden};

/// Whether what brings a limit or modifier into force holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Held {
    /// It does.
    Yes,
    /// Nobody recorded the fact, so it must be taken to hold.
    Unknown(Fact),
    /// It does not.
    No,
}

/// Says whether a flag narrows the program.
pub(crate) fn flag_holds(gate: &Gate, flag: &FlagId) -> bool {
    gate.raised.iter().any(|raised| raised.flag == *flag)
        || gate
            .stood
            .iter()
            .any(|stood| stood.flag == *flag && stood.limits_stand)
}

/// Says whether what brings a rule into force holds on any day of the sheet's life.
pub(crate) fn holds(case: &Case<'_>, gate: &Gate, when: &When) -> Held {
    let found = match when {
        When::Always => true,
        When::Order(kind) => !orders::during_life(case, kind).is_empty(),
        When::Condition(condition) => case.has(condition),
        When::Flag(flag) => flag_holds(gate, flag),
        When::Raised(flag) => gate.raised.iter().any(|raised| raised.flag == *flag),
        When::Fact(test) => {
            let first = value_on(case, test.fact, case.day);
            let last = value_on(case, test.fact, case.day_of(case.life.until));
            return match (first, last) {
                (Recorded::Yes(first), Recorded::Yes(last)) => {
                    if test.passes(&first) || test.passes(&last) {
                        Held::Yes
                    } else {
                        Held::No
                    }
                }
                (Recorded::NotRecorded, _) | (_, Recorded::NotRecorded) => unknown(case, test.fact),
            };
        }
    };
    if found { Held::Yes } else { Held::No }
}

/// Says what a limit does whose fact nobody recorded: it stands, save on days on which the procedure
/// lets the blank pass.
fn unknown(case: &Case<'_>, fact: Fact) -> Held {
    let ends = [case.day, case.day_of(case.life.until)];
    let passes = |day| case.procedure().when_blank(fact, day) == Some(MissingRule::Pass);
    if ends.into_iter().all(passes) {
        Held::No
    } else {
        Held::Unknown(fact)
    }
}

/// Lists every limit in force during the sheet's life.
pub(crate) fn in_force(case: &Case<'_>, gate: &Gate, log: &mut Log) -> Vec<LimitInForce> {
    let mut found = Vec::new();
    for limit in &case.procedure().limits {
        if !touches_life(case, limit) || !profile::counts(case, limit) {
            continue;
        }
        let held = holds(case, gate, &limit.when);
        if held != Held::No && d305_limit_overridden::sets_aside(case, limit, log) {
            continue;
        }
        match held {
            Held::No => continue,
            Held::Yes => log.fire(&d302_limits_in_force::RULE),
            Held::Unknown(fact) => d303_unknown_fact_limit::note(fact, log),
        }
        let behind = standing(case, limit);
        if behind.is_empty() {
            found.push(resolve(case, limit, None));
        }
        found.extend(behind.iter().map(|order| resolve(case, limit, Some(order))));
    }
    found
}

fn touches_life(case: &Case<'_>, limit: &Limit) -> bool {
    match limit.span {
        LimitSpan::Days(window) => window.touches(case.day, case.day_of(case.life.until)),
        LimitSpan::Order => true,
    }
}

/// Lists the orders a limit hangs on.
fn standing<'a>(case: &Case<'a>, limit: &Limit) -> Vec<Standing<'a>> {
    match &limit.when {
        When::Order(kind) => orders::during_life(case, kind),
        When::Fact(test) if test.fact == Fact::WeightBearing => {
            orders::strictest_bearing(case).into_iter().collect()
        }
        When::Always | When::Condition(_) | When::Fact(_) | When::Flag(_) | When::Raised(_) => {
            profile::behind(case, limit)
        }
    }
}

/// Fills in the number and the end of a limit.
fn resolve(case: &Case<'_>, limit: &Limit, behind: Option<&Standing<'_>>) -> LimitInForce {
    let (degrees, stop_at) = match &limit.rule {
        LimitRule::Motion {
            degrees, margin, ..
        } => {
            let most = match degrees {
                LimitDegrees::Fixed(most) => *most,
                LimitDegrees::FromOrder => ordered(behind),
            };
            let stop = Degrees::nearest(most.get().saturating_sub(margin.get()));
            (Some(most), Some(stop))
        }
        LimitRule::Forbid(_) | LimitRule::AllOf(_) => (None, None),
    };
    LimitInForce {
        limit: limit.id.clone(),
        rule: limit.rule.clone(),
        degrees,
        stop_at,
        order: behind.map(|standing| standing.order.clone()),
        until: until(case, limit, behind),
    }
}

/// Returns the surgeon's angle; an order without one allows no motion at all.
fn ordered(behind: Option<&Standing<'_>>) -> Degrees {
    match behind.map(|standing| &standing.order.value) {
        Some(OrderValue::Degrees(most)) => *most,
        Some(OrderValue::WeightBearing(_) | OrderValue::Stands | OrderValue::NotOrdered) | None => {
            Degrees::nearest(Degrees::MIN)
        }
    }
}

fn until(case: &Case<'_>, limit: &Limit, behind: Option<&Standing<'_>>) -> Until {
    // A profile that counts without an order does not end with one.
    let ends = behind.filter(|standing| !profile::outlives(case, standing.order));
    let ordered = ends.map(|standing| standing.until);
    let LimitSpan::Days(window) = limit.span else {
        return ordered.unwrap_or(Until::Open);
    };
    let Some(before) = window.before else {
        return ordered.unwrap_or(Until::Open);
    };
    let last = date_of(case.record.episode.operation, before.plus(-1));
    match ordered {
        Some(Until::Date(date)) => Until::Date(date.min(last)),
        Some(Until::Asked | Until::Open) | None => Until::Date(last),
    }
}

/// Returns the level of a limit; one the procedure does not know is hard.
pub(crate) fn level(case: &Case<'_>, limit: &LimitId) -> LimitLevel {
    case.procedure()
        .limits
        .iter()
        .find(|known| known.id == *limit)
        .map_or(LimitLevel::Hard, |known| known.level)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::time::{Day, Window};
    use crate::domain::word::ScreenAnswer;
    use crate::engine::sample;

    #[test]
    fn a_limit_of_some_days_ends_on_the_day_before_its_first_free_one() {
        let mut library = sample::library();
        let limits = &mut library.procedure.limits;
        let limit = limits
            .iter_mut()
            .find(|limit| limit.id == sample::id("thin-bone"));
        limit.unwrap().span = LimitSpan::Days(Window {
            from: Day::new(0),
            before: Some(Day::new(20)),
        });
        let mut record = sample::record(10);
        sample::condition(&mut record, "thin-bone");
        let program = sample::program(&library, &record);
        let mut stands = program.limits.iter();
        let stands = stands.find(|limit| limit.limit == sample::id("thin-bone"));
        assert_eq!(stands.unwrap().until, Until::Date(sample::on(19)));
    }

    #[test]
    fn a_limit_of_a_new_sign_ends_once_the_sign_is_known() {
        let stands = |when: fn(FlagId) -> When, answer: ScreenAnswer| {
            let mut library = sample::library();
            let mut limits = library.procedure.limits.iter_mut();
            let limit = limits.find(|limit| limit.id == sample::id("wet-wound"));
            limit.unwrap().when = when(sample::id("wound"));
            let mut record = sample::record(10);
            sample::answer(&mut record, "wound", answer);
            let program = sample::program(&library, &record);
            let mut limits = program.limits.iter();
            limits.any(|limit| limit.limit == sample::id("wet-wound"))
        };
        assert!(stands(When::Raised, ScreenAnswer::Yes));
        assert!(!stands(When::Raised, ScreenAnswer::Known));
        assert!(!stands(When::Raised, ScreenAnswer::No));
        assert!(stands(When::Flag, ScreenAnswer::Known));
    }
}
