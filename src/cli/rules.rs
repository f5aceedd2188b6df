//! `rules`: the engine's rules and the problem codes, or the page of one.

use std::process::ExitCode;

use crate::engine::rules::ALL;
use crate::files::codes::CODES;

use super::args::RulesArgs;
use super::error::CliError;
use super::say;
use super::typed::Typed;

/// Runs `rules`.
pub fn run(args: &RulesArgs) -> Result<ExitCode, CliError> {
    let text = match &args.id {
        None => table(),
        Some(id) => page(&id.to_uppercase())?,
    };
    say::words(&text)?;
    Ok(ExitCode::SUCCESS)
}

fn table() -> String {
    let mut out = String::from("Rules of the engine, in the order applied\n\n");
    for rule in ALL {
        out.push_str(&format!(
            "{:<6} {:<26} {}\n",
            rule.id.0, rule.name, rule.summary
        ));
    }
    out.push_str("\nProblem codes\n\n");
    for row in CODES {
        out.push_str(&format!("{}  {}\n", row.code.id(), row.title));
    }
    out.push_str("\nOne of them in full: banister rules D101, banister rules BN010\n");
    out
}

fn page(id: &str) -> Result<String, CliError> {
    if let Some(rule) = ALL.iter().find(|rule| rule.id.0 == id) {
        return Ok(rule.doc.to_owned());
    }
    if let Some(row) = CODES.iter().find(|row| row.code.id() == id) {
        return Ok(format!(
            "# {} {}\n\n{}\n",
            row.code.id(),
            row.title,
            row.explanation
        ));
    }
    let mut known: Vec<&str> = ALL.iter().map(|rule| rule.id.0).collect();
    known.extend(CODES.iter().map(|row| row.code.id()));
    let mut typed = Typed::new();
    typed.unknown("id", id, &known);
    typed.finish()?;
    Ok(String::new())
}
