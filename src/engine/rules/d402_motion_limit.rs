#![doc = include_str!("d402_motion_limit.md")]

use crate::domain::limit::LimitRule;
use crate::domain::quantity::Degrees;
use crate::domain::verdict::{LimitInForce, RuleId, WhyNot};
use crate::engine::allow::{Bar, Clip, Effect};

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

/// Stops a motion that goes too far, or leaves it out when too little would be left.
pub(crate) fn effect(limit: &LimitInForce, floor: Degrees) -> Effect {
    let (LimitRule::Motion { of, margin, .. }, Some(degrees), Some(stop_at)) =
        (&limit.rule, limit.degrees, limit.stop_at)
    else {
        return Effect::Barred(bar(limit));
    };
    if stop_at < floor {
        return Effect::Barred(Bar {
            reason: WhyNot::ClippedAway {
                limit: limit.limit.clone(),
                stop_at,
                floor,
            },
            rule: RULE.id,
        });
    }
    Effect::Clipped(Clip {
        limit: limit.limit.clone(),
        of: *of,
        degrees,
        margin: *margin,
        stop_at,
    })
}

/// Returns the bar of a motion that cannot stop earlier.
pub(crate) fn bar(limit: &LimitInForce) -> Bar {
    Bar {
        reason: WhyNot::Forbidden {
            limit: limit.limit.clone(),
        },
        rule: RULE.id,
    }
}

/// Returns the bar of a second motion to be stopped: a dose has room for one stop.
pub(crate) fn second_stop(clip: &Clip) -> Bar {
    Bar {
        reason: WhyNot::Forbidden {
            limit: clip.limit.clone(),
        },
        rule: RULE.id,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::exercise::Peak;
    use crate::domain::limit::{LimitDegrees, LimitSpan, MotionOf, When};
    use crate::domain::quantity::Quantity;
    use crate::domain::record::Until;
    use crate::domain::time::Window;
    use crate::domain::word::{Mode, Motion};
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
    fn the_angle_itself_is_allowed_and_one_more_is_not() {
        let mut library = sample::library();
        let bend = &mut sample::exercise(&mut library, "bend").demands[0];
        (bend.peak, bend.clip_floor) = (Peak::Fixed(sample::angle(85)), None);
        let given = |cap| {
            let mut record = sample::record(10);
            record.orders.push(sample::cap(cap, 1, Until::Open));
            sample::has(&sample::program(&library, &record), "bend")
        };
        assert_eq!([89, 90, 91].map(given), [false, true, true]);
    }

    #[test]
    fn a_limit_of_one_mode_leaves_the_others_alone() {
        let given = |mode| {
            let mut library = sample::library();
            for limit in &mut library.procedure.limits {
                if let LimitRule::Motion { modes, .. } = &mut limit.rule {
                    modes.insert(mode);
                }
            }
            let mut record = sample::record(10);
            record.orders.push(sample::cap(40, 1, Until::Open));
            sample::has(&sample::program(&library, &record), "bend")
        };
        assert!(!given(Mode::Active));
        assert!(given(Mode::Passive));
    }

    #[test]
    fn a_second_motion_to_be_stopped_is_left_out() {
        let mut library = sample::library();
        let bend = sample::exercise(&mut library, "bend");
        let mut turn = bend.demands[0].clone();
        turn.motion = Motion::Rotation;
        bend.demands.push(turn);
        let joint = sample::joint();
        let rule = LimitRule::Motion {
            of: MotionOf {
                joint,
                motion: Motion::Rotation,
            },
            modes: [].into(),
            degrees: LimitDegrees::Fixed(sample::angle(60)),
            margin: sample::angle(0),
        };
        let span = LimitSpan::Days(Window::ALWAYS);
        library
            .procedure
            .limits
            .push(sample::limit("turn", When::Always, rule, span));
        let mut record = sample::record(10);
        let alone = sample::program(&library, &record);
        assert_eq!(
            sample::item(&alone, "bend").dose.limit,
            Some(sample::angle(60))
        );
        record.orders.push(sample::cap(90, 1, Until::Open));
        let reason = sample::left_out(&sample::program(&library, &record), "bend");
        assert_eq!(
            reason,
            Some(WhyNot::Forbidden {
                limit: sample::id("turn")
            })
        );
    }

    #[test]
    fn a_limit_beyond_the_peak_is_silent() {
        let program = with_cap(130);
        assert_eq!(sample::item(&program, "bend").dose.limit, None);
        assert!(!program.fired.contains(&RULE.id));
    }
}
