//! What can go wrong on disk or in a record's text, in plain words.
//!
//! `RecordFault` speaks of a text alone; `StoreError` adds the path.

use std::io;
use std::path::{Path, PathBuf};

use super::write::folder_of;

/// Says why a record's text cannot be sealed or added to.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RecordFault {
    /// The bytes are not text.
    #[error("the file is not UTF-8 text")]
    NotText,
    /// The text does not parse.
    #[error("line {line} is not valid TOML: {message}")]
    NotToml {
        /// Line, from 1.
        line: usize,
        /// What the parser says.
        message: String,
    },
    /// A part of the record has a shape no record has.
    #[error("`{0}` does not have the shape it has in a record")]
    Shape(&'static str),
    /// A fraction, which no record holds.
    #[error("a record holds whole numbers only, not `{0}`")]
    Fraction(String),
    /// A whole number too large for a record.
    #[error("the number `{0}` is too large")]
    TooLarge(String),
    /// The visit is not in the record.
    #[error("there is no visit {0}")]
    NoVisit(i64),
    /// Only the last visit may be added to.
    #[error("visit {asked} is not the last one, visit {last} is")]
    NotLast {
        /// The visit asked for.
        asked: i64,
        /// The last visit.
        last: i64,
    },
    /// The visit is closed.
    #[error("visit {0} is closed; a correction is a new visit")]
    Closed(i64),
    /// The new visit's number leaves a gap or is used.
    #[error("the next visit is visit {next}, not visit {asked}")]
    WrongNumber {
        /// The number asked for.
        asked: i64,
        /// The number that comes next.
        next: i64,
    },
    /// The sheet's number does not count up.
    #[error("sheet {asked} cannot be issued after sheet {last}")]
    SheetNumber {
        /// The number asked for.
        asked: i64,
        /// The highest number issued.
        last: i64,
    },
    /// A dose's times and its slots do not agree.
    #[error("{exercise}: {times} times a day, but {slots} slots")]
    Slots {
        /// The exercise.
        exercise: String,
        /// Times a day at slots; hourly work has 0.
        times: i64,
        /// Slots given.
        slots: usize,
    },
    /// A handout without any file.
    #[error("no file was given to issue")]
    NoSheet,
    /// Two files of one kind on one sheet.
    #[error("two files would have the name `{0}`")]
    TwoSheets(String),
    /// A word that cannot be part of a file name.
    #[error("`{0}` cannot be part of a file name: letters, digits and hyphens only")]
    BadToken(String),
    /// The record would grow past what a reader takes.
    #[error("the record would be {bytes} bytes long; at most {most} are read")]
    TooLong {
        /// Length it would have.
        bytes: usize,
        /// Longest length read.
        most: usize,
    },
}

/// Says what was not done, to which file, and why.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The disk refused.
    #[error("{}: cannot {doing}: {cause}", .path.display())]
    Disk {
        /// Which file or folder.
        path: PathBuf,
        /// What was tried.
        doing: &'static str,
        /// What the system says.
        #[source]
        cause: io::Error,
    },
    /// The text does not allow it.
    #[error("{}: {fault}; nothing was written", .path.display())]
    Record {
        /// Which record.
        path: PathBuf,
        /// Why not.
        #[source]
        fault: RecordFault,
    },
    /// The file is no longer what the caller decided on.
    #[error("{}: somebody else changed it since it was read; nothing was written", .path.display())]
    Changed {
        /// Which record.
        path: PathBuf,
    },
    /// The file is there already.
    #[error("{}: exists already; nothing was written", .path.display())]
    Exists {
        /// Which file.
        path: PathBuf,
    },
    /// Somebody else holds the lock, and held it for as long as was waited.
    #[error(
        "{}: somebody else is writing to it; nothing was written. Try again in a moment",
        .path.display()
    )]
    Busy {
        /// Which record.
        path: PathBuf,
    },
    /// The file system has no locks, so two writers could mix.
    #[error(
        "{}: files cannot be locked in this folder, so that two people could write at once; \
         nothing was written. Keep records on a local disk, or on a share that can lock files",
        .path.display()
    )]
    NoLocks {
        /// Which record.
        path: PathBuf,
    },
    /// Nothing can be written in the folder.
    #[error("{}: you may not write in this folder; nothing was written", .folder.display())]
    ReadOnly {
        /// Which folder.
        folder: PathBuf,
    },
    /// The path names a folder or a device.
    #[error("{}: is not a plain file; nothing was written", .path.display())]
    NotPlain {
        /// Which path.
        path: PathBuf,
    },
    /// The path leads into a folder of kept sheets.
    #[error("{}: is in a folder of kept sheets, which is never written over", .path.display())]
    AmongSheets {
        /// Which path.
        path: PathBuf,
    },
    /// Another sheet has this number: one issued before, or one the record does not name.
    #[error("{}: a sheet of this number is kept already; nothing was written", .path.display())]
    SheetTaken {
        /// Which file.
        path: PathBuf,
    },
    /// An issued file is not there any more.
    #[error("{}: the issued file is gone; nothing was made in its place", .path.display())]
    SheetGone {
        /// Which file.
        path: PathBuf,
    },
    /// An issued file is not what was issued.
    #[error("{}: the file was altered after it was issued; it is not given back", .path.display())]
    SheetAltered {
        /// Which file.
        path: PathBuf,
    },
    /// The record names an issued file outside its folder.
    #[error("{}: `{name}` is not a plain file name; no file was read", .path.display())]
    SheetName {
        /// Which record.
        path: PathBuf,
        /// The name found.
        name: String,
    },
}

impl StoreError {
    /// Makes the error of a failed disk operation; for `map_err`.
    pub(super) fn disk(path: &Path, doing: &'static str) -> impl FnOnce(io::Error) -> Self {
        move |cause| Self::Disk {
            path: path.to_owned(),
            doing,
            cause,
        }
    }

    /// Makes the error of a file that could not be made in a folder; for `map_err`.
    pub(super) fn making(path: &Path, doing: &'static str) -> impl FnOnce(io::Error) -> Self {
        move |cause| {
            let kind = cause.kind();
            let closed = [
                io::ErrorKind::PermissionDenied,
                io::ErrorKind::ReadOnlyFilesystem,
            ];
            if closed.contains(&kind) {
                Self::ReadOnly {
                    folder: folder_of(path).to_owned(),
                }
            } else {
                Self::disk(path, doing)(cause)
            }
        }
    }

    /// Returns the path the error speaks of.
    pub fn path(&self) -> &Path {
        match self {
            Self::Disk { path, .. }
            | Self::Record { path, .. }
            | Self::Changed { path }
            | Self::Exists { path }
            | Self::Busy { path }
            | Self::NoLocks { path }
            | Self::ReadOnly { folder: path }
            | Self::NotPlain { path }
            | Self::AmongSheets { path }
            | Self::SheetTaken { path }
            | Self::SheetGone { path }
            | Self::SheetAltered { path }
            | Self::SheetName { path, .. } => path,
        }
    }

    /// Makes the error of a text that does not allow it; for `map_err`.
    pub(super) fn record(path: &Path) -> impl FnOnce(RecordFault) -> Self {
        move |fault| Self::Record {
            path: path.to_owned(),
            fault,
        }
    }
}
