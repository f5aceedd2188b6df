//! What can be typed: one table of commands and flags, from which help is made.
//!
//! Values stay as typed here; `words` turns them into domain values with an answer for each slip.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};
use clap_complete::Shell;

mod correct;
mod due;
mod examples;
mod figures;
mod form;
mod output;
mod person;
mod read;
mod record;

pub use correct::CorrectArgs;
pub use due::DueArgs;
pub use figures::{FiguresArgs, FiguresSide};
pub use form::{FormCommand, OrdersFormArgs, VisitFormArgs};
pub use output::{OutputArgs, SheetForm};
pub use person::{PatientArgs, VisitArgs};
pub use read::{CheckArgs, ExplainArgs, ExplainForm, HandoutArgs, ProtocolCommand, RulesArgs};
pub use record::{
    AdjustArgs, ClearArgs, DeskArgs, IntakeArgs, OrderArgs, OverrideArgs, VisitCommand,
};

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
3 no program (withheld or unanswered) or an old sheet that must not be used, 101 a fault in banister."
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
    #[command(after_help = examples::INTAKE)]
    Intake(Box<IntakeArgs>),
    /// Add a visit to a record.
    #[command(after_help = examples::VISIT)]
    Visit(Box<VisitCommand>),
    /// Add a surgeon's order.
    #[command(after_help = examples::ORDER)]
    Order(OrderArgs),
    /// Add a red flag that somebody has assessed.
    #[command(after_help = examples::CLEAR)]
    Clear(ClearArgs),
    /// Set a limit aside for some days: by name, with a reason.
    ///
    /// A hard limit of a surgeon's order is lifted by `order`, one of a red flag by `clear`.
    #[command(after_help = examples::OVERRIDE)]
    Override(OverrideArgs),
    /// Set, add or leave out one exercise on the open visit, or take that back.
    #[command(after_help = examples::ADJUST)]
    Adjust(AdjustArgs),
    /// Put a wrong side or day of the operation right; the sheets given until now become void.
    #[command(after_help = examples::CORRECT)]
    Correct(CorrectArgs),
    /// Issue a handout, preview one, or give back the very sheet that went out.
    #[command(after_help = examples::HANDOUT)]
    Handout(HandoutArgs),
    /// Blank paper forms, to be filled in with a pen and typed in later.
    #[command(subcommand, after_help = examples::FORM)]
    Form(FormCommand),
    /// Draw every picture of the library into a folder, as PDF and SVG, to look through.
    #[command(after_help = examples::FIGURES)]
    Figures(FiguresArgs),
    /// Say why the program is what it is, or why one exercise is.
    #[command(after_help = examples::EXPLAIN)]
    Explain(ExplainArgs),
    /// List the engine's rules and the problem codes, or explain one.
    #[command(after_help = examples::RULES)]
    Rules(RulesArgs),
    /// Look for problems in records and clinic files; verifies seals and sheets; writes nothing.
    #[command(after_help = examples::CHECK)]
    Check(CheckArgs),
    /// Say who is due and what is missing, in every record of a folder; writes nothing.
    ///
    /// Soonest first, by the first day on which somebody has something to do: the next visit, the
    /// phone check, a visit left open, exercises withheld, or the end of the sheet while no next
    /// visit is known.
    #[command(after_help = examples::DUE)]
    Due(DueArgs),
    /// The protocol library.
    #[command(subcommand)]
    Protocol(ProtocolCommand),
    /// Write the completions of a shell to standard output.
    #[command(after_help = examples::COMPLETIONS)]
    Completions {
        /// The shell.
        shell: Shell,
    },
    /// Write the manual page, or every page into a folder.
    #[command(after_help = examples::MAN)]
    Man(ManArgs),
}

/// Manual pages.
#[derive(Debug, Args)]
pub struct ManArgs {
    /// The folder for one page a command; the program's own page goes to standard output if not
    /// given.
    #[arg(short, long, value_name = "FOLDER")]
    pub output: Option<PathBuf>,
}
