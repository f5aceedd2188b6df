//! Flags of the person and of a visit, as `intake` and `visit` take them.

use chrono::NaiveDate;
use clap::Args;
use clap::builder::NonEmptyStringValueParser;

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
    /// Other illnesses: heart, osteoporosis, frail, other-knee and so on; or none.
    #[arg(long, value_delimiter = ',', value_parser = NonEmptyStringValueParser::new())]
    pub conditions: Option<Vec<String>>,
    /// Clinical frailty judgement, 1 to 9.
    #[arg(long)]
    pub frailty: Option<i64>,
    /// Whose standing orders count, such as SURG-A.
    #[arg(long)]
    pub surgeon: Option<String>,
    /// Positions they cannot take: lying, side-lying, prone, sitting, standing; or none.
    #[arg(long, value_delimiter = ',', value_parser = NonEmptyStringValueParser::new())]
    pub positions_no: Option<Vec<String>>,
    /// What the home has: bed, chair, chair-arms, towel, strap, worktop and so on; or none.
    #[arg(long, value_delimiter = ',', value_parser = NonEmptyStringValueParser::new())]
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
    #[arg(long, value_delimiter = ',', value_parser = NonEmptyStringValueParser::new())]
    pub slots: Option<Vec<String>>,
    /// Minutes of exercise a day they will give.
    #[arg(long)]
    pub minutes: Option<i64>,
    /// Takes any medicine for pain: yes or no.
    #[arg(long)]
    pub pain_medicine: Option<String>,
    /// Their own goal, printed as written.
    #[arg(long)]
    pub goal: Option<String>,
}

/// A visit; a flag not given is "not recorded".
#[derive(Debug, Args)]
#[command(next_help_heading = "The visit (not given = not recorded)")]
pub struct VisitArgs {
    /// Date of the visit; today if not given, and said.
    #[arg(long, value_name = "DATE")]
    pub date: Option<NaiveDate>,
    /// It was held by telephone.
    #[arg(long)]
    pub phone: bool,
    /// Who held it, such as PT-1.
    #[arg(long)]
    pub by: Option<String>,
    /// Red flags, new or worse since last time: `none`, or such as calf=yes,foot=known. A flag
    /// not named is "no"; there is no default.
    #[arg(long, value_delimiter = ',', value_parser = NonEmptyStringValueParser::new())]
    pub screen: Option<Vec<String>>,
    /// Who cleared the person for home, at discharge.
    #[arg(long)]
    pub cleared_for_home_by: Option<String>,
    /// Days 0 to 3, and until it is yes: the block has worn off and the knee holds in standing.
    #[arg(long)]
    pub block_gone: Option<String>,
    /// How much of the last sheet was done: all, most, half, little, none, or
    /// more than it says.
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
    #[arg(long, value_delimiter = ',', value_parser = NonEmptyStringValueParser::new())]
    pub seen: Option<Vec<String>>,
    /// Exercises that had to be corrected today.
    #[arg(long, value_delimiter = ',', value_parser = NonEmptyStringValueParser::new())]
    pub corrected: Option<Vec<String>>,
    /// Exercises seen and not done well.
    #[arg(long, value_delimiter = ',', value_parser = NonEmptyStringValueParser::new())]
    pub not_well: Option<Vec<String>>,
    /// Times done of those asked, such as quad-set=18/21.
    #[arg(long, value_delimiter = ',', value_parser = NonEmptyStringValueParser::new())]
    pub done: Option<Vec<String>>,
    /// Pain during one exercise, such as chair-bend=6.
    #[arg(long, value_delimiter = ',', value_parser = NonEmptyStringValueParser::new())]
    pub felt: Option<Vec<String>>,
    /// A rung done well today, such as sit-to-stand=r4.
    #[arg(long, value_delimiter = ',', value_parser = NonEmptyStringValueParser::new())]
    pub well_at: Option<Vec<String>>,
    /// Set the phase, with --because.
    #[arg(long)]
    pub phase: Option<String>,
    /// Why the phase is set.
    #[arg(long, requires = "phase")]
    pub because: Option<String>,
}
