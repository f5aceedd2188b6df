//! `completions` and `man`: made from the same definitions as the flags themselves.

use std::fs;
use std::path::Path;
use std::process::ExitCode;

use clap::{Command, CommandFactory};
use clap_complete::{Shell, generate};
use clap_mangen::Man;

use crate::store::{Existing, write_output};

use super::args::{Cli, ManArgs};
use super::error::CliError;
use super::say;

/// Writes the completions of a shell to standard output.
pub fn completions(shell: Shell) -> Result<ExitCode, CliError> {
    let mut script = Vec::new();
    generate(shell, &mut Cli::command(), "banister", &mut script);
    say::result(&script)?;
    Ok(ExitCode::SUCCESS)
}

/// Writes the manual page of the program, or every page into a folder.
pub fn man(args: &ManArgs) -> Result<ExitCode, CliError> {
    let Some(folder) = &args.output else {
        say::result(&page(&whole(), "banister")?)?;
        return Ok(ExitCode::SUCCESS);
    };
    fs::create_dir_all(folder).map_err(|cause| CliError::Disk {
        path: folder.clone(),
        cause,
    })?;
    for (name, command) in pages(&whole(), "") {
        write_page(&folder.join(format!("{name}.1")), &page(&command, &name)?)?;
    }
    Ok(ExitCode::SUCCESS)
}

/// The program's command with everything clap adds to it.
fn whole() -> Command {
    let mut command = Cli::command().disable_help_subcommand(true);
    command.build();
    command
}

/// Lists every command with the name of its page, such as `banister-protocol-list`.
fn pages(command: &Command, above: &str) -> Vec<(String, Command)> {
    let name = if above.is_empty() {
        command.get_name().to_owned()
    } else {
        format!("{above}-{}", command.get_name())
    };
    let mut all: Vec<(String, Command)> = command
        .get_subcommands()
        .flat_map(|inner| pages(inner, &name))
        .collect();
    all.insert(0, (name, command.clone()));
    all
}

fn page(command: &Command, name: &str) -> Result<Vec<u8>, CliError> {
    let mut roff = Vec::new();
    Man::new(command.clone())
        .title(name.to_uppercase())
        .render(&mut roff)
        .map_err(|error| CliError::Usage(error.to_string()))?;
    Ok(roff)
}

fn write_page(path: &Path, roff: &[u8]) -> Result<(), CliError> {
    write_output(path, roff, Existing::Refuse)?;
    say::talk(&format!("written: {}", say::shown(path)));
    Ok(())
}
