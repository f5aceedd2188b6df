//! Checks that each fact of an entry test has a rule for a blank on every day.

use std::collections::BTreeMap;

use crate::domain::procedure::Procedure;
use crate::domain::time::Day;
use crate::domain::word::{Fact, MissingRule};

use super::super::codes::Code;
use super::super::problem::Problem;
use super::super::reading::{Link, Reading};
use super::super::source::Span;
use super::Files;

/// Tells once a fact, at its first use.
pub(super) fn check(files: &Files<'_>, reading: &mut Reading) {
    let mut used: BTreeMap<Fact, Span> = BTreeMap::new();
    for (link, at) in reading.links() {
        if let Link::Entry(test) = link
            && test.fact != Fact::Day
        {
            used.entry(test.fact).or_insert_with(|| at.clone());
        }
    }
    for (fact, at) in used {
        if let Some(gap) = first_gap(files.procedure, fact) {
            let message =
                format!("nothing says what counts when `{fact}` is not recorded on {gap}");
            let problem = Problem::new(Code::NoMissingRule, at, message, "this test needs it");
            reading.tell(problem.help(format!(
                "add [[missing]] rows for `{fact}` to {}, from day {} to day {}",
                files.procedure.origin.path,
                files.procedure.first_day().get(),
                files.procedure.settings.last_day.get()
            )));
        } else if lacks_course(files.procedure, fact) {
            let message = format!("`{fact}` counts as usual when blank, but has no usual course");
            let problem = Problem::new(Code::NoMissingRule, at, message, "this test needs it");
            reading.tell(problem.help("add a [[course]] or choose another rule"));
        }
    }
}

/// Returns the first day or days without a rule, in words.
fn first_gap(procedure: &Procedure, fact: Fact) -> Option<String> {
    let last = procedure.settings.last_day;
    let ruled = |day: Day| {
        let mut rows = procedure.missing.iter().filter(|row| row.fact == fact);
        rows.any(|row| row.window.holds(day))
    };
    let first = procedure.first_day();
    let days = || (first.get()..=last.get()).map(Day::new);
    let first = days().find(|day| !ruled(*day))?;
    let end = days().find(|day| *day > first && ruled(*day));
    let end = end.map_or(last, |day| day.plus(-1));
    Some(if first == end {
        format!("day {}", first.get())
    } else {
        format!("days {} to {}", first.get(), end.get())
    })
}

fn lacks_course(procedure: &Procedure, fact: Fact) -> bool {
    let mut rows = procedure.missing.iter().filter(|row| row.fact == fact);
    rows.any(|row| row.then == MissingRule::Usual) && procedure.course(fact).is_none()
}
