//! `intake` at a terminal.

use std::path::Path;
use std::process::ExitCode;

use clap::Parser;

use crate::domain::ids::ProcedureId;

use super::super::args::{Cli, Command, IntakeArgs};
use super::super::error::CliError;
use super::super::intake::{prepare, refuse_name};
use super::super::open::{built_in_procedures, library_for};
use super::super::pending::{Pending, Start};
use super::super::say;
use super::answers::Answers;
use super::draft::{self, Draft};
use super::kind::{Choice, find};
use super::nearby::look;
use super::print::{Finished, finish};
use super::scene::{Cut, Depth, Scene};
use super::terminal::{Desk, Said, Terminal};
use super::{Desked, Given, KEYS, converse, first, folder_of, keep, resume};

/// Asks for a new record, shows its sheet, writes and issues.
pub fn run(args: &IntakeArgs, given: &Given, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    if args.record.is_file() {
        return Err(CliError::Usage(format!(
            "{}: exists already; a record is only ever added to: banister visit {0}",
            say::shown(&args.record)
        )));
    }
    let mut terminal = Terminal::open()?;
    let desk: &mut dyn Desk = &mut terminal;
    let folder = folder_of(&args.record);
    refuse_name(&args.record)?;
    let draft = draft::path_for(&args.record);
    let mut answers = Answers::given(given.flags.clone());
    resume(desk, &draft, &[], &mut answers)?;
    let Some(procedure) = procedure(desk, args, given)? else {
        desk.tell("Nothing was written.");
        return Ok(ExitCode::from(super::super::error::USAGE));
    };
    let kit = library_for(&procedure, &args.record, clinic)?;
    let near = look(&folder, &kit.library);
    let date = answers.get("date").and_then(|date| date.parse().ok());
    let date = args.visit.date.or(date).unwrap_or_else(say::today);
    let mut scene = Scene {
        library: &kit.library,
        record: None,
        corrects: None,
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
    let shown = folder.canonicalize().unwrap_or_else(|_| folder.clone());
    desk.tell(&format!("New record in {}", say::shown(&shown)));
    desk.tell(&format!(
        "{}. Visit of {}.",
        kit.library.clinic.name,
        date.format("%A %-d %B %Y")
    ));
    desk.tell(KEYS);
    scene.answers.add("date", date.to_string());
    scene.answers.add("procedure", procedure.to_string());
    let build = |scene: &Scene<'_>| {
        let args = parsed(given, &scene.answers)?;
        let kit = library_for(&procedure, &args.record, clinic)?;
        let (opened, visit) = prepare(&args, kit)?;
        Ok(Pending {
            opened,
            start: Start::NewFile,
            visit,
            adjusts: Vec::new(),
        })
    };
    let ended = converse(desk, &mut scene, first::QUESTIONS, &build)?;
    let how = match ended {
        Desked::Left => {
            keep(desk, &draft, &[], &mut scene)?;
            return Ok(ExitCode::from(super::super::error::USAGE));
        }
        Desked::Print(pending) => {
            finish(desk, *pending, Finished::Issue, args.desk.output.as_deref())
        }
        Desked::Save(pending) => finish(desk, *pending, Finished::Save, None),
    };
    settle(desk, &draft, &mut scene, how)
}

/// Drops the draft of what was written, or keeps what could not be.
fn settle(
    desk: &mut dyn Desk,
    path: &Path,
    scene: &mut Scene<'_>,
    how: Result<ExitCode, CliError>,
) -> Result<ExitCode, CliError> {
    match how {
        Ok(code) => {
            draft::remove(path);
            Ok(code)
        }
        Err(error) => {
            Draft::of(&scene.answers, &[]).keep(path)?;
            desk.tell(&format!("Your answers are kept in {}", say::shown(path)));
            Err(error)
        }
    }
}

/// Finds the operation: given, the only one there is, or chosen.
fn procedure(
    desk: &mut dyn Desk,
    args: &IntakeArgs,
    given: &Given,
) -> Result<Option<ProcedureId>, CliError> {
    let all = built_in_procedures();
    if !given.lacks(&["procedure"]) || all.len() == 1 {
        let mut typed = super::super::typed::Typed::new();
        let id = typed.id("procedure", &args.procedure);
        typed.finish()?;
        return Ok(id);
    }
    let choices: Vec<Choice> = all
        .iter()
        .map(|id| Choice {
            flag: "procedure",
            word: id.to_string(),
            shown: id.to_string(),
        })
        .collect();
    for (n, choice) in (1_usize..).zip(&choices) {
        desk.tell(&format!("  {n:>2} {}", choice.shown));
    }
    let mut typed = String::new();
    loop {
        match desk.ask(&format!("Operation [{}]: ", args.procedure), &typed)? {
            Said::Interrupted | Said::End => return Ok(None),
            Said::Line(line) if line.trim() == "quit" => return Ok(None),
            Said::Line(line) => {
                let text = if line.trim().is_empty() {
                    args.procedure.clone()
                } else {
                    line.trim().to_owned()
                };
                match find(&choices, &text) {
                    Ok(found) => {
                        return Ok(all.iter().find(|id| id.to_string() == found.word).cloned());
                    }
                    Err(refused) => {
                        desk.tell(&format!("  {refused}"));
                        typed = line;
                    }
                }
            }
        }
    }
}

/// Reads the command line again, with the answers on it.
fn parsed(given: &Given, answers: &Answers) -> Result<IntakeArgs, CliError> {
    let cli = Cli::try_parse_from(given.with(answers))
        .map_err(|error| CliError::Usage(error.to_string()))?;
    if let Command::Intake(args) = cli.command {
        return Ok(*args);
    }
    Err(CliError::Usage("this is no intake".to_owned()))
}
