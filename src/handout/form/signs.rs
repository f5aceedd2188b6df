//! The red-flag screen on paper: every sign of the library, in the order asked.

use super::LANGUAGE;
use super::ask::answered;
use crate::domain::ids::Id;
use crate::domain::library::Library;
use crate::domain::procedure::RedFlag;
use crate::domain::time::Window;
use crate::domain::word::{Level, ScreenAnswer, Word};
use crate::handout::model::form::{Answer, FormField, FormTable};

/// What to know before the screen is asked.
pub(super) const NOTE: &str = "Ask every sign; tick one box a row. Emergency or same day: act now, \
    write later. Known: old, unchanged, and assessed by somebody. All no: type --screen none; else \
    name the others: --screen calf=yes,foot=known.";

/// Lists the signs that are asked after the operation: the forms are for visits then.
fn after_operation(library: &Library) -> impl Iterator<Item = &RedFlag> {
    let flags = library.procedure.red_flags.iter();
    flags.filter(|flag| {
        let end = flag.window.before;
        end.is_none_or(|before| !before.plus(-1).is_before_operation())
    })
}

/// Makes the screen.
pub(super) fn screen(library: &Library) -> FormField {
    let boxes = [ScreenAnswer::No, ScreenAnswer::Yes, ScreenAnswer::Known];
    let table = FormTable {
        words: ["", "", "How soon"].map(str::to_owned).to_vec(),
        boxes: boxes.map(|answer| answer.as_str().to_owned()).to_vec(),
        rows: after_operation(library).map(row).collect(),
    };
    let question = "New or worse since last time?";
    answered(question, "--screen", Answer::Table(table))
        .must()
        .by_phone()
}

fn row(flag: &RedFlag) -> Vec<String> {
    let ask = flag
        .words
        .get(LANGUAGE)
        .map_or(flag.id.as_str(), |words| words.ask.as_str());
    let days = days(flag.window);
    vec![
        flag.id.to_string(),
        format!("{ask}{}{days}", flag.of_whom()),
        level(flag.level).to_owned(),
    ]
}

/// Says on which days a sign is asked, when not always.
fn days(window: Window) -> String {
    match (window.from.get(), window.before) {
        (..=0, None) => String::new(),
        (..=0, Some(before)) => format!(" (to day {})", before.plus(-1).get()),
        (from, None) => format!(" (from day {from})"),
        (from, Some(before)) => format!(" (days {from} to {})", before.plus(-1).get()),
    }
}

fn level(level: Level) -> &'static str {
    match level {
        Level::Emergency => "emergency",
        Level::SameDay => "same day",
        Level::Within48Hours => "48 hours",
        Level::NextVisit => "next visit",
    }
}
