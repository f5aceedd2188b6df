//! A record held under its lock, known to be unchanged.
//!
//! The lock is on a sibling file, `.<name>.lock`, since the record itself is replaced by a new
//! file each time. The sibling is never removed: were it removed, one writer could hold the lock
//! of the removed file while another makes and locks a new one, and both would write. It is
//! empty, private and harmless to delete by hand while nobody writes.

use std::ffi::OsString;
use std::fs::{self, File, OpenOptions};
use std::io;
use std::path::{Path, PathBuf};

use super::error::StoreError;
use super::write;

/// A record that nobody else writes while this value lives.
#[derive(Debug)]
pub(super) struct HeldRecord {
    real: PathBuf,
    _lock: File,
}

impl HeldRecord {
    /// Locks a record and makes sure it still has the bytes the caller decided on.
    ///
    /// A symbolic link is followed: lock, sheets and the new file stand beside the real file.
    pub(super) fn hold(path: &Path, seen: &[u8]) -> Result<Self, StoreError> {
        let real = real_path(path)?;
        let lock = lock_file(&real)?;
        let now = fs::read(&real).map_err(StoreError::disk(&real, "read it"))?;
        if now == seen {
            Ok(Self { real, _lock: lock })
        } else {
            Err(StoreError::Changed { path: real })
        }
    }

    /// Returns the path of the real file.
    pub(super) fn path(&self) -> &Path {
        &self.real
    }

    /// Puts new bytes in the record's place.
    pub(super) fn replace(&self, bytes: &[u8]) -> Result<(), StoreError> {
        write::replace_keeping_access(&self.real, bytes)
    }
}

/// Returns the path with every symbolic link followed.
pub(super) fn real_path(path: &Path) -> Result<PathBuf, StoreError> {
    fs::canonicalize(path).map_err(StoreError::disk(path, "find it"))
}

fn lock_file(real: &Path) -> Result<File, StoreError> {
    let mut name = OsString::from(".");
    name.push(real.file_name().unwrap_or_default());
    name.push(".lock");
    let path = real.with_file_name(name);
    let mut options = OpenOptions::new();
    options.write(true).create(true).truncate(false);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let file = options
        .open(&path)
        .map_err(StoreError::disk(&path, "open the lock"))?;
    loop {
        match file.lock() {
            Ok(()) => return Ok(file),
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(error) => return Err(StoreError::disk(&path, "take the lock")(error)),
        }
    }
}
