//! `handout`: previews a sheet, issues one, or gives back the very bytes that went out.

use std::path::Path;
use std::process::ExitCode;

use crate::domain::record::{IssuedFile, IssuedItem, Record, Visit};
use crate::domain::time::VisitDate;
use crate::domain::verdict::{Item, Program, Verdict};
use crate::engine::decide;
use crate::handout::explain::{Reasons, explain_program};
use crate::handout::{Issue, IssueKind, build};
use crate::store::{NewIssued, Sheet, SheetKind, issue};

use super::args::{HandoutArgs, SheetForm};
use super::desk::{Terminal, agreed, somebody_is_there};
use super::error::{CliError, NO_PROGRAM};
use super::open::{Opened, open, refuse_broken_seal, visit_of};
use super::output::{self, hand_over, refuse};
use super::{again, at_home, keep, say, void};

/// Days after which a handout for a visit warns.
const LATE_DAYS: i64 = 3;

/// Runs `handout`.
pub fn run(args: &HandoutArgs, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    let opened = open(&args.record, clinic)?;
    refuse_broken_seal(&opened)?;
    if !args.keep {
        refuse(&args.to, Some(&opened.path))?;
    }
    if let Some(sheet) = args.sheet {
        return again::give_back_sheet(&opened, &args.to, sheet);
    }
    let visit = visit_of(&opened.record, args.date)?;
    if args.keep {
        return keep::run(&opened, visit);
    }
    match visit
        .issued
        .as_ref()
        .map(|issued| issued.sheet)
        .or(visit.kept)
    {
        Some(sheet) if !args.preview => {
            if visit.kept.is_some() {
                say::talk(&format!(
                    "visit {} (a call) left sheet {sheet} at home",
                    visit.n
                ));
            }
            again::give_back_sheet(&opened, &args.to, sheet)
        }
        Some(_) | None => {
            if !args.preview {
                refuse_without_sheet(&opened.record, visit)?;
            }
            void::refuse_overtaken(&opened.record, visit)?;
            afresh(&opened, args, visit)
        }
    }
}

/// A correction written after a later visit was closed at once, and no sheet goes out for it.
fn refuse_without_sheet(record: &Record, visit: &Visit) -> Result<(), CliError> {
    let Some(old) = record.corrected(visit).filter(|_| visit.closed.is_some()) else {
        return Ok(());
    };
    let sheet = record.given_at(visit).map_or_else(String::new, |given| {
        let n = given.issued.sheet;
        format!("; the sheet of that day is given back with --sheet {n}")
    });
    Err(CliError::Usage(format!(
        "visit {} corrects visit {} and was closed without a sheet, because a later visit \
         stood{sheet}",
        visit.n, old.n
    )))
}

/// Refuses a sheet that does not hold to an order on record, unless somebody says yes to it.
fn refuse_unknown_orders(record: &Record, visit: &Visit) -> Result<(), CliError> {
    let prompt = "Issue a sheet that does not hold to it all the same? y, or Enter for no: ";
    if !at_home::warn_unknown_orders(record, visit) {
        return Ok(());
    }
    if somebody_is_there() && agreed(&mut Terminal::open()?, prompt)? {
        return Ok(());
    }
    Err(CliError::Usage(
        "no sheet went out, and the visit stays open".to_owned(),
    ))
}

/// Decides and draws; issues unless it is a preview.
fn afresh(opened: &Opened, args: &HandoutArgs, visit: &Visit) -> Result<ExitCode, CliError> {
    let verdict = decide(&opened.library, &opened.record, VisitDate(visit.date));
    if let Verdict::Unanswered(_) = &verdict {
        say::talk(&explain_program(&verdict, &opened.library, &opened.record));
        return Ok(ExitCode::from(NO_PROGRAM));
    }
    let sheets = if args.preview {
        at_home::warn_unknown_orders(&opened.record, visit);
        let how = how_issued(opened, IssueKind::Preview, visit)?;
        draw(opened, &verdict, &how, &[args.to.form])?
    } else {
        let issued = issue_decided(opened, visit, &verdict)?;
        say::talk(&format!(
            "sheet {} issued; visit {} is closed",
            issued.sheet, visit.n
        ));
        issued.sheets
    };
    if let Some(sheet) = sheets
        .iter()
        .find(|sheet| sheet.kind == kind_of(args.to.form))
    {
        hand_over(&args.to, &sheet.bytes)?;
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
    void::refuse_overtaken(&opened.record, visit)?;
    let verdict = decide(&opened.library, &opened.record, VisitDate(visit.date));
    if let Verdict::Unanswered(_) = &verdict {
        let words = explain_program(&verdict, &opened.library, &opened.record);
        return Err(CliError::Usage(words));
    }
    issue_decided(opened, visit, &verdict)
}

/// Draws every form of what was decided, keeps them and closes the visit.
fn issue_decided(opened: &Opened, visit: &Visit, verdict: &Verdict) -> Result<Issued, CliError> {
    refuse_unknown_orders(&opened.record, visit)?;
    let how = how_issued(opened, IssueKind::Issued, visit)?;
    let sheets = draw(opened, verdict, &how, &[SheetForm::Pdf, SheetForm::Text])?;
    warn_if_late(visit);
    let files = keep(opened, visit, verdict, &how, &sheets)?;
    Ok(Issued {
        sheet: how.sheet,
        withheld: matches!(verdict, Verdict::Withheld(_)),
        sheets,
        files,
    })
}

/// Keeps the sheets and their reasons beside the record and closes the visit.
fn keep(
    opened: &Opened,
    visit: &Visit,
    verdict: &Verdict,
    how: &Issue,
    sheets: &[Sheet],
) -> Result<Vec<IssuedFile>, CliError> {
    let reasons = Reasons::of(verdict, &opened.library, &opened.record, visit, how.sheet)
        .and_then(|reasons| reasons.to_bytes())
        .map_err(|error| CliError::Sheet(error.to_string()))?;
    let mut files = sheets.to_vec();
    files.push(Sheet {
        kind: SheetKind::Reasons,
        bytes: reasons,
    });
    let new = new_issued(opened, visit, verdict, how, files);
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
        Ok(Sheet {
            kind: kind_of(*form),
            bytes: output::draw(&document, *form, &opened.page)?,
        })
    };
    forms.iter().map(sheet).collect()
}

/// Returns the sheet's number and what it replaces: a closed visit keeps its own number.
fn how_issued(opened: &Opened, kind: IssueKind, visit: &Visit) -> Result<Issue, CliError> {
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
    let sheet = match &visit.issued {
        Some(issued) => issued.sheet,
        None => next_number(opened, last)?,
    };
    Ok(Issue {
        sheet,
        replaces: last,
        kind,
    })
}

/// A number that any kept sheet has is never given again, whether the record names it or not.
fn next_number(opened: &Opened, last: Option<i64>) -> Result<i64, CliError> {
    let kept = opened.sheets_not_in_it()?;
    let highest = kept.into_iter().chain(last).max().unwrap_or(0);
    Ok(highest.saturating_add(1))
}

fn new_issued(
    opened: &Opened,
    visit: &Visit,
    verdict: &Verdict,
    how: &Issue,
    sheets: Vec<Sheet>,
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
        sheets,
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
        may_reach: program.may_reach(item),
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

/// Returns the kind of file a form is.
pub fn kind_of(form: SheetForm) -> SheetKind {
    match form {
        SheetForm::Pdf => SheetKind::Pdf,
        SheetForm::Text => SheetKind::Text,
    }
}
