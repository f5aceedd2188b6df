//! The list of who is due, in words for the clinician: a row a person, one thought a line.
//!
//! Must not decide who is due or open a file. Next: `cli` prints the lines.

mod command;
mod papers;
mod warning;

use chrono::NaiveDate;

use crate::domain::due::{Due, LastVisit, Listed};
use crate::domain::record::NextVisit;
use crate::domain::recorded::Recorded;
use crate::domain::word::How;

pub use command::{command, quoted};
pub use papers::{papers, papers_command};
pub use warning::say;

/// Writes one person's row and what asks for somebody, with the command for each.
///
/// A command that several of them need stands once, after the last of them.
pub fn row(one: &Listed) -> Vec<String> {
    let mut lines = vec![who(one), format!("  {}", visits(&one.due))];
    let warnings = &one.due.warnings;
    let commands: Vec<String> = warnings.iter().map(|each| command(each, one)).collect();
    for (at, (warning, typed)) in warnings.iter().zip(&commands).enumerate() {
        lines.push(told(&say(warning)));
        if !commands.iter().skip(at + 1).any(|later| later == typed) {
            lines.push(to_type(typed));
        }
    }
    lines
}

/// Writes something to do and, on a line of its own that is never broken, what to type for it.
pub fn asked(what: &str, command: &str) -> Vec<String> {
    vec![told(what), to_type(command)]
}

/// Writes something to do.
fn told(what: &str) -> String {
    format!("  - {what}")
}

/// Writes what to type.
fn to_type(command: &str) -> String {
    format!("      {command}")
}

fn who(one: &Listed) -> String {
    let due = &one.due;
    let when = match due.day.week() {
        Some(week) => format!("day {} (week {week})", due.day.get()),
        None => format!("{} before", days(due.day.get().saturating_neg())),
    };
    let phase = match &due.phase {
        Some(phase) => format!("phase {phase}"),
        None => "no sheet yet".to_owned(),
    };
    let what = format!("{}, {}", one.procedure, due.side);
    format!("{:<12}  {what:<17}  {when:<16}  {phase}", one.token)
}

fn visits(due: &Due) -> String {
    let last = match &due.last {
        Some(last) => last_visit(last),
        None => "none yet".to_owned(),
    };
    let next = match due.next {
        Recorded::Yes(NextVisit::Date(on)) => next_visit(on, due.date),
        Recorded::Yes(NextVisit::None) => "none".to_owned(),
        Recorded::Yes(NextVisit::Unknown) => "unknown".to_owned(),
        Recorded::NotRecorded => "not recorded".to_owned(),
    };
    format!("last visit {last}; next visit {next}")
}

fn last_visit(last: &LastVisit) -> String {
    let ago = match last.days_ago {
        0 => "today".to_owned(),
        1 => "yesterday".to_owned(),
        many => format!("{} ago", days(many)),
    };
    let how = match last.how {
        How::Seen => "seen",
        How::Phone => "by phone",
    };
    format!("{}, {ago}, {how}", last.date)
}

fn next_visit(on: NaiveDate, today: NaiveDate) -> String {
    let away = on.signed_duration_since(today).num_days();
    let when = match away {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        ahead if ahead > 1 => format!("in {}", days(ahead)),
        late => format!("{} late", days(late.saturating_neg())),
    };
    format!("{on}, {when}")
}

/// Writes a number of days.
fn days(number: i64) -> String {
    let word = if number == 1 { "day" } else { "days" };
    format!("{number} {word}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn today_tomorrow_and_late_are_said() {
        let on = |day| NaiveDate::from_ymd_opt(2026, 3, day).unwrap();
        for (next, today, said) in [
            (16, 16, "today"),
            (16, 15, "tomorrow"),
            (16, 14, "in 2 days"),
            (16, 17, "1 day late"),
            (16, 19, "3 days late"),
        ] {
            let wanted = format!("2026-03-{next}, {said}");
            assert_eq!(next_visit(on(next), on(today)), wanted);
        }
    }
}
