#![doc = include_str!("d905_advice_that_fits.md")]

use crate::domain::asked::{Against, Asked};
use crate::domain::ids::CareId;
use crate::domain::limit::{LimitRule, When};
use crate::domain::procedure::Asks;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{LimitInForce, Notice, RuleId};
use crate::engine::case::Case;
use crate::engine::log::Log;

use super::{Rule, Stage, d405_equipment};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D905"),
    name: "advice-that-fits",
    stage: Stage::Plan,
    since: "0.1",
    summary: "Leaves out advice that asks for what a limit forbids or the person cannot do.",
    sources: &["practice"],
    doc: include_str!("d905_advice_that_fits.md"),
};

/// Says whether a row asks for nothing that is forbidden or not possible.
pub(crate) fn fits(case: &Case<'_>, limits: &[LimitInForce], asks: &Asks, log: &mut Log) -> bool {
    let cannot = match &case.patient().positions_no {
        Recorded::Yes(no) => !no.is_disjoint(&asks.positions),
        Recorded::NotRecorded => false,
    };
    !cannot
        && limits.iter().all(|limit| allows(case, limit, asks))
        && d405_equipment::bar(case, &asks.needs, log).is_none()
}

/// Says whether a limit allows a row; what nobody said is held against limits that narrow.
fn allows(case: &Case<'_>, limit: &LimitInForce, asks: &Asks) -> bool {
    match Asked::by_advice(asks).against(&limit.rule, limit.stop_at) {
        Against::Free => true,
        Against::TooFar { .. } | Against::Forbidden => false,
        Against::Unknown => asks.demands.is_none() && !narrows(case, limit),
    }
}

fn narrows(case: &Case<'_>, limit: &LimitInForce) -> bool {
    let known = case.procedure().limits.iter();
    let mut flags = known.filter(|known| matches!(known.when, When::Flag(_) | When::Raised(_)));
    limit.order.is_some()
        || matches!(limit.rule, LimitRule::Motion { .. })
        || flags.any(|known| known.id == limit.limit)
}

/// Leaves the notice of what is left out.
pub(crate) fn note(advice: &CareId, log: &mut Log) {
    let notice = Notice::AdviceLeftOut {
        rule: RULE.id,
        advice: advice.clone(),
    };
    log.notice(&RULE, notice);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::exercise::{Demand, Peak};
    use crate::domain::library::Library;
    use crate::domain::record::{Record, Until};
    use crate::domain::verdict::Program;
    use crate::domain::word::{LegLoad, Mode, Motion, Position, WeightBearing, YesNo};
    use crate::engine::sample;

    fn bends_to(degrees: i64) -> Asks {
        Asks {
            demands: Some(vec![Demand {
                joint: sample::joint(),
                motion: Motion::Flexion,
                peak: Peak::Fixed(sample::angle(degrees)),
                mode: Mode::Active,
                weight_bearing: LegLoad::Partial,
                arm_load: YesNo::No,
                tags: [].into(),
                clip_floor: Some(sample::angle(10)),
            }]),
            ..Asks::default()
        }
    }

    /// A library whose first care row asks for something.
    fn library(asks: Asks) -> Library {
        let mut library = sample::library();
        library.procedure.home_care[0].asks = asks;
        library
    }

    fn cold(library: &Library, record: &Record) -> (bool, Program) {
        let program = sample::program(library, record);
        (program.care.contains(&sample::id("cold")), program)
    }

    #[test]
    fn a_row_bends_as_far_as_the_limit_and_no_further() {
        let mut record = sample::record(10);
        record.orders.push(sample::cap(90, 1, Until::Open));
        for (degrees, stands) in [(84, true), (85, true), (86, false)] {
            let (found, program) = cold(&library(bends_to(degrees)), &record);
            assert_eq!(found, stands, "{degrees}");
            let advice = sample::id("cold");
            let notice = Notice::AdviceLeftOut {
                rule: RULE.id,
                advice,
            };
            assert_eq!(program.notices.contains(&notice), !stands);
        }
    }

    #[test]
    fn without_a_limit_it_is_silent() {
        let (found, program) = cold(&library(bends_to(130)), &sample::record(10));
        assert!(found && !program.fired.contains(&RULE.id));
    }

    #[test]
    fn a_row_that_bears_weight_waits_for_the_order() {
        let mut record = sample::record(10);
        record
            .orders
            .push(sample::bears(WeightBearing::None, 1, Until::Open));
        assert!(!cold(&library(bends_to(10)), &record).0);
    }

    #[test]
    fn another_row_stands_in_its_place_and_only_then() {
        let mut library = library(Asks {
            positions: [Position::Prone].into(),
            ..Asks::default()
        });
        let other = &mut library.procedure.home_care[1];
        other.only_if.clear();
        other.instead_of = Some(sample::id("cold"));
        let mut record = sample::record(10);
        assert_eq!(
            sample::program(&library, &record).care,
            [sample::id("cold")]
        );
        record.visits[0].patient.positions_no = Recorded::Yes([Position::Prone].into());
        assert_eq!(
            sample::program(&library, &record).care,
            [sample::id("warm")]
        );
    }

    #[test]
    fn what_the_home_has_not_got_is_not_spoken_of() {
        let library = library(Asks {
            needs: [sample::id("sofa")].into(),
            ..Asks::default()
        });
        let mut record = sample::record(10);
        record.visits[0].patient.equipment = Recorded::Yes([sample::id("chair")].into());
        assert!(!cold(&library, &record).0);
        record.visits[0].patient.equipment = Recorded::Yes([sample::id("sofa")].into());
        assert!(cold(&library, &record).0);
    }

    #[test]
    fn what_nobody_said_stands_until_an_order_narrows() {
        let mut record = sample::record(10);
        sample::condition(&mut record, "thin-bone");
        assert!(cold(&sample::library(), &record).0);
        record.orders.push(sample::cap(90, 1, Until::Open));
        assert!(!cold(&sample::library(), &record).0);
        let nothing = Asks {
            demands: Some(Vec::new()),
            ..Asks::default()
        };
        assert!(cold(&library(nothing), &record).0);
    }

    #[test]
    fn a_goal_asks_for_nothing_a_limit_forbids() {
        let mut library = sample::library();
        library.procedure.milestones[0].asks = bends_to(86);
        let mut record = sample::record(10);
        record.visits[0].measured.flexion = sample::degrees(None);
        assert_eq!(sample::program(&library, &record).milestones.len(), 1);
        record.orders.push(sample::cap(90, 1, Until::Open));
        assert!(sample::program(&library, &record).milestones.is_empty());
    }
}
