//! The files of a library by path: those built in, or those of a folder.
//!
//! Must not know what a file means. Next: `library` reads the ones a procedure names.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use include_dir::{Dir, DirEntry, include_dir};

use super::codes::Code;
use super::digest::{self, Listed};
use super::problem::{Problem, Problems};
use super::source::{LIBRARY_BYTES, SourceFile, bytes_of, whole};

static PROTOCOLS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/protocols");
static TEMPLATES: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/templates");

/// Most bytes read of any file of a library, a font among them.
const FILE_BYTES: u64 = 16 * 1024 * 1024;

/// The folders of a library.
const FOLDERS: [&str; 2] = ["protocols", "templates"];

/// Library files by their path inside the library, such as `protocols/sources.toml`.
#[derive(Debug, Clone)]
pub struct Shelf {
    files: BTreeMap<String, Held>,
}

#[derive(Debug, Clone)]
struct Held {
    shown: String,
    bytes: Cow<'static, [u8]>,
}

impl Shelf {
    /// Returns the library built into the program.
    pub fn built_in() -> Self {
        let mut files = BTreeMap::new();
        for (folder, dir) in FOLDERS.into_iter().zip([&PROTOCOLS, &TEMPLATES]) {
            embedded(folder, dir, &mut files);
        }
        Self { files }
    }

    /// Reads a library from a folder that has protocols/ and templates/ in it.
    pub fn folder(root: &Path) -> Result<Self, Problems> {
        let mut files = BTreeMap::new();
        for folder in FOLDERS {
            let path = root.join(folder);
            if path.is_dir() {
                from_disk(folder, &path, &mut files)?;
            }
        }
        Ok(Self { files })
    }

    /// Puts one file in the place of another; `shown` is the path people see.
    #[must_use]
    pub fn with(mut self, path: &str, shown: &str, bytes: Vec<u8>) -> Self {
        let held = Held {
            shown: shown.to_owned(),
            bytes: Cow::Owned(bytes),
        };
        self.files.insert(path.to_owned(), held);
        self
    }

    /// Says whether there is such a file.
    pub fn has(&self, path: &str) -> bool {
        self.files.contains_key(path)
    }

    /// Goes through the paths in order.
    pub fn paths(&self) -> impl Iterator<Item = &str> {
        self.files.keys().map(String::as_str)
    }

    /// Returns a file's bytes.
    pub fn bytes(&self, path: &str) -> Option<&[u8]> {
        self.files.get(path).map(|held| held.bytes.as_ref())
    }

    /// Returns the ids of the files of a folder, such as `protocols/exercises`.
    pub fn ids(&self, folder: &str) -> Vec<&str> {
        let inside = self
            .paths()
            .filter_map(|path| path.strip_prefix(folder)?.strip_prefix('/'));
        inside
            .filter_map(|name| name.strip_suffix(".toml"))
            .collect()
    }

    /// Gives a file's text, checked as every library file is.
    pub fn source(&self, path: &str) -> Result<Arc<SourceFile>, Problems> {
        match self.files.get(path) {
            Some(held) => SourceFile::from_bytes(&held.shown, &held.bytes, LIBRARY_BYTES),
            None => Err(Problems::from(Problem::new(
                Code::UnknownName,
                whole(&SourceFile::new(path, "")),
                "the library has no such file",
                "",
            ))),
        }
    }

    /// Lists the files for a digest.
    pub fn listed(&self) -> Vec<Listed> {
        self.files
            .iter()
            .map(|(path, held)| digest::listed(path, &held.bytes))
            .collect()
    }
}

fn embedded(folder: &str, dir: &Dir<'static>, files: &mut BTreeMap<String, Held>) {
    for entry in dir.entries() {
        match entry {
            DirEntry::Dir(inner) => embedded(folder, inner, files),
            DirEntry::File(file) => {
                let path = format!("{folder}/{}", file.path().display());
                let held = Held {
                    shown: path.clone(),
                    bytes: Cow::Borrowed(file.contents()),
                };
                files.insert(path, held);
            }
        }
    }
}

fn from_disk(folder: &str, at: &Path, files: &mut BTreeMap<String, Held>) -> Result<(), Problems> {
    let unread = |error: std::io::Error| {
        let file = SourceFile::new(&at.display().to_string(), "");
        let message = format!("the folder cannot be read: {error}");
        Problems::from(Problem::new(Code::Unreadable, whole(&file), message, ""))
    };
    for entry in std::fs::read_dir(at).map_err(unread)? {
        let entry = entry.map_err(unread)?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let (path, on_disk) = (format!("{folder}/{name}"), entry.path());
        if on_disk.is_dir() {
            from_disk(&path, &on_disk, files)?;
            continue;
        }
        let bytes = bytes_of(&on_disk, FILE_BYTES).map_err(unread)?;
        let held = Held {
            shown: on_disk.display().to_string(),
            bytes: Cow::Owned(bytes),
        };
        files.insert(path, held);
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_library_is_the_folder_it_was_built_from() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        let folder = Shelf::folder(root).unwrap();
        assert_eq!(Shelf::built_in().listed(), folder.listed());
        assert!(folder.has("protocols/sources.toml"));
        assert!(folder.ids("protocols/exercises").contains(&"quad-set"));
    }
}
