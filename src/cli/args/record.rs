//! Flags of the commands that write a record.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::Args;
use clap::builder::NonEmptyStringValueParser;

use super::person::{PatientArgs, VisitArgs};

/// Start a record.
#[derive(Debug, Args)]
pub struct IntakeArgs {
    /// The new record file, or the folder for it; the file is then named after the token.
    #[arg(default_value = ".")]
    pub record: PathBuf,
    /// Token of the episode: random or counted, never made from a name or birth date.
    #[arg(long)]
    pub token: Option<String>,
    /// The operation.
    #[arg(long, default_value = "knee-total")]
    pub procedure: String,
    /// The operated side: left, right, or both for an operation of both. There is no default.
    #[arg(long)]
    pub side: Option<String>,
    /// Date of the operation, as 2026-03-02; one ahead means before the operation.
    #[arg(long, value_name = "DATE")]
    pub operation: Option<NaiveDate>,
    /// Orders that stand from the start: WHAT, WHAT=VALUE, and @DATE, @asked or @open for the
    /// end, such as flexion-cap=90@2026-03-29.
    #[arg(
        long,
        value_delimiter = ',', value_parser = NonEmptyStringValueParser::new(),
        value_name = "ORDER",
        requires = "order_by",
        requires = "order_document"
    )]
    pub order: Option<Vec<String>>,
    /// Who ordered them.
    #[arg(long, value_name = "WHO")]
    pub order_by: Option<String>,
    /// In which document they stand.
    #[arg(long, value_name = "DOCUMENT")]
    pub order_document: Option<String>,
    /// Language of the sheet.
    #[arg(long, default_value = "en")]
    pub language: String,
    /// Needs of the printed page: large-print, other-language, helpers-page; or none.
    #[arg(long, value_delimiter = ',', value_parser = NonEmptyStringValueParser::new())]
    pub needs: Option<Vec<String>>,
    /// The person.
    #[command(flatten)]
    pub patient: PatientArgs,
    /// The first visit.
    #[command(flatten)]
    pub visit: VisitArgs,
    /// What is asked, and where the sheet goes.
    #[command(flatten)]
    pub desk: DeskArgs,
}

/// Add a visit.
#[derive(Debug, Args)]
pub struct VisitCommand {
    /// The record file.
    pub record: PathBuf,
    /// This visit corrects visit N and takes its place: give all its answers again. Its date is
    /// that of visit N if not given.
    #[arg(long, value_name = "N")]
    pub corrects: Option<i64>,
    /// Keep the changes made to the last sheet: yes or no.
    #[arg(long, value_name = "YES|NO")]
    pub keep_changes: Option<String>,
    /// The visit.
    #[command(flatten)]
    pub visit: VisitArgs,
    /// Changes to the person from this visit on.
    #[command(flatten)]
    pub patient: PatientArgs,
    /// What is asked, and where the sheet goes.
    #[command(flatten)]
    pub desk: DeskArgs,
}

/// How the prompts go.
#[derive(Debug, Args)]
#[command(next_help_heading = "On a terminal, what is missing is asked")]
pub struct DeskArgs {
    /// Ask every question, the optional measures included.
    #[arg(long)]
    pub full: bool,
    /// Where a copy of the PDF goes once it is issued.
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
}

/// Add a surgeon's order.
#[derive(Debug, Args)]
pub struct OrderArgs {
    /// The record file.
    pub record: PathBuf,
    /// What is ordered: weight-bearing, flexion-cap, no-active-extension, brace-locked,
    /// compression, kneeling-allowed; or a profile of the operation, such as careful.
    pub what: String,
    /// Its value: a word for weight-bearing, degrees for flexion-cap, none for the others; or
    /// `lifted`, when nothing ordered of this kind holds any longer, or with --replaces that one.
    pub value: Option<String>,
    /// Who ordered it.
    #[arg(long)]
    pub by: String,
    /// When it was ordered; today if not given, and said.
    #[arg(long, value_name = "DATE")]
    pub on: Option<NaiveDate>,
    /// Its first day, when that is another than the day it was ordered; it may lie ahead.
    #[arg(long, value_name = "DATE")]
    pub from: Option<NaiveDate>,
    /// The order of the record whose place it takes, such as O1. Not given: both stand, and the
    /// strictest holds.
    #[arg(long, value_name = "ORDER")]
    pub replaces: Option<String>,
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
    /// Its last day; if not given, as many days as the procedure says, which also caps it.
    #[arg(long, value_name = "DATE")]
    pub until: Option<NaiveDate>,
}

/// Set a limit aside for some days.
#[derive(Debug, Args)]
pub struct OverrideArgs {
    /// The record file.
    pub record: PathBuf,
    /// The limit, as `explain` names it.
    pub limit: String,
    /// Who sets it aside.
    #[arg(long)]
    pub by: String,
    /// Why.
    #[arg(long)]
    pub because: String,
    /// Its last day; a sheet that lasts longer keeps the limit.
    #[arg(long, value_name = "DATE")]
    pub until: NaiveDate,
    /// When; today if not given, and said.
    #[arg(long, value_name = "DATE")]
    pub on: Option<NaiveDate>,
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
    /// Take back what was said of it at this visit.
    #[arg(long, group = "action")]
    pub as_decided: bool,
    /// Why.
    #[arg(long)]
    pub because: String,
    /// Who.
    #[arg(long)]
    pub by: String,
}
