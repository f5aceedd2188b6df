//! People who say that signs are new, and the pages they get.

use std::collections::BTreeMap;

use banister::domain::ids::{ConditionId, FlagId, Id};
use banister::domain::library::Library;
use banister::domain::record::Record;
use banister::domain::recorded::Recorded;
use banister::domain::time::{Day, VisitDate};
use banister::domain::verdict::Verdict;
use banister::domain::word::{How, ScreenAnswer, Side, WalkingAid};
use banister::engine::decide;
use banister::handout::model::Document;
use banister::render::text;

use chrono::Days;

use crate::support::people::{Answers, document, had, person, record, see};

/// Somebody on a day, with these illnesses, who says these signs are new.
pub fn with(
    library: &Library,
    day: i64,
    conditions: &[&str],
    flags: &[&'static str],
    how: How,
) -> Record {
    let mut who = person();
    let conditions = conditions.iter().map(|id| ConditionId::new(id).unwrap());
    who.conditions = Recorded::Yes(conditions.collect());
    let mut record = record(who, Side::Left);
    had(&mut record, library);
    let mut answers = Answers::calm(day.max(0).unsigned_abs(), 92);
    answers.aid = Some(if day > 30 {
        WalkingAid::None
    } else {
        WalkingAid::TwoSticks
    });
    answers.flags = flags
        .iter()
        .map(|flag| (*flag, ScreenAnswer::Yes))
        .collect();
    let date = see(library, &mut record, &answers);
    if day < 0 {
        // The same visit, the operation still ahead, and the signs of that day.
        record.episode.operation.0 = date.0 + Days::new(day.unsigned_abs());
        let asked = library.procedure.red_flags.iter();
        let asked = asked.filter(|flag| flag.window.holds(Day::new(day)));
        let mut screen: BTreeMap<FlagId, ScreenAnswer> = asked
            .map(|flag| (flag.id.clone(), ScreenAnswer::No))
            .collect();
        for flag in flags {
            screen.insert(FlagId::new(flag).unwrap(), ScreenAnswer::Yes);
        }
        record.visits.last_mut().unwrap().screen = Recorded::Yes(screen);
    }
    record.visits.last_mut().unwrap().how = how;
    record
}

/// The page they get.
pub fn page(library: &Library, record: &Record) -> Document {
    let date = VisitDate(record.visits.last().unwrap().date);
    let verdict = decide(library, record, date);
    assert!(!matches!(verdict, Verdict::Unanswered(_)), "{verdict:?}");
    document(library, record, &verdict)
}

/// Its words, as they are read aloud.
pub fn printed(library: &Library, record: &Record) -> String {
    text::text(&page(library, record)).replace('\u{a0}', " ")
}
