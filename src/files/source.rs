//! One file's text and the places in it.
//!
//! Refuses what is too large, empty or not text before anything is parsed.
//! Must not know TOML. Next: `node` parses the text.

use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::Path;
use std::sync::Arc;

use crate::domain::source::Origin;

use super::codes::Code;
use super::encoding;
use super::problem::{Problem, Problems};

/// Most bytes a record may have.
pub const RECORD_BYTES: u64 = 1024 * 1024;
/// Most bytes a library or clinic file may have.
pub const LIBRARY_BYTES: u64 = 256 * 1024;

const BYTE_ORDER_MARK: &[u8] = &[0xEF, 0xBB, 0xBF];

/// A file's text and the path people know it by.
#[derive(Debug, PartialEq, Eq)]
pub struct SourceFile {
    path: String,
    text: String,
}

/// A stretch of bytes in one file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Span {
    /// The file.
    pub file: Arc<SourceFile>,
    /// First byte.
    pub start: usize,
    /// First byte after it.
    pub end: usize,
}

impl Span {
    /// Returns the line and column of its first character, both from 1.
    pub fn position(&self) -> (usize, usize) {
        self.file.position(self.start)
    }

    /// Returns its place as people read it.
    pub fn origin(&self) -> Origin {
        let (line, column) = self.position();
        Origin {
            path: self.file.path.clone(),
            line,
            column,
        }
    }

    /// Returns the text it covers.
    pub fn text(&self) -> &str {
        self.file.text.get(self.start..self.end).unwrap_or_default()
    }
}

impl SourceFile {
    /// Reads a file from disk; refuses more bytes than `most`.
    pub fn read(path: &Path, most: u64) -> Result<Arc<Self>, Problems> {
        let shown = path.display().to_string();
        let bytes = bytes_of(path, most).map_err(|error| unreadable(&shown, &error))?;
        Self::from_bytes(&shown, &bytes, most)
    }

    /// Makes a file of bytes already in memory, by the same rules.
    pub fn from_bytes(path: &str, bytes: &[u8], most: u64) -> Result<Arc<Self>, Problems> {
        if u64::try_from(bytes.len()).is_ok_and(|len| len > most) {
            return Err(too_large(path, most));
        }
        if let Some(which) = encoding::wide(bytes) {
            return Err(wide_text(path, which));
        }
        if let Some(at) = bytes.iter().position(|byte| *byte == 0) {
            return Err(not_text(path, at));
        }
        let bytes = bytes.strip_prefix(BYTE_ORDER_MARK).unwrap_or(bytes);
        match std::str::from_utf8(bytes) {
            Ok(text) if text.trim().is_empty() => Err(empty(path)),
            Ok(text) => Ok(Self::new(path, text)),
            Err(error) if error.error_len().is_none() => {
                Err(cut_short(path, bytes, error.valid_up_to()))
            }
            Err(error) => Err(bad_bytes(path, bytes, error.valid_up_to())),
        }
    }

    /// Makes a file of text that needs no check.
    pub fn new(path: &str, text: &str) -> Arc<Self> {
        Arc::new(Self {
            path: path.to_owned(),
            text: text.to_owned(),
        })
    }

    /// Returns the path shown to people.
    pub fn path(&self) -> &str {
        &self.path
    }

    /// Returns the text, without a byte-order mark.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Returns the line and column of a byte, both from 1; columns count characters.
    pub fn position(&self, byte: usize) -> (usize, usize) {
        let before = self.text.get(..byte).unwrap_or(&self.text);
        let line = before.matches('\n').count().saturating_add(1);
        let start = before.rfind('\n').map_or(0, |at| at.saturating_add(1));
        let column = before.get(start..).unwrap_or_default().chars().count();
        (line, column.saturating_add(1))
    }
}

/// Makes a span that stands for a whole file.
pub fn whole(file: &Arc<SourceFile>) -> Span {
    Span {
        file: Arc::clone(file),
        start: 0,
        end: 0,
    }
}

/// Reads the bytes of a plain file; at most one more than allowed, so that one too large shows.
///
/// A pipe or a device is not even opened: it might never answer, or never end.
pub fn bytes_of(path: &Path, most: u64) -> std::io::Result<Vec<u8>> {
    let found = std::fs::metadata(path)?;
    if found.is_dir() {
        return Err(ErrorKind::IsADirectory.into());
    }
    if !found.is_file() {
        return Err(std::io::Error::other(
            "it is a pipe or a device, not a file",
        ));
    }
    let mut bytes = Vec::new();
    File::open(path)?
        .take(most.saturating_add(1))
        .read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn of_file(path: &str, code: Code, message: String, help: &str) -> Problems {
    let file = SourceFile::new(path, "");
    Problems::from(Problem::new(code, whole(&file), message, "").help(help))
}

fn unreadable(path: &str, error: &std::io::Error) -> Problems {
    let kind = error.kind();
    let why = if kind == ErrorKind::NotFound {
        "there is no such file".to_owned()
    } else if kind == ErrorKind::PermissionDenied {
        "you may not read it".to_owned()
    } else if kind == ErrorKind::IsADirectory {
        "it is a folder".to_owned()
    } else {
        error.to_string()
    };
    of_file(
        path,
        Code::Unreadable,
        format!("the file cannot be read: {why}"),
        "check the path",
    )
}

fn too_large(path: &str, most: u64) -> Problems {
    let kib = most.div_euclid(1024);
    of_file(
        path,
        Code::TooLarge,
        format!("the file is larger than {kib} KiB, the most a file of this kind may have"),
        "check that this is the right file",
    )
}

fn wide_text(path: &str, which: &str) -> Problems {
    of_file(
        path,
        Code::NotUtf8,
        format!("the file is {which}, not UTF-8"),
        "save it again from your editor with the encoding \"UTF-8\"",
    )
}

fn not_text(path: &str, at: usize) -> Problems {
    of_file(
        path,
        Code::NotText,
        format!(
            "the file is not text: byte {} is zero",
            at.saturating_add(1)
        ),
        "check that this is the right file; pictures, PDF and word processor files are not read",
    )
}

fn empty(path: &str) -> Problems {
    of_file(
        path,
        Code::Empty,
        "the file is empty".to_owned(),
        "check that it was saved; if it was cut short, take it back from a backup",
    )
}

/// Points at a bad byte, in the file as it looks with such bytes replaced.
fn bad_place(path: &str, bytes: &[u8], good: usize) -> Span {
    let end = good.saturating_add(char::REPLACEMENT_CHARACTER.len_utf8());
    Span {
        file: SourceFile::new(path, &String::from_utf8_lossy(bytes)),
        start: good,
        end,
    }
}

fn cut_short(path: &str, bytes: &[u8], good: usize) -> Problems {
    let at = bad_place(path, bytes, good);
    let message = "the file ends in the middle of a letter, so it was cut short";
    Problems::from(
        Problem::new(Code::NotUtf8, at, message, "cut off here")
            .help("take it back from a backup, or look at what is missing at the end"),
    )
}

fn bad_bytes(path: &str, bytes: &[u8], good: usize) -> Problems {
    let byte = bytes.get(good).copied().unwrap_or_default();
    let at = bad_place(path, bytes, good);
    let (line, column) = at.position();
    let likely = encoding::windows_1252(byte);
    let which = likely.map_or_else(String::new, |c| format!(", which is {c} in Windows-1252"));
    let message = format!("line {line}, character {column} is not UTF-8: byte 0x{byte:02X}{which}");
    let help = match likely {
        Some(c) => format!(
            "save the file again from your editor with the encoding \"UTF-8\", then see that \
             {c} stands there"
        ),
        None => "save the file again from your editor with the encoding \"UTF-8\"".to_owned(),
    };
    Problems::from(Problem::new(Code::NotUtf8, at, message, "not a letter in UTF-8").help(help))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters() {
        let file = SourceFile::new("a", "x = 1\nname = \"Zoë\" # y\n");
        let at = file.text().find('#').unwrap();
        assert_eq!(file.position(at), (2, 14));
        assert_eq!(file.position(0), (1, 1));
        assert_eq!(file.position(9_999), (3, 1));
    }

    #[test]
    fn a_byte_order_mark_is_taken_off() {
        let file = SourceFile::from_bytes("a", b"\xEF\xBB\xBFa = 1\r\n", 100).unwrap();
        assert_eq!(file.text(), "a = 1\r\n");
    }

    #[test]
    fn what_is_no_text_is_refused() {
        let code = |bytes: &[u8], most| {
            SourceFile::from_bytes("a", bytes, most)
                .unwrap_err()
                .iter()
                .map(|problem| problem.code)
                .collect::<Vec<_>>()
        };
        assert_eq!(code(b"abc", 2), [Code::TooLarge]);
        assert!(SourceFile::from_bytes("a", b"ab", 2).is_ok());
        assert_eq!(code(b"", 2), [Code::Empty]);
        assert_eq!(code(b" \n", 2), [Code::Empty]);
        assert_eq!(code(b"a\0", 2), [Code::NotText]);
        assert_eq!(code(b"\xFF\xFEa\0", 9), [Code::NotUtf8]);
        assert_eq!(code(b"a\nb\xE9", 9), [Code::NotUtf8]);
    }

    #[test]
    fn a_bad_byte_is_shown_by_line_and_character() {
        let problems =
            SourceFile::from_bytes("a", b"a = 1\nb = \"\xC3\xA9 \xE9\"\n", 99).unwrap_err();
        assert!(
            problems
                .short()
                .contains("a:2:8: error[BN003]: line 2, character 8")
        );
    }
}
