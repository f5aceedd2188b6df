//! Blank forms for the clinician: a visit on paper, and the questions for the surgical team.
//!
//! Clinician's text alone, so its words stand here; patient words never do.
//! Must not decide anything. Next: `render` draws the form.

mod ask;
mod first;
mod follow_up;
mod home;
mod orders;
mod signs;
mod slip;

pub use slip::{Slip, slip};

use super::frame::short_digest;
use super::model::form::{Form, FormField, FormSection};
use super::model::{Document, Frame, Labelled};
use super::wording::primary;
use crate::domain::ids::Id;
use crate::domain::library::Library;

/// The language these forms are written in.
const LANGUAGE: &str = "en";

/// Which visit a blank form is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VisitForm {
    /// The first visit, with everything a new record needs.
    First,
    /// Every later visit.
    FollowUp,
}

/// Makes the blank form of a visit.
pub fn visit(library: &Library, which: VisitForm) -> Document {
    let (title, command, sections) = match which {
        VisitForm::First => ("First visit", "intake", first::sections(library)),
        VisitForm::FollowUp => ("Follow-up visit", "visit", follow_up::sections(library)),
    };
    let procedure = &library.procedure.id;
    let operation = operation(library);
    let subtitle = match which {
        VisitForm::First => format!("{operation}: --procedure {procedure}"),
        VisitForm::FollowUp => format!("{operation} ({procedure})"),
    };
    let form = Form {
        frame: frame(library, &format!("{title}, {procedure}"), None),
        title: title.to_owned(),
        subtitle,
        name_box: NAME_BOX.to_owned(),
        command: command.to_owned(),
        facts: Vec::new(),
        head: follow_up::head(),
        again: again(),
        how_to: how_to(command),
        sections: numbered(sections),
    };
    Document::Form(Box::new(form))
}

/// Words in the box for a name or sticker.
const NAME_BOX: &str = "Name or label (stays on this paper, never typed in)";

/// Asks on every further page whose it is: pages come apart.
fn again() -> FormField {
    ask::ask("Name or record number, again", "", ask::line())
}

/// Says how a form is filled in and typed in.
fn how_to(command: &str) -> Vec<String> {
    vec![format!(
        "Blank is not asked, never no. Must: needed before a program can be made. Phone: ask it by \
         phone too. To type it in: banister {command} RECORD and the flag under each question."
    )]
}

/// Names the operation.
fn operation(library: &Library) -> &str {
    let procedure = &library.procedure;
    match procedure.words.get(LANGUAGE) {
        Some(words) => &words.operation,
        None => procedure.id.as_str(),
    }
}

/// Writes head and foot of a form.
pub(super) fn frame(library: &Library, title: &str, date: Option<String>) -> Frame {
    let clinic = &library.clinic;
    let language = if primary(&clinic.language) == LANGUAGE {
        clinic.language.clone()
    } else {
        LANGUAGE.to_owned()
    };
    let adopted = clinic
        .adopted
        .as_ref()
        .is_some_and(|adopted| adopted.library == library.digests.built_in);
    let state = if adopted { "" } else { " (draft)" };
    Frame {
        paper: clinic.paper,
        language,
        document_title: title.to_owned(),
        clinic: clinic.name.clone(),
        ring_us: Labelled {
            label: "Clinic:".to_owned(),
            value: clinic.phones.same_day.replace(' ', "\u{a0}"),
        },
        foot_id: format!("{title}, library {}{state}", short_digest(library)),
        page_words: "Page {page} of {pages}".to_owned(),
        preview: None,
        notes: Vec::new(),
        deference: "The surgeon\u{2019}s orders, local policy and licensed practice come first. \
                    This paper decides nothing."
            .to_owned(),
        date,
    }
}

/// Numbers the questions through all sections.
fn numbered(mut sections: Vec<FormSection>) -> Vec<FormSection> {
    let fields = sections.iter_mut().flat_map(|section| &mut section.fields);
    for (number, field) in (1..).zip(fields) {
        field.number = Some(number);
    }
    sections
}

/// Makes a section.
fn section(title: &str, note: Option<&str>, fields: Vec<FormField>) -> FormSection {
    FormSection {
        title: title.to_owned(),
        note: note.map(str::to_owned),
        fields,
        entered: None,
    }
}

/// Lists ids as written.
fn written<'a, I: Id + 'a>(ids: impl IntoIterator<Item = &'a I>) -> Vec<String> {
    ids.into_iter().map(|id| id.as_str().to_owned()).collect()
}
