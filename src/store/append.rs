//! Writes a new record, or a block at the end of one.

use std::path::Path;

use super::blocks::Block;
use super::compose::{as_text, check_text, compose};
use super::error::StoreError;
use super::lock::HeldRecord;
use super::write;

/// Writes a new record, 0600; never over a file that is there.
pub fn create_record(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    as_text(bytes)
        .and_then(check_text)
        .map_err(StoreError::record(path))?;
    write::create(path, bytes)
}

/// Appends a block to a record and returns the record's new bytes.
///
/// `seen` are the bytes the caller read and decided on. If the file has others by now, nothing
/// is written.
pub fn append(path: &Path, seen: &[u8], block: &Block) -> Result<Vec<u8>, StoreError> {
    let held = HeldRecord::hold(path, seen)?;
    let new = compose(seen, block).map_err(StoreError::record(held.path()))?;
    held.replace(&new)?;
    Ok(new)
}

/// Appends several blocks at once, all of them or none; none at all writes nothing.
pub fn append_all(path: &Path, seen: &[u8], blocks: &[Block]) -> Result<Vec<u8>, StoreError> {
    if blocks.is_empty() {
        return Ok(seen.to_vec());
    }
    let held = HeldRecord::hold(path, seen)?;
    let mut new = seen.to_vec();
    for block in blocks {
        new = compose(&new, block).map_err(StoreError::record(held.path()))?;
    }
    held.replace(&new)?;
    Ok(new)
}

#[cfg(test)]
#[cfg(unix)]
mod tests {
    use std::fs;
    use std::os::unix::fs::symlink;
    use std::thread;

    use super::*;
    use crate::store::blocks::intake::{clear_block, order_block};
    use crate::store::samples::{clearance, intake_text, mode, names, new_order};

    #[test]
    fn a_block_is_added_after_the_old_bytes() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("one.toml");
        let old = intake_text();
        create_record(&path, old.as_bytes()).unwrap();
        let new = append(&path, old.as_bytes(), &clear_block(&clearance())).unwrap();
        assert_eq!(fs::read(&path).unwrap(), new);
        assert_eq!(new[..old.len()], *old.as_bytes());
        assert_eq!(mode(&path), 0o600);
        assert_eq!(names(folder.path()), [".one.toml.lock", "one.toml"]);
        assert_eq!(mode(&folder.path().join(".one.toml.lock")), 0o600);
    }

    #[test]
    fn a_new_record_must_parse_and_never_overwrites() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("one.toml");
        assert!(matches!(
            create_record(&path, b"a = "),
            Err(StoreError::Record { .. })
        ));
        assert!(!path.exists());
        create_record(&path, b"a = 1\n").unwrap();
        assert!(matches!(
            create_record(&path, b"a = 2\n"),
            Err(StoreError::Exists { .. })
        ));
        assert_eq!(fs::read(&path).unwrap(), b"a = 1\n");
    }

    #[test]
    fn a_record_changed_by_somebody_else_is_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("one.toml");
        let old = intake_text();
        fs::write(&path, format!("{old}# by hand\n")).unwrap();
        let error = append(&path, old.as_bytes(), &clear_block(&clearance())).unwrap_err();
        assert!(matches!(error, StoreError::Changed { .. }));
        assert!(error.to_string().ends_with(
            "one.toml: somebody else changed it since it was read; nothing was written"
        ));
        assert!(fs::read_to_string(&path).unwrap().ends_with("# by hand\n"));
    }

    #[test]
    fn a_refused_block_leaves_the_bytes() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("one.toml");
        fs::write(&path, "clear = 1\n").unwrap();
        let error = append(&path, b"clear = 1\n", &clear_block(&clearance())).unwrap_err();
        assert!(matches!(error, StoreError::Record { .. }), "{error}");
        assert!(error.to_string().ends_with("; nothing was written"));
        assert_eq!(fs::read(&path).unwrap(), b"clear = 1\n");
    }

    #[test]
    fn a_link_is_followed_and_stays_a_link() {
        let folder = tempfile::tempdir().unwrap();
        let shelf = folder.path().join("shelf");
        fs::create_dir(&shelf).unwrap();
        let real = shelf.join("one.toml");
        let link = folder.path().join("link.toml");
        let old = intake_text();
        create_record(&real, old.as_bytes()).unwrap();
        symlink(&real, &link).unwrap();
        let new = append(&link, old.as_bytes(), &clear_block(&clearance())).unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read(&real).unwrap(), new);
        assert_eq!(names(folder.path()), ["link.toml", "shelf"]);
        assert_eq!(names(&shelf), [".one.toml.lock", "one.toml"]);
    }

    #[test]
    fn two_writers_at_once_lose_nothing() {
        const EACH: usize = 25;
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("one.toml");
        create_record(&path, intake_text().as_bytes()).unwrap();
        thread::scope(|scope| {
            for writer in ["A", "B", "C"] {
                let path = &path;
                scope.spawn(move || {
                    for k in 0..EACH {
                        let block = order_block(&new_order(&format!("{writer}{k}")));
                        loop {
                            let seen = fs::read(path).unwrap();
                            match append(path, &seen, &block) {
                                Ok(_) => break,
                                Err(StoreError::Changed { .. }) => {}
                                Err(error) => panic!("{error}"),
                            }
                        }
                    }
                });
            }
        });
        let text = fs::read_to_string(&path).unwrap();
        for writer in ["A", "B", "C"] {
            for k in 0..EACH {
                let line = format!("id = \"{writer}{k}\"\n");
                assert_eq!(text.matches(&line).count(), 1, "{line}");
            }
        }
    }

    #[test]
    fn a_missing_record_is_said() {
        let error =
            append(Path::new("/nowhere.toml"), b"", &clear_block(&clearance())).unwrap_err();
        assert!(
            error
                .to_string()
                .starts_with("/nowhere.toml: cannot find it: "),
            "{error}"
        );
    }
}
