//! Printing, and the clock.

use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::error::CliError;

/// Writes a result to standard output; a reader that closed the pipe has had enough.
pub fn result(bytes: &[u8]) -> Result<(), CliError> {
    let mut out = std::io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Ok(()) => Ok(()),
        Err(cause) if cause.kind() == ErrorKind::BrokenPipe => Ok(()),
        Err(cause) => Err(CliError::Disk {
            path: PathBuf::from("standard output"),
            cause,
        }),
    }
}

/// Talks to the person on standard error; silence there is no reason to fail.
pub fn talk(text: &str) {
    let mut out = std::io::stderr().lock();
    let _ = writeln!(out, "{}", text.trim_end());
}

/// Returns today's date and says so, because the clock decided something.
pub fn today_said(what: &str) -> NaiveDate {
    let today = today();
    talk(&format!("{what}: today, {today}"));
    today
}

/// Returns today's date.
#[expect(
    clippy::disallowed_methods,
    reason = "the command line is where the clock is read"
)]
pub fn today() -> NaiveDate {
    chrono::Local::now().date_naive()
}

/// Returns the clinic's path from the environment, if it is set.
#[expect(
    clippy::disallowed_methods,
    reason = "the command line is where the environment is read"
)]
pub fn clinic_from_environment() -> Option<PathBuf> {
    std::env::var_os("BANISTER_CLINIC")
        .filter(|value| !value.is_empty())
        .map(PathBuf::from)
}

/// Returns a path as people read it.
pub fn shown(path: &Path) -> String {
    path.display().to_string()
}
