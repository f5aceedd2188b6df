#![doc = include_str!("d401_forbidden_work.md")]

use crate::domain::verdict::{LimitInForce, RuleId, WhyNot};
use crate::engine::allow::Bar;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D401"),
    name: "forbidden-work",
    stage: Stage::Allow,
    since: "0.1",
    summary: "Leaves out work of a kind that a limit forbids.",
    sources: &["practice"],
    doc: include_str!("d401_forbidden_work.md"),
};

/// Returns the bar of a limit that forbids this kind of work, or several things at once.
pub(crate) fn bar(limit: &LimitInForce) -> Bar {
    Bar {
        reason: WhyNot::Forbidden {
            limit: limit.limit.clone(),
        },
        rule: RULE.id,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::exercise::Peak;
    use crate::domain::ids::{ExerciseId, Id};
    use crate::domain::library::Library;
    use crate::domain::limit::{Condition, Kinds, LimitRule, LimitSpan, MotionOf, When};
    use crate::domain::record::Until;
    use crate::domain::time::Window;
    use crate::domain::word::{AdjustAction, Band, Mode, Motion, WeightBearing, YesNo};
    use crate::engine::sample;

    #[test]
    fn forbidden_leg_load_is_left_out() {
        let mut record = sample::record(10);
        record
            .orders
            .push(sample::bears(WeightBearing::None, 1, Until::Open));
        let program = sample::program(&sample::library(), &record);
        for standing in ["rise", "poise"] {
            let reason = WhyNot::Forbidden {
                limit: sample::id("no-weight"),
            };
            assert_eq!(sample::left_out(&program, standing), Some(reason));
        }
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn a_forbidden_tag_is_left_out() {
        let mut record = sample::record(10);
        sample::condition(&mut record, "thin-bone");
        let program = sample::program(&sample::library(), &record);
        assert!(sample::left_out(&program, "poise").is_some());
        assert!(sample::has(&program, "rise"));
    }

    /// Says whether each rung of an exercise is barred while one more limit stands.
    fn barred(library: &mut Library, name: &str, rule: LimitRule) -> Vec<bool> {
        let limit = sample::limit("more", When::Always, rule, LimitSpan::Days(Window::ALWAYS));
        library.procedure.limits.push(limit);
        let exercise = library.exercises[&sample::id::<ExerciseId>(name)].clone();
        let most = exercise.rungs.iter().map(|rung| {
            let mut record = sample::record(60);
            sample::adjust(&mut record, name, AdjustAction::Set, Some(rung.id.as_str()));
            let program = sample::program(library, &record);
            let given = program
                .items
                .iter()
                .find(|item| item.exercise == exercise.id);
            given.is_none_or(|item| item.rung != rung.id)
        });
        most.collect()
    }

    fn only(kinds: Kinds) -> LimitRule {
        LimitRule::Forbid(kinds)
    }

    fn loads(library: &mut Library, grams: [i64; 3]) {
        let rungs = &mut sample::exercise(library, "rise").rungs;
        for (rung, grams) in rungs.iter_mut().zip(grams) {
            rung.load_g = Some(sample::n(grams));
            rung.loaded = YesNo::No;
        }
    }

    #[test]
    fn a_weight_above_the_most_is_left_out() {
        let mut library = sample::library();
        loads(&mut library, [999, 1000, 1001]);
        let kinds = Kinds {
            load_above: Some(sample::n(1000)),
            ..sample::kinds()
        };
        assert_eq!(
            barred(&mut library, "rise", only(kinds)),
            [false, false, true]
        );
    }

    #[test]
    fn what_a_band_pulls_is_not_known() {
        let mut library = sample::library();
        sample::exercise(&mut library, "rise").rungs[2].band = Some(Band::Light);
        let kinds = Kinds {
            load_above: Some(sample::n(5000)),
            ..sample::kinds()
        };
        assert_eq!(
            barred(&mut library, "rise", only(kinds)),
            [false, false, true]
        );
    }

    #[test]
    fn a_mode_is_forbidden_for_its_own_motion() {
        let of = |motion| {
            let mut library = sample::library();
            let joint = sample::joint();
            let kinds = Kinds {
                modes: [Mode::Active].into(),
                of: Some(MotionOf { joint, motion }),
                ..sample::kinds()
            };
            barred(&mut library, "bend", only(kinds))
        };
        assert_eq!(of(Motion::Flexion), [true; 4]);
        assert_eq!(of(Motion::Extension), [false; 4]);
    }

    #[test]
    fn a_weight_makes_active_work_resisted() {
        let mut library = sample::library();
        loads(&mut library, [500, 500, 500]);
        sample::exercise(&mut library, "rise").rungs[0].load_g = None;
        let kinds = Kinds {
            modes: [Mode::Resisted].into(),
            ..sample::kinds()
        };
        assert_eq!(
            barred(&mut library, "rise", only(kinds)),
            [false, true, true]
        );
    }

    /// A rise that bends so far on each rung, and is tagged.
    fn tagged_rise(range: [i64; 3]) -> Library {
        let mut library = sample::library();
        let rise = sample::exercise(&mut library, "rise");
        rise.demands[0].motion = Motion::Flexion;
        rise.demands[0].peak = Peak::OfRung;
        rise.demands[0].tags = [sample::id("deep")].into();
        for (rung, degrees) in rise.rungs.iter_mut().zip(range) {
            rung.range_degrees = Some(sample::angle(degrees));
        }
        library
    }

    fn deep(tag: &str) -> LimitRule {
        let joint = sample::joint();
        let motion = Motion::Flexion;
        LimitRule::AllOf(vec![
            Condition::Beyond {
                of: MotionOf { joint, motion },
                degrees: sample::angle(45),
            },
            Condition::Kinds(Kinds {
                tags: [sample::id(tag)].into(),
                ..sample::kinds()
            }),
        ])
    }

    #[test]
    fn several_things_at_once_are_left_out_and_each_alone_is_not() {
        let mut library = tagged_rise([44, 45, 46]);
        assert_eq!(
            barred(&mut library, "rise", deep("deep")),
            [false, false, true]
        );
        let mut library = tagged_rise([44, 45, 46]);
        assert_eq!(barred(&mut library, "rise", deep("other")), [false; 3]);
    }

    #[test]
    fn at_once_an_angle_nobody_gave_counts_as_passed() {
        let mut library = tagged_rise([44, 45, 46]);
        sample::exercise(&mut library, "rise").rungs[0].range_degrees = None;
        assert_eq!(barred(&mut library, "rise", deep("deep")), [true; 3]);
    }

    #[test]
    fn what_is_not_forbidden_stays() {
        let program = sample::program(&sample::library(), &sample::record(10));
        assert!(sample::has(&program, "poise"));
        assert!(!program.fired.contains(&RULE.id));
    }
}
