//! One more limit of any kind, over many made-up people.

use proptest::prelude::*;

use crate::domain::limit::{Condition, Kinds, LimitDegrees, LimitRule, LimitSpan, MotionOf, When};
use crate::domain::time::{Day, Window};
use crate::domain::word::{LegLoad, Mode, Motion, Position, Word};
use crate::engine::{amount, sample};

use super::compare::{given, items, keeps, no_more_work, places};
use super::people::{person, record, word};

fn motion() -> impl Strategy<Value = MotionOf> {
    word::<Motion>().prop_map(|motion| MotionOf {
        joint: sample::joint(),
        motion,
    })
}

fn some<T: Word + Ord + std::fmt::Debug + 'static>()
-> impl Strategy<Value = std::collections::BTreeSet<T>> {
    proptest::collection::btree_set(word::<T>(), 0..3)
}

fn kinds() -> impl Strategy<Value = Kinds> {
    let tags = proptest::sample::subsequence(vec!["balancing", "standing", "none-has-it"], 0..2);
    let lists = (some::<LegLoad>(), some::<Mode>(), some::<Position>());
    let rest = (
        proptest::option::of(motion()),
        proptest::option::of(100_i64..1500),
        tags,
    );
    (lists, rest).prop_map(
        |((weight_bearing, modes, positions), (of, load, tags))| Kinds {
            weight_bearing,
            modes,
            positions,
            of,
            load_above: load.map(sample::n),
            tags: tags.into_iter().map(sample::id).collect(),
        },
    )
}

fn condition() -> impl Strategy<Value = Condition> {
    let beyond = (motion(), 0_i64..130).prop_map(|(of, most)| Condition::Beyond {
        of,
        degrees: sample::angle(most),
    });
    prop_oneof![beyond, kinds().prop_map(Condition::Kinds)]
}

fn rule() -> impl Strategy<Value = LimitRule> {
    let motion = (motion(), 0_i64..130, 0_i64..10, some::<Mode>());
    let motion = motion.prop_map(|(of, most, margin, modes)| LimitRule::Motion {
        of,
        modes,
        degrees: LimitDegrees::Fixed(sample::angle(most)),
        margin: sample::angle(margin),
    });
    let all_of = proptest::collection::vec(condition(), 2..4).prop_map(LimitRule::AllOf);
    prop_oneof![motion, kinds().prop_map(LimitRule::Forbid), all_of]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn one_more_limit_never_adds_or_raises(person in person(), rule in rule(), from in 0_i64..40) {
        let mut library = sample::library();
        let record = record(&library, &person);
        let before = places(&library, &record);
        let window = Window { from: Day::new(from), before: None };
        let span = LimitSpan::Days(window);
        library.procedure.limits.push(sample::limit("one-more", When::Always, rule, span));
        for (id, (at, dose)) in places(&library, &record) {
            let Some((was, less)) = before.get(&id) else {
                prop_assert!(false, "{} came with a limit", id);
                continue;
            };
            prop_assert!(at <= *was, "{}", id);
            prop_assert!(at < *was || no_more_work(&dose, less), "{}", id);
            prop_assert!(at < *was || amount::times(&dose) <= amount::times(less), "{}", id);
            prop_assert!(dose.limit.is_some() || less.limit.is_none(), "{} lost its stop", id);
        }
        let program = sample::program(&library, &record);
        for item in items(&program) {
            let exercise = &library.exercises[&item.exercise];
            for (rung, dose) in given(exercise, item) {
                for limit in &program.limits {
                    prop_assert!(keeps(exercise, rung, dose, limit), "{} {:?}", item.exercise, limit);
                }
            }
        }
    }
}
