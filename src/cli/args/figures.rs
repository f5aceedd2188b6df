//! Flags of `figures`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

/// Which side is operated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FiguresSide {
    /// The left.
    Left,
    /// The right.
    Right,
    /// Both.
    Both,
}

/// The contact sheet.
#[derive(Debug, Args)]
pub struct FiguresArgs {
    /// The folder for the two files; it is made if it is not there.
    #[arg(short, long, value_name = "FOLDER")]
    pub output: PathBuf,
    /// The operated side.
    #[arg(long, value_enum, default_value = "right")]
    pub side: FiguresSide,
    /// Overwrite files of the same names.
    #[arg(long)]
    pub force: bool,
}
