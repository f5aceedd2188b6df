//! What is new against the sheet at home, line by line, in the clinician's words.
//!
//! Must not decide anything; `engine::due` does.

use super::explain::reason;
use super::explain::{limit_line, trade};
use crate::domain::ids::ExerciseId;
use crate::domain::library::Library;
use crate::domain::overtaken::{Overtaken, SheetLine};

/// Says what differs, one thing a line.
pub fn lines(overtaken: &Overtaken, library: &Library) -> Vec<String> {
    let lines = overtaken.lines.iter();
    lines.map(|each| line(each, library)).collect()
}

/// Says one thing that differs.
pub fn line(what: &SheetLine, library: &Library) -> String {
    match what {
        SheetLine::NoExercises(flags) => {
            let names: Vec<String> = flags.iter().map(ToString::to_string).collect();
            format!("no exercises until assessed: {}", names.join(", "))
        }
        SheetLine::MayExercise => "exercises are no longer held back".to_owned(),
        SheetLine::Asks => "no sheet can be made now before something is answered".to_owned(),
        SheetLine::Begins(limit) => format!("new limit {}", limit_line(limit)),
        SheetLine::Ends(limit) => format!("no longer a limit: {}", limit_line(limit)),
        SheetLine::Gone {
            exercise,
            reason: why,
        } => format!("{}: not any more, {}", name(exercise, library), reason(why)),
        SheetLine::Changed { exercise, from, to } => format!(
            "{}: was {}; now {}",
            name(exercise, library),
            trade::dose(from),
            trade::dose(to)
        ),
        SheetLine::MayCome { exercise } => {
            format!("{}: may come on a new sheet", name(exercise, library))
        }
        SheetLine::AdviceBegins(row) => format!("new advice {row}"),
        SheetLine::AdviceEnds(row) => format!("advice {row} no longer holds"),
        SheetLine::AdviceBarred(row) => format!("advice {row}: not any more"),
    }
}

fn name(exercise: &ExerciseId, library: &Library) -> String {
    let known = library.exercises.get(exercise);
    known.map_or_else(|| exercise.to_string(), |known| known.trade_name.clone())
}
