#![doc = include_str!("d402_motion_limit.md")]

use crate::domain::exercise::{Demand, Exercise, Peak, Rung};
use crate::domain::limit::LimitRule;
use crate::domain::quantity::Degrees;
use crate::domain::verdict::{LimitInForce, RuleId, WhyNot};
use crate::engine::allow::{Bar, Clip, Effect, stricter};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D402"),
    name: "motion-limit",
    stage: Stage::Allow,
    since: "0.1",
    summary: "Clips a motion to a limit, or leaves it out when too little would be left.",
    sources: &["practice"],
    doc: include_str!("d402_motion_limit.md"),
};

/// Says what a motion limit does to a rung.
pub(crate) fn effect(exercise: &Exercise, rung: &Rung, limit: &LimitInForce) -> Effect {
    let LimitRule::Motion { joint, motion, .. } = &limit.rule else {
        return Effect::Free;
    };
    let mut clip = None;
    for demand in &exercise.demands {
        if demand.joint != *joint || demand.motion != *motion {
            continue;
        }
        match of_demand(demand, rung, limit) {
            Effect::Free => {}
            Effect::Clipped(found) => clip = Some(stricter(clip, found)),
            Effect::Barred(bar) => return Effect::Barred(bar),
        }
    }
    clip.map_or(Effect::Free, Effect::Clipped)
}

fn of_demand(demand: &Demand, rung: &Rung, limit: &LimitInForce) -> Effect {
    let (Some(stop_at), Some(degrees)) = (limit.stop_at, limit.degrees) else {
        return Effect::Free;
    };
    let Some(peak) = peak(demand, rung) else {
        return barred(WhyNot::DemandUnknown {
            limit: limit.limit.clone(),
        });
    };
    if peak <= stop_at {
        return Effect::Free;
    }
    match demand.clip_floor {
        None => barred(WhyNot::Forbidden {
            limit: limit.limit.clone(),
        }),
        Some(floor) if stop_at < floor => barred(WhyNot::ClippedAway {
            limit: limit.limit.clone(),
            stop_at,
            floor,
        }),
        Some(_) => Effect::Clipped(Clip {
            limit: limit.limit.clone(),
            degrees,
            margin: margin(limit),
            stop_at,
        }),
    }
}

/// Returns the largest angle; none when the rung does not say.
pub(crate) fn peak(demand: &Demand, rung: &Rung) -> Option<Degrees> {
    match demand.peak {
        Peak::Fixed(peak) => Some(peak),
        Peak::OfRung => rung.range_degrees,
    }
}

fn margin(limit: &LimitInForce) -> Degrees {
    match limit.rule {
        LimitRule::Motion { margin, .. } => margin,
        LimitRule::Forbid { .. } => crate::domain::quantity::Quantity::nearest(0),
    }
}

fn barred(reason: WhyNot) -> Effect {
    Effect::Barred(Bar {
        reason,
        rule: RULE.id,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::quantity::Quantity;
    use crate::domain::record::Until;
    use crate::engine::sample;

    fn with_cap(degrees: i64) -> crate::domain::verdict::Program {
        let mut record = sample::record(10);
        record.orders.push(sample::cap(degrees, 1, Until::Open));
        sample::program(&sample::library(), &record)
    }

    #[test]
    fn a_motion_is_clipped_down_to_its_floor() {
        for degrees in [90, 45] {
            let program = with_cap(degrees);
            let dose = &sample::item(&program, "bend").dose;
            assert_eq!(dose.limit.map(Quantity::get), Some(degrees - 5));
        }
    }

    #[test]
    fn below_its_floor_it_is_left_out() {
        let reason = sample::left_out(&with_cap(44), "bend");
        assert!(matches!(reason, Some(WhyNot::ClippedAway { .. })));
    }

    #[test]
    fn without_a_floor_it_is_left_out() {
        let mut library = sample::library();
        sample::exercise(&mut library, "bend").demands[0].clip_floor = None;
        let mut record = sample::record(10);
        record.orders.push(sample::cap(90, 1, Until::Open));
        let program = sample::program(&library, &record);
        assert_eq!(
            sample::left_out(&program, "bend"),
            Some(WhyNot::Forbidden {
                limit: sample::id("cap")
            })
        );
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn a_limit_beyond_the_peak_is_silent() {
        let program = with_cap(130);
        assert_eq!(sample::item(&program, "bend").dose.limit, None);
        assert!(!program.fired.contains(&RULE.id));
    }
}
