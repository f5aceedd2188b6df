//! `visit` at a terminal.

use std::path::Path;
use std::process::ExitCode;

use clap::Parser;

use crate::domain::record::Visit;
use crate::domain::word::{ScreenAnswer, Word};
use crate::handout::explain::explain_void;

use super::super::append::prepare;
use super::super::args::{Cli, Command, VisitCommand};
use super::super::error::{CliError, USAGE};
use super::super::open::{Opened, open, refuse_broken_seal};
use super::super::pending::{Pending, Start};
use super::super::say;
use super::answers::Answers;
use super::draft::{self, Draft};
use super::nearby::look;
use super::print::{Finished, finish};
use super::review::{self, Outcome};
use super::scene::{Cut, Depth, Scene};
use super::terminal::{Desk, Terminal};
use super::{Desked, Given, KEYS, converse, folder_of, follow, keep, resume};

/// Asks for a visit, shows its sheet, writes and issues.
pub fn run(
    args: &VisitCommand,
    given: &Given,
    clinic: Option<&Path>,
) -> Result<ExitCode, CliError> {
    let mut terminal = Terminal::open()?;
    let desk: &mut dyn Desk = &mut terminal;
    let opened = open(&args.record, clinic)?;
    refuse_broken_seal(&opened)?;
    if args.corrects.is_none() && opened.record.open_visit().is_some() {
        return still_open(desk, opened, args);
    }
    let draft = draft::path_for(&args.record);
    let mut answers = Answers::given(given.flags.clone());
    resume(desk, &draft, &opened.bytes, &mut answers)?;
    let corrects = corrected(&opened, args)?;
    let near = look(&folder_of(&args.record), &opened.library);
    let date = answers.get("date").and_then(|date| date.parse().ok());
    let date = args
        .visit
        .date
        .or(date)
        .or(corrects.map(|visit| visit.date));
    let date = date.unwrap_or_else(say::today);
    let mut scene = Scene {
        library: &opened.library,
        record: Some(&opened.record),
        corrects,
        near: &near,
        date,
        depth: if args.desk.full {
            Depth::Full
        } else {
            Depth::Usual
        },
        answers,
        cut: Cut::No,
        told: Cut::No,
    };
    scene.answers.add("date", date.to_string());
    heading(desk, &opened, &scene);
    let build = |scene: &Scene<'_>| {
        let args = parsed(given, &scene.answers)?;
        let opened = open(&args.record, clinic)?;
        let visit = prepare(&args, &opened)?;
        Ok(Pending {
            opened,
            start: Start::OnDisk,
            visit: Some(visit),
            adjusts: Vec::new(),
        })
    };
    let ended = converse(desk, &mut scene, follow::QUESTIONS, &build)?;
    let how = match ended {
        Desked::Left => {
            keep(desk, &draft, &opened.bytes, &mut scene)?;
            return Ok(ExitCode::from(USAGE));
        }
        Desked::Print(pending) => {
            finish(desk, *pending, Finished::Issue, args.desk.output.as_deref())
        }
        Desked::Save(pending) => finish(desk, *pending, Finished::Save, None),
    };
    match how {
        Ok(code) => {
            draft::remove(&draft);
            Ok(code)
        }
        Err(error) => {
            Draft::of(&scene.answers, &opened.bytes).keep(&draft)?;
            desk.tell(&format!("Your answers are kept in {}", say::shown(&draft)));
            Err(error)
        }
    }
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
        desk.tell(&format!(
            "This corrects visit {}: Enter keeps what was typed then. The old one stays in the \
             record.",
            wrong.n
        ));
    } else if let Some(last) = scene.earlier().first() {
        desk.tell(&format!(
            "Last visit: {} by {}, sheet {}.",
            last.date.format("%A %-d %B %Y"),
            last.by,
            last.issued
                .as_ref()
                .map_or_else(|| "none".to_owned(), |issued| issued.sheet.to_string())
        ));
    }
    if let Some(latest) = opened.record.latest() {
        for line in explain_void(&opened.record, latest) {
            desk.tell(&format!("The last sheet is void: {line}"));
            desk.tell("The sheet made now says so to the patient.");
        }
    }
    for line in still_withheld(opened, scene) {
        desk.tell(&line);
    }
    desk.tell(KEYS);
}

/// Says at once that exercises are withheld by a sign nobody is on record as having assessed.
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
        let assessed = opened.record.clearances.iter();
        let assessed = assessed
            .filter(|clear| clear.flag == **flag && clear.on >= visit.date)
            .count();
        **answer == ScreenAnswer::Yes && assessed == 0
    });
    let mut lines: Vec<String> = open
        .map(|(flag, _)| {
            let path = say::shown(&opened.path);
            format!("  banister clear {path} {flag} --by WHO")
        })
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
) -> Result<ExitCode, CliError> {
    let n = opened.record.visits.last().map_or(0, |visit| visit.n);
    desk.tell(&format!(
        "{}: visit {n} is open: written, and no sheet has gone out for it yet.",
        say::shown(&opened.path)
    ));
    let mut pending = Pending {
        opened,
        start: Start::OnDisk,
        visit: None,
        adjusts: Vec::new(),
    };
    loop {
        match review::run(desk, &mut pending)? {
            Outcome::Print => {
                return finish(desk, pending, Finished::Issue, args.desk.output.as_deref());
            }
            Outcome::Save => return finish(desk, pending, Finished::Save, None),
            Outcome::Leave => {
                desk.tell("Nothing was written.");
                return Ok(ExitCode::from(USAGE));
            }
            Outcome::Back | Outcome::More | Outcome::Again(_) => desk.tell(&format!(
                "Its answers stand in the record. If one is wrong: `banister visit {} \
                 --corrects {n}`.",
                say::shown(&pending.opened.path)
            )),
        }
    }
}

/// Reads the command line again, with the answers on it.
fn parsed(given: &Given, answers: &Answers) -> Result<VisitCommand, CliError> {
    let cli = Cli::try_parse_from(given.with(answers))
        .map_err(|error| CliError::Usage(error.to_string()))?;
    if let Command::Visit(args) = cli.command {
        return Ok(*args);
    }
    Err(CliError::Usage("this is no visit".to_owned()))
}
