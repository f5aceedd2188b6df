//! Writes whole files so that a crash leaves the old file or the new one, never half of one.
//!
//! Bytes go to a temporary file in the same folder, readable by its owner alone from the start;
//! they reach the disk before the name does.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::Path;

use tempfile::{Builder, NamedTempFile};

use super::error::StoreError;

/// Writes a new file, 0600; refuses if the name is taken, even by a link to nowhere.
pub(super) fn create(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let temporary = temporary(path, bytes)?;
    temporary.persist_noclobber(path).map_err(|failed| {
        if failed.error.kind() == io::ErrorKind::AlreadyExists {
            StoreError::Exists {
                path: path.to_owned(),
            }
        } else {
            StoreError::disk(path, "put the new file in its place")(failed.error)
        }
    })?;
    sync_folder(folder_of(path))
}

/// Writes a file over another one, 0600.
pub(super) fn replace(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    put(temporary(path, bytes)?, path)
}

/// Writes a file over another one and keeps who may read and write it.
///
/// A record that a clinic shares within its group stays shared; one that is private stays private.
pub(super) fn replace_keeping_access(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let temporary = temporary(path, bytes)?;
    keep_access(path, temporary.as_file())
        .map_err(StoreError::disk(path, "keep the file's permissions"))?;
    put(temporary, path)
}

/// Makes sure that names in a folder have reached the disk.
pub(super) fn sync_folder(folder: &Path) -> Result<(), StoreError> {
    if cfg!(unix) {
        File::open(folder)
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

fn put(temporary: NamedTempFile, path: &Path) -> Result<(), StoreError> {
    temporary
        .persist(path)
        .map_err(|failed| StoreError::disk(path, "put the new file in its place")(failed.error))?;
    sync_folder(folder_of(path))
}

fn temporary(path: &Path, bytes: &[u8]) -> Result<NamedTempFile, StoreError> {
    let write = || {
        let mut temporary = Builder::new()
            .prefix(".banister-")
            .suffix(".tmp")
            .tempfile_in(folder_of(path))?;
        temporary.write_all(bytes)?;
        temporary.as_file().sync_all()?;
        Ok(temporary)
    };
    write().map_err(StoreError::making(path, "write beside it"))
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
            replace_keeping_access(&path, b"new").unwrap();
            assert_eq!(mode(&path), bits);
        }
        replace(&path, b"newer").unwrap();
        assert_eq!(mode(&path), 0o600);
        assert_eq!(fs::read(&path).unwrap(), b"newer");
        assert_eq!(names(folder.path()), ["a.toml"]);
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
