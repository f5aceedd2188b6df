//! `intake` at a terminal.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use crate::domain::ids::ProcedureId;
use crate::store::StoreError;

use super::super::args::{Command, IntakeArgs};
use super::super::error::{CliError, USAGE};
use super::super::intake::prepare;
use super::super::open::{Kit, built_in_procedures, library_for};
use super::super::pending::{Pending, Start};
use super::super::say;
use super::super::typed::Typed;
use super::answers::Answers;
use super::draft::{Keeper, Purpose, of_new_records, place};
use super::kind::{Choice, find};
use super::nearby::look;
use super::scene::Scene;
use super::sitting::{Offered, Sitting};
use super::terminal::{Desk, Said, Terminal};
use super::{Given, KEYS, depth, first, folder_of, refuse_output};

/// Asks for a new record, shows its sheet, writes and issues.
pub fn run(args: &IntakeArgs, given: &Given, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    if args.record.is_file() {
        return Err(CliError::Usage(format!(
            "{}: exists already; a record is only ever added to: banister visit {0}",
            say::shown(&args.record)
        )));
    }
    super::super::intake::refuse_name(&args.record)?;
    refuse_output(&args.desk)?;
    let mut terminal = Terminal::open()?;
    let mut sitting = Sitting {
        desk: &mut terminal,
        keeper: Keeper::new(Purpose::Intake, &args.record, &[]),
    };
    let mut answers = Answers::given(given.flags.clone());
    let offered = sitting.offer(&drafts(&args.record), &Purpose::Intake, &[], &mut answers)?;
    let procedure = match offered {
        Offered::Left => None,
        Offered::GoOn => procedure(sitting.desk, args, given)?,
    };
    let Some(procedure) = procedure else {
        sitting.desk.tell("Nothing was written.");
        return Ok(ExitCode::from(USAGE));
    };
    let kit = library_for(&procedure, &args.record, clinic)?;
    answers.add("procedure", procedure.to_string());
    converse(&mut sitting, &kit, answers, (args, given, clinic))
}

/// What the command line said, and which clinic.
type Typing<'t> = (&'t IntakeArgs, &'t Given, Option<&'t Path>);

/// Asks until the record is written; a number taken meanwhile is asked again.
fn converse(
    sitting: &mut Sitting<'_>,
    kit: &Kit,
    answers: Answers,
    (args, given, clinic): Typing<'_>,
) -> Result<ExitCode, CliError> {
    let folder = folder_of(&args.record);
    let date = answers.get("date").and_then(|date| date.parse().ok());
    let date = date.unwrap_or_else(say::today);
    let mut scene = Scene::new(&kit.library, date, depth(&args.desk), answers);
    scene.answers.add("date", date.to_string());
    let shown = folder.canonicalize().unwrap_or_else(|_| folder.clone());
    sitting
        .desk
        .tell(&format!("New record in {}", say::shown(&shown)));
    sitting.desk.tell(&format!(
        "{}. Visit of {}.",
        kit.library.clinic.name,
        date.format("%A %-d %B %Y")
    ));
    sitting.desk.tell(KEYS);
    loop {
        scene.near = look(&folder, &kit.library);
        let build = |scene: &Scene<'_>| build(scene, given, clinic);
        let output = args.desk.output.as_deref();
        match sitting.hold(&mut scene, first::QUESTIONS, &build, output) {
            Err(CliError::Store(StoreError::Exists { path })) if args.record.is_dir() => {
                let taken = say::shown(&path);
                sitting.desk.tell(&format!(
                    "{taken} was made by somebody else meanwhile. Another number:"
                ));
                scene.answers.take_back(&["token"]);
            }
            ended => return ended,
        }
    }
}

fn build(scene: &Scene<'_>, given: &Given, clinic: Option<&Path>) -> Result<Pending, CliError> {
    let Command::Intake(args) = given.command_with(&scene.answers)? else {
        return Err(CliError::Usage("this is no intake".to_owned()));
    };
    let kit = library_for(&scene.library.procedure.id, &args.record, clinic)?;
    let (opened, visit) = prepare(&args, kit)?;
    Ok(Pending {
        opened,
        start: Start::NewFile,
        visit,
        adjusts: Vec::new(),
    })
}

/// Lists where drafts of this intake may stand.
fn drafts(record: &Path) -> Vec<PathBuf> {
    if record.is_dir() {
        of_new_records(record)
    } else {
        vec![place(record, &Purpose::Intake)]
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
        let mut typed = Typed::new();
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
        let Said::Line(line) = desk.ask(&format!("Operation [{}]: ", args.procedure), &typed)?
        else {
            return Ok(None);
        };
        let text = match line.trim() {
            "quit" => return Ok(None),
            "" => args.procedure.as_str(),
            text => text,
        };
        match find(&choices, text) {
            Ok(found) => return Ok(all.into_iter().find(|id| id.to_string() == found.word)),
            Err(refused) => desk.tell(&format!("  {refused}")),
        }
        typed = line;
    }
}
