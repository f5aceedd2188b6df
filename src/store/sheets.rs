//! The very bytes that went out, kept beside the record and given back unaltered.
//!
//! They stand in `<record name>.sheets/<token>-sheet-<nn>.<ext>`. Nothing is drawn here.

use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Component, Path, PathBuf};

use super::digest::sha256;
use super::disk;
use super::error::{RecordFault, StoreError};
use super::lock::real_path;
use super::names;
use super::write;
use crate::domain::record::IssuedFile;

/// No sheet is longer, in bytes: a longer file is not what was issued, and is not read.
const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// What kind of file a sheet is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SheetKind {
    /// For print.
    Pdf,
    /// For a phone.
    Html,
    /// Plain text.
    Text,
    /// Why the sheet is what it is; for the clinic, not for the patient.
    Reasons,
}

impl SheetKind {
    const ALL: [Self; 4] = [Self::Pdf, Self::Html, Self::Text, Self::Reasons];

    /// Returns the end of the file's name, without its dot.
    pub fn extension(self) -> &'static str {
        match self {
            Self::Pdf => "pdf",
            Self::Html => "html",
            Self::Text => "txt",
            Self::Reasons => "json",
        }
    }
}

/// One file that goes out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// Its kind.
    pub kind: SheetKind,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// Returns the folder that keeps what was issued for a record.
pub fn sheets_folder(record: &Path) -> PathBuf {
    let name = match record.extension() {
        Some(extension) if extension == "toml" => record.file_stem(),
        Some(_) | None => record.file_name(),
    };
    record.with_file_name(names::beside("", name.unwrap_or_default(), ".sheets"))
}

/// Returns the bytes of an issued file, if they still are what was issued.
pub fn give_back(record: &Path, file: &IssuedFile) -> Result<Vec<u8>, StoreError> {
    let real = real_path(record)?;
    if !is_plain_name(&file.name) {
        return Err(StoreError::SheetName {
            path: real,
            name: file.name.clone(),
        });
    }
    let path = sheets_folder(&real).join(&file.name);
    let found = fs::metadata(&path);
    if found.as_ref().is_ok_and(|found| !found.is_file()) {
        return Err(StoreError::NotPlain { path });
    }
    if found.is_ok_and(|found| found.len() > MOST_BYTES) {
        return Err(StoreError::SheetAltered { path });
    }
    let bytes = match fs::read(&path) {
        Ok(bytes) => bytes,
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            return Err(StoreError::SheetGone { path });
        }
        Err(error) => return Err(StoreError::disk(&path, "read it")(error)),
    };
    if sha256(&bytes) == file.sha256 {
        Ok(bytes)
    } else {
        Err(StoreError::SheetAltered { path })
    }
}

/// Returns the names and digests the record will hold for some sheets.
pub(super) fn issued_files(
    token: &str,
    sheet: i64,
    sheets: &[Sheet],
) -> Result<Vec<IssuedFile>, RecordFault> {
    if sheets.is_empty() {
        return Err(RecordFault::NoSheet);
    }
    let mut files: Vec<IssuedFile> = Vec::new();
    for file in sheets {
        let name = sheet_name(token, sheet, file.kind)?;
        if files.iter().any(|other| other.name == name) {
            return Err(RecordFault::TwoSheets(name));
        }
        files.push(IssuedFile {
            name,
            sha256: sha256(&file.bytes),
        });
    }
    Ok(files)
}

/// Lists the numbers of the sheets that stand beside a record and are not in it, in order.
///
/// An issue was broken off before the record was written, or the record is an older copy.
pub fn not_in_record(
    record: &Path,
    token: &str,
    named: impl IntoIterator<Item = i64>,
) -> Result<Vec<i64>, StoreError> {
    let folder = sheets_folder(&real_path(record)?);
    let mut there = numbers_in(&folder, token)?;
    for number in named {
        there.remove(&number);
    }
    Ok(there.into_iter().collect())
}

/// Finds the numbers of the sheets of a token that a folder holds; no folder holds none.
fn numbers_in(folder: &Path, token: &str) -> Result<BTreeSet<i64>, StoreError> {
    let wrong = |error| StoreError::disk(folder, "list it")(error);
    let entries = match disk::step("list the sheets").and_then(|()| fs::read_dir(folder)) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(BTreeSet::new()),
        Err(error) => return Err(wrong(error)),
    };
    let mut numbers = BTreeSet::new();
    for entry in entries {
        let name = entry.map_err(wrong)?.file_name();
        numbers.extend(number_of(&name.to_string_lossy(), token));
    }
    Ok(numbers)
}

/// Reads the number out of a sheet's name.
fn number_of(name: &str, token: &str) -> Option<i64> {
    let rest = name.strip_prefix(token)?.strip_prefix("-sheet-")?;
    let (number, extension) = rest.split_once('.')?;
    let ours = SheetKind::ALL.map(SheetKind::extension);
    if !ours.contains(&extension) || !number.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    number.parse().ok()
}

/// Keeps the bytes of every file of a sheet before the record speaks of them, all or none.
///
/// A number under which anything stands already is refused, whoever left it there.
pub(super) fn keep_sheets(
    record: &Path,
    files: &[IssuedFile],
    sheets: &[Sheet],
) -> Result<(), StoreError> {
    let folder = sheets_folder(record);
    make_folder(&folder)?;
    for (at, (file, sheet)) in files.iter().zip(sheets).enumerate() {
        let path = folder.join(&file.name);
        if let Err(error) = write::create_surely(&path, &sheet.bytes) {
            let own = at.saturating_add(usize::from(!matches!(error, StoreError::Exists { .. })));
            for file in files.iter().take(own) {
                // One that stays blocks its number and nothing else.
                let _ = fs::remove_file(folder.join(&file.name));
            }
            return Err(error);
        }
    }
    Ok(())
}

/// Refuses a number that any file beside the record has.
pub(super) fn refuse_taken(record: &Path, token: &str, sheet: i64) -> Result<(), StoreError> {
    let folder = sheets_folder(record);
    if numbers_in(&folder, token)?.contains(&sheet) {
        let name = format!("{token}-sheet-{sheet:02}");
        return Err(StoreError::SheetTaken {
            path: folder.join(name),
        });
    }
    Ok(())
}

fn make_folder(folder: &Path) -> Result<(), StoreError> {
    let mut builder = fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    match disk::step("make the folder of sheets").and_then(|()| builder.create(folder)) {
        Ok(()) => write::sync_folder(write::folder_of(folder)),
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Ok(()),
        Err(error) => Err(StoreError::disk(folder, "make the folder")(error)),
    }
}

fn sheet_name(token: &str, sheet: i64, kind: SheetKind) -> Result<String, RecordFault> {
    let plain = |c: char| c.is_ascii_alphanumeric() || c == '-';
    if token.is_empty() || token.len() > 64 || !token.chars().all(plain) {
        return Err(RecordFault::BadToken(token.to_owned()));
    }
    Ok(format!("{token}-sheet-{sheet:02}.{}", kind.extension()))
}

fn is_plain_name(name: &str) -> bool {
    let mut parts = Path::new(name).components();
    let first = parts.next();
    parts.next().is_none()
        && matches!(first, Some(Component::Normal(part)) if part == name)
        && !name.contains(['/', '\\', '\0'])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_folder_has_the_record_s_name() {
        for (record, folder) in [
            ("a/one.toml", "a/one.sheets"),
            ("one.v2.toml", "one.v2.sheets"),
            ("a/one", "a/one.sheets"),
            ("a/one.txt", "a/one.txt.sheets"),
        ] {
            assert_eq!(sheets_folder(Path::new(record)), Path::new(folder));
        }
    }

    #[test]
    fn names_come_from_the_token_and_the_sheet() {
        let name = |token, sheet| sheet_name(token, sheet, SheetKind::Pdf);
        assert_eq!(name("EX-1", 3).unwrap(), "EX-1-sheet-03.pdf");
        assert_eq!(name("EX-1", 100).unwrap(), "EX-1-sheet-100.pdf");
        for token in ["", "..", "a/b", "a b", "é", "a.b", "a\\b"] {
            assert_eq!(name(token, 1), Err(RecordFault::BadToken(token.to_owned())));
        }
    }

    #[test]
    fn one_file_of_each_kind() {
        let sheet = |kind| Sheet {
            kind,
            bytes: b"abc".to_vec(),
        };
        let both = [
            sheet(SheetKind::Pdf),
            sheet(SheetKind::Html),
            sheet(SheetKind::Text),
        ];
        let files = issued_files("EX-1", 1, &both).unwrap();
        let names: Vec<_> = files.iter().map(|file| file.name.as_str()).collect();
        assert_eq!(
            names,
            [
                "EX-1-sheet-01.pdf",
                "EX-1-sheet-01.html",
                "EX-1-sheet-01.txt"
            ]
        );
        assert_eq!(files[0].sha256, sha256(b"abc"));
        let twice = [sheet(SheetKind::Pdf), sheet(SheetKind::Pdf)];
        assert!(matches!(
            issued_files("EX-1", 1, &twice),
            Err(RecordFault::TwoSheets(_))
        ));
        assert_eq!(issued_files("EX-1", 1, &[]), Err(RecordFault::NoSheet));
    }

    #[test]
    fn no_file_outside_the_folder_is_read() {
        let home = tempfile::tempdir().unwrap();
        let record = home.path().join("one.toml");
        fs::write(&record, "").unwrap();
        fs::write(home.path().join("secret"), "x").unwrap();
        for name in [
            "../secret",
            "/etc/hostname",
            "..",
            ".",
            "",
            "a/b",
            "a/",
            "a\\b",
        ] {
            let file = IssuedFile {
                name: name.to_owned(),
                sha256: sha256(b"x"),
            };
            let error = give_back(&record, &file).unwrap_err();
            assert!(
                matches!(error, StoreError::SheetName { .. }),
                "{name}: {error}"
            );
        }
    }
}
