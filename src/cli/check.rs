//! `check`: problems, seals and sheets of records and clinic files; writes nothing.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use crate::domain::record::Record;
use crate::store::{give_back, verify_all};

use super::args::CheckArgs;
use super::error::{CliError, WRONG_FILE};
use super::open::{
    Kits, Opened, Telling, broken, built_in_procedures, library_for, open_among, stray,
};
use super::say;
use super::void;

/// Runs `check`.
pub fn run(args: &CheckArgs, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    let mut files = Vec::new();
    for path in &args.paths {
        gather(path, &mut files)?;
    }
    files.sort();
    files.dedup();
    let telling = if args.short {
        Telling::Short
    } else {
        Telling::Full
    };
    let mut kits = Kits::new();
    let mut wrong = 0_usize;
    let mut sound = 0_usize;
    for path in &files {
        let found = if is_clinic(path) {
            Found {
                complaints: clinic_complaints(path),
                remarks: Vec::new(),
            }
        } else {
            record_found(path, clinic, telling, &mut kits)
        };
        let Found {
            complaints,
            remarks,
        } = found;
        for remark in remarks {
            say::result(format!("{}: remark: {remark}\n", say::shown(path)).as_bytes())?;
        }
        if complaints.is_empty() {
            sound += 1;
            say::words(&format!("{}: sound\n", say::shown(path)))?;
        } else {
            wrong += 1;
            for complaint in complaints {
                let complaint = format!("{}\n", complaint.trim_end());
                match telling {
                    Telling::Full => say::words(&complaint)?,
                    Telling::Short => say::laid_out(&complaint)?,
                }
            }
        }
    }
    if sound + wrong == 0 {
        return Err(CliError::Usage(
            "there is no record or clinic file there".to_owned(),
        ));
    }
    say::words(&format!("{sound} sound, {wrong} wrong\n"))?;
    Ok(if wrong == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(WRONG_FILE)
    })
}

/// Finds the TOML files of a path, folders below it included.
pub fn gather(path: &Path, found: &mut Vec<PathBuf>) -> Result<(), CliError> {
    if !path.is_dir() {
        found.push(path.to_owned());
        return Ok(());
    }
    let disk = |cause| CliError::Disk {
        path: path.to_owned(),
        cause,
    };
    for entry in fs::read_dir(path).map_err(disk)? {
        let inside = entry.map_err(disk)?.path();
        if inside.is_dir() {
            if !leads_back(path, &inside) {
                gather(&inside, found)?;
            }
        } else if inside.extension().is_some_and(|end| end == "toml") {
            found.push(inside);
        }
    }
    Ok(())
}

/// Says whether a link in a folder leads to that folder or one above it: it would never end.
fn leads_back(folder: &Path, inside: &Path) -> bool {
    inside.is_symlink()
        && match (folder.canonicalize(), inside.canonicalize()) {
            (Ok(folder), Ok(inside)) => folder.starts_with(inside),
            _ => true,
        }
}

/// A clinic's file is known by its name; everything else is read as a record and says if it is not.
pub fn is_clinic(path: &Path) -> bool {
    path.file_name().is_some_and(|name| name == "clinic.toml")
}

fn clinic_complaints(path: &Path) -> Vec<String> {
    built_in_procedures()
        .iter()
        .filter_map(|id| library_for(id, path, Some(path)).err())
        .map(|error| error.told())
        .collect()
}

/// What is found in one file.
struct Found {
    /// What is wrong.
    complaints: Vec<String>,
    /// What is right and should be known.
    remarks: Vec<String>,
}

fn record_found(path: &Path, clinic: Option<&Path>, telling: Telling, kits: &mut Kits) -> Found {
    let opened = match open_among(path, clinic, telling, kits) {
        Ok(opened) => opened,
        Err(error) => {
            return Found {
                complaints: vec![error.told()],
                remarks: Vec::new(),
            };
        }
    };
    let mut complaints = seal_complaints(path, &opened.text());
    complaints.extend(sheet_complaints(path, &opened.record));
    let mut remarks = void::remarks(&opened.record);
    match strays(&opened) {
        Ok((newer, older)) => {
            let shown = say::shown(path);
            complaints.extend(
                newer
                    .into_iter()
                    .map(|sheet| format!("{shown}: {}", stray(sheet))),
            );
            remarks.extend(older.into_iter().map(stray));
        }
        Err(error) => complaints.push(error.told()),
    }
    Found {
        complaints,
        remarks,
    }
}

/// Lists the kept sheets the record does not name: those newer than all it names, which are
/// wrong, and those that a later sheet has stepped over.
fn strays(opened: &Opened) -> Result<(Vec<i64>, Vec<i64>), CliError> {
    let newer = opened.sheets_after_it()?;
    let all = opened.sheets_not_in_it()?;
    Ok(all.into_iter().partition(|sheet| newer.contains(sheet)))
}

fn seal_complaints(path: &Path, text: &str) -> Vec<String> {
    match verify_all(text) {
        Ok(seals) => seals
            .iter()
            .filter(|seal| !seal.is_sound())
            .take(1)
            .map(|seal| {
                broken(
                    &say::shown(path),
                    seal.visit,
                    seal.line,
                    &seal.state.to_string(),
                )
            })
            .collect(),
        Err(fault) => vec![format!("{}: {fault}", say::shown(path))],
    }
}

fn sheet_complaints(path: &Path, record: &Record) -> Vec<String> {
    let issued = record
        .visits
        .iter()
        .filter_map(|visit| visit.issued.as_ref());
    issued
        .flat_map(|issued| &issued.files)
        .filter_map(|file| give_back(path, file).err())
        .map(|error| CliError::from(error).told())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::open::Kit;
    use super::*;

    #[test]
    fn a_library_is_read_once_for_all_records_of_a_clinic() {
        let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
        let clinic = Path::new(env!("CARGO_MANIFEST_DIR")).join("shared/clinic.toml");
        let mut kits = Kits::new();
        let look = |example: &str, kits: &mut Kits| {
            let record = examples.join(example).join("record.toml");
            let found = record_found(&record, Some(&clinic), Telling::Short, kits);
            assert!(found.complaints.is_empty(), "{:?}", found.complaints);
        };
        look("01-discharge-day-2", &mut kits);
        assert_eq!(kits.len(), 1);
        // Words that only this copy has: a library read anew would not have them.
        let marked = |kit: &Kit| kit.library.clinic.name == "read before";
        for kit in kits.values_mut() {
            "read before".clone_into(&mut kit.library.clinic.name);
        }
        for example in ["04-hot-calf-day-20", "05-calf-cleared-day-21"] {
            look(example, &mut kits);
        }
        assert!(kits.len() == 1 && kits.values().all(marked));
    }
}
