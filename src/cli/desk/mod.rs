//! Prompts: on a terminal, what the flags did not say is asked, one line at a time.
//!
//! The answers become flags, so that both ways run through the same code and nothing can be
//! asked that cannot be typed. Without a terminal nobody is ever waited for.

mod answers;
mod ask;
mod asked;
mod dates;
mod draft;
mod first;
mod follow;
mod intake;
mod kind;
mod nearby;
mod numbers;
mod orders;
mod print;
mod question;
mod review;
mod scene;
mod terminal;
#[cfg(test)]
mod tests;
mod visit;

use std::collections::BTreeMap;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

use clap::ArgMatches;
use clap::parser::ValueSource;

use super::error::CliError;
use super::pending::Pending;
use super::say;
use answers::{Answers, Flag};
use ask::{Asking, Ended};
use draft::Draft;
use review::Outcome;
use scene::{Cut, Scene};
use terminal::{Desk, Said};

pub use intake::run as intake;
pub use terminal::somebody_is_there;
pub use visit::run as visit;

/// Shown once, before the first question.
const KEYS: &str = "Enter: what stands in [ ]   -: not asked   <: back   ?: help   quit: leave";

/// What stood on the command line: the arguments, and the flags of the command as text.
#[derive(Debug, Clone)]
pub struct Given {
    /// The arguments as typed, the program's name included.
    pub arguments: Vec<OsString>,
    /// Flags and their values.
    pub flags: BTreeMap<Flag, String>,
}

impl Given {
    /// Takes what was typed for one command.
    pub fn of(arguments: Vec<OsString>, matches: &ArgMatches) -> Self {
        let typed = |id: &&str| matches.value_source(id) == Some(ValueSource::CommandLine);
        let ids: Vec<&str> = matches.ids().map(clap::Id::as_str).collect();
        let known = |id: &&str| matches.try_get_raw(id).is_ok();
        let flags = ids
            .into_iter()
            .filter(known)
            .filter(typed)
            .map(|id| {
                let values = matches.get_raw(id).into_iter().flatten();
                let values: Vec<String> = values
                    .map(|value| value.to_string_lossy().into_owned())
                    .collect();
                (id.replace('_', "-"), values.join(","))
            })
            .collect();
        Self { arguments, flags }
    }

    /// Says whether any of these stood on the command line.
    pub fn lacks(&self, needed: &[&str]) -> bool {
        needed.iter().any(|flag| !self.flags.contains_key(*flag))
    }

    /// Returns the arguments with the answers after them.
    fn with(&self, answers: &Answers) -> Vec<OsString> {
        let mut all = self.arguments.clone();
        all.extend(answers.arguments());
        all
    }
}

/// How a desk ended.
enum Desked {
    /// Go and write it, then issue the sheet.
    Print(Box<Pending>),
    /// Go and write it.
    Save(Box<Pending>),
    /// Nothing is written.
    Left,
}

/// Asks, shows the sheet, and goes back and forth until somebody decides.
fn converse(
    desk: &mut dyn Desk,
    scene: &mut Scene<'_>,
    questions: &'static [question::Question],
    build: &dyn Fn(&Scene<'_>) -> Result<Pending, CliError>,
) -> Result<Desked, CliError> {
    let mut asking = Asking::new(questions);
    let mut changes = Vec::new();
    loop {
        if asking.run(desk, scene)? == Ended::Left {
            return Ok(Desked::Left);
        }
        let looked = built(desk, scene, build, &mut changes)?;
        let Some((pending, outcome)) = looked else {
            asking.back(desk, scene);
            continue;
        };
        match outcome {
            Outcome::Print => return Ok(Desked::Print(Box::new(pending))),
            Outcome::Save => return Ok(Desked::Save(Box::new(pending))),
            Outcome::Leave => return Ok(Desked::Left),
            Outcome::More => scene.go_on(),
            Outcome::Again(flags) => {
                changes = pending.adjusts;
                for question in questions {
                    if question
                        .flags
                        .iter()
                        .any(|flag| flags.iter().any(|again| again == flag))
                    {
                        scene.answers.take_back(question.flags);
                    }
                }
            }
            Outcome::Back => {
                changes = pending.adjusts;
                asking.back(desk, scene);
            }
        }
    }
}

/// Makes the visit of the answers and shows it; none when the answers do not fit together.
fn built(
    desk: &mut dyn Desk,
    scene: &mut Scene<'_>,
    build: &dyn Fn(&Scene<'_>) -> Result<Pending, CliError>,
    changes: &mut Vec<crate::domain::record::Adjust>,
) -> Result<Option<(Pending, Outcome)>, CliError> {
    orders::put_together(scene);
    let pending = build(scene).and_then(|pending| pending.read().map(|_| pending));
    let mut pending = match pending {
        Ok(pending) => pending,
        Err(error @ (CliError::Typed(_) | CliError::Usage(_) | CliError::Files(_))) => {
            desk.tell(&error.to_string());
            desk.tell("Nothing was written. The last question again; < goes further back.");
            return Ok(None);
        }
        Err(error) => return Err(error),
    };
    pending.adjusts.append(changes);
    if scene.cut == Cut::RedFlag && !pending.is_withheld()? {
        scene.go_on();
        return Ok(Some((pending, Outcome::More)));
    }
    let outcome = review::run(desk, &mut pending)?;
    Ok(Some((pending, outcome)))
}

/// Offers to go on from what was typed and not written.
fn resume(
    desk: &mut dyn Desk,
    path: &Path,
    record: &[u8],
    answers: &mut Answers,
) -> Result<(), CliError> {
    let Some(draft) = Draft::read(path).filter(|draft| !draft.is_empty()) else {
        return Ok(());
    };
    let count = draft.passed.len();
    desk.tell(&format!(
        "Answers were typed here before and not written ({count} of them)."
    ));
    if !draft.is_for(record) {
        desk.tell("The record has changed since: look at each answer again before you print.");
    }
    loop {
        match desk.ask("Go on with them? (y/n) [y]: ", "")? {
            Said::Line(line) => match line.trim() {
                "" | "y" | "yes" => {
                    answers.resume(draft.typed, draft.passed);
                    return Ok(());
                }
                "n" | "no" => return Ok(()),
                other => desk.tell(&format!("  y goes on, n begins anew; not `{other}`")),
            },
            Said::Interrupted | Said::End => return Ok(()),
        }
    }
}

/// Keeps what was typed, and says that nothing was written.
fn keep(
    desk: &mut dyn Desk,
    path: &Path,
    record: &[u8],
    scene: &mut Scene<'_>,
) -> Result<(), CliError> {
    scene.answers.add("date", scene.date.to_string());
    let draft = Draft::of(&scene.answers, record);
    if draft.is_empty() {
        desk.tell("Nothing was written.");
        return Ok(());
    }
    draft.keep(path)?;
    desk.tell(&format!(
        "Nothing was written to the record. Your answers are kept in\n{}\n\
         and offered again next time.",
        say::shown(path)
    ));
    Ok(())
}

/// Returns the folder a path is in, or is.
fn folder_of(path: &Path) -> PathBuf {
    if path.is_dir() {
        return path.to_owned();
    }
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        Some(_) | None => PathBuf::from("."),
    }
}
