//! What stands on top of every explanation: whom, when, and by which library.

use chrono::NaiveDate;

use super::trade;
use crate::domain::library::Library;
use crate::domain::record::Record;
use crate::domain::time::Day;
use crate::domain::verdict::{FlagRaised, FlagStood, RaisedBy};
use crate::domain::word::{FlagEffect, Level};

/// Sentence under every explanation.
pub(super) const DEFERENCE: &str =
    "The clinician signs. Surgeon's orders, local policy and licensed practice come first.";

/// Writes whom and when.
pub(super) fn head(library: &Library, record: &Record, date: NaiveDate, day: Day) -> Vec<String> {
    let episode = &record.episode;
    let when = match day.week() {
        Some(week) => format!("day {}, week {week}", day.get()),
        None => format!("{} days before the operation", day.get().saturating_neg()),
    };
    vec![
        format!(
            "{}: {}, {} {}",
            episode.token, episode.procedure, episode.side, episode.joint
        ),
        format!("{}, {when}", trade::date(date)),
        library_line(library),
    ]
}

fn library_line(library: &Library) -> String {
    let procedure = &library.procedure;
    let built_in = &library.digests.built_in;
    let adopted = library
        .clinic
        .adopted
        .as_ref()
        .filter(|known| known.library == *built_in);
    let state = match adopted {
        Some(known) => format!(
            "adopted by {} on {}, review due {}",
            known.by,
            trade::date(known.on),
            trade::date(known.review_due)
        ),
        None => "DRAFT: this clinic has not adopted it".to_owned(),
    };
    format!(
        "Library {} version {}, {}: {state}",
        procedure.id,
        procedure.version,
        short(&library.digests.both)
    )
}

/// Returns the first digits of a digest, as printed on a sheet.
fn short(digest: &str) -> String {
    digest
        .strip_prefix("sha256:")
        .unwrap_or(digest)
        .chars()
        .take(8)
        .collect()
}

/// Adds a heading and its lines, indented; nothing when there are none.
pub(super) fn section(lines: &mut Vec<String>, title: &str, inner: Vec<String>) {
    if inner.is_empty() {
        return;
    }
    lines.push(String::new());
    lines.push(title.to_owned());
    lines.extend(inner.into_iter().map(|line| format!("  {line}")));
}

/// Writes the flags raised, soonest first.
pub(super) fn flags(raised: &[FlagRaised], library: &Library) -> Vec<String> {
    raised.iter().map(|flag| flag_line(flag, library)).collect()
}

fn flag_line(raised: &FlagRaised, library: &Library) -> String {
    let how_soon = match raised.level {
        Level::Emergency => "emergency, now",
        Level::SameDay => "same day",
        Level::Within48Hours => "within 48 hours",
        Level::NextVisit => "at the next visit",
    };
    let effect = match raised.effect {
        FlagEffect::Withhold => "no exercises",
        FlagEffect::Restrict => "program narrowed",
        FlagEffect::Tell => "told on the sheet",
    };
    let words = library
        .procedure
        .red_flag(&raised.flag)
        .and_then(|flag| flag.words.get("en"));
    let sign = words.map_or("", |words| words.ask.as_str());
    let why = raised_by(raised);
    format!(
        "{:<5} {}: {how_soon}; {effect}. {sign}{why}",
        raised.rule.0, raised.flag
    )
}

/// Says why a flag is raised that was not answered yes today, and what ends it.
fn raised_by(raised: &FlagRaised) -> String {
    let flag = &raised.flag;
    match raised.why {
        RaisedBy::Yes => String::new(),
        RaisedBy::NewSince(on) => format!(
            " New or worse since the assessment of {}. The assessed sign, unchanged, is answered \
             {flag}=known.",
            trade::date(on)
        ),
        RaisedBy::NotAssessedSince(on) => format!(
            " It was new or worse on {}, and no assessment since is on record: whatever is answered \
             now, it stands until somebody has assessed it (`banister clear RECORD {flag} --by WHO`).",
            trade::date(on)
        ),
        RaisedBy::NeverAssessed => format!(
            " Answered known, and no assessment is on record: a sign like this counts as raised \
             until somebody has assessed it (`banister clear RECORD {flag} --by WHO`)."
        ),
        RaisedBy::AssessmentOver(until) => format!(
            " Answered known, and its assessment counted until {}: it is assessed once more \
             (`banister clear RECORD {flag} --by WHO`).",
            trade::date(until)
        ),
    }
}

/// Writes the flags that were assessed or are known.
pub(super) fn stood(stood: &[FlagStood]) -> Vec<String> {
    let line = |flag: &FlagStood| {
        let how = match &flag.cleared {
            Some((by, until)) => format!(
                "the assessed one, unchanged; by {by}, counts until {}",
                trade::date(*until)
            ),
            None => "called known and unchanged; no assessment is on record".to_owned(),
        };
        let limits = if flag.limits_stand {
            "; its limits stand"
        } else {
            ""
        };
        format!("{}: {how}{limits}", flag.flag)
    };
    stood.iter().map(line).collect()
}
