//! The program: parses arguments, runs one command, returns its exit code.

use std::process::ExitCode;

use banister::cli;

fn main() -> ExitCode {
    std::panic::set_hook(Box::new(|fault| {
        cli::fault(&fault.to_string());
    }));
    cli::run(std::env::args_os().collect())
}
