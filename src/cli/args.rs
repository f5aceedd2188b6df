//! What can be typed: one table of commands and flags, from which help is made.
//!
//! Values stay as typed here; `words` turns them into domain values with an answer for each slip.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::{Args, Parser, Subcommand, ValueEnum};

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

/// The person; a flag not given is "not recorded".
#[derive(Debug, Args, Default)]
#[command(next_help_heading = "The person (not given = not recorded)")]
pub struct PatientArgs {
    /// Age at operation, in whole years.
    #[arg(long)]
    pub age: Option<i64>,
    /// Height in centimetres.
    #[arg(long)]
    pub height_cm: Option<i64>,
    /// Other illnesses: heart, osteoporosis, frail, other-knee …; or none.
    #[arg(long, value_delimiter = ',')]
    pub conditions: Option<Vec<String>>,
    /// Clinical frailty judgement, 1 to 9.
    #[arg(long)]
    pub frailty: Option<i64>,
    /// Whose standing orders count, such as SURG-A.
    #[arg(long)]
    pub surgeon: Option<String>,
    /// Positions they cannot take: lying, side-lying, prone, sitting, standing; or none.
    #[arg(long, value_delimiter = ',')]
    pub positions_no: Option<Vec<String>>,
    /// What the home has: bed, chair, chair-arms, towel, strap, worktop …; or none.
    #[arg(long, value_delimiter = ',')]
    pub equipment: Option<Vec<String>>,
    /// Lives alone: yes or no.
    #[arg(long)]
    pub alone: Option<String>,
    /// Has stairs: yes or no.
    #[arg(long)]
    pub stairs: Option<String>,
    /// Has a bed to lie on: yes or no.
    #[arg(long)]
    pub bed: Option<String>,
    /// Gets to the floor and up safely: yes or no.
    #[arg(long)]
    pub floor_safe: Option<String>,
    /// Slots of their day: breakfast, mid-morning, midday, afternoon, evening, bedtime.
    #[arg(long, value_delimiter = ',')]
    pub slots: Option<Vec<String>>,
    /// Minutes of exercise a day they will give.
    #[arg(long)]
    pub minutes: Option<i64>,
    /// Their own goal, printed as written.
    #[arg(long)]
    pub goal: Option<String>,
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

/// A visit; a flag not given is "not recorded".
#[derive(Debug, Args)]
#[command(next_help_heading = "The visit (not given = not recorded)")]
pub struct VisitArgs {
    /// Date of the visit; today if not given, and said.
    #[arg(long, value_name = "DATE")]
    pub date: Option<NaiveDate>,
    /// How it was held: seen or phone.
    #[arg(long, default_value = "seen")]
    pub how: String,
    /// Who held it, such as PT-1.
    #[arg(long)]
    pub by: Option<String>,
    /// Red flags, new or worse since last time: `none`, or such as calf=yes,foot=known. A flag
    /// not named is "no"; there is no default.
    #[arg(long, value_delimiter = ',')]
    pub screen: Option<Vec<String>>,
    /// Who cleared the person for home, at discharge.
    #[arg(long)]
    pub cleared_for_home_by: Option<String>,
    /// Days 0 to 3: the block has worn off and the knee holds in standing, yes or no.
    #[arg(long)]
    pub block_gone: Option<String>,
    /// How much of the last sheet was done: all, most, half, little, none.
    #[arg(long)]
    pub did: Option<String>,
    /// Bend in degrees.
    #[arg(long)]
    pub flexion: Option<i64>,
    /// Degrees short of straight; beyond straight is negative.
    #[arg(long, allow_hyphen_values = true)]
    pub extension_deficit: Option<i64>,
    /// How the leg lifts: alone-straight, alone-lag, with-help, no.
    #[arg(long)]
    pub leg_lift: Option<String>,
    /// Lag in degrees: active short of passive.
    #[arg(long, allow_hyphen_values = true)]
    pub lag: Option<i64>,
    /// Walks with: frame, two-crutches, two-sticks, one-stick, none.
    #[arg(long)]
    pub walking_aid: Option<String>,
    /// Seconds on the operated leg, hands on.
    #[arg(long)]
    pub stance_s: Option<i64>,
    /// Minutes walked a day in all.
    #[arg(long)]
    pub walk_minutes: Option<i64>,
    /// Limps: yes or no.
    #[arg(long)]
    pub limp: Option<String>,
    /// Stairs practised: yes or no.
    #[arg(long)]
    pub stairs_practised: Option<String>,
    /// Pain at rest, 0 to 10.
    #[arg(long)]
    pub pain_rest: Option<i64>,
    /// Worst pain in exercise, 0 to 10.
    #[arg(long)]
    pub pain: Option<i64>,
    /// Pain medicine was taken before: yes or no.
    #[arg(long)]
    pub medicine_before: Option<String>,
    /// Next morning against usual: less, same, more, much-more.
    #[arg(long)]
    pub morning: Option<String>,
    /// How many of the last three mornings were worse than usual.
    #[arg(long)]
    pub bad_mornings: Option<i64>,
    /// Swelling against last time: less, same, more.
    #[arg(long)]
    pub swelling: Option<String>,
    /// Next visit: a date, `none` or `unknown`.
    #[arg(long, value_name = "DATE")]
    pub next_visit: Option<String>,
    /// Exercises seen done well today.
    #[arg(long, value_delimiter = ',')]
    pub seen: Option<Vec<String>>,
    /// Exercises that had to be corrected today.
    #[arg(long, value_delimiter = ',')]
    pub corrected: Option<Vec<String>>,
    /// Exercises seen and not done well.
    #[arg(long, value_delimiter = ',')]
    pub not_well: Option<Vec<String>>,
    /// Times done of those asked, such as quad-set=18/21.
    #[arg(long, value_delimiter = ',')]
    pub done: Option<Vec<String>>,
    /// Pain during one exercise, such as chair-bend=6.
    #[arg(long, value_delimiter = ',')]
    pub felt: Option<Vec<String>>,
    /// A rung done well today, such as sit-to-stand=r4.
    #[arg(long, value_delimiter = ',')]
    pub well_at: Option<Vec<String>>,
    /// Set the phase, with --because.
    #[arg(long)]
    pub phase: Option<String>,
    /// Why the phase is set.
    #[arg(long, requires = "phase")]
    pub because: Option<String>,
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

/// Form of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SheetForm {
    /// For the printer.
    Pdf,
    /// 72 columns of plain text.
    Text,
}

/// Issue, preview or give back.
#[derive(Debug, Args)]
pub struct HandoutArgs {
    /// The record file.
    pub record: PathBuf,
    /// Form.
    #[arg(long = "as", value_enum, default_value = "pdf")]
    pub form: SheetForm,
    /// Decide and draw afresh, marked "Preview, not issued"; stores nothing.
    #[arg(long)]
    pub preview: bool,
    /// Give back sheet N as it went out.
    #[arg(long, value_name = "N", conflicts_with = "preview")]
    pub sheet: Option<i64>,
    /// The visit of this date; the latest if not given.
    #[arg(long, value_name = "DATE", conflicts_with = "sheet")]
    pub date: Option<NaiveDate>,
    /// Where to write; standard output if not given.
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Overwrite that file.
    #[arg(long, requires = "output")]
    pub force: bool,
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
