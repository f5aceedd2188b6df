//! What the library must say of work that loads the knee, and of who may do it, so that a new
//! exercise cannot forget it.

use std::collections::BTreeSet;

use banister::domain::exercise::{Exercise, Peak, Rung};
use banister::domain::fact::{Comparison, Test};
use banister::domain::ids::{Id, TagId};
use banister::domain::library::Library;
use banister::domain::limit::{LimitRule, LimitSpan, When};
use banister::domain::quantity::Quantity;
use banister::domain::time::Day;
use banister::domain::word::{
    BandWork, Fact, LegLoad, MissingRule, Motion, Position, Row, Support, Work, YesNo,
};

use crate::support::plain_library_of;

const PROCEDURES: [&str; 4] = ["knee-total", "knee-partial", "knee-revision", "knee-both"];

/// They push through the leg, but neither deep nor high: turns of a bike without a load, lying on
/// the back, and steps to the side on the flat.
const LIGHT: [&str; 3] = ["bike", "bridge", "side-step"];

fn rungs(library: &Library) -> impl Iterator<Item = (&Exercise, &Rung)> {
    let sheet = library.exercises.values();
    sheet
        .filter(|exercise| exercise.row == Row::Exercise)
        .flat_map(|exercise| exercise.rungs.iter().map(move |rung| (exercise, rung)))
}

fn tags(exercise: &Exercise, rung: &Rung) -> BTreeSet<String> {
    let demands = exercise.demands.iter().flat_map(|demand| &demand.tags);
    demands.chain(&rung.tags).map(ToString::to_string).collect()
}

fn any(tags: &BTreeSet<String>, of: &[&str]) -> bool {
    of.iter().any(|tag| tags.contains(*tag))
}

/// The degrees to which a rung bends the knee.
fn bends(exercise: &Exercise, rung: &Rung) -> i64 {
    let demands = exercise.demands.iter();
    let flexion = demands.filter(|demand| demand.motion == Motion::Flexion);
    let peaks = flexion.map(|demand| match demand.peak {
        Peak::Fixed(degrees) => degrees.get(),
        Peak::OfRung => rung.range_degrees.map_or(0, Quantity::get),
    });
    peaks.max().unwrap_or(0)
}

fn asks<'a>(exercise: &'a Exercise, rung: &'a Rung, fact: Fact) -> impl Iterator<Item = &'a Test> {
    let tests = exercise.entry.iter().chain(&rung.entry);
    tests.filter(move |test| test.fact == fact)
}

#[test]
fn what_pushes_through_a_bent_leg_goes_by_the_loaded_band() {
    for procedure in PROCEDURES {
        let library = plain_library_of(procedure);
        let loading: BTreeSet<&TagId> = library.procedure.settings.loading_tags.iter().collect();
        let mut light = BTreeSet::new();
        for (exercise, rung) in rungs(&library) {
            let tags = tags(exercise, rung);
            let stood_on = exercise.demands.iter().any(|demand| {
                let pushes = demand
                    .tags
                    .iter()
                    .any(|tag| tag.as_str() == "active-extension");
                pushes && demand.weight_bearing > LegLoad::None
            });
            let one_leg = rung.weight_bearing == Some(LegLoad::SingleLeg);
            let loads = loading.iter().any(|tag| tags.contains(tag.as_str()));
            let named = any(
                &tags,
                &["squat", "step", "deep-lunge", "single-leg", "chair-rise"],
            );
            if LIGHT.contains(&exercise.id.as_str()) {
                light.insert(exercise.id.as_str());
            } else {
                let must = stood_on || one_leg || named || rung.loaded == YesNo::Yes;
                let fine = loads || rung.loaded == YesNo::Yes;
                assert!(!must || fine, "{procedure}: {} {}", exercise.id, rung.id);
            }
        }
        assert_eq!(light, LIGHT.into(), "{procedure}: these are there");
    }
}

#[test]
fn squats_steps_one_leg_and_weights_wait_until_the_leg_lifts_alone() {
    let mut seen = BTreeSet::new();
    for procedure in PROCEDURES {
        let library = plain_library_of(procedure);
        for (exercise, rung) in rungs(&library) {
            let tags = tags(exercise, rung);
            if !any(
                &tags,
                &["squat", "step", "single-leg", "resisted-extension"],
            ) {
                continue;
            }
            seen.insert(exercise.id.to_string());
            let alone = asks(exercise, rung, Fact::LegLift).any(|test| {
                matches!(&test.comparison, Comparison::Is(words)
                    if words.iter().all(|word| word.starts_with("alone-")))
            });
            assert!(alone, "{procedure}: {} {}: leg lift", exercise.id, rung.id);
            let deep = any(&tags, &["step", "single-leg"]) || bends(exercise, rung) > 30;
            let lag = asks(exercise, rung, Fact::Lag)
                .any(|test| matches!(test.comparison, Comparison::AtMost(most) if most <= 10));
            assert!(
                lag || !deep,
                "{procedure}: {} {}: lag",
                exercise.id,
                rung.id
            );
        }
        for day in [0, 3, 4, 30, 100] {
            let blank = library.procedure.when_blank(Fact::LegLift, Day::new(day));
            assert_eq!(blank, Some(MissingRule::Fail), "{procedure} day {day}");
        }
    }
    assert!(seen.len() >= 8, "{seen:?}");
}

#[test]
fn squeeze_and_assisted_raise_stay_while_the_leg_lags() {
    let library = plain_library_of("knee-total");
    for (id, exercise) in &library.exercises {
        let wakes = id.as_str() == "quad-set" || id.as_str() == "leg-raise-assisted";
        let stays = exercise
            .stay
            .iter()
            .any(|test| test.fact == Fact::Lag && test.comparison == Comparison::AtLeast(11));
        assert_eq!(wakes, stays, "{id}");
        let leaves = |test: &Test| {
            test.fact == Fact::Lag
                && matches!(test.comparison, Comparison::AtMost(most) if most <= 10)
        };
        assert!(!wakes || exercise.leave.iter().any(leaves), "{id}");
    }
}

#[test]
fn a_gentler_way_asks_for_no_more() {
    let library = plain_library_of("knee-total");
    let loading = &library.procedure.settings.loading_tags;
    let mut named = 0;
    for exercise in library.exercises.values() {
        for id in &exercise.gentler {
            named += 1;
            let other = &library.exercises[id];
            let first = tags(other, &other.rungs[0]);
            let own = tags(exercise, &exercise.rungs[0]);
            assert!(other.effort <= exercise.effort, "{} {id}", exercise.id);
            let loads =
                |tags: &BTreeSet<String>| loading.iter().any(|tag| tags.contains(tag.as_str()));
            assert!(loads(&own) || !loads(&first), "{} {id}", exercise.id);
            // A strap lifts part of a leg raise, but in a bend it pushes further.
            let helps = exercise.work == Work::Other;
            for push in ["other-leg-press", "strap-pull", "long-lever"] {
                let more = first.contains(push) && !own.contains(push);
                let more = more && !(helps && push == "strap-pull");
                assert!(!more, "{} {id}: {push}", exercise.id);
            }
        }
    }
    assert!(named > 20, "{named}");
}

#[test]
fn frail_hands_stay_on_and_both_feet_down() {
    for procedure in PROCEDURES {
        let library = plain_library_of(procedure);
        let forbidden: BTreeSet<String> = library
            .procedure
            .limits
            .iter()
            .filter(|limit| {
                let frail = matches!(&limit.when, When::Condition(id) if id.as_str() == "frail");
                let all_days = matches!(limit.span, LimitSpan::Days(window) if window.from.get() <= -90 && window.before.is_none());
                frail && all_days
            })
            .flat_map(|limit| match &limit.rule {
                LimitRule::Forbid(kinds) => kinds.tags.iter().map(ToString::to_string).collect(),
                LimitRule::Motion { .. } | LimitRule::AllOf(_) => Vec::new(),
            })
            .collect();
        for (exercise, rung) in rungs(&library) {
            let tags = tags(exercise, rung);
            let free = rung.support == Some(Support::None) && exercise.position != Position::Lying;
            let hands_off = free && tags.contains("chair-rise");
            let toe = rung
                .how
                .as_ref()
                .is_some_and(|how| how.as_str() == "heel-to-toe");
            let one_leg = tags.contains("single-leg");
            let barred = tags.iter().any(|tag| forbidden.contains(tag));
            let must = hands_off || toe || one_leg || exercise.id.as_str() == "line-walk";
            assert!(!must || barred, "{procedure}: {} {}", exercise.id, rung.id);
        }
    }
}

#[test]
fn walks_go_by_what_is_walked() {
    let library = plain_library_of("knee-total");
    let walks = library
        .exercises
        .values()
        .filter(|exercise| exercise.position == Position::Walking && exercise.row == Row::Daily);
    let timed =
        walks.filter(|exercise| exercise.rungs.len() > 1 && exercise.id.as_str() != "stairs");
    let walks: Vec<_> = timed.collect();
    assert_eq!(walks.len(), 1);
    assert_eq!(walks[0].reported, Some(Fact::WalkMinutes));
    let kept = walks[0].unreported_kept.iter();
    assert_eq!(kept.map(ToString::to_string).collect::<Vec<_>>(), ["frail"]);
}

#[test]
fn pain_over_five_after_the_operation_needs_a_calm_morning() {
    for procedure in PROCEDURES {
        for band in &plain_library_of(procedure).procedure.bands {
            let high = band.tolerable.get() > 5;
            let name = format!("{procedure}: {} from {:?}", band.work, band.window.from);
            assert_eq!(high, band.calm_after == YesNo::Yes, "{name}");
            assert!(!high || band.work != BandWork::Loaded, "{name}");
        }
    }
}
