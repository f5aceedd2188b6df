//! Questions about the person and the home that only a first visit asks in full.

use std::collections::BTreeSet;

use super::LANGUAGE;
use super::ask::{answered, ask, figures, line, then, ticks, words};
use super::written;
use crate::domain::ids::{EquipmentId, Id};
use crate::domain::library::Library;
use crate::domain::word::{Position, PrintNeed, Slot, Word, YesNo};
use crate::handout::model::form::{Answer, Choice, FormField};

/// The word that says a list is empty, which is not the same as blank.
const NONE: &str = "none";

/// Other conditions, each with the clinician's name for it.
pub(super) fn conditions(library: &Library) -> FormField {
    let known = library.procedure.conditions.iter();
    let mut choices: Vec<Choice> = known
        .map(|(id, name)| Choice {
            word: id.as_str().to_owned(),
            means: name.clone(),
        })
        .collect();
    choices.push(Choice {
        word: NONE.to_owned(),
        means: "asked, and none of these".to_owned(),
    });
    answered("Other conditions", "--conditions", Answer::List(choices)).must()
}

/// Positions they cannot take.
pub(super) fn positions() -> FormField {
    let positions = Position::ALL.iter().filter(|position| match position {
        Position::Lying
        | Position::SideLying
        | Position::Prone
        | Position::Sitting
        | Position::Standing => true,
        Position::Walking | Position::Bike => false,
    });
    let boxes = ticks(positions.map(|position| position.as_str()));
    ask(
        "Positions they cannot take",
        "--positions-no",
        then([boxes, ticks([NONE])]),
    )
}

/// What the home has, of all that any exercise of the library asks for.
pub(super) fn equipment(library: &Library) -> FormField {
    let known = known_equipment(library);
    ask(
        "What is there",
        "--equipment",
        then([ticks(written(&known)), ticks([NONE])]),
    )
}

/// Lists every thing that any exercise of the library asks for.
fn known_equipment(library: &Library) -> BTreeSet<EquipmentId> {
    let mut known = library.procedure.settings.kit_if_unasked.clone();
    for exercise in library.exercises.values() {
        known.extend(exercise.needs.iter().cloned());
        for rung in &exercise.rungs {
            known.extend(rung.needs.iter().cloned());
        }
        let make_do = exercise.words.get(LANGUAGE).map(|words| &words.make_do);
        known.extend(
            make_do
                .into_iter()
                .flat_map(|make_do| make_do.keys().cloned()),
        );
    }
    known
}

/// Stairs at home.
pub(super) fn stairs() -> FormField {
    ask("Stairs at home", "--stairs", words::<YesNo>())
}

/// The home.
pub(super) fn home() -> Vec<FormField> {
    let yes_no = |question, typed| ask(question, typed, words::<YesNo>());
    vec![
        yes_no("Lives alone", "--alone"),
        yes_no("Bed to lie on", "--bed"),
        yes_no("Floor and up safely", "--floor-safe"),
    ]
}

/// Needs of the printed page.
pub(super) fn print_needs() -> FormField {
    ask(
        "Printed page",
        "--needs",
        then([words::<PrintNeed>(), ticks([NONE])]),
    )
}

/// What may be asked when there is time.
pub(super) fn more() -> Vec<FormField> {
    vec![
        ask("Age at operation", "--age", figures(3, "")),
        ask("Height", "--height-cm", figures(3, "cm")),
        ask("Clinical frailty, 1 to 9", "--frailty", figures(1, "")),
        ask(
            "Takes any medicine for pain",
            "--pain-medicine",
            words::<YesNo>(),
        ),
        ask("Minutes a day they give", "--minutes", figures(3, "min")),
        ask("Times of day that suit", "--slots", words::<Slot>()),
        ask("Their own goal", "--goal", line()),
    ]
}
