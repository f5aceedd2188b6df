//! Flags of every command that makes a sheet or a form.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

/// Form of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SheetForm {
    /// For the printer.
    Pdf,
    /// 72 columns of plain text.
    Text,
}

/// In which form, and where to.
#[derive(Debug, Args)]
pub struct OutputArgs {
    /// Form.
    #[arg(long = "as", value_enum, default_value = "pdf")]
    pub form: SheetForm,
    /// Where to write; standard output if not given, or if it is `-`.
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Overwrite that file.
    #[arg(long, requires = "output")]
    pub force: bool,
}
