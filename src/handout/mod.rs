//! Verdict in, document out: what is said, in order, in words; no layout.
//!
//! One file a part of the sheet; every printed string is made by `wording`.
//! Must not decide a dose or open a file. Next: `render` draws the document.

mod actions;
mod angle;
mod bad_day;
mod block;
mod care;
mod change;
mod dates;
mod diary;
mod dose_words;
pub mod due;
mod entry;
mod error;
pub mod explain;
pub mod figures;
pub mod form;
mod frame;
mod message;
pub mod model;
mod numbers;
pub mod overtaken;
mod pain;
mod picture;
mod plan;
mod ring;
mod rules;
mod stages;
mod tiers;
mod void;
mod withheld;
mod wording;

pub use error::HandoutError;

use crate::domain::ids::Id;
use crate::domain::library::Library;
use crate::domain::phrase::{Phrase, Phrases};
use crate::domain::record::Record;
use crate::domain::verdict::{Program, Verdict};
use entry::Entries;
use model::{Block, Document, Handout};
use wording::Wording;

/// Whether a document counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum IssueKind {
    /// To look at; says so on every page.
    Preview,
    /// To give out.
    Issued,
}

/// Which sheet of the episode a document is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Issue {
    /// Its number, from 1.
    pub sheet: i64,
    /// The sheet it replaces.
    pub replaces: Option<i64>,
    /// Whether it counts.
    pub kind: IssueKind,
}

/// Writes a verdict down; one with questions is no document.
pub fn build(
    verdict: &Verdict,
    library: &Library,
    record: &Record,
    phrases: &Phrases,
    issue: &Issue,
) -> Result<Document, HandoutError> {
    let words = Wording::new(library, record, phrases)?;
    match verdict {
        Verdict::Program(program) => {
            let handout = handout(&words, program, *issue)?;
            Ok(Document::Handout(Box::new(handout)))
        }
        Verdict::Withheld(withheld) => {
            let page = withheld::withheld(&words, withheld, *issue)?;
            Ok(Document::Withheld(Box::new(page)))
        }
        Verdict::Unanswered(_) => Err(HandoutError::Unanswered),
    }
}

fn handout(words: &Wording<'_>, program: &Program, issue: Issue) -> Result<Handout, HandoutError> {
    let entries = Entries::of(words, program)?;
    let (first, last) = (
        words.record.day(program.life.from),
        words.record.day(program.life.until),
    );
    let pain = pain::pain_lines(words, first, last)?;
    let told = message::message(words, program, &entries, pain)?;
    let title = words.tell(title(words, program)?, &[])?;
    Ok(Handout {
        frame: frame::frame(
            words,
            program.date.0,
            issue,
            document_title(words, &title, issue)?,
        )?,
        title,
        name_box: words.plain(Phrase::NameBox)?,
        meta: frame::meta(words, program, issue)?,
        void: void::note(words, program.date.0, issue, void::Under::Program)?,
        actions: actions::actions(words, program)?,
        actions_title: words.plain(Phrase::ActionsTitle)?,
        message: told.message,
        plan: plan::plan(words, program, &entries, told.left_over)?,
        tiers_title: words.plain(Phrase::TiersTitle)?,
        tiers: tiers::tiers(words, pain, tiers::Days::of(words, program))?,
        stages: stages::stages(words, &entries, program)?,
        blocks: blocks(words, &entries.numbered, program)?,
        daily: daily(words, &entries, program)?,
        daily_title: words.plain(Phrase::DailyTitle)?,
        rules: rules::rules(words, program)?,
        bad_day: bad_day::section(words, program, &entries)?,
        visit_moves: bad_day::visit_moves(words, program)?,
        care: care::care(words, program, &entries.advice)?,
        usual: care::usual(words, program)?,
        not_usual: care::not_usual(words, program)?,
        hope: care::hope(words, program)?,
        know: care::know(words)?,
        know_title: words.plain(Phrase::KnowTitle)?,
        sign: words.plain(Phrase::SignTherapist)?,
        diary: diary::diary(words, program, &entries)?,
    })
}

/// Finds the title of page 1; before the operation there is no new part yet.
fn title<'a>(words: &Wording<'a>, program: &Program) -> Result<&'a str, HandoutError> {
    let texts = words.operation()?;
    if !program.day.is_before_operation() {
        return Ok(&texts.title);
    }
    let title = texts.title_before.as_deref();
    title.ok_or_else(|| wording::unknown("title before", words.library.procedure.id.as_str()))
}

fn document_title(words: &Wording<'_>, title: &str, issue: Issue) -> Result<String, HandoutError> {
    let sheet = issue.sheet.to_string();
    let token = &words.record.episode.token;
    words.say(
        Phrase::DocumentTitle,
        &[("title", title), ("token", token), ("sheet", &sheet)],
    )
}

fn blocks(
    words: &Wording<'_>,
    entries: &[entry::Entry<'_>],
    program: &Program,
) -> Result<Vec<Block>, HandoutError> {
    entries
        .iter()
        .map(|entry| block::block(words, entry, program))
        .collect()
}

fn daily(
    words: &Wording<'_>,
    entries: &Entries<'_>,
    program: &Program,
) -> Result<Vec<Block>, HandoutError> {
    let mut all = blocks(words, &entries.daily, program)?;
    all.extend(blocks(words, &entries.background, program)?);
    Ok(all)
}
