//! Reads what was done of the last sheet and the clinician's own word, exercise by exercise.

use std::collections::BTreeMap;

use crate::domain::ids::{ExerciseId, PhaseId, RungId};
use crate::domain::quantity::PainScore;
use crate::domain::record::{Adjust, Done, PhaseSet};
use crate::domain::recorded::Recorded;
use crate::domain::word::{AdjustAction, Morning, Seen};

use super::super::codes::Code;
use super::super::kind::{Keys, Kind, may, may_as, need};
use super::super::problem::Problem;
use super::super::reader::{TableReader, each_once};
use super::super::values::{At, Whole};
use super::known::Known;
use super::recorded;

type TimesDone = Whole<0, 2000>;
type TimesAsked = Whole<1, 2000>;

/// Keys of what was done.
pub static DONE: Keys = Keys {
    what: "a row of `done`",
    keys: &[
        need::<ExerciseId>("exercise", "The exercise."),
        may::<TimesDone>("done", "Times it was done."),
        may::<TimesAsked>("asked", "Times it was asked for."),
        may::<Seen>("seen", "Whether it was seen done today."),
        may::<RungId>("well_at", "The rung done well today."),
        may_as("felt", Kind::Table(&FELT), "How it felt."),
    ],
};

static FELT: Keys = Keys {
    what: "`felt`",
    keys: &[
        may::<PainScore>("during", "Pain while doing it."),
        may::<Morning>("morning", "Next morning against usual."),
    ],
};

/// Keys of the clinician's word on an exercise.
pub static ADJUST: Keys = Keys {
    what: "a row of `adjust`",
    keys: &[
        need::<ExerciseId>("exercise", "The exercise."),
        need::<AdjustAction>("action", "What to do with it."),
        may::<RungId>("rung", "The rung to set or to add at."),
        need::<String>("because", "Why."),
        need::<String>("by", "Who decided."),
    ],
};

/// Keys of the clinician's word on the phase.
pub static PHASE: Keys = Keys {
    what: "`phase`",
    keys: &[
        need::<PhaseId>("id", "The phase."),
        need::<String>("because", "Why."),
        need::<String>("by", "Who decided."),
    ],
};

/// Reads what was done; one row an exercise.
pub fn done(table: &mut TableReader<'_>, known: Known<'_>) -> Vec<Done> {
    let rows = table.tables("done", &DONE, |table| done_row(table, known));
    let names = rows.iter().map(|(name, _)| name.clone()).collect();
    each_once(names, "exercise done", table.reading());
    rows.into_iter().map(|(_, row)| row).collect()
}

/// Reads the clinician's word; of several on one exercise the last one counts.
pub fn adjust(table: &mut TableReader<'_>, known: Known<'_>) -> Vec<Adjust> {
    let rows = table.tables("adjust", &ADJUST, |table| adjust_row(table, known));
    let mut said: BTreeMap<&ExerciseId, bool> = BTreeMap::new();
    for (exercise, row) in &rows {
        let takes_back = row.action == AdjustAction::AsDecided;
        let stands = said.insert(&exercise.value, !takes_back).unwrap_or(false);
        if takes_back && !stands {
            let message = format!("there is no word on `{}` to take back", exercise.value);
            let at = exercise.at.clone();
            let problem = Problem::new(Code::KeysClash, at, message, "nothing said");
            table.tell(problem.help("`as-decided` takes back what was said before it"));
        }
    }
    rows.into_iter().map(|(_, row)| row).collect()
}

/// Reads the clinician's word on the phase.
pub fn phase(table: &mut TableReader<'_>, known: Known<'_>) -> Option<PhaseSet> {
    let id = table.need::<At<PhaseId>>("id");
    let because = table.need("because");
    let by = table.need("by");
    if let Some(id) = &id {
        known.phase(table, id);
    }
    Some(PhaseSet {
        id: id?.value,
        because: because?,
        by: by?,
    })
}

fn done_row(table: &mut TableReader<'_>, known: Known<'_>) -> Option<(At<ExerciseId>, Done)> {
    let exercise = table.need::<At<ExerciseId>>("exercise");
    let well_at = table.may::<At<RungId>>("well_at");
    check(table, known, exercise.as_ref(), well_at.as_ref());
    let felt = table.may_table("felt", &FELT, |table| {
        Some((recorded(table, "during"), recorded(table, "morning")))
    });
    let (during, morning) = felt.unwrap_or((Recorded::NotRecorded, Recorded::NotRecorded));
    let done = table.may::<TimesDone>("done");
    let asked = table.may::<TimesAsked>("asked");
    let seen = recorded(table, "seen");
    let exercise = exercise?;
    let row = Done {
        exercise: exercise.value.clone(),
        done: Recorded::from(done.map(|n| n.0)),
        asked: Recorded::from(asked.map(|n| n.0)),
        seen,
        well_at: Recorded::from(well_at.map(|rung| rung.value)),
        during,
        morning,
    };
    Some((exercise, row))
}

fn adjust_row(table: &mut TableReader<'_>, known: Known<'_>) -> Option<(At<ExerciseId>, Adjust)> {
    let exercise = table.need::<At<ExerciseId>>("exercise");
    let action = table.need::<AdjustAction>("action");
    let rung = table.may::<At<RungId>>("rung");
    check(table, known, exercise.as_ref(), rung.as_ref());
    let because = table.need("because");
    let by = table.need("by");
    let action = action?;
    rung_or_none(table, action);
    let exercise = exercise?;
    let row = Adjust {
        exercise: exercise.value.clone(),
        action,
        rung: Recorded::from(rung.map(|rung| rung.value)),
        because: because?,
        by: by?,
    };
    Some((exercise, row))
}

/// Checks that a rung stands where the action needs one, and nowhere else.
fn rung_or_none(table: &mut TableReader<'_>, action: AdjustAction) {
    let has = table.has("rung");
    let (message, label) = match action {
        AdjustAction::Set if !has => ("`set` needs the rung to set", "`rung` is missing"),
        AdjustAction::LeaveOut if has => ("what is left out has no rung", "not here"),
        AdjustAction::AsDecided if has => ("`as-decided` has no rung", "not here"),
        AdjustAction::Set
        | AdjustAction::Add
        | AdjustAction::LeaveOut
        | AdjustAction::AsDecided => return,
    };
    table.tell(Problem::new(
        Code::KeysClash,
        table.at_key("rung"),
        message,
        label,
    ));
}

fn check(
    table: &mut TableReader<'_>,
    known: Known<'_>,
    exercise: Option<&At<ExerciseId>>,
    rung: Option<&At<RungId>>,
) {
    let exercise = exercise.and_then(|name| known.exercise(table, name));
    if let Some(rung) = rung {
        Known::rung(table, exercise, rung);
    }
}

#[cfg(test)]
mod tests {
    use super::super::samples::{RECORD, line, only, read, told, with};
    use super::*;

    #[test]
    fn a_later_word_on_the_same_exercise_stands_after_the_first() {
        let text = with("\"straight-leg-raise\"", "\"step-up\"");
        let record = read(&text).unwrap();
        assert_eq!(record.visits[2].adjust.len(), 2);
        let back = "[[visit.adjust]]\nexercise = \"step-up\"\naction = \"as-decided\"\n\
            because = \"Not after all.\"\nby = \"PT-9\"\n";
        let record = read(&format!("{RECORD}\n{back}")).unwrap();
        let last = record.visits[2].adjust.last().unwrap();
        assert_eq!(last.action, AdjustAction::AsDecided);
        let twice = told(&format!("{RECORD}\n{back}{back}"));
        line(&twice, "BN029", "no word on `step-up` to take back");
        let rung = back.replace("because", "rung = \"u1\"\nbecause");
        line(&told(&format!("{RECORD}\n{rung}")), "BN029", "has no rung");
    }

    #[test]
    fn the_clinicians_word_is_whole_and_said_once() {
        only("rung = \"u1\"\n", "", "BN029", "`set` needs the rung");
        only(
            "action = \"leave-out\"\n",
            "action = \"leave-out\"\nrung = \"l1\"\n",
            "BN029",
            "has no rung",
        );
        only("because = \"Sore hip.\"\n", "", "BN021", "`because`");
        only(
            "action = \"leave-out\"",
            "action = \"as-decided\"",
            "BN029",
            "no word on `straight-leg-raise`",
        );
        only(
            "exercise = \"ankle-pump\"\n[[visit.adjust]]",
            "exercise = \"quad-set\"\n[[visit.adjust]]",
            "BN030",
            "exercise done",
        );
    }
}
