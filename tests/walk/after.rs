//! What must hold once the answer to the last sheet was worse than settled.
//!
//! The answer is judged here again, from the bands and words of the procedure.

use banister::domain::exercise::Exercise;
use banister::domain::quantity::Quantity;
use banister::domain::record::{Issued, IssuedItem};
use banister::domain::recorded::Recorded;
use banister::domain::verdict::Item;
use banister::domain::word::{
    AdjustAction, BandWork, Fact, FlagEffect, Response, Row, ScreenAnswer, Word, Work, YesNo,
};

use super::check::{Property, Wrong, counts, lines, times};
use super::eyes::{self, Scene};
use super::world::number;

/// The last sheet of the same side of the operation.
fn last_sheet<'a>(scene: &Scene<'a>) -> Option<&'a Issued> {
    let earlier = scene.record.visits.iter().rev().skip(1);
    let before = |day: i64| day < 0;
    let now = scene.record.day(scene.visit.date).get();
    earlier
        .filter(|visit| before(scene.record.day(visit.date).get()) == before(now))
        .find_map(|visit| {
            visit
                .issued
                .as_ref()
                .filter(|issued| issued.phase.is_some())
        })
}

fn meaning(scene: &Scene<'_>, sign: Fact, word: &str) -> Option<Response> {
    let answers = &scene.library.procedure.answers;
    let found = answers
        .iter()
        .find(|row| row.sign == sign && row.word == word);
    found.map(|row| row.means)
}

/// How the body took one line of the last sheet; none when pain was not recorded and nothing else
/// was bad.
fn judge(scene: &Scene<'_>, exercise: &Exercise, item: &IssuedItem) -> Option<Response> {
    let loaded = exercise
        .rung(&item.rung)
        .is_some_and(|(_, rung)| rung.loaded == YesNo::Yes);
    let work = match (loaded, exercise.work) {
        (true, _) => BandWork::Loaded,
        (false, Work::Range) => BandWork::Range,
        (false, Work::Other) => BandWork::Other,
    };
    let visit = scene.visit;
    let day = scene.record.day(visit.date);
    let done = visit
        .done
        .iter()
        .find(|done| done.exercise == item.exercise);
    let pain = match done.map(|done| done.during) {
        Some(Recorded::Yes(own)) => Some(own),
        _ => visit.pain.exercise.known(),
    };
    let mut bands = scene.library.procedure.bands.iter();
    let thresholds = bands.find(|row| row.work == work && row.window.holds(day));
    let by_pain = match (pain, thresholds) {
        (Some(pain), Some(of)) if pain <= of.settled => Some(Response::Settled),
        (Some(pain), Some(of)) if pain <= of.tolerable => Some(Response::Tolerable),
        (Some(_), Some(_)) => Some(Response::Overdone),
        _ => None,
    };
    let waking = match done.map(|done| done.morning) {
        Some(Recorded::Yes(own)) => Some(own),
        _ => visit.pain.morning.known(),
    };
    let bad_mornings = matches!(visit.pain.bad_mornings, Recorded::Yes(bad)
        if bad >= scene.library.procedure.settings.bounds.bad_mornings);
    let by_morning = if bad_mornings {
        Some(Response::Overdone)
    } else {
        waking.and_then(|word| meaning(scene, Fact::Morning, word.as_str()))
    };
    let swelling = visit.swelling.known();
    let by_swelling = swelling.and_then(|word| meaning(scene, Fact::Swelling, word.as_str()));
    let after = by_morning.max(by_swelling);
    let bad = |response: Option<Response>| response > Some(Response::Settled);
    let not_taken = visit.pain.medicine_before == Recorded::Yes(YesNo::No);
    let pain_counts = match by_pain {
        Some(_) if not_taken && bad(by_pain) && !bad(after) => Some(Response::Tolerable),
        other => other,
    };
    let worst = pain_counts.max(after);
    if by_pain.is_none() && !bad(worst) {
        None
    } else {
        worst
    }
}

/// A flag that narrows the program counts as an answer that was not settled.
fn narrowed(scene: &Scene<'_>) -> bool {
    scene.library.procedure.red_flags.iter().any(|flag| {
        flag.effect == FlagEffect::Restrict
            && flag.only_if_before.is_none()
            && scene.screened(&flag.id) == Some(ScreenAnswer::Yes)
            && !eyes::assessed(scene.record, scene.visit, flag)
    })
}

/// Nothing new, no higher rung and no higher dose after an answer that was worse than settled.
pub fn worse_than_settled(scene: &Scene<'_>, wrong: &mut Vec<Wrong>) {
    let Some(last) = last_sheet(scene) else {
        return;
    };
    let given = last.items.iter().filter_map(|item| {
        let exercise = scene.library.exercises.get(&item.exercise)?;
        (exercise.row == Row::Exercise).then(|| judge(scene, exercise, item))
    });
    let overall = given.max().flatten();
    if overall != scene.program.response.known() {
        let what = format!("heard {:?}, not {overall:?}", scene.program.response);
        wrong.push((Property::NothingNewOrHigher, what));
    }
    if overall <= Some(Response::Settled) && !narrowed(scene) {
        return;
    }
    for item in lines(scene.program) {
        let exercise = &scene.library.exercises[&item.exercise];
        let word = scene.visit.adjust.iter().any(|word| {
            let asks = matches!(word.action, AdjustAction::Set | AdjustAction::Add);
            word.exercise == item.exercise && asks
        });
        if exercise.row == Row::Advice || word {
            continue;
        }
        let what = match last
            .items
            .iter()
            .find(|line| line.exercise == item.exercise)
        {
            Some(line) => higher(scene, exercise, item, line),
            None => new(scene, exercise, last),
        };
        let what = what.or_else(|| (!item.next.is_empty()).then(|| "rungs ahead".to_owned()));
        if let Some(what) = what {
            let what = format!("{}: {what}", item.exercise);
            wrong.push((Property::NothingNewOrHigher, what));
        }
    }
}

/// Says what is higher than on the last sheet; early range work may be asked for more often.
fn higher(
    scene: &Scene<'_>,
    exercise: &Exercise,
    item: &Item,
    last: &IssuedItem,
) -> Option<String> {
    let (now, _) = exercise.rung(&item.rung)?;
    let (then, _) = exercise.rung(&last.rung)?;
    if now > then {
        return Some(format!("{} after {}", item.rung, last.rung));
    }
    if item.dose.how != last.dose.how {
        return None;
    }
    let (own, most) = (counts(item.dose.amount), counts(last.dose.amount));
    let early = scene.library.procedure.settings.range_protected_before;
    let day = scene.record.day(scene.visit.date);
    let range = exercise.work == Work::Range;
    let protected = range && day < early;
    let more = own.iter().zip(most).any(|(own, most)| *own > most) && !protected;
    let heavier = number(item.dose.load_g) > number(last.dose.load_g);
    let oftener = times(&item.dose) > times(&last.dose) && !range;
    (more || heavier || oftener).then(|| format!("{own:?} after {most:?}, or heavier or oftener"))
}

/// Says whether something new may not stand here: only range work and a gentler swap may.
fn new(scene: &Scene<'_>, exercise: &Exercise, last: &Issued) -> Option<String> {
    let swap = last.items.iter().any(|line| {
        let old = &scene.library.exercises[&line.exercise];
        let gone = lines(scene.program).all(|item| item.exercise != line.exercise);
        gone && old.swaps.contains(&exercise.id) && exercise.effort.get() < old.effort.get()
    });
    (exercise.work != Work::Range && !swap).then(|| "new".to_owned())
}
