//! Changes to the sheet: each with its reason, each decided on anew by the engine.
//!
//! What a hard limit forbids stays out, whatever is typed.

use crate::domain::ids::{ExerciseId, RungId, SetId};
use crate::domain::line::check;
use crate::domain::record::Adjust;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Program, Verdict};
use crate::domain::word::AdjustAction;
use crate::handout::explain::reason;

use super::super::super::error::CliError;
use super::super::super::pending::Pending;
use super::super::ask::plain;
use super::super::terminal::{Desk, Said};
use super::keys::Wanted;
use super::{Screen, look};

/// Makes a change and decides anew; none when nothing came of it.
pub(super) fn change(
    desk: &mut dyn Desk,
    pending: &mut Pending,
    screen: &Screen,
    wanted: Wanted,
) -> Result<Option<Screen>, CliError> {
    if screen.shown.is_none() {
        desk.tell("  there is no program to change");
        return Ok(None);
    }
    let before = pending.adjusts.clone();
    let kept_before = kept(pending);
    let words = words(desk, pending, screen, wanted)?;
    for word in &words {
        pending
            .adjusts
            .retain(|earlier| earlier.exercise != word.exercise);
        pending.adjusts.push(word.clone());
    }
    if pending.adjusts == before && kept_before == kept(pending) {
        desk.tell("  nothing was changed");
        return Ok(None);
    }
    let next = look(pending)?;
    let refused: Vec<(&Adjust, String)> = words
        .iter()
        .filter_map(|word| Some((word, not_done(&next.verdict, word)?)))
        .collect();
    if refused.is_empty() {
        return Ok(Some(next));
    }
    for (word, why) in refused {
        desk.tell(&format!("  {why}"));
        put_back(pending, word, &before);
    }
    if pending.adjusts == before {
        return Ok(None);
    }
    look(pending).map(Some)
}

/// Puts a change into the clinician's words, reasons asked; none when it was thought better of.
fn words(
    desk: &mut dyn Desk,
    pending: &mut Pending,
    screen: &Screen,
    wanted: Wanted,
) -> Result<Vec<Adjust>, CliError> {
    match wanted {
        Wanted::Usual => Ok(usual_words(pending, screen)),
        Wanted::AsDecided(exercise) => Ok(pending.take_word_back(&exercise)),
        Wanted::LeaveOut(exercise) => one(desk, pending, exercise, AdjustAction::LeaveOut, None),
        Wanted::Add(exercise) => {
            set_aside(desk, screen, &exercise);
            one(desk, pending, exercise, AdjustAction::Add, None)
        }
        Wanted::Set(exercise, rung) => {
            set_aside(desk, screen, &exercise);
            one(desk, pending, exercise, AdjustAction::Set, Some(rung))
        }
    }
}

/// Adds what this sheet has not of the clinic's usual set.
fn usual_words(pending: &Pending, screen: &Screen) -> Vec<Adjust> {
    let Some((set, missing)) = usual(pending, screen) else {
        return Vec::new();
    };
    let because = format!("usual set {set}");
    let add = |id: ExerciseId| adjust(pending, id, AdjustAction::Add, None, &because);
    missing.into_iter().map(add).collect()
}

/// Counts the changes kept from last time.
fn kept(pending: &Pending) -> usize {
    let visit = pending.visit.as_ref();
    visit.map_or(0, |visit| visit.adjust.len())
}

/// Puts what was said of an exercise before in the place of a change that came to nothing.
fn put_back(pending: &mut Pending, change: &Adjust, before: &[Adjust]) {
    let earlier = before.iter().find(|old| old.exercise == change.exercise);
    pending
        .adjusts
        .retain(|made| made.exercise != change.exercise);
    pending.adjusts.extend(earlier.cloned());
}

/// Says why the exercise is not on the sheet as it stands: the clinician's word sets that aside.
fn set_aside(desk: &mut dyn Desk, screen: &Screen, exercise: &ExerciseId) {
    let Verdict::Program(program) = &screen.verdict else {
        return;
    };
    let left = program
        .left_out
        .iter()
        .find(|left| left.exercise == *exercise);
    if let Some(left) = left {
        let why = reason(&left.reason);
        desk.tell(&format!(
            "  {exercise} is not on the sheet: {why}. Your word sets that aside, but no hard limit."
        ));
    }
}

/// Asks for the reason of one change; none when the person thought better of it.
fn one(
    desk: &mut dyn Desk,
    pending: &Pending,
    exercise: ExerciseId,
    action: AdjustAction,
    rung: Option<RungId>,
) -> Result<Vec<Adjust>, CliError> {
    let mut typed = String::new();
    loop {
        let line = match desk.ask(&format!("Why, {exercise} (< takes it back): "), &typed)? {
            Said::Line(line) => line,
            Said::Interrupted | Said::End => return Ok(Vec::new()),
        };
        let because = line.trim();
        if because == "<" {
            return Ok(Vec::new());
        }
        if let Err(why) = check(because) {
            desk.tell(&format!(
                "  a change needs its reason, which {why}; < takes the change back"
            ));
            typed = plain(&line);
            continue;
        }
        return Ok(vec![adjust(pending, exercise, action, rung, because)]);
    }
}

fn adjust(
    pending: &Pending,
    exercise: ExerciseId,
    action: AdjustAction,
    rung: Option<RungId>,
    because: &str,
) -> Adjust {
    let by = match &pending.visit {
        Some(visit) => visit.by.clone(),
        None => pending
            .opened
            .record
            .visits
            .last()
            .map_or(String::new(), |visit| visit.by.clone()),
    };
    Adjust {
        exercise,
        action,
        rung: rung.into(),
        because: because.to_owned(),
        by,
    }
}

/// Says why the engine did not do what was asked, if it did not.
fn not_done(verdict: &Verdict, change: &Adjust) -> Option<String> {
    let Verdict::Program(program) = verdict else {
        return None;
    };
    let left = program
        .left_out
        .iter()
        .find(|left| left.exercise == change.exercise);
    match (change.action, left) {
        (AdjustAction::LeaveOut | AdjustAction::AsDecided, _) => None,
        (AdjustAction::Set | AdjustAction::Add, Some(left)) => Some(format!(
            "{} cannot be given: {}. Nothing was changed.",
            change.exercise,
            reason(&left.reason)
        )),
        (AdjustAction::Set | AdjustAction::Add, None) => other_rung(program, change),
    }
}

/// Says that a lower rung than the one asked for is given.
fn other_rung(program: &Program, change: &Adjust) -> Option<String> {
    let Recorded::Yes(asked) = &change.rung else {
        return None;
    };
    let all = program
        .items
        .iter()
        .chain(&program.daily)
        .chain(&program.background);
    let item = all
        .into_iter()
        .find(|item| item.exercise == change.exercise)?;
    (item.rung != *asked).then(|| {
        format!(
            "{} is not given at {asked} but at {}: w says why. Nothing was changed.",
            change.exercise, item.rung
        )
    })
}

/// Finds the clinic's usual set for the day and what this sheet has not of it.
pub(super) fn usual(pending: &Pending, screen: &Screen) -> Option<(SetId, Vec<ExerciseId>)> {
    let Verdict::Program(program) = &screen.verdict else {
        return None;
    };
    let library = &pending.opened.library;
    let set = library
        .clinic
        .usual_sets
        .iter()
        .find(|set| set.procedure == library.procedure.id && set.window.holds(program.day))?;
    let given = |id: &&ExerciseId| program.items.iter().any(|item| item.exercise == **id);
    let missing: Vec<ExerciseId> = set
        .exercises
        .iter()
        .filter(|id| !given(id))
        .cloned()
        .collect();
    (!missing.is_empty()).then(|| (set.id.clone(), missing))
}

/// Says what of the usual set this sheet has not.
pub(super) fn usual_line(pending: &Pending, screen: &Screen) -> Option<String> {
    let (set, missing) = usual(pending, screen)?;
    let names: Vec<String> = missing.iter().map(ToString::to_string).collect();
    Some(format!(
        "Usual set {set}: not on this sheet: {} (u adds it)",
        names.join(", ")
    ))
}
