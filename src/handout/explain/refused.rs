//! Why there is no program: who must be rung, or what must be answered first.

use super::corrections;
use super::head::{DEFERENCE, flags, head, section, stood};
use super::questions::question;
use crate::domain::library::Library;
use crate::domain::record::Record;
use crate::domain::verdict::{Unanswered, Withheld};
use crate::domain::word::How;

/// Explains a refusal.
pub(super) fn withheld(withheld: &Withheld, library: &Library, record: &Record) -> Vec<String> {
    let mut lines = head(library, record, withheld.date.0, withheld.day);
    let who = match withheld.how {
        How::Seen => "At the visit: you ring, and send the person on.",
        How::Phone => "By phone: the person is told whom to ring.",
    };
    lines.push(String::new());
    lines.push(format!("NO EXERCISES. Act: {}. {who}", withheld.level));
    section(&mut lines, "Corrections", corrections::lines(record));
    section(&mut lines, "Red flags", flags(&withheld.flags, library));
    section(&mut lines, "Assessed or known", stood(&withheld.stood));
    lines.push(String::new());
    lines.push(DEFERENCE.to_owned());
    lines
}

/// Lists the questions and who can answer each.
pub(super) fn unanswered(
    unanswered: &Unanswered,
    library: &Library,
    record: &Record,
) -> Vec<String> {
    let mut lines = head(library, record, unanswered.date.0, unanswered.day);
    lines.push(String::new());
    lines.push("NO PROGRAM YET: questions first.".to_owned());
    section(&mut lines, "Corrections", corrections::lines(record));
    section(
        &mut lines,
        "Act on these first",
        flags(&unanswered.flags, library),
    );
    let asked = unanswered.questions.iter();
    let asked = asked
        .map(|(what, whom)| question(what, *whom, library))
        .collect();
    section(&mut lines, "Questions", asked);
    lines.push(String::new());
    lines.push(DEFERENCE.to_owned());
    lines
}
