//! `visit` at a terminal.

use std::path::Path;
use std::process::ExitCode;

use chrono::NaiveDate;

use crate::domain::record::Visit;
use crate::domain::word::{How, ScreenAnswer, Word};
use crate::handout::explain::explain_void;
use crate::store::StoreError;

use super::super::append::prepare;
use super::super::args::{Command, VisitCommand};
use super::super::error::{CliError, USAGE};
use super::super::open::{Opened, open, refuse_broken_seal};
use super::super::pending::{Pending, Start};
use super::super::say;
use super::answers::Answers;
use super::carry::carry;
use super::draft::{Keeper, Purpose, place};
use super::print::{Finished, finish};
use super::review::{self, Outcome};
use super::scene::Scene;
use super::sitting::{Offered, Sitting};
use super::terminal::{Desk, Terminal};
use super::{Given, KEYS, depth, follow, refuse_output};

/// Asks for a visit, shows its sheet, writes and issues.
pub fn run(
    args: &VisitCommand,
    given: &Given,
    clinic: Option<&Path>,
) -> Result<ExitCode, CliError> {
    refuse_output(&args.desk)?;
    let opened = open(&args.record, clinic)?;
    refuse_broken_seal(&opened)?;
    let mut terminal = Terminal::open()?;
    if args.corrects.is_none() && opened.record.open_visit().is_some() {
        return still_open(&mut terminal, opened, args, given);
    }
    let corrects = corrected(&opened, args)?;
    let purpose = purpose(args, corrects);
    let mut sitting = Sitting {
        desk: &mut terminal,
        keeper: Keeper::new(purpose.clone(), &args.record, &opened.bytes),
    };
    let mut answers = Answers::given(given.flags.clone());
    let path = place(&args.record, &purpose);
    let offered = sitting.offer(&[path], &purpose, &opened.bytes, &mut answers)?;
    if offered == Offered::Left {
        return Ok(ExitCode::from(USAGE));
    }
    let mut scene = scene(args, &opened, corrects, answers);
    heading(sitting.desk, &opened, &scene);
    let build = |scene: &Scene<'_>| build(scene, given, clinic, &opened);
    let output = args.desk.output.as_deref();
    sitting.hold(&mut scene, follow::QUESTIONS, &build, output)
}

fn purpose(args: &VisitCommand, corrects: Option<&Visit>) -> Purpose {
    match corrects {
        Some(wrong) => Purpose::Correction(wrong.n),
        None if args.visit.phone => Purpose::Call,
        None => Purpose::Visit,
    }
}

fn scene<'a>(
    args: &VisitCommand,
    opened: &'a Opened,
    corrects: Option<&'a Visit>,
    answers: Answers,
) -> Scene<'a> {
    let date = answers.get("date").and_then(|date| date.parse().ok());
    let date = date.or(corrects.map(|visit| visit.date));
    let date = date.unwrap_or_else(say::today);
    let mut scene = Scene::new(&opened.library, date, depth(&args.desk), answers);
    scene.record = Some(&opened.record);
    scene.corrects = corrects;
    scene.answers.add("date", date.to_string());
    scene
}

/// Makes the visit; the record must still be the one the questions were asked on.
fn build(
    scene: &Scene<'_>,
    given: &Given,
    clinic: Option<&Path>,
    asked_on: &Opened,
) -> Result<Pending, CliError> {
    let Command::Visit(args) = given.command_with(&scene.answers)? else {
        return Err(CliError::Usage("this is no visit".to_owned()));
    };
    let opened = open(&args.record, clinic)?;
    if opened.bytes != asked_on.bytes {
        return Err(CliError::Store(StoreError::Changed {
            path: opened.path.clone(),
        }));
    }
    let mut visit = prepare(&args, &opened)?;
    if let Some(wrong) = scene.corrects {
        carry(&mut visit, &asked_on.record, wrong, &scene.answers);
    }
    Ok(Pending {
        opened,
        start: Start::OnDisk,
        visit: Some(visit),
        adjusts: Vec::new(),
    })
}

/// Finds the visit that is typed once more.
fn corrected<'a>(opened: &'a Opened, args: &VisitCommand) -> Result<Option<&'a Visit>, CliError> {
    let Some(n) = args.corrects else {
        return Ok(None);
    };
    let found = opened.record.visits.iter().find(|visit| visit.n == n);
    found.map(Some).ok_or_else(|| {
        CliError::Usage(format!(
            "there is no visit {n} to correct; the record has visits 1 to {}",
            opened.record.visits.len()
        ))
    })
}

fn heading(desk: &mut dyn Desk, opened: &Opened, scene: &Scene<'_>) {
    let episode = &opened.record.episode;
    let day = opened.record.day(scene.date).get();
    desk.tell(&format!(
        "{}: {}, {} {}. Visit of {}, day {day}.",
        episode.token,
        episode.procedure,
        episode.side.as_str().to_uppercase(),
        episode.joint,
        scene.date.format("%A %-d %B %Y")
    ));
    if let Some(wrong) = scene.corrects {
        let how = match wrong.how {
            How::Seen => "",
            How::Phone => " (a call)",
        };
        desk.tell(&format!(
            "This corrects visit {}{how}: Enter keeps what was typed then, and what is not asked \
             stays as it was. The old visit stays in the record.",
            wrong.n
        ));
    } else if let Some(last) = scene.earlier().first() {
        desk.tell(&format!(
            "Last visit: {} by {}, sheet {}.",
            last.date.format("%A %-d %B %Y"),
            last.by,
            sheet_of(last)
        ));
    }
    for line in of_the_last_sheet(opened, scene) {
        desk.tell(&line);
    }
    desk.tell(KEYS);
}

/// Names the sheet a visit gave, or left at home.
fn sheet_of(visit: &Visit) -> String {
    match (&visit.issued, visit.kept) {
        (Some(issued), _) => issued.sheet.to_string(),
        (None, Some(kept)) => format!("{kept} left at home"),
        (None, None) => "none".to_owned(),
    }
}

/// Says at once that the last sheet is void, or that exercises are withheld.
fn of_the_last_sheet(opened: &Opened, scene: &Scene<'_>) -> Vec<String> {
    let latest = opened.record.latest();
    let void = latest.map_or(Vec::new(), |latest| explain_void(&opened.record, latest));
    let mut lines: Vec<String> = void
        .into_iter()
        .map(|why| format!("THE LAST SHEET IS VOID: {why} The sheet made now says so."))
        .collect();
    lines.extend(still_withheld(opened, scene));
    lines
}

/// Says that exercises are withheld by a sign nobody is on record as having assessed.
fn still_withheld(opened: &Opened, scene: &Scene<'_>) -> Vec<String> {
    let earlier = scene.earlier();
    let withheld = earlier.first().filter(|visit| {
        let issued = visit.issued.as_ref();
        issued.is_some_and(|issued| issued.phase.is_none())
    });
    let Some(visit) = withheld else {
        return Vec::new();
    };
    let screen = visit.screen.as_ref().known().into_iter().flatten();
    let open = screen.filter(|(flag, answer)| {
        let assessed = opened.record.assessed_after(flag, visit, NaiveDate::MAX);
        **answer == ScreenAnswer::Yes && !assessed
    });
    let path = say::shown(&opened.path);
    let mut lines: Vec<String> = open
        .map(|(flag, _)| format!("  banister clear {path} {flag} --by WHO"))
        .collect();
    if !lines.is_empty() {
        lines.insert(
            0,
            "EXERCISES ARE WITHHELD, and no assessment is on record. If there was one:".to_owned(),
        );
    }
    lines
}

/// Shows the visit that is still open, to be changed and printed.
fn still_open(
    desk: &mut dyn Desk,
    opened: Opened,
    args: &VisitCommand,
    given: &Given,
) -> Result<ExitCode, CliError> {
    let visit = opened.record.open_visit();
    let (n, date) = visit.map_or((0, String::new()), |visit| {
        (visit.n, visit.date.to_string())
    });
    let path = say::shown(&opened.path);
    if given.tells_of_a_visit() {
        return Err(CliError::Usage(format!(
            "{path}: visit {n} of {date} is still open: look at it with `banister visit {path}`, \
             or give it again with --corrects {n}"
        )));
    }
    desk.tell(&format!(
        "{path}: visit {n} of {date} is open: it is written, and no sheet has gone out for it."
    ));
    let mut pending = Pending {
        opened,
        start: Start::OnDisk,
        visit: None,
        adjusts: Vec::new(),
    };
    let output = args.desk.output.as_deref();
    loop {
        match review::run(desk, &mut pending)? {
            Outcome::Print => return finish(desk, &pending.write()?, Finished::Issue, output),
            Outcome::Keep => return finish(desk, &pending.write()?, Finished::Keep, None),
            Outcome::Save => return finish(desk, &pending.write()?, Finished::Save, None),
            Outcome::Leave => {
                desk.tell("Nothing was written.");
                return Ok(ExitCode::from(USAGE));
            }
            Outcome::Back | Outcome::More | Outcome::Again(_) => desk.tell(&format!(
                "Its answers stand in the record. If one is wrong or missing:\n  banister visit \
                 {path} --corrects {n}"
            )),
        }
    }
}
