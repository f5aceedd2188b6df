//! What can go wrong at the command line, and the exit code of each.

use std::path::PathBuf;
use std::process::ExitCode;

use crate::store::StoreError;

use super::fold::joined;

/// A reason to stop. Every one is told on standard error and nothing is half-written.
#[derive(Debug, thiserror::Error)]
pub enum CliError {
    /// Files are wrong: the full report, ready to print.
    #[error("{0}")]
    Files(String),
    /// Words were typed wrongly; all of them are told.
    #[error("{}", .0.join("\n"))]
    Typed(Vec<String>),
    /// Something is not possible as asked.
    #[error("{0}")]
    Usage(String),
    /// The disk said no.
    #[error("{}: {cause}", path.display())]
    Disk {
        /// Where.
        path: PathBuf,
        /// What it said.
        cause: std::io::Error,
    },
    /// A record or a sheet could not be kept, or is not what it was.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A sheet cannot be put into words or drawn: a fault of templates or library.
    #[error("the sheet cannot be made: {0}")]
    Sheet(String),
}

/// Exit code of a wrong file.
pub const WRONG_FILE: u8 = 1;
/// Exit code of wrong usage and of the disk.
pub const USAGE: u8 = 2;
/// Exit code of a visit without a program.
pub const NO_PROGRAM: u8 = 3;

impl CliError {
    /// Returns the words to print, the path kept in one piece.
    pub fn told(&self) -> String {
        let text = self.to_string();
        let path = match self {
            Self::Disk { path, .. } => path,
            Self::Store(error) => error.path(),
            Self::Files(_) | Self::Typed(_) | Self::Usage(_) | Self::Sheet(_) => return text,
        };
        let path = path.display().to_string();
        text.replacen(&path, &joined(&path), 1)
    }

    /// Returns the exit code of this error.
    pub fn exit_code(&self) -> ExitCode {
        ExitCode::from(match self {
            Self::Files(_)
            | Self::Sheet(_)
            | Self::Store(
                StoreError::SheetGone { .. }
                | StoreError::SheetAltered { .. }
                | StoreError::SheetName { .. }
                | StoreError::Record { .. },
            ) => WRONG_FILE,
            Self::Typed(_) | Self::Usage(_) | Self::Disk { .. } | Self::Store(_) => USAGE,
        })
    }
}
