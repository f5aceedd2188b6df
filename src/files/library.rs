//! Reads the library one decision looks at: a procedure, its exercises, the clinic on top.
//!
//! Only what the procedure names is read. What looks across files looks at clean files only,
//! so that one slip is told once. Next: `checks` follows what points across files.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::domain::clinic::{Clinic, Replaced};
use crate::domain::exercise::Exercise;
use crate::domain::ids::{ExerciseId, ProcedureId, SourceKey};
use crate::domain::library::{Digests, Library};
use crate::domain::procedure::Procedure;
use crate::domain::source::Work;
use crate::domain::word::{Operates, Sides};

use super::checks::{self, Files};
use super::clinic::overrides::Override;
use super::codes::Code;
use super::node::{self, Node};
pub use super::placed::Placed;
use super::problem::{Problem, Problems};
use super::reading::{Reading, Vouching};
use super::shelf::Shelf;
use super::source::{LIBRARY_BYTES, SourceFile, whole};
use super::{clinic, digest, exercise, inherit, nearest, placed, procedure, sources};

/// A library, and how many of its numbers rest on each source.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Loaded {
    /// The library.
    pub library: Library,
    /// What a procedure that is based on another says itself; empty for any other.
    pub own: Vec<Placed>,
    /// Numbers by source: a key of the bibliography, `practice` or `clinic`.
    pub numbers: BTreeMap<String, usize>,
}

/// Reads a procedure of the built-in library with a clinic's file on top.
pub fn load(procedure: &ProcedureId, clinic: &Path) -> Result<Library, Problems> {
    let clinic = SourceFile::read(clinic, LIBRARY_BYTES)?;
    load_from(&Shelf::built_in(), procedure, &clinic).map(|loaded| loaded.library)
}

/// Reads a procedure of any library with a clinic's file on top, and counts its numbers.
pub fn load_from(
    shelf: &Shelf,
    procedure: &ProcedureId,
    clinic: &Arc<SourceFile>,
) -> Result<Loaded, Problems> {
    let mut load = Load {
        shelf,
        reading: Reading::new(Vouching::Asked),
        overrides: Vec::new(),
        replaced: Vec::new(),
        own: Vec::new(),
    };
    load.reading.clinic = Some(Arc::clone(clinic));
    let clinic_read = load.clinic(clinic, procedure);
    let works = load.sources();
    let found = load.procedure(procedure);
    let exercises = match &found {
        Some(found) => load.exercises(found),
        None => BTreeMap::new(),
    };
    let clinic_read = clinic_read.map(|clinic_read| Clinic {
        replaced: load.replaced,
        ..clinic_read
    });
    let own = load.own;
    let mut reading = load.reading;
    if let Some(found) = &found {
        let files = Files {
            shelf,
            procedure: found,
            exercises: &exercises,
            works: works.as_ref(),
        };
        checks::run(&files, &mut reading);
    }
    let numbers = reading.numbers().clone();
    let library = complete(found, exercises, clinic_read, works, digests(shelf, clinic));
    let library = reading.settle(clinic, library)?;
    Ok(Loaded {
        library,
        own,
        numbers,
    })
}

fn complete(
    procedure: Option<Procedure>,
    exercises: BTreeMap<ExerciseId, Exercise>,
    clinic: Option<Clinic>,
    sources: Option<BTreeMap<SourceKey, Work>>,
    digests: Digests,
) -> Option<Library> {
    Some(Library {
        procedure: procedure?,
        exercises,
        clinic: clinic?,
        sources: sources?,
        digests,
    })
}

/// Returns how many numbers of a procedure, its exercises and its clinic rest on each source.
pub fn numbers_by_source(loaded: &Loaded) -> &BTreeMap<String, usize> {
    &loaded.numbers
}

/// Finds the clinic's file: the one named, else the nearest `shared/clinic.toml` at or above.
///
/// `named` is what the command line or the environment says; a folder means its `clinic.toml`.
pub fn find_clinic(named: Option<&Path>, record: &Path) -> Result<PathBuf, Problems> {
    if let Some(named) = named {
        return Ok(if named.is_dir() {
            named.join("clinic.toml")
        } else {
            named.to_owned()
        });
    }
    let start = std::path::absolute(record).unwrap_or_else(|_| record.to_owned());
    let found = start
        .ancestors()
        .map(|folder| folder.join("shared").join("clinic.toml"))
        .find(|path| path.is_file());
    found.ok_or_else(|| {
        let file = SourceFile::new(&record.display().to_string(), "");
        let message = "no `shared/clinic.toml` stands at or above this path";
        Problems::from(
            Problem::new(Code::NoClinic, whole(&file), message, "")
                .help("name the clinic's file with `--clinic`, or in BANISTER_CLINIC"),
        )
    })
}

fn digests(shelf: &Shelf, clinic: &Arc<SourceFile>) -> Digests {
    let built_in = shelf.listed();
    let own = vec![digest::listed("clinic.toml", clinic.text().as_bytes())];
    let both: Vec<digest::Listed> = built_in.iter().chain(&own).cloned().collect();
    Digests {
        built_in: digest::over(&built_in),
        clinic: digest::over(&own),
        both: digest::over(&both),
    }
}

struct Load<'a> {
    shelf: &'a Shelf,
    reading: Reading,
    overrides: Vec<Override>,
    replaced: Vec<Replaced>,
    own: Vec<Placed>,
}

impl Load<'_> {
    fn clinic(&mut self, file: &Arc<SourceFile>, procedure: &ProcedureId) -> Option<Clinic> {
        let tree = self.keep(node::parse(file))?;
        let mut reading = Reading::new(Vouching::NotAsked);
        let (clinic, overrides) = clinic::read(&tree, procedure, &mut reading);
        self.reading.take_in(reading);
        for given in &overrides {
            if !self.shelf.has(&inside(given)) {
                let message = format!("the library has no file `{}`", given.path.value);
                let at = given.path.at.clone();
                let problem = Problem::new(Code::OverrideAt, at, message, "no such file");
                self.reading.tell(problem);
            }
        }
        self.reading.decided = overrides.iter().map(Override::decided).collect();
        self.overrides = overrides;
        clinic
    }

    fn sources(&mut self) -> Option<BTreeMap<SourceKey, Work>> {
        let tree = self.tree("protocols/sources.toml")?;
        let mut reading = Reading::new(Vouching::NotAsked);
        let works = sources::read(&tree, &mut reading);
        let clean = reading.told() == 0;
        self.reading.take_in(reading);
        works.filter(|_| clean)
    }

    fn procedure(&mut self, id: &ProcedureId) -> Option<Procedure> {
        let before = self.reading.told();
        let tree = self.laid_over(&id.to_string(), &mut Vec::new())?;
        self.note_replaced(&tree);
        let procedure = procedure::read(&tree, &id.to_string(), &mut self.reading);
        procedure.filter(|_| self.reading.told() == before)
    }

    /// Reads exercises; one that is not there is told by `checks`.
    fn exercises(&mut self, of: &Procedure) -> BTreeMap<ExerciseId, Exercise> {
        let mut exercises = BTreeMap::new();
        for id in &of.exercises {
            let path = format!("protocols/exercises/{id}.toml");
            if !self.shelf.has(&path) {
                continue;
            }
            let Some(tree) = self.tree(&path) else {
                continue;
            };
            let before = self.reading.told();
            let tree = inherit::for_sides(tree, of.operates, &mut self.reading);
            self.note_replaced(&tree);
            let exercise = exercise::read(&tree, &id.to_string(), &mut self.reading);
            if let Some(mut exercise) = exercise.filter(|_| self.reading.told() == before) {
                if of.operates == Operates::Both && exercise.sides == Sides::Operated {
                    exercise.sides = Sides::Either;
                }
                if let Some(shift) = &of.shift {
                    procedure::move_entry_days(&mut exercise, shift);
                }
                exercises.insert(id.clone(), exercise);
            }
        }
        exercises
    }

    /// Parses a procedure's file and lays it over the one it is based on, and so on down.
    ///
    /// A clinic's values are put in last, so that they may replace what was taken over too.
    fn laid_over(&mut self, id: &str, above: &mut Vec<String>) -> Option<Node> {
        let path = format!("protocols/procedures/{id}.toml");
        let own = self.parsed(&path)?;
        above.push(id.to_owned());
        let Some((name, at)) = inherit::base(&own) else {
            let own = inherit::alone(own, &mut self.reading);
            return Some(self.with_the_clinics(own, &path));
        };
        let known = self.shelf.ids("protocols/procedures");
        if above.iter().any(|known| known == name) {
            let message = format!("`{name}` is based on this file itself");
            let problem = Problem::new(Code::BasedOnItself, at, message, "in a circle");
            self.reading.tell(problem);
            return None;
        }
        if !known.contains(&name) {
            let message = format!("there is no procedure `{name}`");
            let known: Vec<String> = known.into_iter().map(str::to_owned).collect();
            self.reading
                .tell(nearest::unknown(message, name, &known, &at));
            return None;
        }
        let base = self.laid_over(name, above)?;
        let tree = inherit::over(base, own, &mut self.reading);
        self.own = placed::own_values(&tree);
        Some(self.with_the_clinics(tree, &path))
    }

    /// Parses one file and puts the clinic's values into it.
    fn tree(&mut self, path: &str) -> Option<Node> {
        let tree = self.parsed(path)?;
        Some(self.with_the_clinics(tree, path))
    }

    fn parsed(&mut self, path: &str) -> Option<Node> {
        let parsed = self.shelf.source(path).and_then(|file| node::parse(&file));
        self.keep(parsed)
    }

    fn with_the_clinics(&mut self, mut tree: Node, path: &str) -> Node {
        for given in self.overrides.iter().filter(|given| inside(given) == path) {
            given.apply(&mut tree, &mut self.reading);
        }
        tree
    }

    /// Notes which of the clinic's values stand in a file, all laid together.
    fn note_replaced(&mut self, tree: &Node) {
        let in_force = self.overrides.iter();
        let in_force = in_force.filter_map(|given| given.in_force(tree));
        self.replaced.extend(in_force);
    }

    fn keep<T>(&mut self, result: Result<T, Problems>) -> Option<T> {
        match result {
            Ok(value) => Some(value),
            Err(problems) => {
                for problem in problems.into_vec() {
                    self.reading.tell(problem);
                }
                None
            }
        }
    }
}

/// Returns the path inside the library of the file an override names.
fn inside(given: &Override) -> String {
    format!("protocols/{}", given.path.value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::ids::Id as _;
    use crate::domain::quantity::Quantity;

    fn root() -> &'static Path {
        Path::new(env!("CARGO_MANIFEST_DIR"))
    }

    fn test_library(clinic: &str) -> Loaded {
        let shelf = Shelf::folder(&root().join("tests/errors/library")).unwrap();
        let file = SourceFile::new("clinic.toml", clinic);
        load_from(&shelf, &ProcedureId::new("knee-test").unwrap(), &file).unwrap()
    }

    fn clinic_text() -> String {
        std::fs::read_to_string(root().join("tests/errors/library/clinic.toml")).unwrap()
    }

    #[test]
    fn the_shipped_library_reads_clean() {
        let knee = ProcedureId::new("knee-total").unwrap();
        match load(&knee, &root().join("shared/clinic.toml")) {
            Ok(library) => assert_eq!(library.exercises.len(), library.procedure.exercises.len()),
            Err(problems) => panic!("{problems}"),
        }
    }

    #[test]
    fn an_override_puts_the_clinics_value_in_and_counts_it_as_the_clinics() {
        let with = test_library(&clinic_text());
        let text = clinic_text();
        let without = test_library(text.split_once("[[override]]").unwrap().0);
        let minutes = |loaded: &Loaded| {
            let care = loaded.library.procedure.home_care.first().unwrap();
            care.minutes.unwrap().map(Quantity::get)
        };
        assert_eq!((minutes(&without), minutes(&with)), ([15, 20], [10, 15]));
        assert_eq!(numbers_by_source(&without).get("clinic"), None);
        assert_eq!(numbers_by_source(&with).get("clinic"), Some(&2));
        let sum = |loaded: &Loaded| loaded.numbers.values().sum::<usize>();
        assert_eq!(sum(&with), sum(&without));
    }

    #[test]
    fn the_nearest_source_counts() {
        let loaded = test_library(&clinic_text());
        // The first rung of `squeeze` has 7 numbers, the course of flexion 6.
        assert_eq!(loaded.numbers.get("made-up-trial"), Some(&13));
    }

    #[test]
    fn digests_tell_the_library_from_the_clinic() {
        let one = test_library(&clinic_text()).library.digests;
        let other = test_library(&(clinic_text() + "# a word\n"))
            .library
            .digests;
        assert_eq!(one.built_in, other.built_in);
        assert_ne!(one.clinic, other.clinic);
        assert_ne!(one.both, other.both);
    }

    #[test]
    fn the_clinics_file_is_the_one_named_or_the_nearest() {
        let record = root().join("tests/errors/record.toml");
        assert_eq!(
            find_clinic(None, &record).unwrap(),
            root().join("shared/clinic.toml")
        );
        let named = Path::new("elsewhere.toml");
        assert_eq!(find_clinic(Some(named), &record).unwrap(), named);
        let folder = root().join("shared");
        assert_eq!(
            find_clinic(Some(&folder), &record).unwrap(),
            folder.join("clinic.toml")
        );
    }
}
