//! Issues a handout: keeps its bytes, writes down what was issued, closes the visit.
//!
//! The bytes are on the disk before the record names them, so that no crash leaves a closed
//! visit without its sheet. Both happen under one lock, so that no two issues mix.

use std::path::Path;

use super::blocks::Place;
use super::blocks::issued::{NewIssued, issued_text, seal_text};
use super::compose::{as_text, check_place, join};
use super::error::{RecordFault, StoreError};
use super::lock::HeldRecord;
use super::seal::seal_of;
use super::shape::{VisitShape, parse, plain, token, visits};
use super::sheets::{issued_files, keep_sheets, refuse_taken};
use crate::domain::record::IssuedFile;

/// A record after a handout was issued.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct IssuedRecord {
    /// The record's new bytes.
    pub bytes: Vec<u8>,
    /// The files as the record names them, in the order given.
    pub files: Vec<IssuedFile>,
    /// The seal of the visit.
    pub seal: String,
}

/// Returns what the record will be when a handout is issued; writes nothing.
pub fn compose_issue(seen: &[u8], issued: &NewIssued) -> Result<IssuedRecord, RecordFault> {
    let old = as_text(seen)?;
    check_place(old, Place::OpenVisit(issued.visit))?;
    let (token, visits) = found(old)?;
    let last = visits
        .iter()
        .filter_map(|visit| visit.sheet)
        .max()
        .unwrap_or(0);
    if issued.sheet <= last {
        return Err(RecordFault::SheetNumber {
            asked: issued.sheet,
            last,
        });
    }
    let files = issued_files(&token, issued.sheet, &issued.sheets)?;
    let open = join(old, &issued_text(issued, &files)?)?;
    let seal = seal_of(&open, issued.visit)?;
    let bytes = join(&open, &seal_text(&seal))?.into_bytes();
    Ok(IssuedRecord { bytes, files, seal })
}

/// Issues a handout for the open visit and closes it.
///
/// `seen` are the bytes the caller read and decided on. If the file has others by now, nothing
/// is written.
pub fn issue(path: &Path, seen: &[u8], issued: &NewIssued) -> Result<IssuedRecord, StoreError> {
    let held = HeldRecord::hold(path, seen)?;
    let fault = |fault| StoreError::record(held.path())(fault);
    let new = compose_issue(seen, issued).map_err(fault)?;
    let (token, _) = as_text(seen).and_then(found).map_err(fault)?;
    refuse_taken(held.path(), &token, issued.sheet)?;
    let ready = held.ready(&new.bytes)?;
    keep_sheets(held.path(), &new.files, &issued.sheets)?;
    ready.put(held.path())?;
    Ok(new)
}

fn found(old: &str) -> Result<(String, Vec<VisitShape>), RecordFault> {
    let text = plain(old);
    let record = parse(&text)?;
    Ok((token(&record)?, visits(&text, &record)?))
}

#[cfg(test)]
#[cfg(unix)]
mod tests {
    use std::fs;
    use std::path::PathBuf;

    use super::*;
    use crate::store::append::{append, create_record};
    use crate::store::blocks::visit::visit_block;
    use crate::store::compose::compose;
    use crate::store::samples::{blank_visit, intake_text, mode, names, new_issued};
    use crate::store::seal::{SealState, verify_all};
    use crate::store::sheets::{give_back, not_in_record, sheets_folder};

    const NAME: &str = "TE-0007-E1-sheet-01.pdf";

    fn open_visit() -> Vec<u8> {
        compose(intake_text().as_bytes(), &visit_block(&blank_visit(1))).unwrap()
    }

    fn on_disk(folder: &Path) -> (PathBuf, Vec<u8>) {
        let path = folder.join("one.toml");
        create_record(&path, &open_visit()).unwrap();
        (path, open_visit())
    }

    #[test]
    fn what_was_issued_is_given_back_byte_for_byte() {
        let folder = tempfile::tempdir().unwrap();
        let (path, old) = on_disk(folder.path());
        let new = issue(&path, &old, &new_issued(1, 1)).unwrap();
        assert!(new.bytes.starts_with(&old));
        assert_eq!(fs::read(&path).unwrap(), new.bytes);
        let text = String::from_utf8(new.bytes).unwrap();
        assert!(text.ends_with(&format!("[visit.seal]\nsha256 = \"{}\"\n", new.seal)));
        assert_eq!(verify_all(&text).unwrap()[0].state, SealState::Holds);
        assert_eq!(give_back(&path, &new.files[0]).unwrap(), b"%PDF sheet 1");
        let sheets = sheets_folder(&path);
        assert_eq!((mode(&sheets), mode(&sheets.join(NAME))), (0o700, 0o600));
        assert_eq!(names(&sheets), [NAME]);
        assert_eq!(
            names(folder.path()),
            [".one.toml.lock", "one.sheets", "one.toml"]
        );
    }

    #[test]
    fn issuing_again_or_elsewhere_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let (path, old) = on_disk(folder.path());
        let new = issue(&path, &old, &new_issued(1, 1)).unwrap();
        let closed = issue(&path, &new.bytes, &new_issued(1, 2)).unwrap_err();
        assert!(closed.to_string().contains("visit 1 is closed"), "{closed}");
        let stale = issue(&path, &old, &new_issued(1, 1)).unwrap_err();
        assert!(matches!(stale, StoreError::Changed { .. }));
        let second = append(&path, &new.bytes, &visit_block(&blank_visit(2))).unwrap();
        let fault = compose_issue(&second, &new_issued(2, 1)).unwrap_err();
        assert_eq!(fault, RecordFault::SheetNumber { asked: 1, last: 1 });
        issue(&path, &second, &new_issued(2, 2)).unwrap();
        assert_eq!(
            names(&sheets_folder(&path)),
            [NAME, "TE-0007-E1-sheet-02.pdf"]
        );
    }

    #[test]
    fn a_file_that_is_gone_or_altered_is_said_and_not_replaced() {
        let folder = tempfile::tempdir().unwrap();
        let (path, old) = on_disk(folder.path());
        let file = issue(&path, &old, &new_issued(1, 1))
            .unwrap()
            .files
            .remove(0);
        let sheet = sheets_folder(&path).join(NAME);
        fs::write(&sheet, b"%PDF other").unwrap();
        let altered = give_back(&path, &file).unwrap_err();
        assert!(
            matches!(altered, StoreError::SheetAltered { .. }),
            "{altered}"
        );
        fs::remove_file(&sheet).unwrap();
        let gone = give_back(&path, &file).unwrap_err();
        assert!(matches!(gone, StoreError::SheetGone { .. }), "{gone}");
        assert!(names(&sheets_folder(&path)).is_empty());
        fs::remove_dir(sheets_folder(&path)).unwrap();
        assert!(matches!(
            give_back(&path, &file),
            Err(StoreError::SheetGone { .. })
        ));
        assert!(!sheets_folder(&path).exists());
    }

    /// Half a sheet, the very same sheet, and another form of it.
    #[test]
    fn a_sheet_the_record_does_not_name_blocks_its_number() {
        for (name, bytes) in [
            (NAME, "%PDF half"),
            (NAME, "%PDF sheet 1"),
            ("TE-0007-E1-sheet-01.html", "%PDF sheet 1"),
        ] {
            let folder = tempfile::tempdir().unwrap();
            let (path, old) = on_disk(folder.path());
            let sheets = sheets_folder(&path);
            fs::create_dir(&sheets).unwrap();
            fs::write(sheets.join(name), bytes).unwrap();
            assert_eq!(not_in_record(&path, "TE-0007-E1", []).unwrap(), [1]);
            let taken = issue(&path, &old, &new_issued(1, 1)).unwrap_err();
            assert!(matches!(taken, StoreError::SheetTaken { .. }), "{taken}");
            assert_eq!(fs::read(&path).unwrap(), old);
            let new = issue(&path, &old, &new_issued(1, 2)).unwrap();
            assert_eq!(give_back(&path, &new.files[0]).unwrap(), b"%PDF sheet 2");
            assert_eq!(fs::read_to_string(sheets.join(name)).unwrap(), bytes);
            assert_eq!(not_in_record(&path, "TE-0007-E1", [2]).unwrap(), [1]);
        }
    }

    #[test]
    fn a_name_the_record_uses_is_never_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("one.toml");
        let first = compose_issue(&open_visit(), &new_issued(1, 1))
            .unwrap()
            .bytes;
        let first = String::from_utf8(first)
            .unwrap()
            .replace("sheet-01", "sheet-02");
        let old = compose(first.as_bytes(), &visit_block(&blank_visit(2))).unwrap();
        create_record(&path, &old).unwrap();
        let sheets = sheets_folder(&path);
        fs::create_dir(&sheets).unwrap();
        let taken = sheets.join("TE-0007-E1-sheet-02.pdf");
        fs::write(&taken, b"%PDF first").unwrap();
        let error = issue(&path, &old, &new_issued(2, 2)).unwrap_err();
        assert!(matches!(error, StoreError::SheetTaken { .. }), "{error}");
        assert_eq!(fs::read(&taken).unwrap(), b"%PDF first");
        assert_eq!(fs::read(&path).unwrap(), old);
    }

    #[test]
    fn without_its_sheet_a_visit_is_not_closed() {
        let folder = tempfile::tempdir().unwrap();
        let (path, old) = on_disk(folder.path());
        fs::write(sheets_folder(&path), b"a file where the folder should be").unwrap();
        assert!(issue(&path, &old, &new_issued(1, 1)).is_err());
        assert_eq!(fs::read(&path).unwrap(), old);
    }

    #[test]
    fn issuing_from_the_same_bytes_gives_the_same_bytes() {
        let old = open_visit();
        let new = |old: &[u8]| compose_issue(old, &new_issued(1, 1)).unwrap();
        assert_eq!(new(&old), new(&old));
        let mut crlf = b"\xef\xbb\xbf# note\r\n".to_vec();
        crlf.extend(
            String::from_utf8(old.clone())
                .unwrap()
                .replace('\n', "\r\n")
                .bytes(),
        );
        assert_eq!(new(&crlf).seal, new(&old).seal);
        assert!(new(&crlf).bytes.starts_with(&crlf));
    }
}
