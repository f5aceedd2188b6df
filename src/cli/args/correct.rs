//! Flags of the command that puts the side or the day of the operation right.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::Args;

/// Put a wrong side or day of the operation right, or move an operation still to come.
#[derive(Debug, Args)]
pub struct CorrectArgs {
    /// The record file.
    pub record: PathBuf,
    /// What was typed wrongly: side or operation; or operation-moved when an operation still to
    /// come was put back or brought forward: no sheet is void then.
    pub what: String,
    /// The right value: left or right, or the day of the operation as 2026-03-02.
    pub value: String,
    /// Why.
    #[arg(long)]
    pub because: String,
    /// Who.
    #[arg(long)]
    pub by: String,
    /// When it was put right; today if not given, and said.
    #[arg(long, value_name = "DATE")]
    pub on: Option<NaiveDate>,
}
