//! The form of a follow-up visit: about ten answers, in the order a visit goes.

use super::ask::{ask, date, figures, line, say, then, ticks, words};
use super::section;
use super::signs::{NOTE, screen};
use crate::domain::library::Library;
use crate::domain::word::{Did, Fact, How, LegLift, Morning, Swelling, WalkingAid, YesNo};
use crate::handout::model::form::{FormField, FormSection, Part};

/// Who, when and how: the same on every form of a visit.
pub(super) fn head() -> Vec<FormField> {
    vec![
        ask("Record", "RECORD", line()).must(),
        ask("Date of visit", "--date", date()).must(),
        ask("How", "--phone", words::<How>()),
        ask("Held by", "--by", line()).must(),
    ]
}

/// Makes the questions.
pub(super) fn sections(library: &Library) -> Vec<FormSection> {
    let mut answers = since(library);
    answers.extend(today(library));
    vec![
        section("Signs", Some(NOTE), vec![screen(library)]),
        section(
            "Since the last sheet, and today (no.: number on that sheet)",
            None,
            answers,
        ),
    ]
}

fn since(library: &Library) -> Vec<FormField> {
    vec![
        ask("Last sheet done", "--did", words::<Did>()).by_phone(),
        ask("Not done", "--done", numbers()).by_phone(),
        worst_pain().by_phone(),
        medicine().by_phone(),
        rest_pain().by_phone(),
        ask("Next morning", "--morning", words::<Morning>()).by_phone(),
        ask("Bad mornings of 3", "--bad-mornings", figures(1, "")).by_phone(),
        swelling(library).by_phone(),
    ]
}

/// A line for the numbers that exercises have on the sheet.
fn numbers() -> Vec<Part> {
    then([say("no."), line()])
}

fn today(library: &Library) -> Vec<FormField> {
    let mut fields = measures();
    fields.extend([
        lag(),
        ask("Stance, hands on", "--stance-s", figures(2, "s")),
        leg_lift(),
        ask("Limps", "--limp", words::<YesNo>()).by_phone(),
        walks_with().by_phone(),
        ask("Walked a day", "--walk-minutes", figures(3, "min")),
        stairs_practised(),
        ask("Keep changes", "--keep-changes", words::<YesNo>()),
        ask("Done well", "--seen", numbers()),
        ask("Corrected", "--corrected", numbers()),
        ask("Not well", "--not-well", numbers()),
        block_gone(library),
        ask("New: person or home", "--conditions --equipment", line()).by_phone(),
        next_visit().by_phone(),
    ]);
    fields
}

/// Pain at rest.
pub(super) fn rest_pain() -> FormField {
    ask("Pain at rest 0\u{2013}10", "--pain-rest", figures(2, ""))
}

/// Worst pain in exercise.
pub(super) fn worst_pain() -> FormField {
    ask("Worst pain 0\u{2013}10", "--pain", figures(2, ""))
}

fn medicine() -> FormField {
    ask(
        "Over 5: medicine first?",
        "--medicine-before",
        words::<YesNo>(),
    )
}

/// Swelling, needed from the day the library says.
pub(super) fn swelling(library: &Library) -> FormField {
    ask("Swelling", "--swelling", words::<Swelling>()).must_on_its_days(library, Fact::Swelling)
}

/// Bend and straight.
pub(super) fn measures() -> Vec<FormField> {
    let deficit = then([ticks(["minus"]), figures(2, "\u{b0}")]);
    vec![
        ask("Bend", "--flexion", figures(3, "\u{b0}")),
        ask("Short of straight", "--extension-deficit", deficit),
    ]
}

/// How the leg lifts.
pub(super) fn leg_lift() -> FormField {
    ask("Leg lift", "--leg-lift", words::<LegLift>())
}

/// Lag.
pub(super) fn lag() -> FormField {
    ask("Lag", "--lag", figures(2, "\u{b0}"))
}

/// Whether the block has gone, needed on the days the library says.
pub(super) fn block_gone(library: &Library) -> FormField {
    ask("Block gone, leg holds", "--block-gone", words::<YesNo>())
        .must_on_its_days(library, Fact::BlockGone)
}

/// What they walk with.
pub(super) fn walks_with() -> FormField {
    ask("Walks with", "--walking-aid", words::<WalkingAid>())
}

/// Stairs practised.
pub(super) fn stairs_practised() -> FormField {
    ask("Stairs practised", "--stairs-practised", words::<YesNo>())
}

/// Next visit.
pub(super) fn next_visit() -> FormField {
    let parts: Vec<Part> = then([date(), ticks(["none", "unknown"])]);
    ask("Next visit", "--next-visit", parts)
}
