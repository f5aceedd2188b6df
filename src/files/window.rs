//! Reads `from_day` (in the span) and `before_day` (not in it).

use crate::domain::time::{Day, Window};

use super::codes::Code;
use super::problem::Problem;
use super::reader::TableReader;

/// Reads a span of days that must say when it begins.
pub fn need(table: &mut TableReader<'_>) -> Option<Window> {
    let from = table.need::<Day>("from_day");
    read(table, from)
}

/// Reads a span of days; without `from_day` it has no beginning.
pub fn may(table: &mut TableReader<'_>) -> Option<Window> {
    let from = table.may::<Day>("from_day");
    let from = if table.has("from_day") {
        from
    } else {
        Some(Window::ALWAYS.from)
    };
    read(table, from)
}

fn read(table: &mut TableReader<'_>, from: Option<Day>) -> Option<Window> {
    let before = table.may::<Day>("before_day");
    let from = from?;
    if before.is_some_and(|before| before <= from) {
        let at = table.at_key("before_day");
        let problem = Problem::new(
            Code::Window,
            at,
            "`before_day` must be later than `from_day`",
            "the first day that is no longer in the span",
        );
        table.tell(problem.also(table.at_key("from_day"), "the first day that is"));
        return None;
    }
    Some(Window { from, before })
}
