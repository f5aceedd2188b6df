//! A record held under its lock, known to be unchanged.
//!
//! The lock is on a sibling file, `.<name>.lock`, since the record itself is replaced by a new
//! file each time. The sibling is never removed: were it removed, one writer could hold the lock
//! of the removed file while another makes and locks a new one, and both would write. It is
//! empty, as private as the record, and harmless to delete by hand while nobody writes.

use std::ffi::OsString;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::Duration;

use super::disk;
use super::error::StoreError;
use super::names;
use super::write::{self, Ready, keep_access};

/// Pause between two tries at a held lock.
const NAP: Duration = Duration::from_millis(50);
/// Tries at a held lock: about 5 seconds in all, longer than any write takes.
const NAPS: u32 = 100;

/// What the system says where files cannot be locked: no lock service, or no such operation.
#[cfg(any(target_os = "linux", target_os = "android"))]
const NO_LOCKS: &[i32] = &[37, 38, 95];
/// What the system says where files cannot be locked: no lock service, or no such operation.
#[cfg(any(target_os = "macos", target_os = "ios"))]
const NO_LOCKS: &[i32] = &[45, 77, 78, 102];
/// What the system says where files cannot be locked.
#[cfg(not(any(
    target_os = "linux",
    target_os = "android",
    target_os = "macos",
    target_os = "ios"
)))]
const NO_LOCKS: &[i32] = &[];

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
        let found = fs::metadata(&real).map_err(StoreError::disk(&real, "look at it"))?;
        if !found.is_file() {
            return Err(StoreError::NotPlain { path: real });
        }
        let lock = lock_file(&real)?;
        let now = disk::step("read the record")
            .and_then(|()| fs::read(&real))
            .map_err(StoreError::disk(&real, "read it"))?;
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
        self.ready(bytes)?.put(&self.real)
    }

    /// Brings new bytes to the disk; nothing stands in the record's place yet.
    pub(super) fn ready(&self, bytes: &[u8]) -> Result<Ready, StoreError> {
        write::ready_keeping_access(&self.real, bytes)
    }
}

/// Returns the path with every symbolic link followed.
pub(super) fn real_path(path: &Path) -> Result<PathBuf, StoreError> {
    fs::canonicalize(path).map_err(StoreError::disk(path, "find it"))
}

fn lock_file(real: &Path) -> Result<File, StoreError> {
    let path = real.with_file_name(lock_name(real));
    let file = open(&path, real)?;
    // Counted in naps, since nothing here may read a clock.
    for _ in 0..NAPS {
        match file.try_lock() {
            Ok(()) => return Ok(file),
            Err(TryLockError::WouldBlock) => thread::sleep(NAP),
            Err(TryLockError::Error(error)) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(TryLockError::Error(error)) => return Err(cannot_lock(real, &path, error)),
        }
    }
    Err(StoreError::Busy {
        path: real.to_owned(),
    })
}

/// Opens the lock, open to those who may write the record, and to nobody else.
fn open(path: &Path, real: &Path) -> Result<File, StoreError> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    match disk::step("make the lock").and_then(|()| options.open(path)) {
        Ok(file) => {
            keep_access(real, &file).map_err(StoreError::disk(path, "share the lock"))?;
            Ok(file)
        }
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
            let file = OpenOptions::new()
                .write(true)
                .open(path)
                .map_err(StoreError::disk(path, "open the lock"))?;
            // Only its owner may change the rights; for anybody else it is open as it is.
            let _ = keep_access(real, &file);
            Ok(file)
        }
        Err(error) => Err(StoreError::making(path, "make the lock")(error)),
    }
}

fn cannot_lock(real: &Path, lock: &Path, error: io::Error) -> StoreError {
    let none = error.kind() == io::ErrorKind::Unsupported
        || error.raw_os_error().is_some_and(|n| NO_LOCKS.contains(&n));
    if none {
        StoreError::NoLocks {
            path: real.to_owned(),
        }
    } else {
        StoreError::disk(lock, "take the lock")(error)
    }
}

/// Names the lock beside a record.
fn lock_name(real: &Path) -> OsString {
    names::beside(".", real.file_name().unwrap_or_default(), ".lock")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_system_without_locks_is_named() {
        let record = Path::new("r.toml");
        let lock = Path::new(".r.toml.lock");
        let said = |error: io::Error| cannot_lock(record, lock, error).to_string();
        let unsupported = said(io::ErrorKind::Unsupported.into());
        assert!(unsupported.starts_with("r.toml: files cannot be locked in this folder"));
        for number in NO_LOCKS {
            assert_eq!(said(io::Error::from_raw_os_error(*number)), unsupported);
        }
        let other = said(io::ErrorKind::OutOfMemory.into());
        assert!(
            other.starts_with(".r.toml.lock: cannot take the lock: "),
            "{other}"
        );
    }

    #[cfg(unix)]
    #[test]
    fn a_new_lock_is_shared_with_those_who_share_the_record() {
        use crate::store::samples::mode;
        use std::os::unix::fs::PermissionsExt;

        for bits in [0o600, 0o660, 0o664] {
            let folder = tempfile::tempdir().unwrap();
            let record = folder.path().join("r.toml");
            fs::write(&record, b"a = 1\n").unwrap();
            fs::set_permissions(&record, fs::Permissions::from_mode(bits)).unwrap();
            drop(HeldRecord::hold(&record, b"a = 1\n").unwrap());
            assert_eq!(mode(&folder.path().join(".r.toml.lock")), bits);
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_lock_takes_the_rights_its_record_has_now() {
        use crate::store::samples::mode;
        use std::os::unix::fs::PermissionsExt;

        let folder = tempfile::tempdir().unwrap();
        let record = folder.path().join("r.toml");
        fs::write(&record, b"a = 1\n").unwrap();
        for bits in [0o600, 0o660, 0o640] {
            fs::set_permissions(&record, fs::Permissions::from_mode(bits)).unwrap();
            drop(HeldRecord::hold(&record, b"a = 1\n").unwrap());
            assert_eq!(mode(&folder.path().join(".r.toml.lock")), bits);
        }
    }
}
