//! `due`: who is due and what is missing, over every record of a folder; writes nothing.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use chrono::NaiveDate;
use serde_json::{Value, json};

use crate::domain::due::{ClinicWarning, Listed, Warning};
use crate::engine::due::{clinic_due, due, in_order};
use crate::handout::due::{asked, command, papers, papers_command, quoted, row, say as in_words};

use super::args::{DueArgs, ExplainForm};
use super::check::{gather, is_clinic};
use super::error::{CliError, WRONG_FILE};
use super::open::{Kits, Telling, clinic_path, open_among, refuse_broken_seal};
use super::say;

/// Everything the list tells.
struct List {
    date: NaiveDate,
    /// What each clinic's papers ask for, by the path of its file.
    clinics: BTreeMap<String, Vec<ClinicWarning>>,
    records: Vec<Listed>,
    wrong: Vec<Wrong>,
}

/// A file that cannot be read.
struct Wrong {
    path: String,
    /// Its first problem.
    problem: String,
}

/// Runs `due`.
pub fn run(args: &DueArgs, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    let files = files(&args.folder)?;
    let date = args
        .date
        .unwrap_or_else(|| say::today_said("who is due on"));
    let list = read(&files, clinic, date);
    match args.form {
        ExplainForm::Text => say::words(&text(&list))?,
        ExplainForm::Json => say::result(as_json(&list)?.as_bytes())?,
    }
    Ok(if list.wrong.is_empty() {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(WRONG_FILE)
    })
}

/// Finds the records below a folder; clinic files and kept sheets are none.
fn files(folder: &Path) -> Result<Vec<PathBuf>, CliError> {
    if !folder.is_dir() {
        let shown = say::shown(folder);
        return Err(CliError::Usage(format!("{shown} is not a folder")));
    }
    let mut files = Vec::new();
    gather(folder, &mut files)?;
    let of_sheets = |path: &Path| {
        let mut above = path.ancestors().skip(1);
        above.any(|folder| folder.extension().is_some_and(|end| end == "sheets"))
    };
    files.retain(|path| !is_clinic(path) && !of_sheets(path));
    files.sort();
    if files.is_empty() {
        let shown = say::shown(folder);
        return Err(CliError::Usage(format!("there is no record in {shown}")));
    }
    Ok(files)
}

fn read(files: &[PathBuf], clinic: Option<&Path>, date: NaiveDate) -> List {
    let mut list = List {
        date,
        clinics: BTreeMap::new(),
        records: Vec::new(),
        wrong: Vec::new(),
    };
    let mut kits = Kits::new();
    for path in files {
        if let Err(error) = add(path, clinic, &mut kits, &mut list) {
            let told = error.to_string();
            list.wrong.push(Wrong {
                path: path.display().to_string(),
                problem: told.lines().next().unwrap_or_default().to_owned(),
            });
        }
    }
    list.records = in_order(list.records);
    list
}

/// Reads one record and adds its row.
fn add(
    path: &Path,
    clinic: Option<&Path>,
    kits: &mut Kits,
    list: &mut List,
) -> Result<(), CliError> {
    let opened = open_among(path, clinic, Telling::Short, kits)?;
    refuse_broken_seal(&opened)?;
    let at = clinic_path(path, clinic)?.display().to_string();
    list.clinics
        .entry(at)
        .or_insert_with(|| clinic_due(&opened.library, list.date));
    let episode = &opened.record.episode;
    let mut due = due(&opened.library, &opened.record, list.date);
    let strays = opened.sheets_after_it()?;
    due.warnings.extend(
        strays
            .into_iter()
            .map(|sheet| Warning::NotInRecord { sheet }),
    );
    list.records.push(Listed {
        path: path.display().to_string(),
        token: episode.token.clone(),
        procedure: episode.procedure.clone(),
        due,
    });
    Ok(())
}

fn check_command(path: &str) -> String {
    format!("banister check {}", quoted(path))
}

fn text(list: &List) -> String {
    let mut lines = vec![format!(
        "Due on {}: {} records, soonest first; {} wrong",
        list.date,
        list.records.len(),
        list.wrong.len()
    )];
    for (path, warnings) in &list.clinics {
        for warning in warnings {
            lines.extend(asked(&papers(warning), &papers_command(warning, path)));
        }
    }
    for one in &list.records {
        lines.push(String::new());
        lines.extend(row(one));
    }
    if !list.wrong.is_empty() {
        lines.push(String::new());
        lines.push("Files that are wrong, and were not looked at".to_owned());
    }
    for wrong in &list.wrong {
        lines.push(format!("  - {}", wrong.problem));
        lines.push(format!("      {}", check_command(&wrong.path)));
    }
    lines.push(String::new());
    lines.join("\n")
}

/// Writes the same facts for programs, with the words and the command of each warning.
fn as_json(list: &List) -> Result<String, CliError> {
    let records: Vec<Value> = list
        .records
        .iter()
        .map(record_json)
        .collect::<Result<_, _>>()?;
    let all = json!({
        "date": list.date,
        "clinics": clinics_json(&list.clinics)?,
        "records": records,
        "wrong": list.wrong.iter().map(wrong_json).collect::<Vec<Value>>(),
    });
    let text = serde_json::to_string_pretty(&all).map_err(fault)?;
    Ok(format!("{text}\n"))
}

fn clinics_json(clinics: &BTreeMap<String, Vec<ClinicWarning>>) -> Result<Vec<Value>, CliError> {
    let all = clinics
        .iter()
        .flat_map(|(path, warnings)| warnings.iter().map(move |warning| (path, warning)));
    all.map(|(path, warning)| worded(warning, &papers(warning), &papers_command(warning, path)))
        .collect()
}

fn record_json(one: &Listed) -> Result<Value, CliError> {
    let mut value = serde_json::to_value(one).map_err(fault)?;
    let warnings = one.due.warnings.iter();
    let warnings: Vec<Value> = warnings
        .map(|warning| worded(warning, &in_words(warning), &command(warning, one)))
        .collect::<Result<_, _>>()?;
    value["warnings"] = Value::Array(warnings);
    Ok(value)
}

fn wrong_json(wrong: &Wrong) -> Value {
    json!({
        "path": wrong.path,
        "problem": wrong.problem,
        "command": check_command(&wrong.path),
    })
}

#[expect(clippy::needless_pass_by_value, reason = "for map_err")]
fn fault(error: serde_json::Error) -> CliError {
    CliError::Sheet(error.to_string())
}

/// Writes a warning with its words and its command.
fn worded<W: serde::Serialize>(warning: &W, words: &str, command: &str) -> Result<Value, CliError> {
    let mut value = serde_json::to_value(warning).map_err(fault)?;
    value["words"] = json!(words);
    value["command"] = json!(command);
    Ok(value)
}
