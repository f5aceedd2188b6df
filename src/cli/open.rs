//! Opens what a command works on: the clinic, the library, the record, the words and the page.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;

use crate::domain::ids::{Id, ProcedureId};
use crate::domain::library::Library;
use crate::domain::page::PageDesign;
use crate::domain::phrase::Phrases;
use crate::domain::record::{Record, Visit};
use crate::files::problem::{Colour, Problems};
use crate::files::shelf::Shelf;
use crate::files::source::{LIBRARY_BYTES, RECORD_BYTES, SourceFile, bytes_of};
use crate::files::{library, page, record, words};
use crate::store::{first_broken, not_in_record, verify_all};

use super::error::CliError;
use super::say;

/// A record and everything a decision on it needs.
#[derive(Debug)]
pub struct Opened {
    /// The record's path as given.
    pub path: PathBuf,
    /// Its bytes as read; what is written later is these and more.
    pub bytes: Vec<u8>,
    /// The record.
    pub record: Record,
    /// The library of its procedure, with its clinic on top.
    pub library: Library,
    /// Sentences in its language.
    pub phrases: Phrases,
    /// Numbers of the printed page.
    pub page: PageDesign,
}

impl Opened {
    /// Lists the sheets kept beside the record that it does not name, by number.
    pub fn sheets_not_in_it(&self) -> Result<Vec<i64>, CliError> {
        let token = &self.record.episode.token;
        Ok(not_in_record(&self.path, token, self.named())?)
    }

    /// Lists those of them that are newer than all it names.
    pub fn sheets_after_it(&self) -> Result<Vec<i64>, CliError> {
        let last = self.named().max().unwrap_or(0);
        let all = self.sheets_not_in_it()?;
        Ok(all.into_iter().filter(|sheet| *sheet > last).collect())
    }

    fn named(&self) -> impl Iterator<Item = i64> {
        let issued = self.record.visits.iter().flat_map(|visit| &visit.issued);
        issued.map(|issued| issued.sheet)
    }

    /// Returns the record's text.
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.bytes).into_owned()
    }
}

/// Libraries read so far, by procedure and clinic file.
pub type Kits = BTreeMap<(ProcedureId, PathBuf), Kit>;

/// A library with the words and the page that go with it.
#[derive(Debug, Clone)]
pub struct Kit {
    /// The library.
    pub library: Library,
    /// Sentences.
    pub phrases: Phrases,
    /// The page.
    pub page: PageDesign,
}

/// How problems are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Telling {
    /// With excerpts.
    Full,
    /// One line each, for editors.
    Short,
}

/// Turns problems into an error ready to print.
pub fn told(problems: &Problems, telling: Telling) -> CliError {
    CliError::Files(match telling {
        Telling::Full => problems.render(Colour::Plain),
        Telling::Short => problems.short(),
    })
}

#[expect(clippy::needless_pass_by_value, reason = "for map_err")]
pub fn full(problems: Problems) -> CliError {
    told(&problems, Telling::Full)
}

/// Opens a record with its library; says when it seems to be an older copy.
pub fn open(path: &Path, clinic: Option<&Path>) -> Result<Opened, CliError> {
    let opened = open_as(path, clinic, Telling::Full)?;
    for sheet in opened.sheets_after_it()? {
        say::talk(&format!("warning: {}", stray(sheet)));
    }
    Ok(opened)
}

/// Says that a sheet is kept here which the record does not name.
pub fn stray(sheet: i64) -> String {
    format!("sheet {sheet} is here but not in the record: a crash, or an older copy")
}

/// Opens a record with its library; problems are told as asked.
pub fn open_as(path: &Path, clinic: Option<&Path>, telling: Telling) -> Result<Opened, CliError> {
    open_among(path, clinic, telling, &mut Kits::new())
}

/// Opens one of many records: a library that was read for an earlier one is not read again.
pub fn open_among(
    path: &Path,
    clinic: Option<&Path>,
    telling: Telling,
    kits: &mut Kits,
) -> Result<Opened, CliError> {
    let wrong = |problems: Problems| told(&problems, telling);
    let bytes = bytes_of(path, RECORD_BYTES).map_err(|cause| CliError::Disk {
        path: path.to_owned(),
        cause,
    })?;
    let file =
        SourceFile::from_bytes(&path.display().to_string(), &bytes, RECORD_BYTES).map_err(wrong)?;
    let head = record::head(&file).map_err(wrong)?;
    let of = (head.procedure.clone(), clinic_path(path, clinic)?);
    let kit = match kits.get(&of) {
        Some(kit) => kit.clone(),
        None => kit(&head.procedure, path, clinic, telling)?,
    };
    kits.entry(of).or_insert_with(|| kit.clone());
    let record = record::read(&file, &kit.library).map_err(wrong)?;
    Ok(Opened {
        path: path.to_owned(),
        bytes,
        record,
        library: kit.library,
        phrases: kit.phrases,
        page: kit.page,
    })
}

/// Loads the library of a procedure for something near a path.
pub fn library_for(
    procedure: &ProcedureId,
    near: &Path,
    clinic: Option<&Path>,
) -> Result<Kit, CliError> {
    kit(procedure, near, clinic, Telling::Full)
}

fn kit(
    procedure: &ProcedureId,
    near: &Path,
    clinic: Option<&Path>,
    telling: Telling,
) -> Result<Kit, CliError> {
    let wrong = |problems: Problems| told(&problems, telling);
    let path = clinic_path(near, clinic)?;
    let library = library::load(procedure, &path).map_err(wrong)?;
    let phrases = words::load(&library.clinic.language).map_err(wrong)?;
    let page = page::load().map_err(wrong)?;
    Ok(Kit {
        library,
        phrases,
        page,
    })
}

/// Finds the clinic's file: the flag, else the environment, else the nearest one at or above.
pub fn clinic_path(near: &Path, clinic: Option<&Path>) -> Result<PathBuf, CliError> {
    let named = clinic
        .map(Path::to_owned)
        .or_else(say::clinic_from_environment);
    library::find_clinic(named.as_deref(), near).map_err(full)
}

/// Loads a library and counts its numbers by source.
pub fn loaded_for(
    procedure: &ProcedureId,
    near: &Path,
    clinic: Option<&Path>,
) -> Result<library::Loaded, CliError> {
    let path = clinic_path(near, clinic)?;
    let clinic = SourceFile::read(&path, LIBRARY_BYTES).map_err(full)?;
    library::load_from(&Shelf::built_in(), procedure, &clinic).map_err(full)
}

/// Reads a record as it would become, so that nothing wrong is ever written.
pub fn read_as_it_would_be(opened: &Opened, bytes: &[u8]) -> Result<Record, CliError> {
    let shown = format!("{} (as it would be)", opened.path.display());
    let file: Arc<SourceFile> =
        SourceFile::from_bytes(&shown, bytes, RECORD_BYTES).map_err(full)?;
    record::read(&file, &opened.library).map_err(full)
}

/// Refuses a record whose closed visits are not what they were.
pub fn refuse_broken_seal(opened: &Opened) -> Result<(), CliError> {
    let path = say::shown(&opened.path);
    let seals =
        verify_all(&opened.text()).map_err(|fault| CliError::Files(format!("{path}: {fault}")))?;
    match first_broken(&seals) {
        Some(seal) => Err(CliError::Files(broken(
            &path,
            seal.visit,
            seal.line,
            &seal.state.to_string(),
        ))),
        None => Ok(()),
    }
}

/// Says which seal does not hold and what to do.
pub fn broken(path: &str, visit: i64, line: Option<usize>, state: &str) -> String {
    let line = line.map_or(String::new(), |line| format!(":{line}"));
    format!(
        "{path}{line}: the seal of visit {visit} does not hold: {state}\n\
         Nothing was repaired. Take the record back from a copy, or correct the visit with \
         `visit --corrects {visit}` after putting back what was sealed."
    )
}

/// Finds the visit a command is about: of a date, or the latest in time; a corrected one is none.
pub fn visit_of(record: &Record, date: Option<NaiveDate>) -> Result<&Visit, CliError> {
    let found = record
        .effective()
        .into_iter()
        .rev()
        .find(|visit| date.is_none_or(|date| visit.date == date));
    found.ok_or_else(|| {
        CliError::Usage(match date {
            Some(date) => format!("the record has no visit of {date}"),
            None => "the record has no visit yet; add one with `visit`".to_owned(),
        })
    })
}

/// Lists the procedures built in.
pub fn built_in_procedures() -> Vec<ProcedureId> {
    let shelf = Shelf::built_in();
    let ids = shelf.ids("protocols/procedures");
    ids.into_iter()
        .filter_map(|id| ProcedureId::new(id).ok())
        .collect()
}
