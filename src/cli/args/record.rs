//! Flags of the commands that write a record.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::Args;

use super::person::{PatientArgs, VisitArgs};

/// Start a record.
#[derive(Debug, Args)]
pub struct IntakeArgs {
    /// The new record file.
    pub record: PathBuf,
    /// Token of the episode: random or counted, never made from a name or birth date.
    #[arg(long)]
    pub token: String,
    /// The operation.
    #[arg(long, default_value = "knee-total")]
    pub procedure: String,
    /// The operated side: left or right. There is no default.
    #[arg(long)]
    pub side: String,
    /// Date of the operation, as 2026-03-02.
    #[arg(long, value_name = "DATE")]
    pub operation: NaiveDate,
    /// Language of the sheet.
    #[arg(long, default_value = "en")]
    pub language: String,
    /// Needs of the printed page: large-print, other-language, helpers-page; or none.
    #[arg(long, value_delimiter = ',')]
    pub needs: Option<Vec<String>>,
    /// The person.
    #[command(flatten)]
    pub patient: PatientArgs,
    /// The first visit.
    #[command(flatten)]
    pub visit: VisitArgs,
}

/// Add a visit.
#[derive(Debug, Args)]
pub struct VisitCommand {
    /// The record file.
    pub record: PathBuf,
    /// This visit corrects visit N: give all its answers again.
    #[arg(long, value_name = "N")]
    pub corrects: Option<i64>,
    /// The visit.
    #[command(flatten)]
    pub visit: VisitArgs,
    /// Changes to the person from this visit on.
    #[command(flatten)]
    pub patient: PatientArgs,
}

/// Add a surgeon's order.
#[derive(Debug, Args)]
pub struct OrderArgs {
    /// The record file.
    pub record: PathBuf,
    /// What is ordered: weight-bearing, flexion-cap, no-active-extension, brace-locked,
    /// compression.
    pub what: String,
    /// Its value: a word for weight-bearing, degrees for flexion-cap; none for the others.
    pub value: Option<String>,
    /// Who ordered it.
    #[arg(long)]
    pub by: String,
    /// When it was ordered; today if not given, and said.
    #[arg(long, value_name = "DATE")]
    pub on: Option<NaiveDate>,
    /// In which document it stands.
    #[arg(long)]
    pub document: String,
    /// Its last day, or `asked` when nobody knows yet. Not given: no end is set.
    #[arg(long, value_name = "DATE")]
    pub until: Option<String>,
}

/// Add an assessed red flag.
#[derive(Debug, Args)]
pub struct ClearArgs {
    /// The record file.
    pub record: PathBuf,
    /// The flag, such as calf.
    pub flag: String,
    /// By whom or what it was assessed.
    #[arg(long)]
    pub by: String,
    /// When; today if not given, and said.
    #[arg(long, value_name = "DATE")]
    pub on: Option<NaiveDate>,
    /// Its last day; 7 days after if not given.
    #[arg(long, value_name = "DATE")]
    pub until: Option<NaiveDate>,
}

/// The clinician's word on one exercise.
#[derive(Debug, Args)]
pub struct AdjustArgs {
    /// The record file.
    pub record: PathBuf,
    /// The exercise.
    pub exercise: String,
    /// Give it at this rung.
    #[arg(long, value_name = "RUNG", group = "action")]
    pub set: Option<String>,
    /// Leave it out.
    #[arg(long, group = "action")]
    pub leave_out: bool,
    /// Add it.
    #[arg(long, group = "action")]
    pub add: bool,
    /// Why.
    #[arg(long)]
    pub because: String,
    /// Who.
    #[arg(long)]
    pub by: String,
}
