//! Flags of the commands that read: handouts, explanations, checks and the library.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::{Args, Subcommand, ValueEnum};

use super::output::OutputArgs;

/// Issue, preview or give back.
#[derive(Debug, Args)]
pub struct HandoutArgs {
    /// The record file.
    pub record: PathBuf,
    /// Decide and draw afresh, marked "Preview, not issued"; stores nothing.
    #[arg(long)]
    pub preview: bool,
    /// Give back sheet N as it went out.
    #[arg(long, value_name = "N", conflicts_with = "preview")]
    pub sheet: Option<i64>,
    /// Close the open call and leave the sheet at home as it is: no new sheet, no new dates.
    #[arg(long, conflicts_with_all = ["preview", "sheet", "output", "form"])]
    pub keep: bool,
    /// The visit of this date; the latest if not given.
    #[arg(long, value_name = "DATE", conflicts_with = "sheet")]
    pub date: Option<NaiveDate>,
    /// Where it goes.
    #[command(flatten)]
    pub to: OutputArgs,
}

/// Form of an explanation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ExplainForm {
    /// For people.
    Text,
    /// For programs.
    Json,
}

/// Why.
#[derive(Debug, Args)]
pub struct ExplainArgs {
    /// The record file.
    pub record: PathBuf,
    /// One exercise, on one page.
    pub exercise: Option<String>,
    /// The visit of this date; the latest if not given.
    #[arg(long, value_name = "DATE")]
    pub date: Option<NaiveDate>,
    /// Decide afresh, with what is known and installed today; else a closed visit's reasons are
    /// those kept with its sheet.
    #[arg(long)]
    pub fresh: bool,
    /// Form.
    #[arg(long = "as", value_enum, default_value = "text")]
    pub form: ExplainForm,
}

/// Rules and codes.
#[derive(Debug, Args)]
pub struct RulesArgs {
    /// A rule such as D704, or a problem code such as BN010.
    pub id: Option<String>,
}

/// Look for problems.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// Records, clinic files, or folders of them.
    #[arg(required = true)]
    pub paths: Vec<PathBuf>,
    /// One line a problem, for editors.
    #[arg(long)]
    pub short: bool,
}

/// The protocol library.
#[derive(Debug, Subcommand)]
pub enum ProtocolCommand {
    /// List procedures and exercises.
    List,
    /// Show a procedure or an exercise.
    Show {
        /// Its id.
        id: String,
        /// Form.
        #[arg(long = "as", value_enum, default_value = "text")]
        form: ExplainForm,
    },
    /// Check the library and count its numbers by source.
    Check,
}
