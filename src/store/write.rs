//! Writes whole files so that a crash leaves the old file or the new one, never half of one.
//!
//! Bytes go to a temporary file in the same folder, readable by its owner alone from the start;
//! they reach the disk before the name does.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Write};
use std::path::Path;

use tempfile::{Builder, NamedTempFile};

use super::disk;
use super::error::StoreError;
use super::unsaved::save_or_note;

/// What is tried last, for messages.
const IN_PLACE: &str = "put the new file in its place";
/// How the name of a temporary file begins.
const BEFORE: &str = ".banister-";
/// How it ends.
const AFTER: &str = ".tmp";
/// Tries at a temporary file that somebody else took for one left over.
const TRIES: u32 = 8;

/// Writes a new file, 0600; refuses if the name is taken, even by a link to nowhere.
pub(super) fn create(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    put_new(path, bytes)?;
    save_or_note(path);
    Ok(())
}

/// Writes a new file whose name must have reached the disk, or it is an error.
pub(super) fn create_surely(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    put_new(path, bytes)?;
    sync_folder(folder_of(path))
}

fn put_new(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let temporary = temporary(path, bytes)?;
    disk::step("put the new file").map_err(StoreError::disk(path, IN_PLACE))?;
    temporary.persist_noclobber(path).map_err(|failed| {
        if failed.error.kind() == io::ErrorKind::AlreadyExists {
            StoreError::Exists {
                path: path.to_owned(),
            }
        } else {
            StoreError::disk(path, IN_PLACE)(failed.error)
        }
    })?;
    Ok(())
}

/// Writes a file over another one, 0600.
pub(super) fn replace(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    Ready {
        temporary: temporary(path, bytes)?,
    }
    .put(path)
}

/// A whole file on the disk that is not in its place yet.
#[derive(Debug)]
pub(super) struct Ready {
    temporary: NamedTempFile,
}

/// Makes a file ready to stand over another one, and keeps who may read and write it.
///
/// A record that a clinic shares within its group stays shared; one that is private stays private.
pub(super) fn ready_keeping_access(path: &Path, bytes: &[u8]) -> Result<Ready, StoreError> {
    let temporary = temporary(path, bytes)?;
    disk::step("keep the permissions")
        .and_then(|()| keep_access(path, temporary.as_file()))
        .map_err(StoreError::disk(path, "keep the file's permissions"))?;
    Ok(Ready { temporary })
}

impl Ready {
    /// Puts the file in its place, over what stands there.
    pub(super) fn put(self, path: &Path) -> Result<(), StoreError> {
        disk::step("put the file in its place").map_err(StoreError::disk(path, IN_PLACE))?;
        self.temporary
            .persist(path)
            .map_err(|failed| StoreError::disk(path, IN_PLACE)(failed.error))?;
        save_or_note(path);
        Ok(())
    }
}

/// Makes sure that names in a folder have reached the disk.
pub(super) fn sync_folder(folder: &Path) -> Result<(), StoreError> {
    if cfg!(unix) {
        disk::step("save the folder")
            .and_then(|()| File::open(folder))
            .and_then(|folder| folder.sync_all())
            .map_err(StoreError::disk(folder, "save the folder"))?;
    }
    Ok(())
}

/// Returns the folder a file stands in.
pub(super) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        Some(_) | None => Path::new("."),
    }
}

fn temporary(path: &Path, bytes: &[u8]) -> Result<NamedTempFile, StoreError> {
    let folder = folder_of(path);
    clear_left_over(folder);
    let write = || {
        let mut temporary = new_temporary(folder)?;
        disk::step("write the bytes")?;
        temporary.write_all(bytes)?;
        disk::step("save the bytes")?;
        temporary.as_file().sync_all()?;
        Ok(temporary)
    };
    write().map_err(StoreError::making(path, "write beside it"))
}

/// Makes a temporary file and holds its lock, the sign that its writer lives.
fn new_temporary(folder: &Path) -> io::Result<NamedTempFile> {
    disk::step("make a temporary file")?;
    let mut tries = TRIES;
    loop {
        let temporary = Builder::new()
            .prefix(BEFORE)
            .suffix(AFTER)
            .tempfile_in(folder)?;
        // Where files cannot be locked nothing is cleared away either.
        let taken = matches!(
            temporary.as_file().try_lock(),
            Err(TryLockError::WouldBlock)
        );
        if (!taken && temporary.path().exists()) || tries == 0 {
            return Ok(temporary);
        }
        tries = tries.saturating_sub(1);
    }
}

/// Removes temporary files whose writers are gone: they may hold what a patient said.
///
/// A writer that lives holds the lock of its file. What cannot be removed stays.
fn clear_left_over(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else {
        return;
    };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        let ours = name.starts_with(BEFORE) && name.ends_with(AFTER);
        let plain = entry.file_type().is_ok_and(|kind| kind.is_file());
        if !ours || !plain {
            continue;
        }
        let file = OpenOptions::new().write(true).open(entry.path());
        if file.is_ok_and(|file| file.try_lock().is_ok()) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// Gives a new file the rights of an old one, and its group where that is possible.
#[cfg(unix)]
pub(super) fn keep_access(old: &Path, new: &File) -> io::Result<()> {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, fchown};

    let old = fs::metadata(old)?;
    let mut mode = old.mode() & 0o777;
    if new.metadata()?.gid() != old.gid() && fchown(new, None, Some(old.gid())).is_err() {
        // The rights were given to another group, not to this one.
        mode &= 0o707;
    }
    new.set_permissions(fs::Permissions::from_mode(mode))?;
    new.sync_all()
}

#[cfg(not(unix))]
pub(super) fn keep_access(old: &Path, new: &File) -> io::Result<()> {
    new.set_permissions(fs::metadata(old)?.permissions())?;
    new.sync_all()
}

#[cfg(test)]
#[cfg(unix)]
mod tests {
    use std::os::unix::fs::{PermissionsExt, symlink};

    use super::*;
    use crate::store::samples::{mode, names};

    #[test]
    fn a_new_file_is_private_and_never_overwrites() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.toml");
        create(&path, b"one").unwrap();
        assert_eq!(mode(&path), 0o600);
        let error = create(&path, b"two").unwrap_err();
        assert!(matches!(error, StoreError::Exists { .. }));
        assert!(
            error
                .to_string()
                .ends_with("a.toml: exists already; nothing was written")
        );
        assert_eq!(fs::read(&path).unwrap(), b"one");
        assert_eq!(
            names(folder.path()),
            ["a.toml"],
            "no temporary file is left"
        );
    }

    #[test]
    fn a_link_to_nowhere_takes_the_name() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.toml");
        symlink(folder.path().join("elsewhere"), &path).unwrap();
        assert!(matches!(
            create(&path, b"one"),
            Err(StoreError::Exists { .. })
        ));
        assert!(!folder.path().join("elsewhere").exists());
    }

    #[test]
    fn access_is_kept_or_private() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.toml");
        for bits in [0o600, 0o640, 0o664] {
            fs::write(&path, b"old").unwrap();
            fs::set_permissions(&path, fs::Permissions::from_mode(bits)).unwrap();
            ready_keeping_access(&path, b"new")
                .unwrap()
                .put(&path)
                .unwrap();
            assert_eq!(mode(&path), bits);
        }
        replace(&path, b"newer").unwrap();
        assert_eq!(mode(&path), 0o600);
        assert_eq!(fs::read(&path).unwrap(), b"newer");
        assert_eq!(names(folder.path()), ["a.toml"]);
    }

    #[test]
    fn a_temporary_file_goes_once_its_writer_is_gone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.toml");
        let dead = folder.path().join(".banister-dead00.tmp");
        fs::write(&dead, b"pain = 7").unwrap();
        let alive = new_temporary(folder.path()).unwrap();
        create(&path, b"one").unwrap();
        assert!(!dead.exists());
        assert!(alive.path().exists());
        alive.persist(folder.path().join("b.toml")).unwrap();
        assert_eq!(names(folder.path()), ["a.toml", "b.toml"]);
    }

    #[test]
    fn a_missing_folder_is_said() {
        let error = create(Path::new("/nowhere/at/all.toml"), b"").unwrap_err();
        assert!(
            error
                .to_string()
                .starts_with("/nowhere/at/all.toml: cannot write beside it: ")
        );
    }
}
