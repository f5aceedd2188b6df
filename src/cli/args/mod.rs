//! What can be typed: one table of commands and flags, from which help is made.
//!
//! Values stay as typed here; `words` turns them into domain values with an answer for each slip.

use std::path::PathBuf;

use clap::{Parser, Subcommand};

mod person;
mod read;
mod record;

pub use person::{PatientArgs, VisitArgs};
pub use read::{
    CheckArgs, ExplainArgs, ExplainForm, HandoutArgs, ProtocolCommand, RulesArgs, SheetForm,
};
pub use record::{AdjustArgs, ClearArgs, DeskArgs, IntakeArgs, OrderArgs, VisitCommand};

/// From a patient record to a dosed, reasoned home exercise program on paper. Offline.
///
/// A clinician uses it and signs what it prints. The surgeon's orders, local policy and licensed
/// practice come first.
///
/// Example: banister handout examples/01-discharge-day-2/record.toml --preview -o handout.pdf
#[derive(Debug, Parser)]
#[command(
    name = "banister",
    version,
    max_term_width = 80,
    subcommand_required = true
)]
#[command(
    after_help = "Exit codes: 0 done, 1 a file is wrong, 2 usage or disk, \
3 no program (withheld or unanswered), 101 a fault in banister."
)]
pub struct Cli {
    /// Clinic file, or the folder that holds it. Else `BANISTER_CLINIC`, else the nearest
    /// shared/clinic.toml at or above the record.
    #[arg(long, global = true, value_name = "PATH")]
    pub clinic: Option<PathBuf>,
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Start a record: the operation, the person, and the first visit when --screen is given.
    Intake(Box<IntakeArgs>),
    /// Add a visit to a record.
    Visit(Box<VisitCommand>),
    /// Add a surgeon's order.
    Order(OrderArgs),
    /// Add a red flag that somebody has assessed.
    Clear(ClearArgs),
    /// Set, add or leave out one exercise on the open visit.
    Adjust(AdjustArgs),
    /// Issue a handout, preview one, or give back the very sheet that went out.
    Handout(HandoutArgs),
    /// Say why the program is what it is, or why one exercise is.
    Explain(ExplainArgs),
    /// List the engine's rules and the problem codes, or explain one.
    Rules(RulesArgs),
    /// Look for problems in records and clinic files; verifies seals and sheets; writes nothing.
    Check(CheckArgs),
    /// The protocol library.
    #[command(subcommand)]
    Protocol(ProtocolCommand),
}
