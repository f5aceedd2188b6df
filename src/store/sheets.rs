//! The very bytes that went out, kept beside the record and given back unaltered.
//!
//! They stand in `<record name>.sheets/<token>-sheet-<nn>.<ext>`. Nothing is drawn here.

use std::ffi::OsString;
use std::fs;
use std::io;
use std::path::{Component, Path, PathBuf};

use super::digest::sha256;
use super::error::{RecordFault, StoreError};
use super::lock::real_path;
use super::names;
use super::write;
use crate::domain::record::IssuedFile;

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

/// Keeps the bytes of a sheet before the record speaks of them.
///
/// A file of this name with the same bytes is left as it is. One with other bytes is an error if
/// the record names it. If it does not, an issue was broken off before the record was written, or
/// an older copy of the record was put back: the file is set aside under a name with its digest,
/// never deleted, and does not stand in the way.
pub(super) fn keep_sheet(
    record: &Path,
    file: &IssuedFile,
    bytes: &[u8],
    named_in_record: &[String],
) -> Result<(), StoreError> {
    let folder = sheets_folder(record);
    make_folder(&folder)?;
    let path = folder.join(&file.name);
    match write::create(&path, bytes) {
        Err(StoreError::Exists { .. }) => {}
        other => return other,
    }
    let there = fs::read(&path).map_err(StoreError::disk(&path, "read it"))?;
    if there == bytes {
        return Ok(());
    }
    if named_in_record.contains(&file.name) {
        return Err(StoreError::SheetTaken { path });
    }
    set_aside(&path, &there)?;
    write::create(&path, bytes)
}

fn set_aside(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let mut name = OsString::from(path.file_name().unwrap_or_default());
    name.push(".not-in-record-");
    name.push(sha256(bytes));
    fs::rename(path, path.with_file_name(name)).map_err(StoreError::disk(path, "set it aside"))
}

fn make_folder(folder: &Path) -> Result<(), StoreError> {
    let mut builder = fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    match builder.create(folder) {
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
