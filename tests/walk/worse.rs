//! What must hold once a knee is worse than last time, or a block still works.
//!
//! Measures are read from the visits themselves, and lines from the procedure.

use banister::domain::exercise::Exercise;
use banister::domain::ids::RungId;
use banister::domain::procedure::{Review, ReviewLine};
use banister::domain::quantity::Quantity;
use banister::domain::record::Visit;
use banister::domain::recorded::Recorded;
use banister::domain::word::{Fact, Position, Row, Work, YesNo};

use super::after::{has_the_word, last_sheet, loads};
use super::check::{Property, Wrong, lines};
use super::eyes::Scene;

/// What a visit measured, in whole numbers.
fn measured(visit: &Visit, fact: Fact) -> Option<i64> {
    let angle = |value: Recorded<banister::domain::quantity::Degrees>| match value {
        Recorded::Yes(value) => Some(value.get()),
        Recorded::NotRecorded => None,
    };
    match fact {
        Fact::Flexion => angle(visit.measured.flexion),
        Fact::ExtensionDeficit => angle(visit.measured.extension_deficit),
        Fact::Lag => angle(visit.measured.lag),
        Fact::RestPain => visit.pain.rest.known().map(Quantity::get),
        _ => None,
    }
}

/// Visits before this one on the same side of the operation, the latest first.
fn earlier<'a>(scene: &Scene<'a>) -> impl Iterator<Item = &'a Visit> {
    let before = |visit: &Visit| scene.record.day(visit.date).get() < 0;
    let now = before(scene.visit);
    let visits = scene.record.visits.iter().rev().skip(1);
    let same = visits.filter(|visit| before(visit) == now);
    same.collect::<Vec<_>>().into_iter()
}

/// What a fact was before: when it was last known, and as long as a measure still counts.
fn before(scene: &Scene<'_>, fact: Fact) -> Vec<i64> {
    let most = scene.library.procedure.settings.last_value_days.get();
    let told = earlier(scene).filter_map(|visit| {
        let ago = (scene.visit.date - visit.date).num_days();
        Some((ago, measured(visit, fact)?))
    });
    let counts = told
        .enumerate()
        .filter(|(at, (ago, _))| *at == 0 || *ago <= most);
    counts.map(|(_, (_, value))| value).collect()
}

/// Says whether a line is crossed by what was measured today.
fn crossed(scene: &Scene<'_>, review: &Review) -> bool {
    let Some(now) = measured(scene.visit, review.fact) else {
        return false;
    };
    let then = before(scene, review.fact);
    let best = then.iter().max();
    let least = then.iter().min();
    review.window.holds(scene.record.day(scene.visit.date))
        && match review.line {
            ReviewLine::Fell(by) => best.is_some_and(|then| then - now >= by),
            ReviewLine::Rose(by) => least.is_some_and(|then| now - then >= by),
            ReviewLine::Above(line) => now > line,
            ReviewLine::Below(line) => now < line,
            ReviewLine::NoGain { .. } => false,
        }
}

/// Everything but motion stands where it stood while a line is crossed that keeps it, and nothing
/// new loads the knee or stands on it.
pub fn keeps(scene: &Scene<'_>, wrong: &mut Vec<Wrong>) {
    let mut reviews = scene.library.procedure.reviews.iter();
    if !reviews.any(|review| review.keeps == YesNo::Yes && crossed(scene, review)) {
        return;
    }
    for item in lines(scene.program) {
        let exercise = &scene.library.exercises[&item.exercise];
        if exercise.row == Row::Advice || has_the_word(scene, &item.exercise) {
            continue;
        }
        let last = last_place(scene, exercise);
        let next = item.next.iter().map(|next| &next.rung);
        for (at, rung) in next.chain([&item.rung]).filter_map(|id| exercise.rung(id)) {
            if is_more(scene, exercise, (at, &rung.id), last) {
                let what = format!("{} at {}: the knee is worse", item.exercise, rung.id);
                wrong.push((Property::WorseKeeps, what));
            }
        }
    }
}

/// Where an exercise stood on the last sheet.
fn last_place(scene: &Scene<'_>, exercise: &Exercise) -> Option<usize> {
    let mut items = last_sheet(scene)?.items.iter();
    let last = items.find(|last| last.exercise == exercise.id)?;
    exercise.rung(&last.rung).map(|(at, _)| at)
}

/// Says whether a rung is more than a knee that is worse may do.
fn is_more(
    scene: &Scene<'_>,
    exercise: &Exercise,
    (at, rung): (usize, &RungId),
    last: Option<usize>,
) -> bool {
    let loads = loads(scene, exercise, rung);
    if let Some(last) = last {
        return at > last && (loads || exercise.work != Work::Range);
    }
    let feet = matches!(exercise.position, Position::Standing | Position::Walking);
    exercise.row == Row::Exercise && (loads || feet)
}

/// A block that still worked when it was last asked about holds until a visit says it is gone.
pub fn block(scene: &Scene<'_>, wrong: &mut Vec<Wrong>) {
    let own = std::iter::once(scene.visit);
    let told = own
        .chain(earlier(scene))
        .find_map(|visit| visit.block_gone.known());
    if told != Some(YesNo::No) || scene.record.day(scene.visit.date).get() < 0 {
        return;
    }
    let barred = ["standing", "step", "balance", "bike"];
    for item in lines(scene.program) {
        let exercise = &scene.library.exercises[&item.exercise];
        let mut tags = exercise.demands.iter().flat_map(|demand| &demand.tags);
        if tags.any(|tag| barred.contains(&tag.to_string().as_str())) {
            let what = format!("{}: the block still works", item.exercise);
            wrong.push((Property::WorseKeeps, what));
        }
    }
}
