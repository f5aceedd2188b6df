//! The built-in library and a made-up record, for the tests of this module.

use std::path::Path;
use std::sync::LazyLock;

use crate::domain::ids::Id;
use crate::domain::library::Library;
use crate::domain::record::Record;
use crate::files::library::load;
use crate::files::problem::Problems;
use crate::files::source::SourceFile;

/// Two closed visits and an open one, with every key that a record may have.
pub(super) const RECORD: &str = include_str!("sample.toml");

/// The built-in library and the made-up clinic.
static LIBRARY: LazyLock<Library> = LazyLock::new(library);

/// Returns the sample with a text of it replaced; the text must stand in it exactly once.
pub(super) fn with(old: &str, new: &str) -> String {
    assert_eq!(RECORD.matches(old).count(), 1, "{old}");
    RECORD.replace(old, new)
}

/// Reads a record with the built-in library.
pub(super) fn read(text: &str) -> Result<Record, Problems> {
    super::read(&SourceFile::new("r.toml", text), &LIBRARY)
}

/// Returns the problems of a record, one a line.
pub(super) fn told(text: &str) -> String {
    read(text).unwrap_err().short()
}

fn library() -> Library {
    let clinic = Path::new(env!("CARGO_MANIFEST_DIR")).join("shared/clinic.toml");
    load(&Id::new("knee-total").unwrap(), &clinic).unwrap()
}

/// Reads the sample with one text replaced, and returns its problems, one a line.
pub(super) fn told_with(old: &str, new: &str) -> String {
    told(&with(old, new))
}

/// Checks that a problem of one code and with one text was told.
pub(super) fn line(told: &str, code: &str, text: &str) {
    let found = told
        .lines()
        .any(|line| line.contains(code) && line.contains(text));
    assert!(found, "no {code} `{text}` in:\n{told}");
}

/// Checks that one replaced text makes one problem.
pub(super) fn only(old: &str, new: &str, code: &str, text: &str) {
    let told = told_with(old, new);
    line(&told, code, text);
    assert_eq!(told.lines().count(), 1, "{told}");
}

/// Reads the sample.
pub(super) fn sample() -> Record {
    read(RECORD).unwrap()
}
