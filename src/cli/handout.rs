//! `handout`: previews a sheet, issues one, or gives back the very bytes that went out.

use std::io::IsTerminal;
use std::path::Path;
use std::process::ExitCode;

use crate::domain::record::{IssuedFile, IssuedItem, Visit};
use crate::domain::time::VisitDate;
use crate::domain::verdict::{Item, Program, Verdict};
use crate::engine::decide;
use crate::handout::explain::explain_program;
use crate::handout::{Issue, IssueKind, build};
use crate::render::{pdf, text};
use crate::store::{
    Existing, NewIssued, Sheet, SheetKind, give_back, issue, sheets_folder, write_output,
};

use super::args::{HandoutArgs, SheetForm};
use super::error::{CliError, NO_PROGRAM};
use super::open::{Opened, open, refuse_broken_seal, visit_of};
use super::say;

/// Days after which a handout for a visit warns.
const LATE_DAYS: i64 = 3;

/// Runs `handout`.
pub fn run(args: &HandoutArgs, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    let opened = open(&args.record, clinic)?;
    refuse_broken_seal(&opened)?;
    refuse_output(&opened, args)?;
    if let Some(sheet) = args.sheet {
        return again(&opened, args, sheet);
    }
    let visit = visit_of(&opened.record, args.date)?;
    match &visit.issued {
        Some(issued) if !args.preview => again(&opened, args, issued.sheet),
        Some(_) | None => afresh(&opened, args, visit),
    }
}

/// Gives back a sheet as it went out.
fn again(opened: &Opened, args: &HandoutArgs, sheet: i64) -> Result<ExitCode, CliError> {
    let issued = opened
        .record
        .visits
        .iter()
        .filter_map(|visit| visit.issued.as_ref())
        .find(|issued| issued.sheet == sheet)
        .ok_or_else(|| {
            CliError::Usage(format!("sheet {sheet} was never issued for this record"))
        })?;
    let end = format!(".{}", kind_of(args.form).extension());
    let file = issued
        .files
        .iter()
        .find(|file| file.name.ends_with(&end))
        .ok_or_else(|| CliError::Usage(format!("sheet {sheet} was not issued in that form")))?;
    let bytes = give_back(&opened.path, file)?;
    hand_over(args, &bytes)?;
    say::talk(&format!("sheet {sheet}, exactly as it was issued"));
    let withheld = issued.phase.is_none();
    Ok(if withheld {
        ExitCode::from(NO_PROGRAM)
    } else {
        ExitCode::SUCCESS
    })
}

/// Decides and draws; issues unless it is a preview.
fn afresh(opened: &Opened, args: &HandoutArgs, visit: &Visit) -> Result<ExitCode, CliError> {
    let verdict = decide(&opened.library, &opened.record, VisitDate(visit.date));
    if let Verdict::Unanswered(_) = &verdict {
        say::talk(&explain_program(&verdict, &opened.library, &opened.record));
        return Ok(ExitCode::from(NO_PROGRAM));
    }
    let kind = if args.preview {
        IssueKind::Preview
    } else {
        IssueKind::Issued
    };
    let how = how_issued(opened, kind, visit);
    // What goes out is kept in every form; a preview draws only what was asked for.
    let forms = if args.preview {
        vec![args.form]
    } else {
        vec![SheetForm::Pdf, SheetForm::Text]
    };
    let sheets = draw(opened, &verdict, &how, &forms)?;
    if !args.preview {
        warn_if_late(visit);
        keep(opened, visit, &verdict, &how, &sheets)?;
        say::talk(&format!(
            "sheet {} issued; visit {} is closed",
            how.sheet, visit.n
        ));
    }
    if let Some(sheet) = sheets.iter().find(|sheet| sheet.kind == kind_of(args.form)) {
        hand_over(args, &sheet.bytes)?;
    }
    Ok(match verdict {
        Verdict::Program(_) => ExitCode::SUCCESS,
        Verdict::Withheld(_) | Verdict::Unanswered(_) => {
            say::talk("no program: exercises are withheld, and the sheet says whom to ring");
            ExitCode::from(NO_PROGRAM)
        }
    })
}

/// A sheet that went out.
#[derive(Debug)]
pub struct Issued {
    /// Its number.
    pub sheet: i64,
    /// It is a page that withholds.
    pub withheld: bool,
    /// Its bytes.
    pub sheets: Vec<Sheet>,
    /// Its files as the record names them.
    pub files: Vec<IssuedFile>,
}

/// Decides on the open visit of a record, draws every form, keeps them, closes the visit.
pub fn issue_open(opened: &Opened) -> Result<Issued, CliError> {
    refuse_broken_seal(opened)?;
    let visit = visit_of(&opened.record, None)?;
    let verdict = decide(&opened.library, &opened.record, VisitDate(visit.date));
    if let Verdict::Unanswered(_) = &verdict {
        let words = explain_program(&verdict, &opened.library, &opened.record);
        return Err(CliError::Usage(words));
    }
    let how = how_issued(opened, IssueKind::Issued, visit);
    let sheets = draw(opened, &verdict, &how, &[SheetForm::Pdf, SheetForm::Text])?;
    warn_if_late(visit);
    let files = keep(opened, visit, &verdict, &how, &sheets)?;
    Ok(Issued {
        sheet: how.sheet,
        withheld: matches!(verdict, Verdict::Withheld(_)),
        sheets,
        files,
    })
}

/// Keeps the sheets beside the record and closes the visit.
fn keep(
    opened: &Opened,
    visit: &Visit,
    verdict: &Verdict,
    how: &Issue,
    sheets: &[Sheet],
) -> Result<Vec<IssuedFile>, CliError> {
    let new = new_issued(opened, visit, verdict, how, sheets);
    let kept = issue(&opened.path, &opened.bytes, &new)?;
    Ok(kept.files)
}

/// Draws the forms asked for.
fn draw(
    opened: &Opened,
    verdict: &Verdict,
    how: &Issue,
    forms: &[SheetForm],
) -> Result<Vec<Sheet>, CliError> {
    let document = build(
        verdict,
        &opened.library,
        &opened.record,
        &opened.phrases,
        how,
    )
    .map_err(|error| CliError::Sheet(error.to_string()))?;
    let sheet = |form: &SheetForm| {
        let bytes = match form {
            SheetForm::Pdf => pdf::pdf(&document, &opened.page)
                .map_err(|error| CliError::Sheet(error.to_string()))?,
            SheetForm::Text => text::text(&document).into_bytes(),
        };
        Ok(Sheet {
            kind: kind_of(*form),
            bytes,
        })
    };
    forms.iter().map(sheet).collect()
}

/// Returns the sheet's number and what it replaces: a closed visit keeps its own number.
fn how_issued(opened: &Opened, kind: IssueKind, visit: &Visit) -> Issue {
    let earlier: Vec<&Visit> = opened
        .record
        .visits
        .iter()
        .filter(|other| other.n < visit.n)
        .collect();
    let last = earlier
        .iter()
        .filter_map(|other| other.issued.as_ref())
        .map(|issued| issued.sheet)
        .max();
    let sheet = visit.issued.as_ref().map_or_else(
        || last.unwrap_or(0).saturating_add(1),
        |issued| issued.sheet,
    );
    Issue {
        sheet,
        replaces: last,
        kind,
    }
}

fn new_issued(
    opened: &Opened,
    visit: &Visit,
    verdict: &Verdict,
    how: &Issue,
    sheets: &[Sheet],
) -> NewIssued {
    let program = match verdict {
        Verdict::Program(program) => Some(program),
        Verdict::Withheld(_) | Verdict::Unanswered(_) => None,
    };
    NewIssued {
        visit: visit.n,
        sheet: how.sheet,
        use_from: program.map_or(visit.date, |program| program.life.from),
        use_until: program.map_or(visit.date, |program| program.life.until),
        program: env!("CARGO_PKG_VERSION").to_owned(),
        library: opened.library.digests.built_in.clone(),
        clinic_files: opened.library.digests.clinic.clone(),
        phase: program.map(|program| program.phase.clone()),
        items: program.map_or(Vec::new(), |program| issued_items(program)),
        sheets: sheets.to_vec(),
    }
}

fn issued_items(program: &Program) -> Vec<IssuedItem> {
    let all = program
        .items
        .iter()
        .chain(&program.background)
        .chain(&program.daily);
    all.map(|item: &Item| IssuedItem {
        exercise: item.exercise.clone(),
        rung: item.rung.clone(),
        dose: item.dose.clone(),
        slots: item.slots.clone(),
    })
    .collect()
}

fn warn_if_late(visit: &Visit) {
    let days = say::today().signed_duration_since(visit.date).num_days();
    if days > LATE_DAYS {
        say::talk(&format!(
            "warning: this sheet is for the visit of {}, {days} days ago; is it still right today?",
            visit.date
        ));
    }
}

/// Says no before anything is issued, not after.
fn refuse_output(opened: &Opened, args: &HandoutArgs) -> Result<(), CliError> {
    refuse_our_own(opened, args)?;
    match &args.output {
        None if args.form == SheetForm::Pdf && std::io::stdout().is_terminal() => {
            Err(CliError::Usage(
                "a PDF does not belong on a terminal: say where, with -o FILE".to_owned(),
            ))
        }
        Some(path) if path.exists() && !args.force => Err(CliError::Usage(format!(
            "{}: exists already; nothing was written. Choose another name, or add --force",
            say::shown(path)
        ))),
        Some(_) | None => Ok(()),
    }
}

/// A record, a clinic's file and a kept sheet are never written over, whatever was asked for.
fn refuse_our_own(opened: &Opened, args: &HandoutArgs) -> Result<(), CliError> {
    let Some(path) = args
        .output
        .as_ref()
        .and_then(|path| path.canonicalize().ok())
    else {
        return Ok(());
    };
    let record = opened.path.canonicalize().ok();
    let sheets = sheets_folder(&opened.path).canonicalize().ok();
    let kept = sheets.is_some_and(|folder| path.starts_with(folder));
    let toml = path.extension().is_some_and(|end| end == "toml");
    if record.as_ref() == Some(&path) || kept || toml {
        return Err(CliError::Usage(format!(
            "{}: is a record, a clinic's file or a kept sheet, and is never written over",
            say::shown(&path)
        )));
    }
    Ok(())
}

fn hand_over(args: &HandoutArgs, bytes: &[u8]) -> Result<(), CliError> {
    let Some(path) = &args.output else {
        return say::result(bytes);
    };
    let existing = if args.force {
        Existing::Replace
    } else {
        Existing::Refuse
    };
    write_output(path, bytes, existing)?;
    say::talk(&format!("written: {}", say::shown(path)));
    Ok(())
}

fn kind_of(form: SheetForm) -> SheetKind {
    match form {
        SheetForm::Pdf => SheetKind::Pdf,
        SheetForm::Text => SheetKind::Text,
    }
}
