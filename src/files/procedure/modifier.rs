//! Reads modifiers, which only ever lower a dose or add support and rest.

use std::collections::BTreeSet;

use crate::domain::ids::{ExerciseId, ModifierId};
use crate::domain::limit::{Modifier, When};
use crate::domain::quantity::{
    Centimetres, Grams, HoldSeconds, Items, Minutes, Percent, RestSeconds, Sets, TimesADay,
};
use crate::domain::word::{Support, YesNo};

use super::super::kind::{Keys, may, need};
use super::super::reader::TableReader;
use super::super::reading::Link;
use super::super::values::At;
use super::{SOURCE, once};

pub(super) static MODIFIER: Keys = Keys {
    what: "a modifier",
    keys: &[
        need::<ModifierId>("id", "Its id."),
        need::<When>("when", "What brings it into force."),
        may::<Vec<ExerciseId>>("exercises", "Only these exercises; missing is all."),
        may::<Percent>(
            "repetitions_percent",
            "Repetitions times this, rounded down.",
        ),
        may::<Sets>("sets_at_most", "Never more sets."),
        may::<HoldSeconds>("hold_s_at_most", "Never a longer hold."),
        may::<RestSeconds>("rest_s_at_least", "Never a shorter rest between sets."),
        may::<Minutes>("minutes_at_most", "Never more minutes."),
        may::<Grams>("load_g_at_most", "Never more weight."),
        may::<Centimetres>("height_cm_at_most", "Never a higher step."),
        may::<Support>("support_at_least", "Never less hand support."),
        may::<TimesADay>("times_at_most", "Never more often."),
        may::<Items>("max_items", "Never more items on the sheet."),
        may::<YesNo>(
            "look_ahead",
            "`no`: no rung ahead is shown and no stage, somebody must look first.",
        ),
        SOURCE,
    ],
};

/// Reads every modifier.
pub(super) fn all(table: &mut TableReader<'_>) -> Vec<Modifier> {
    let modifiers = table.tables("modifier", &MODIFIER, |table| Some(modifier(table)));
    once(table, "modifier", modifiers)
}

fn modifier(table: &mut TableReader<'_>) -> (Option<At<ModifierId>>, Option<Modifier>) {
    let id = table.need::<At<ModifierId>>("id");
    let when = table.need("when");
    let exercises = exercises(table);
    let repetitions_percent = table.may("repetitions_percent");
    let sets_at_most = table.may("sets_at_most");
    let hold_s_at_most = table.may("hold_s_at_most");
    let rest_s_at_least = table.may("rest_s_at_least");
    let minutes_at_most = table.may("minutes_at_most");
    let load_g_at_most = table.may("load_g_at_most");
    let height_cm_at_most = table.may("height_cm_at_most");
    let support_at_least = table.may("support_at_least");
    let times_at_most = table.may("times_at_most");
    let max_items = table.may("max_items");
    let look_ahead = table.may("look_ahead");
    let source = table.need_source();
    let origin = table.at().origin();
    let modifier = || {
        Some(Modifier {
            id: id.as_ref()?.value.clone(),
            when: when?,
            exercises,
            repetitions_percent,
            sets_at_most,
            hold_s_at_most,
            rest_s_at_least,
            minutes_at_most,
            load_g_at_most,
            height_cm_at_most,
            support_at_least,
            times_at_most,
            max_items,
            look_ahead,
            source: source?,
            origin,
        })
    };
    let modifier = modifier();
    (id, modifier)
}

fn exercises(table: &mut TableReader<'_>) -> BTreeSet<ExerciseId> {
    let all = table
        .may::<Vec<At<ExerciseId>>>("exercises")
        .unwrap_or_default();
    for exercise in &all {
        let link = Link::Exercise(exercise.value.clone());
        table.reading().link(link, exercise.at.clone());
    }
    all.into_iter().map(|exercise| exercise.value).collect()
}
