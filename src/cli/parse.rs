//! Parses the command line: usage lines no wider than the rest, and help any terminal can show.

use std::ffi::OsString;
use std::process::ExitCode;

use clap::{ArgMatches, Command, CommandFactory, FromArgMatches};

use super::args::Cli;
use super::ascii::ascii;
use super::fold::fold;
use super::say::{self, Letters};

/// Returns what was typed, or the exit code after help or an error was told.
pub fn parse(arguments: &[OsString]) -> Result<(Cli, ArgMatches), ExitCode> {
    command()
        .try_get_matches_from(arguments)
        .and_then(|matches| Ok((Cli::from_arg_matches(&matches)?, matches)))
        .map_err(|error| told(&error))
}

/// The table of commands with folded usage lines, which clap leaves as long as they are.
pub fn command() -> Command {
    let mut command = Cli::command();
    command.build();
    for part in command.get_subcommands_mut() {
        fold_usage(part);
    }
    command
}

fn fold_usage(command: &mut Command) {
    for part in command.get_subcommands_mut() {
        fold_usage(part);
    }
    let usage = command.render_usage().to_string();
    // Two spaces make the words after them a column to hang under.
    let folded = fold(&usage.replacen("Usage: ", "Usage  ", 1));
    if let Some(folded) = folded
        .strip_prefix("Usage  ")
        .filter(|text| text.contains('\n'))
    {
        *command = std::mem::take(command).override_usage(folded.to_owned());
    }
}

fn told(error: &clap::Error) -> ExitCode {
    let letters = if error.use_stderr() {
        say::letters(&std::io::stderr())
    } else {
        say::letters(&std::io::stdout())
    };
    let text = ascii(&error.render().to_string());
    match letters {
        // Silence of a closed pipe is no reason to fail.
        Letters::All => drop(error.print()),
        Letters::Ascii if error.use_stderr() => say::talk(&text),
        Letters::Ascii => drop(say::result(text.as_bytes())),
    }
    u8::try_from(error.exit_code()).map_or(ExitCode::FAILURE, ExitCode::from)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pages(command: &mut Command, found: &mut Vec<String>) {
        found.push(command.render_long_help().to_string());
        found.push(command.render_help().to_string());
        for part in command.get_subcommands_mut() {
            pages(part, found);
        }
    }

    #[test]
    fn every_help_page_is_plain_and_fits_eighty_columns() {
        let mut found = Vec::new();
        pages(&mut command(), &mut found);
        assert!(found.len() > 20, "{}", found.len());
        for page in found {
            assert!(page.is_ascii(), "{page}");
            for line in page.lines() {
                assert!(line.len() <= 80, "{line}");
            }
        }
    }
}
