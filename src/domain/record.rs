//! A patient record: one episode of care, what was measured and what was issued.
//!
//! Only ever appended to. Must not know a name or a birth date. Next: `files::record` reads it.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::correction::Correction;
use super::dose::Dose;
use super::ids::{
    ClinicId, ConditionId, EquipmentId, ExerciseId, FlagId, LimitId, OrderKind, PhaseId,
    ProcedureId, RungId, SurgeonId,
};
use super::quantity::{
    Centimetres, DayMinutes, Degrees, Frailty, Minutes, PainScore, Quantity, Years,
};
use super::recorded::Recorded;
use super::source::Origin;
use super::time::{Day, OperationDate};
use super::word::{
    AdjustAction, ClosedWith, Did, How, Joint, LegLift, Morning, Position, PrintNeed, ScreenAnswer,
    Seen, Side, Slot, Swelling, WalkingAid, WeightBearing, YesNo,
};

/// What the episode is about; written once, and put right by corrections alone.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Episode {
    /// Random or counted, never made from a person.
    pub token: String,
    /// The clinic.
    pub clinic: ClinicId,
    /// The operation.
    pub procedure: ProcedureId,
    /// The joint.
    pub joint: Joint,
    /// The operated side.
    pub side: Side,
    /// Day 0.
    pub operation: OperationDate,
    /// Language tag of the sheet.
    pub language: String,
    /// Needs of the printed page.
    pub needs: Recorded<BTreeSet<PrintNeed>>,
}

/// The home, where it matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct Home {
    /// Lives alone.
    pub alone: Recorded<YesNo>,
    /// Has stairs.
    pub stairs: Recorded<YesNo>,
    /// Has a bed to lie on.
    pub bed: Recorded<YesNo>,
    /// Can get to the floor and up safely.
    pub floor_safe: Recorded<YesNo>,
}

/// The patient's day.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct PatientDay {
    /// Slots of the day, in order.
    pub slots: Vec<Slot>,
    /// Minutes of exercise they will give.
    pub minutes: Recorded<DayMinutes>,
}

/// What was known of the person; a visit's changes replace one key whole from that visit on.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Patient {
    /// Age at operation.
    pub age: Recorded<Years>,
    /// Height.
    pub height_cm: Recorded<Centimetres>,
    /// Other illnesses and circumstances.
    pub conditions: Recorded<BTreeSet<ConditionId>>,
    /// Frailty, a clinician's judgement.
    pub frailty: Recorded<Frailty>,
    /// Whose standing orders count.
    pub surgeon: Recorded<SurgeonId>,
    /// Positions they cannot take.
    pub positions_no: Recorded<BTreeSet<Position>>,
    /// What the home has.
    pub equipment: Recorded<BTreeSet<EquipmentId>>,
    /// The home.
    pub home: Recorded<Home>,
    /// The day.
    pub day: Recorded<PatientDay>,
    /// Whether they take any medicine for pain.
    pub pain_medicine: Recorded<YesNo>,
    /// Their own goal, printed as written.
    pub goal: Recorded<String>,
}

/// When an order or a clearance ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Until {
    /// Until this day, included.
    Date(NaiveDate),
    /// Nobody knows yet; the surgeon has been asked.
    Asked,
    /// No end is set.
    Open,
}

impl Until {
    /// Returns the later of two ends; nobody knows one that is later than an end that is not set.
    #[must_use]
    pub fn later(self, other: Self) -> Self {
        match (self, other) {
            (Self::Open, _) | (_, Self::Open) => Self::Open,
            (Self::Asked, _) | (_, Self::Asked) => Self::Asked,
            (Self::Date(one), Self::Date(two)) => Self::Date(one.max(two)),
        }
    }
}

/// What an order says.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum OrderValue {
    /// How much the leg may bear.
    WeightBearing(WeightBearing),
    /// An angle.
    Degrees(Degrees),
    /// The kind says it all.
    Stands,
    /// Said expressly: nothing of this kind is ordered.
    NotOrdered,
}

/// A surgeon's order, from the record or the clinic's standing orders.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Order {
    /// Its name in the record; a standing order of the clinic has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// Kind.
    pub what: OrderKind,
    /// Value.
    pub value: OrderValue,
    /// Who ordered it.
    pub by: String,
    /// When.
    pub on: NaiveDate,
    /// Its first day, when that is another than the day it was given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<NaiveDate>,
    /// In which document.
    pub document: String,
    /// Until when.
    pub until: Until,
    /// The name of the order of its kind whose place it takes; none stands beside the others.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub replaces: Option<String>,
    /// Where it stands.
    pub origin: Origin,
}

impl Order {
    /// Returns its first day: never before it was given.
    pub fn begins(&self) -> NaiveDate {
        self.from.map_or(self.on, |from| from.max(self.on))
    }
}

/// A red flag somebody has assessed.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Clearance {
    /// Which flag.
    pub flag: FlagId,
    /// By whom or what.
    pub by: String,
    /// When.
    pub on: NaiveDate,
    /// Until when, included.
    pub until: NaiveDate,
    /// How many visits stood in the record then: a sign of the same day that was told later is a
    /// newer one.
    pub visits: i64,
}

/// A limit that a named clinician sets aside for some days.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct LimitOverride {
    /// Which limit; never one that a surgeon's order or a red flag brings.
    pub limit: LimitId,
    /// Who sets it aside.
    pub by: String,
    /// When.
    pub on: NaiveDate,
    /// Why.
    pub because: String,
    /// Until when, included.
    pub until: NaiveDate,
}

/// What was measured at one visit.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Measured {
    /// Bend.
    pub flexion: Recorded<Degrees>,
    /// Degrees short of straight.
    pub extension_deficit: Recorded<Degrees>,
    /// Active short of passive.
    pub lag: Recorded<Degrees>,
    /// How the leg lifts.
    pub leg_lift: Recorded<LegLift>,
    /// What they walk with.
    pub walking_aid: Recorded<WalkingAid>,
    /// Seconds on the operated leg with hands.
    pub stance_s: Recorded<i64>,
    /// Minutes walked a day in all.
    pub walk_minutes: Recorded<Minutes>,
    /// Limps.
    pub limp: Recorded<YesNo>,
    /// Stairs practised.
    pub stairs_practised: Recorded<YesNo>,
}

/// How a leg lifts and its lag when both were recorded and cannot both be so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LiftAndLag {
    /// It lifts straight, and yet the lag is more than measuring may err by.
    StraightWithLag,
    /// It lifts with a lag, and the lag is none.
    LagOfNothing,
    /// It does not lift by itself, so that there is no lag to measure.
    NotByItself,
}

impl LiftAndLag {
    /// Says what does not fit, if anything.
    pub fn of(lift: LegLift, lag: Degrees, error: Degrees) -> Option<Self> {
        match lift {
            LegLift::AloneStraight => (lag > error).then_some(Self::StraightWithLag),
            LegLift::AloneLag => (lag.get() == 0).then_some(Self::LagOfNothing),
            LegLift::WithHelp | LegLift::No => Some(Self::NotByItself),
        }
    }
}

/// Pain and the medicine around it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct Pain {
    /// At rest.
    pub rest: Recorded<PainScore>,
    /// Worst while exercising.
    pub exercise: Recorded<PainScore>,
    /// Whether the pain medicine was taken before.
    pub medicine_before: Recorded<YesNo>,
    /// Next morning against usual.
    pub morning: Recorded<Morning>,
    /// On how many of the last three mornings it was more than usual.
    pub bad_mornings: Recorded<i64>,
}

/// What was really done of one exercise of the last sheet.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Done {
    /// Which.
    pub exercise: ExerciseId,
    /// Times done.
    pub done: Recorded<i64>,
    /// Times asked.
    pub asked: Recorded<i64>,
    /// Whether it was seen today.
    pub seen: Recorded<Seen>,
    /// The rung done well today, in the clinician's eyes.
    pub well_at: Recorded<RungId>,
    /// Pain during this one.
    pub during: Recorded<PainScore>,
    /// Next morning after this one.
    pub morning: Recorded<Morning>,
}

/// The clinician's word on one exercise, for this visit.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Adjust {
    /// Which.
    pub exercise: ExerciseId,
    /// What.
    pub action: AdjustAction,
    /// The rung to set or add at.
    pub rung: Recorded<RungId>,
    /// Why.
    pub because: String,
    /// Who.
    pub by: String,
}

/// The clinician's word on the phase.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct PhaseSet {
    /// Which phase.
    pub id: PhaseId,
    /// Why.
    pub because: String,
    /// Who.
    pub by: String,
}

/// When the next visit is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum NextVisit {
    /// On this date.
    Date(NaiveDate),
    /// There will be none.
    None,
    /// Nobody knows yet.
    Unknown,
}

/// One line of an issued sheet.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct IssuedItem {
    /// Which exercise.
    pub exercise: ExerciseId,
    /// At which rung.
    pub rung: RungId,
    /// The dose as printed.
    pub dose: Dose,
    /// The slots as printed.
    pub slots: Vec<Slot>,
    /// Rungs the person may have reached alone by the sheet's stages, in order; mostly none.
    pub may_reach: Vec<RungId>,
}

/// A file that went out.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct IssuedFile {
    /// Its name inside the record's sheet folder.
    pub name: String,
    /// Its digest, 64 hex digits.
    pub sha256: String,
}

/// What was issued; closes the visit.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Issued {
    /// Sheet number, from 1.
    pub sheet: i64,
    /// First day of use.
    pub use_from: NaiveDate,
    /// Last day of use, included.
    pub use_until: NaiveDate,
    /// Program version.
    pub program: String,
    /// Digest of the built-in library.
    pub library: String,
    /// Digest of the clinic's files.
    pub clinic_files: String,
    /// Phase, when a program was issued; a withheld page has none.
    pub phase: Option<PhaseId>,
    /// Lines in the order printed.
    pub items: Vec<IssuedItem>,
    /// Files.
    pub files: Vec<IssuedFile>,
    /// Where it stands: what stands below it was written later.
    pub origin: Origin,
}

/// One visit.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Visit {
    /// Counts from 1 without gaps.
    pub n: i64,
    /// The date.
    pub date: NaiveDate,
    /// Seen or by phone.
    pub how: How,
    /// Who.
    pub by: String,
    /// The visit this one corrects.
    pub corrects: Option<i64>,
    /// The screen; not recorded when nobody asked.
    pub screen: Recorded<BTreeMap<FlagId, ScreenAnswer>>,
    /// Who cleared the person for home, at discharge.
    pub cleared_for_home_by: Recorded<String>,
    /// The nerve block has worn off and the knee holds in standing.
    pub block_gone: Recorded<YesNo>,
    /// How much of the last sheet was done.
    pub did: Recorded<Did>,
    /// Measures.
    pub measured: Measured,
    /// Pain.
    pub pain: Pain,
    /// Swelling against last time.
    pub swelling: Recorded<Swelling>,
    /// Next visit.
    pub next_visit: Recorded<NextVisit>,
    /// The patient as known from this visit on, changes applied.
    pub patient: Patient,
    /// Per exercise.
    pub done: Vec<Done>,
    /// The clinician's word.
    pub adjust: Vec<Adjust>,
    /// The clinician's word on the phase.
    pub phase: Option<PhaseSet>,
    /// What was issued; an open visit has none.
    pub issued: Option<Issued>,
    /// What closed it when no sheet went out: the correction of an earlier visit.
    pub closed: Option<ClosedWith>,
    /// The sheet, by number, that a call left at home as it was; closes the visit.
    pub kept: Option<i64>,
    /// The seal, 64 hex digits; only a closed visit has one.
    pub seal: Option<String>,
    /// Where it stands.
    pub origin: Origin,
}

/// One record file.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Record {
    /// What it is about.
    pub episode: Episode,
    /// The patient at intake.
    pub patient: Patient,
    /// Orders in the record.
    pub orders: Vec<Order>,
    /// Flags assessed.
    pub clearances: Vec<Clearance>,
    /// Limits set aside, in the order written.
    pub overrides: Vec<LimitOverride>,
    /// What of the episode was put right, in order; the episode holds the values in force.
    pub corrections: Vec<Correction>,
    /// Visits in the order written; may be empty after intake.
    pub visits: Vec<Visit>,
}

impl Issued {
    /// Finds the file of this sheet that ends like this; a form of its own has another name.
    pub fn file(&self, extension: &str) -> Option<&IssuedFile> {
        let end = format!("-sheet-{:02}.{extension}", self.sheet);
        self.files.iter().find(|file| file.name.ends_with(&end))
    }
}

impl Record {
    /// Returns the day of a date in this episode.
    pub fn day(&self, date: NaiveDate) -> Day {
        Day::of(self.episode.operation, date)
    }
}
