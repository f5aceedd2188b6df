//! The command line: the only room that prints, reads the clock or the environment.
//!
//! Results go to standard output, talk to standard error; each file here is one command.

pub mod args;

mod adjust;
mod again;
mod append;
mod ascii;
mod assess;
mod at_home;
mod check;
mod correct;
mod desk;
mod due;
mod error;
mod explain;
#[cfg(test)]
mod faults;
mod figures;
mod file_name;
mod fold;
mod form;
mod handout;
mod intake;
mod keep;
mod manual;
mod new_visit;
mod open;
mod output;
mod parse;
mod pending;
mod person;
mod protocol;
mod rules;
mod say;
mod typed;
mod void;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::ArgMatches;

use crate::store::take_unsaved;

use args::{Cli, Command};
use desk::{Given, somebody_is_there};
use error::CliError;

/// Runs the command of these arguments and returns its exit code.
///
/// The first argument is the program's name. Every error is told on standard error.
pub fn run(arguments: Vec<OsString>) -> ExitCode {
    match parse::parse(&arguments) {
        Ok((cli, matches)) => command(&cli, arguments, &matches),
        Err(code) => code,
    }
}

fn command(cli: &Cli, arguments: Vec<OsString>, matches: &ArgMatches) -> ExitCode {
    let clinic = cli.clinic.as_deref();
    let given = || {
        let of_command = matches.subcommand().map_or(matches, |(_, of)| of);
        Given::of(arguments, of_command)
    };
    let done = match &cli.command {
        Command::Intake(args) => {
            let given = given();
            if somebody_is_there() && given.lacks(&["token", "side", "operation"]) {
                desk::intake(args, &given, clinic)
            } else {
                intake::run(args, clinic)
            }
        }
        Command::Visit(args) => {
            let given = given();
            if somebody_is_there() && given.lacks(&["by", "screen"]) {
                desk::visit(args, &given, clinic)
            } else {
                append::visit(args, clinic)
            }
        }
        Command::Order(args) => append::order(args, clinic),
        Command::Clear(args) => append::clear(args, clinic),
        Command::Override(args) => append::set_aside(args, clinic),
        Command::Adjust(args) => adjust::run(args, clinic),
        Command::Correct(args) => correct::run(args, clinic),
        Command::Handout(args) => handout::run(args, clinic),
        Command::Form(command) => form::run(command, clinic),
        Command::Figures(args) => figures::run(args, clinic),
        Command::Explain(args) => explain::run(args, clinic),
        Command::Rules(args) => rules::run(args),
        Command::Check(args) => check::run(args, clinic),
        Command::Completions { shell } => manual::completions(*shell),
        Command::Man(args) => manual::man(args),
        Command::Due(args) => due::run(args, clinic),
        Command::Protocol(command) => protocol::run(command, clinic),
    };
    for unsaved in take_unsaved() {
        say::talk(&format!(
            "warning: {}. What was written is there and counts; a power cut in the next minutes \
             could still take it",
            CliError::from(unsaved).told()
        ));
    }
    match done {
        Ok(code) => code,
        Err(error) => {
            say::talk(&error.told());
            error.exit_code()
        }
    }
}

/// Says that banister itself is at fault; the process then ends with code 101.
pub fn fault(what: &str) {
    say::talk(&format!(
        "This is a fault in banister {}, not in your files; nothing more was written.\n{what}\n\
         Please report it with this text. Do not send a patient's record.",
        env!("CARGO_PKG_VERSION"),
    ));
}
