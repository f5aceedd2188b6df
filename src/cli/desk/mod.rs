//! Prompts: on a terminal, what the flags did not say is asked, one line at a time.
//!
//! The answers become flags, so that both ways run through the same code and nothing can be
//! asked that cannot be typed. Without a terminal nobody is ever waited for.

mod answers;
mod ask;
mod asked;
mod carry;
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
mod sitting;
mod terminal;
#[cfg(test)]
mod tests;
mod visit;

use std::collections::BTreeMap;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

use clap::parser::ValueSource;
use clap::{ArgMatches, Parser};

use super::args::{Cli, Command, DeskArgs};
use super::error::CliError;
use super::say;
use answers::{Answers, Flag};
use scene::Depth;

pub use intake::run as intake;
pub use terminal::{Terminal, agreed, somebody_is_there};
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

    /// Says whether any of these did not stand on the command line.
    pub fn lacks(&self, needed: &[&str]) -> bool {
        needed.iter().any(|flag| !self.flags.contains_key(*flag))
    }

    /// Says whether anything of a visit was typed, besides which record and how it is asked.
    fn tells_of_a_visit(&self) -> bool {
        let about = ["record", "clinic", "full", "output"];
        self.flags
            .keys()
            .any(|flag| !about.contains(&flag.as_str()))
    }

    /// Reads the command line again, with the answers on it.
    fn command_with(&self, answers: &Answers) -> Result<Command, CliError> {
        let mut all = self.arguments.clone();
        all.extend(answers.arguments());
        let cli = Cli::try_parse_from(all).map_err(|error| CliError::Usage(error.to_string()))?;
        Ok(cli.command)
    }
}

/// Returns how much is asked.
const fn depth(args: &DeskArgs) -> Depth {
    if args.full { Depth::Full } else { Depth::Usual }
}

/// Says no before the first question, not after the last one.
fn refuse_output(args: &DeskArgs) -> Result<(), CliError> {
    let Some(path) = &args.output else {
        return Ok(());
    };
    if path.exists() {
        return Err(CliError::Usage(format!(
            "{}: exists already; nothing was written. Choose another name",
            say::shown(path)
        )));
    }
    let folder = folder_of(path);
    if !folder.is_dir() {
        return Err(CliError::Usage(format!(
            "{}: there is no such folder; nothing was written",
            say::shown(&folder)
        )));
    }
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
