//! `protocol`: lists, shows and checks the library.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::ExitCode;

use crate::domain::dose::{Amount, Often};
use crate::domain::exercise::{Exercise, Rung};
use crate::domain::ids::Id;
use crate::domain::library::Library;
use crate::domain::quantity::Quantity;
use crate::domain::source::{Origin, Source};
use crate::domain::word::Row;
use crate::files::page;
use crate::handout::figures::faults;
use crate::render::pdf::label_fault;

use super::args::{ExplainForm, ProtocolCommand};
use super::error::CliError;
use super::open::{built_in_procedures, full, library_for, loaded_for};
use super::say;
use super::typed::Typed;

/// Runs `protocol`.
pub fn run(command: &ProtocolCommand, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    match command {
        ProtocolCommand::List => say::words(&list(clinic)?)?,
        ProtocolCommand::Show { id, form } => {
            let text = show(id, *form, clinic)?;
            match form {
                ExplainForm::Json => say::result(text.as_bytes())?,
                ExplainForm::Text => say::words(&text)?,
            }
        }
        ProtocolCommand::Check => say::words(&check(clinic)?)?,
    }
    Ok(ExitCode::SUCCESS)
}

/// Loads each built-in procedure with the clinic's folder on top.
fn libraries(clinic: Option<&Path>) -> Result<Vec<Library>, CliError> {
    let here = Path::new(".");
    built_in_procedures()
        .iter()
        .map(|id| library_for(id, here, clinic).map(|kit| kit.library))
        .collect()
}

fn list(clinic: Option<&Path>) -> Result<String, CliError> {
    let mut out = String::new();
    for library in libraries(clinic)? {
        let procedure = &library.procedure;
        out.push_str(&format!(
            "{} (version {})\n",
            procedure.id, procedure.version
        ));
        for exercise in library.exercises.values() {
            out.push_str(&format!(
                "  {:<26} {:>2} rungs  {}\n",
                exercise.id.as_str(),
                exercise.rungs.len(),
                exercise.trade_name
            ));
        }
    }
    Ok(out)
}

fn show(id: &str, form: ExplainForm, clinic: Option<&Path>) -> Result<String, CliError> {
    let libraries = libraries(clinic)?;
    for library in &libraries {
        if library.procedure.id.as_str() == id {
            return match form {
                ExplainForm::Json => json(&library.procedure),
                ExplainForm::Text => Ok(procedure_text(library) + &own(id, clinic)?),
            };
        }
        if let Some(exercise) = library
            .exercises
            .values()
            .find(|exercise| exercise.id.as_str() == id)
        {
            return match form {
                ExplainForm::Json => json(exercise),
                ExplainForm::Text => Ok(exercise_text(exercise)),
            };
        }
    }
    let mut known: Vec<&str> = Vec::new();
    for library in &libraries {
        known.push(library.procedure.id.as_str());
        known.extend(library.exercises.keys().map(Id::as_str));
    }
    let mut typed = Typed::new();
    typed.unknown("id", id, &known);
    typed.finish()?;
    Ok(String::new())
}

fn json<T: serde::Serialize>(value: &T) -> Result<String, CliError> {
    let text =
        serde_json::to_string_pretty(value).map_err(|error| CliError::Sheet(error.to_string()))?;
    Ok(text + "\n")
}

fn procedure_text(library: &Library) -> String {
    let procedure = &library.procedure;
    let mut out = format!(
        "{} (version {}), a draft until a clinic adopts it\n",
        procedure.id, procedure.version
    );
    if let Some(base) = &procedure.based_on {
        out.push_str(&format!(
            "what it does not say itself is taken over from {base}\n"
        ));
    }
    if !procedure.needs_orders.is_empty() {
        let kinds: Vec<&str> = procedure.needs_orders.iter().map(Id::as_str).collect();
        out.push_str(&format!(
            "no program without orders on: {}\n",
            kinds.join(", ")
        ));
    }
    if let Some(shift) = &procedure.shift {
        out.push_str(&format!(
            "entry days from day {} on are moved by {} days (source: {})\n",
            shift.from.get(),
            shift.days,
            source(&shift.source)
        ));
    }
    for phase in &procedure.phases {
        let end = phase.window.before.map_or("on".to_owned(), |before| {
            format!("to before day {}", before.get())
        });
        out.push_str(&format!(
            "\n{}: from day {} {end}: {}\n",
            phase.id,
            phase.window.from.get(),
            phase.name
        ));
        for criterion in &phase.safety {
            out.push_str(&format!("  must hold to leave: {}\n", criterion.id));
        }
        for candidate in &phase.candidates {
            let most = candidate.most.as_ref();
            let most = most.map_or(String::new(), |most| format!(" to {most}"));
            out.push_str(&format!(
                "  {} from {}{most}\n",
                candidate.exercise, candidate.rung
            ));
        }
    }
    out
}

/// Lists what a procedure that is based on another says itself, and where.
fn own(id: &str, clinic: Option<&Path>) -> Result<String, CliError> {
    let mut of = built_in_procedures().into_iter();
    let Some(of) = of.find(|known| known.as_str() == id) else {
        return Ok(String::new());
    };
    let own = loaded_for(&of, Path::new("."), clinic)?.own;
    if own.is_empty() {
        return Ok(String::new());
    }
    let mut out = "\nits own values, each with its line:\n".to_owned();
    for placed in own {
        let Origin { path, line, .. } = placed.origin;
        out.push_str(&format!(
            "  {path}:{line} {} = {}\n",
            placed.way, placed.text
        ));
    }
    Ok(out)
}

fn source(source: &Source) -> String {
    match source {
        Source::Practice => "practice".to_owned(),
        Source::Clinic | Source::Decided { .. } => "clinic".to_owned(),
        Source::Work { key, .. } => key.to_string(),
    }
}

fn exercise_text(exercise: &Exercise) -> String {
    let mut out = format!(
        "{} ({})\n{}\n\n",
        exercise.trade_name, exercise.id, exercise.aim
    );
    for rung in &exercise.rungs {
        out.push_str(&rung_text(rung));
    }
    out
}

fn rung_text(rung: &Rung) -> String {
    let amount = match rung.amount {
        Amount::Counted {
            sets,
            repetitions,
            hold_s,
            pause_s,
            rest_s,
        } => format!(
            "{} x {}, hold {} s, pause {} s, rest {} s",
            sets.get(),
            repetitions.get(),
            hold_s.get(),
            pause_s.get(),
            rest_s.get()
        ),
        Amount::Timed { minutes } => minutes.to_string(),
    };
    let often = match rung.often {
        Often::Times(times) => times.to_string(),
        Often::Hourly => "each waking hour".to_owned(),
    };
    let lever = rung
        .lever
        .map_or(String::new(), |lever| format!("; harder by {lever}"));
    let how = rung
        .how
        .as_ref()
        .map_or(String::new(), |how| format!("; {how}"));
    let load = rung
        .load_g
        .map_or(String::new(), |load| format!("; {load}"));
    format!(
        "  {:<6} {amount}, {often}, {}{how}{load}{lever}\n",
        rung.id.as_str(),
        rung.days_a_week
    )
}

/// Draws every picture the library may ask for, and tells of those that cannot be.
fn pictures(libraries: &[&Library]) -> Result<(), CliError> {
    let wrong = faults(libraries);
    if wrong.is_empty() {
        return Ok(());
    }
    Err(CliError::Files(wrong.join("\n") + "\n"))
}

/// Sets every label that stands in a column of its own, and tells of words too long for it.
fn labels(libraries: &[&Library]) -> Result<(), CliError> {
    let design = page::load().map_err(full)?;
    let mut wrong = BTreeSet::new();
    for library in libraries {
        let rows = library.procedure.home_care.iter();
        let rows = rows.flat_map(|row| {
            let titles = row.words.values().map(|words| words.title.as_str());
            titles.map(move |title| ("home care", row.id.as_str(), title))
        });
        let advice = library.exercises.values();
        let advice = advice.filter(|exercise| exercise.row == Row::Advice);
        let advice = advice.flat_map(|exercise| {
            let names = exercise.words.values().map(|words| words.name.as_str());
            names.map(move |name| ("exercise", exercise.id.as_str(), name))
        });
        for (kind, id, label) in rows.chain(advice) {
            if let Err(fault) = label_fault(label, &design) {
                wrong.insert(format!("{kind} `{id}` cannot be printed: {fault}"));
            }
        }
    }
    if wrong.is_empty() {
        return Ok(());
    }
    let lines: Vec<String> = wrong.into_iter().collect();
    Err(CliError::Files(lines.join("\n") + "\n"))
}

fn check(clinic: Option<&Path>) -> Result<String, CliError> {
    let mut all_loaded = Vec::new();
    for id in built_in_procedures() {
        all_loaded.push((id.clone(), loaded_for(&id, Path::new("."), clinic)?));
    }
    let libraries: Vec<&Library> = all_loaded.iter().map(|(_, one)| &one.library).collect();
    pictures(&libraries)?;
    labels(&libraries)?;
    let mut out = String::new();
    for (id, loaded) in &all_loaded {
        let library = &loaded.library;
        out.push_str(&format!(
            "{id}: sound, {} exercises\n",
            library.exercises.len()
        ));
        if let Some(base) = &library.procedure.based_on {
            out.push_str(&format!(
                "based on {base}, {} values of its own; what it takes over is counted in these too\n",
                loaded.own.len()
            ));
        }
        let all: usize = loaded.numbers.values().sum();
        out.push_str(&format!("{all} numbers, each with its source:\n"));
        for (source, count) in &loaded.numbers {
            out.push_str(&format!("  {count:>5}  {source}\n"));
        }
        out.push_str(&format!("library {}\n", library.digests.built_in));
    }
    Ok(out)
}
