//! Writes an output file where the user asked for it.

use std::fs;
use std::io;
use std::path::Path;

use super::error::StoreError;
use super::lock::real_path;
use super::write;

/// What to do with a file that is there already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Existing {
    /// Leave it and say so.
    Refuse,
    /// Write over it: the user said so.
    Replace,
}

/// Writes an output file, 0600, whole or not at all.
///
/// A symbolic link is followed. A folder or a device is never replaced, and nothing is written
/// into a folder of kept sheets.
pub fn write_output(path: &Path, bytes: &[u8], existing: Existing) -> Result<(), StoreError> {
    if stands_among_sheets(path) {
        return Err(StoreError::AmongSheets {
            path: path.to_owned(),
        });
    }
    let there = match fs::symlink_metadata(path) {
        Ok(_) => true,
        Err(error) if error.kind() == io::ErrorKind::NotFound => false,
        Err(error) => return Err(StoreError::disk(path, "look at it")(error)),
    };
    match (there, existing) {
        (false, _) | (true, Existing::Refuse) => write::create(path, bytes),
        (true, Existing::Replace) => {
            let real = real_path(path)?;
            let found = fs::metadata(&real).map_err(StoreError::disk(&real, "look at it"))?;
            if found.is_file() {
                write::replace(&real, bytes)
            } else {
                Err(StoreError::NotPlain { path: real })
            }
        }
    }
}

/// Says whether a path, its links followed, leads into a folder of kept sheets.
fn stands_among_sheets(path: &Path) -> bool {
    let real = fs::canonicalize(path)
        .or_else(|_| fs::canonicalize(write::folder_of(path)).map(|folder| folder.join("new")));
    let real = real.as_deref().unwrap_or(path);
    let mut above = real.ancestors().skip(1);
    above.any(|folder| folder.extension().is_some_and(|end| end == "sheets"))
}

#[cfg(test)]
#[cfg(unix)]
mod tests {
    use std::os::unix::fs::{PermissionsExt, symlink};

    use super::*;
    use crate::store::samples::{mode, names};

    #[test]
    fn a_file_that_is_there_is_kept_unless_told() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("out.pdf");
        write_output(&path, b"one", Existing::Refuse).unwrap();
        assert_eq!(mode(&path), 0o600);
        let error = write_output(&path, b"two", Existing::Refuse).unwrap_err();
        assert!(matches!(error, StoreError::Exists { .. }));
        assert_eq!(fs::read(&path).unwrap(), b"one");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o644)).unwrap();
        write_output(&path, b"two", Existing::Replace).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(mode(&path), 0o600);
        assert_eq!(names(folder.path()), ["out.pdf"]);
    }

    #[test]
    fn told_to_replace_it_also_makes_a_new_file() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("out.pdf");
        write_output(&path, b"one", Existing::Replace).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"one");
    }

    #[test]
    fn folders_and_devices_stay() {
        let folder = tempfile::tempdir().unwrap();
        for path in [folder.path(), Path::new("/dev/null")] {
            let refused = write_output(path, b"x", Existing::Refuse).unwrap_err();
            assert!(matches!(refused, StoreError::Exists { .. }), "{refused}");
            let error = write_output(path, b"x", Existing::Replace).unwrap_err();
            assert!(matches!(error, StoreError::NotPlain { .. }), "{error}");
        }
        assert!(!fs::metadata("/dev/null").unwrap().is_file());
    }

    #[test]
    fn no_kept_sheet_is_written_over_by_any_path() {
        let folder = tempfile::tempdir().unwrap();
        let sheets = folder.path().join("other.sheets");
        fs::create_dir(&sheets).unwrap();
        let kept = sheets.join("EX-1-sheet-01.pdf");
        fs::write(&kept, "kept").unwrap();
        let (to_file, to_folder) = (folder.path().join("a.pdf"), folder.path().join("b"));
        symlink(&kept, &to_file).unwrap();
        symlink(&sheets, &to_folder).unwrap();
        let new = to_folder.join("EX-1-sheet-02.pdf");
        for path in [&kept, &to_file, &to_folder.join("EX-1-sheet-01.pdf"), &new] {
            let error = write_output(path, b"x", Existing::Replace).unwrap_err();
            assert!(matches!(error, StoreError::AmongSheets { .. }), "{error}");
        }
        assert_eq!(fs::read(&kept).unwrap(), b"kept");
        assert_eq!(names(&sheets), ["EX-1-sheet-01.pdf"]);
    }

    #[test]
    fn a_link_stays_a_link() {
        let folder = tempfile::tempdir().unwrap();
        let real = folder.path().join("real.txt");
        let link = folder.path().join("link.txt");
        fs::write(&real, "old").unwrap();
        symlink(&real, &link).unwrap();
        assert!(write_output(&link, b"new", Existing::Refuse).is_err());
        write_output(&link, b"new", Existing::Replace).unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read(&real).unwrap(), b"new");
    }

    #[test]
    fn a_missing_folder_is_said() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("no/out.pdf");
        let error = write_output(&path, b"x", Existing::Refuse).unwrap_err();
        assert!(matches!(error, StoreError::Disk { .. }));
        assert!(
            error
                .to_string()
                .contains("out.pdf: cannot write beside it: ")
        );
    }
}
