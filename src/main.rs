//! The program: parses arguments, runs one command, returns its exit code.

use std::process::ExitCode;

use banister::cli;
use clap::Parser;

fn main() -> ExitCode {
    std::panic::set_hook(Box::new(|fault| {
        cli::fault(&fault.to_string());
    }));
    cli::run(&cli::args::Cli::parse())
}
