//! What must hold once the answer to the last sheet was worse than settled.
//!
//! The answer is judged here again, from the bands and words of the procedure.

use banister::domain::exercise::Exercise;
use banister::domain::ids::{ExerciseId, RungId};
use banister::domain::procedure::RedFlag;
use banister::domain::record::{Issued, IssuedItem};
use banister::domain::recorded::Recorded;
use banister::domain::verdict::Item;
use banister::domain::word::{
    AdjustAction, BandWork, Did, Fact, FlagEffect, Morning, Response, Row, ScreenAnswer, Word,
    Work, YesNo,
};

use super::check::{Property, Wrong, counts, lines, times};
use super::course;
use super::eyes::Scene;
use super::world::number;

/// The last sheet of the same side of the operation.
pub fn last_sheet<'a>(scene: &Scene<'a>) -> Option<&'a Issued> {
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

/// How the body took one line of the last sheet.
struct Took {
    response: Response,
    /// Held back for its pain alone, in work that loads: nothing else is held back by it.
    alone: bool,
}

/// Says whether a rung loads the joint: with a weight or band, or by what it asks for.
pub fn loads(scene: &Scene<'_>, exercise: &Exercise, rung: &RungId) -> bool {
    let tags = &scene.library.procedure.settings.loading_tags;
    let found = exercise.rung(rung).map(|(_, rung)| rung);
    let mut asked = exercise.demands.iter().flat_map(|demand| &demand.tags);
    asked.any(|tag| tags.contains(tag))
        || found.is_some_and(|rung| {
            rung.loaded == YesNo::Yes || rung.tags.iter().any(|tag| tags.contains(tag))
        })
}

/// How bad the next morning was for one line; none when nobody recorded it.
fn by_morning(scene: &Scene<'_>, own: Option<Morning>) -> Option<Response> {
    let pain = &scene.visit.pain;
    let bad_mornings = matches!(pain.bad_mornings, Recorded::Yes(bad)
        if bad >= scene.library.procedure.settings.bounds.bad_mornings);
    if bad_mornings {
        return Some(Response::Overdone);
    }
    let waking = own.or_else(|| pain.morning.known());
    waking.and_then(|word| meaning(scene, Fact::Morning, word.as_str()))
}

/// How the body took one line of the last sheet; none when pain was not recorded and nothing else
/// was bad.
fn judge(scene: &Scene<'_>, exercise: &Exercise, item: &IssuedItem) -> Option<Took> {
    let loads = loads(scene, exercise, &item.rung);
    let work = match (loads, exercise.work) {
        (true, _) => BandWork::Loaded,
        (false, Work::Range) => BandWork::Range,
        (false, Work::Other) => BandWork::Other,
    };
    let visit = scene.visit;
    let day = scene.record.day(visit.date);
    let mut done = visit.done.iter();
    let done = done.find(|done| done.exercise == item.exercise);
    let pain = done
        .and_then(|done| done.during.known())
        .or(visit.pain.exercise.known());
    let morning = by_morning(scene, done.and_then(|done| done.morning.known()));
    let swelling = visit.swelling.known();
    let swelling = swelling.and_then(|word| meaning(scene, Fact::Swelling, word.as_str()));
    let after = morning.max(swelling);
    let bad = |response: Option<Response>| response > Some(Response::Settled);
    let mut bands = scene.library.procedure.bands.iter();
    let thresholds = bands.find(|row| row.work == work && row.window.holds(day));
    let by_pain = match (pain, thresholds) {
        (Some(pain), Some(of)) if pain <= of.settled => Some(Response::Settled),
        (Some(pain), Some(of)) if pain <= of.tolerable => {
            let calm = morning.is_some() && !bad(after);
            let over = of.calm_after == YesNo::Yes && !calm;
            Some(if over {
                Response::Overdone
            } else {
                Response::Tolerable
            })
        }
        (Some(_), Some(_)) => Some(Response::Overdone),
        _ => None,
    };
    let not_taken = visit.pain.medicine_before == Recorded::Yes(YesNo::No);
    let medicine_first = not_taken && bad(by_pain) && !bad(after);
    let pain_counts = if medicine_first {
        Some(Response::Tolerable)
    } else {
        by_pain
    };
    let worst = pain_counts.max(after);
    if by_pain.is_none() && !bad(worst) {
        return None;
    }
    let alone = loads && worst == Some(Response::Tolerable) && !bad(after) && !medicine_first;
    worst.map(|response| Took { response, alone })
}

/// Says whether the clinician's word of the visit speaks of an exercise.
pub fn has_the_word(scene: &Scene<'_>, exercise: &ExerciseId) -> bool {
    let mut words = scene.visit.adjust.iter();
    words.any(|word| word.exercise == *exercise)
}

/// The flag that narrows the program and counts as an answer that was not settled.
fn narrowed<'a>(scene: &Scene<'a>) -> Option<&'a RedFlag> {
    let flags = scene.library.procedure.red_flags.iter();
    let mut raised = flags.filter(|flag| {
        flag.effect != FlagEffect::Withhold
            && flag.only_if_before.is_none()
            && scene.screened(&flag.id) == Some(ScreenAnswer::Yes)
    });
    raised.next()
}

/// Says whether every flag that narrows the program calls for an exercise.
fn called_for(scene: &Scene<'_>, exercise: &Exercise) -> bool {
    let flags = scene.library.procedure.red_flags.iter();
    let mut narrowing = flags.filter(|flag| {
        flag.effect != FlagEffect::Withhold && scene.screened(&flag.id) == Some(ScreenAnswer::Yes)
    });
    narrowing.all(|flag| flag.calls_for.contains(&exercise.id))
}

/// A first sheet under a flag that narrows it holds gentle work, each line at its first rung.
pub fn first_under_a_flag(scene: &Scene<'_>, wrong: &mut Vec<Wrong>) {
    if narrowed(scene).is_none() || last_sheet(scene).is_some() {
        return;
    }
    let most = scene.library.procedure.settings.bounds.gentle_effort;
    for item in &scene.program.items {
        let exercise = &scene.library.exercises[&item.exercise];
        let gentle = exercise.effort <= most || called_for(scene, exercise);
        let first = exercise
            .rungs
            .first()
            .is_some_and(|rung| rung.id == item.rung);
        let begins = gentle && first && item.next.is_empty();
        if !asked_for(scene, exercise) && !begins {
            let what = format!("{} at {} on a first sheet", item.exercise, item.rung);
            wrong.push((Property::NothingNewOrHigher, what));
        }
    }
}

/// Says whether the clinician's word keeps it on the sheet.
fn asked_for(scene: &Scene<'_>, exercise: &Exercise) -> bool {
    scene.visit.adjust.iter().any(|word| {
        let asks = matches!(word.action, AdjustAction::Set | AdjustAction::Add);
        word.exercise == exercise.id && asks
    })
}

/// Nothing new, no higher rung and no higher dose after an answer that was worse than settled.
pub fn worse_than_settled(scene: &Scene<'_>, wrong: &mut Vec<Wrong>) {
    let Some(last) = last_sheet(scene) else {
        return;
    };
    let given = last.items.iter().filter_map(|item| {
        let exercise = scene.library.exercises.get(&item.exercise)?;
        let took = judge(scene, exercise, item);
        took.filter(|_| exercise.row == Row::Exercise)
    });
    let given: Vec<Took> = given.collect();
    let worst = |alone: bool| {
        let counted = given.iter().filter(|took| alone || !took.alone);
        counted.map(|took| took.response).max()
    };
    let (overall, beside) = (worst(true), worst(false));
    if overall != scene.program.response.known() {
        let what = format!("heard {:?}, not {overall:?}", scene.program.response);
        wrong.push((Property::NothingNewOrHigher, what));
    }
    let flag = narrowed(scene);
    let nothing_done = scene.visit.did == Recorded::Yes(Did::None);
    let held = |response: Option<Response>| response > Some(Response::Settled) || flag.is_some();
    if !held(overall) && !nothing_done {
        return;
    }
    let closed = Closed {
        flag: flag.is_some(),
        overdone: overall == Some(Response::Overdone),
        nothing_done,
        tolerable: overall == Some(Response::Tolerable),
    };
    for item in lines(scene.program) {
        let exercise = &scene.library.exercises[&item.exercise];
        if exercise.row == Row::Advice || asked_for(scene, exercise) {
            continue;
        }
        let mut known = last.items.iter();
        let what = match known.find(|line| line.exercise == item.exercise) {
            Some(line) => {
                let loads = loads(scene, exercise, &line.rung);
                let held = held(if loads { overall } else { beside });
                let ahead = (!item.next.is_empty()).then(|| "rungs ahead".to_owned());
                let what = higher(scene, exercise, item, line, flag.is_some());
                what.or(ahead).filter(|_| held)
            }
            None => new(scene, exercise, last, &closed),
        };
        if let Some(what) = what {
            let what = format!("{}: {what}", item.exercise);
            wrong.push((Property::NothingNewOrHigher, what));
        }
    }
}

/// What keeps anything new off the sheet.
#[allow(
    clippy::struct_excessive_bools,
    reason = "each may hold beside the others"
)]
struct Closed {
    flag: bool,
    overdone: bool,
    nothing_done: bool,
    tolerable: bool,
}

/// Says what is higher than on the last sheet; early range work may be asked for more often.
fn higher(
    scene: &Scene<'_>,
    exercise: &Exercise,
    item: &Item,
    last: &IssuedItem,
    narrowed: bool,
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
    let spared = day < early || course::past_a_line(scene, exercise);
    let protected = range && spared && !narrowed;
    let more = own.iter().zip(most).any(|(own, most)| *own > most) && !protected;
    let heavier = number(item.dose.load_g) > number(last.dose.load_g);
    let oftener = times(&item.dose) > times(&last.dose) && (!range || narrowed);
    (more || heavier || oftener).then(|| format!("{own:?} after {most:?}, or heavier or oftener"))
}

/// Says why something new may not stand here.
fn new(scene: &Scene<'_>, exercise: &Exercise, last: &Issued, closed: &Closed) -> Option<String> {
    let gentler = last.items.iter().any(|line| {
        let old = &scene.library.exercises[&line.exercise];
        let gone = lines(scene.program).all(|item| item.exercise != line.exercise);
        gone && old.gentler.contains(&exercise.id)
    });
    let range = exercise.work == Work::Range;
    let why = if closed.flag {
        (!called_for(scene, exercise)).then_some("new under a red flag")
    } else if closed.overdone {
        (!gentler).then_some("new after too much")
    } else if closed.nothing_done {
        (!range).then_some("new when nothing was done")
    } else {
        (closed.tolerable && !range && !gentler).then_some("new after a tolerable answer")
    };
    why.map(str::to_owned)
}
