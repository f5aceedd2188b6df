//! Head and foot of every page, the standing notes, and who, when and which sheet.

use chrono::NaiveDate;

use super::error::HandoutError;
use super::model::{Frame, Labelled};
use super::numbers::{BEFORE, count, join};
use super::wording::{Wording, primary};
use super::{Issue, IssueKind, dates};
use crate::domain::library::Library;
use crate::domain::phrase::Phrase;
use crate::domain::record::NextVisit;
use crate::domain::time::Day;
use crate::domain::verdict::Program;
use crate::domain::word::DocumentState;

/// Digits of the library's digest printed on a page.
const DIGEST_DIGITS: usize = 8;

/// Writes head and foot.
pub(super) fn frame(
    words: &Wording<'_>,
    date: NaiveDate,
    issue: Issue,
    document_title: String,
) -> Result<Frame, HandoutError> {
    let clinic = &words.library.clinic;
    let episode = &words.record.episode;
    let same = primary(&clinic.language) == primary(&episode.language);
    let language = if same {
        &clinic.language
    } else {
        &episode.language
    };
    let preview = match issue.kind {
        IssueKind::Preview => Some(words.plain(Phrase::Preview)?),
        IssueKind::Issued => None,
    };
    Ok(Frame {
        paper: clinic.paper,
        language: language.clone(),
        document_title,
        clinic: clinic.name.clone(),
        ring_us: Labelled {
            label: words.plain(Phrase::RingUs)?,
            value: join(&clinic.phones.same_day),
        },
        foot_id: words.say(
            Phrase::FootId,
            &[
                ("token", &episode.token),
                ("date", &dates::with_year(words, date)?),
                ("digest", &short_digest(words.library)),
            ],
        )?,
        page_words: words.raw(Phrase::PageWords)?,
        preview,
        notes: notes(words, date)?,
        deference: words.plain(Phrase::Deference)?,
        date: Some(date.to_string()),
    })
}

/// Returns the digits of the library's digest that are printed.
pub(super) fn short_digest(library: &Library) -> String {
    let digest = &library.digests.both;
    let digest = digest.strip_prefix("sha256:").unwrap_or(digest);
    digest.chars().take(DIGEST_DIGITS).collect()
}

/// Says what nobody has approved yet, and what is due to be read again.
fn notes(words: &Wording<'_>, date: NaiveDate) -> Result<Vec<String>, HandoutError> {
    let clinic = &words.library.clinic;
    let built_in = &words.library.digests.built_in;
    let library = match &clinic.adopted {
        Some(adopted) if adopted.library == *built_in && date > adopted.review_due => {
            Some(Phrase::NoteLibraryOverdue)
        }
        Some(adopted) if adopted.library == *built_in => None,
        Some(_) | None => Some(Phrase::NoteLibraryDraft),
    };
    let own = match clinic.status.state {
        DocumentState::Draft => Some(Phrase::NoteClinicDraft),
        DocumentState::Expired => Some(Phrase::NoteClinicExpired),
        DocumentState::Due => Some(Phrase::NoteClinicDue),
        DocumentState::Approved if date > clinic.status.review_due => Some(Phrase::NoteClinicDue),
        DocumentState::Approved => None,
    };
    library
        .into_iter()
        .chain(own)
        .map(|phrase| words.plain(phrase))
        .collect()
}

/// Writes the row under the title.
pub(super) fn meta(
    words: &Wording<'_>,
    program: &Program,
    issue: Issue,
) -> Result<Vec<Labelled>, HandoutError> {
    let label = |phrase, value| -> Result<Labelled, HandoutError> {
        Ok(Labelled {
            label: words.plain(phrase)?,
            value,
        })
    };
    let episode = &words.record.episode;
    let date = program.date.0;
    let next = match program.life.next_visit {
        NextVisit::Date(date) => dates::full(words, date)?,
        NextVisit::None => words.plain(Phrase::NextVisitNone)?,
        NextVisit::Unknown => words.plain(Phrase::NextVisitUnknown)?,
    };
    let sheet = issue.sheet.to_string();
    let sheet = match issue.replaces {
        Some(old) => words.say(
            Phrase::SheetReplaces,
            &[("sheet", &sheet), ("old", &old.to_string())],
        )?,
        None => sheet,
    };
    Ok(vec![
        label(Phrase::MetaFor, episode.token.clone())?,
        label(
            Phrase::MetaOperation,
            dates::short(words, episode.operation.0)?,
        )?,
        Labelled {
            label: today(words, program.day)?,
            value: dates::full(words, date)?,
        },
        label(Phrase::MetaNextVisit, next)?,
        label(Phrase::MetaSheet, sheet)?,
    ])
}

fn today(words: &Wording<'_>, day: Day) -> Result<String, HandoutError> {
    match day.week() {
        Some(week) => words.say(
            Phrase::MetaToday,
            &[("day", &day.get().to_string()), ("week", &week.to_string())],
        ),
        None => count(words, BEFORE, day.get().saturating_neg()),
    }
}
