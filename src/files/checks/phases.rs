//! Checks that phases follow each other without a gap.

use crate::domain::time::Day;

use super::super::codes::Code;
use super::super::problem::Problem;
use super::super::reading::{PhaseAt, Reading};
use super::Files;

/// Tells of a first phase after day 0, of gaps, overlaps and an end before the last day.
pub(super) fn check(files: &Files<'_>, reading: &mut Reading) {
    let phases = reading.phases().to_vec();
    if let Some(first) = phases.first()
        && first.window.from != Day::new(0)
    {
        let message = "the first phase begins on day 0";
        reading.tell(Problem::new(
            Code::Order,
            first.from_at.clone(),
            message,
            "not day 0",
        ));
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

fn not_joined(before: &PhaseAt, after: &PhaseAt) -> Problem {
    let message = "a phase begins on the day the phase before it ends";
    Problem::new(Code::Order, after.from_at.clone(), message, "begins here")
        .also(before.before_at.clone(), "ends here")
}
