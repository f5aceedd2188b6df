//! `figures`: the contact sheet of every picture of the library, as PDF and SVG.

use std::path::Path;
use std::process::ExitCode;

use crate::domain::library::Library;
use crate::domain::word::Side;
use crate::handout::figures::sheet;
use crate::handout::model::Document;
use crate::render::{pdf, svg};
use crate::store::{Existing, write_output};

use super::args::{FiguresArgs, FiguresSide};
use super::error::CliError;
use super::open::{built_in_procedures, library_for};
use super::say;

/// Runs `figures`.
pub fn run(args: &FiguresArgs, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    let side = match args.side {
        FiguresSide::Left => Side::Left,
        FiguresSide::Right => Side::Right,
        FiguresSide::Both => Side::Both,
    };
    let path = |end: &str| args.output.join(format!("figures-{side}.{end}"));
    let (on_paper, on_screen) = (path("pdf"), path("svg"));
    for path in [&on_paper, &on_screen] {
        if path.exists() && !args.force {
            return Err(CliError::Usage(format!(
                "{}: exists already; nothing was written. Choose another folder, or add --force",
                say::shown(path)
            )));
        }
    }
    let mut kits = Vec::new();
    for id in built_in_procedures() {
        kits.push(library_for(&id, Path::new("."), clinic)?);
    }
    let Some((first, others)) = kits.split_first() else {
        return Ok(ExitCode::SUCCESS);
    };
    let others: Vec<&Library> = others.iter().map(|kit| &kit.library).collect();
    let figures =
        sheet(&first.library, &others, side).map_err(|error| CliError::Sheet(error.to_string()))?;
    let drawn = svg::sheet(&figures);
    let bytes = pdf::pdf(&Document::Figures(figures), &first.page)
        .map_err(|error| CliError::Sheet(error.to_string()))?;
    std::fs::create_dir_all(&args.output)
        .map_err(|error| CliError::Usage(format!("{}: {error}", say::shown(&args.output))))?;
    let existing = if args.force {
        Existing::Replace
    } else {
        Existing::Refuse
    };
    write_output(&on_paper, &bytes, existing)?;
    write_output(&on_screen, drawn.as_bytes(), existing)?;
    for path in [&on_paper, &on_screen] {
        say::talk(&format!("written: {}", say::shown(path)));
    }
    Ok(ExitCode::SUCCESS)
}
