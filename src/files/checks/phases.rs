//! Checks that phases follow each other without a gap, and that one of them begins on day 0.

use crate::domain::time::Day;

use super::super::codes::Code;
use super::super::problem::Problem;
use super::super::reading::{PhaseAt, Reading};
use super::Files;

/// Tells when no phase begins on day 0 or the words of those before it are missing, of gaps, overlaps and an end before the last day.
pub(super) fn check(files: &Files<'_>, reading: &mut Reading) {
    let phases = reading.phases().to_vec();
    let day_0 = phases.iter().any(|phase| phase.window.from == Day::new(0));
    if let Some(first) = phases.first()
        && !day_0
    {
        let message = "one phase begins on day 0, the day of the operation";
        reading.tell(Problem::new(
            Code::Order,
            first.from_at.clone(),
            message,
            "not day 0",
        ));
    }
    if let Some(first) = phases.first()
        && first.window.from.is_before_operation()
        && let Some(language) = untitled(files)
    {
        let message = format!("the words in `{language}` lack `title_before`");
        let problem = Problem::new(Code::MissingKey, first.from_at.clone(), message, "needs it");
        reading.tell(problem.help("the title of page 1 before the operation"));
    }
    for (before, after) in phases.iter().zip(phases.iter().skip(1)) {
        if before.window.before != Some(after.window.from) {
            reading.tell(not_joined(before, after));
        }
    }
    let last_day = files.procedure.settings.last_day;
    if let Some(last) = phases.last()
        && last.window.before.is_some_and(|before| before <= last_day)
    {
        let message = format!("the last phase ends before day {}", last_day.get());
        let help = "leave `before_day` of the last phase out";
        let problem = Problem::new(Code::Order, last.before_at.clone(), message, "too early");
        reading.tell(problem.help(help));
    }
}

/// Finds a language without a title for the days before the operation.
fn untitled<'a>(files: &Files<'a>) -> Option<&'a String> {
    let mut words = files.procedure.words.iter();
    words
        .find(|(_, words)| words.title_before.is_none())
        .map(|(language, _)| language)
}

fn not_joined(before: &PhaseAt, after: &PhaseAt) -> Problem {
    let message = "a phase begins on the day the phase before it ends";
    Problem::new(Code::Order, after.from_at.clone(), message, "begins here")
        .also(before.before_at.clone(), "ends here")
}
