//! A verdict in the clinician's words: what was decided, by which rule, on what comparison.
//!
//! Clinician's text alone, so its sentences stand here; patient words never do.
//! Must not decide anything. Every reason has words: the matches have no catch-all.

mod corrections;
mod exercise;
mod head;
mod keep;
mod limit;
mod program;
mod questions;
mod reasons;
mod refused;
mod reprint;
mod review;
mod stages;
pub(in crate::handout) mod trade;
mod why;
mod why_not;

use crate::domain::ids::ExerciseId;
use crate::domain::library::Library;
use crate::domain::record::{Order, Record, Visit};
use crate::domain::verdict::{Program, Verdict, WhyNot};

pub use keep::not_kept;
pub(super) use limit::limit as limit_line;
pub use reasons::{Reasons, Unreadable};
pub use reprint::outdated;
pub use review::{Review, ladder, review};

/// Explains a whole verdict; made for a terminal, one reason a line.
pub fn explain_program(verdict: &Verdict, library: &Library, record: &Record) -> String {
    let lines = match verdict {
        Verdict::Program(program) => program::lines(program, library, record),
        Verdict::Withheld(withheld) => refused::withheld(withheld, library, record),
        Verdict::Unanswered(unanswered) => refused::unanswered(unanswered, library, record),
    };
    page(&lines)
}

/// Explains one exercise on one page; none when the procedure does not read it.
pub fn explain_exercise(
    verdict: &Verdict,
    library: &Library,
    record: &Record,
    exercise: &ExerciseId,
) -> Option<String> {
    let known = library.exercises.get(exercise)?;
    Some(page(&exercise::lines(verdict, library, record, known)))
}

/// Says why an exercise is not given, to follow a colon.
pub fn reason(why: &WhyNot) -> String {
    why_not::why_not(why)
}

/// Says what becomes of the clinician's word on an exercise: what still stands against it, and
/// what it sets aside.
pub fn explain_word(program: &Program, library: &Library, exercise: &ExerciseId) -> Vec<String> {
    program::word(program, library, exercise)
}

/// Says what was put right in a record, of the episode and of visits; nothing when all stands.
pub fn explain_corrections(record: &Record) -> Vec<String> {
    corrections::lines(record)
}

/// Says, for a void sheet, what was put right and by whom; nothing when it is not void.
pub fn explain_void(record: &Record, visit: &Visit) -> Vec<String> {
    record
        .voided_by(visit)
        .map(corrections::put_right)
        .collect()
}

/// Says an order in one line.
pub fn order(order: &Order) -> String {
    limit::order(order)
}

fn page(lines: &[String]) -> String {
    format!("{}\n", lines.join("\n"))
}
