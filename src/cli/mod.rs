//! The command line: the only room that prints, reads the clock or the environment.
//!
//! Results go to standard output, talk to standard error; each file here is one command.

pub mod args;

mod append;
mod check;
mod error;
mod explain;
mod handout;
mod intake;
mod open;
mod person;
mod protocol;
mod rules;
mod say;
mod typed;

use std::process::ExitCode;

use args::{Cli, Command};

/// Runs one command and returns its exit code; every error is told on standard error.
pub fn run(cli: &Cli) -> ExitCode {
    let clinic = cli.clinic.as_deref();
    let done = match &cli.command {
        Command::Intake(args) => intake::run(args, clinic),
        Command::Visit(args) => append::visit(args, clinic),
        Command::Order(args) => append::order(args, clinic),
        Command::Clear(args) => append::clear(args, clinic),
        Command::Adjust(args) => append::adjust(args, clinic),
        Command::Handout(args) => handout::run(args, clinic),
        Command::Explain(args) => explain::run(args, clinic),
        Command::Rules(args) => rules::run(args),
        Command::Check(args) => check::run(args, clinic),
        Command::Protocol(command) => protocol::run(command, clinic),
    };
    match done {
        Ok(code) => code,
        Err(error) => {
            say::talk(&error.to_string());
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
