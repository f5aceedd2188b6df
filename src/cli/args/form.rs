//! Flags of the blank paper forms.

use std::path::PathBuf;

use clap::{Args, Subcommand};

use super::output::OutputArgs;

/// The forms.
#[derive(Debug, Subcommand)]
pub enum FormCommand {
    /// The blank form of a visit, with the questions of `visit`, or of `intake` with --first.
    Visit(VisitFormArgs),
    /// The question slip for the surgical team: what is still open in a record.
    Orders(OrdersFormArgs),
}

/// The blank form of a visit.
#[derive(Debug, Args)]
pub struct VisitFormArgs {
    /// The operation.
    #[arg(long, default_value = "knee-total")]
    pub procedure: String,
    /// The first visit, with everything a new record needs.
    #[arg(long)]
    pub first: bool,
    /// Where it goes.
    #[command(flatten)]
    pub to: OutputArgs,
}

/// The question slip of a record.
#[derive(Debug, Args)]
pub struct OrdersFormArgs {
    /// The record file; it is read and never written.
    pub record: PathBuf,
    /// Where it goes.
    #[command(flatten)]
    pub to: OutputArgs,
}
