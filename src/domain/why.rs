//! Why a dose is what it is, and why an exercise is not on the sheet.
//!
//! Ids and both sides of each comparison; sentences are made in `handout`.

use chrono::NaiveDate;

use super::fact::{FactValue, Test};
use super::ids::{EquipmentId, ExerciseId, FlagId, LimitId, ModifierId, OrderKind, PhaseId};
use super::quantity::{Degrees, PainScore};
use super::recorded::Recorded;
use super::word::{Did, Fact, Morning, Position, Response};

/// Why a dose is what it is. Both sides of a comparison are kept.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[serde(tag = "why", rename_all = "kebab-case")]
#[expect(missing_docs, reason = "each variant's own line names its fields")]
pub enum Why {
    /// First time on a sheet: the phase's own starting rung.
    PhaseStart { phase: PhaseId },
    /// First seen late: the starting rung whose tests hold on what was measured.
    StartByTest { tests: Vec<Test> },
    /// First time on a sheet, and a fact it asks for is not recorded: its first rung.
    StartBlank { fact: Fact },
    /// The starting rung's entry test failed, so an easier rung.
    EasierByTest {
        test: Test,
        value: Recorded<FactValue>,
    },
    /// First time on a sheet while little else may begin: its first rung.
    StartEasiest,
    /// What the last sheet said.
    LastSheet { sheet: i64, days_ago: i64 },
    /// A row that goes by how the person does it now, such as what they walk with.
    FitsToday { test: Option<Test> },
    /// The last sheet ran out: so many rungs lower, or where the phase begins.
    LongGap { days: i64, line: i64, rungs: i64 },
    /// It stood on an earlier sheet, which ended so many days ago.
    EarlierSheet { sheet: i64, days: i64 },
    /// The last sheet is void, it counted the days wrongly: entered by test again.
    VoidSheet { sheet: i64 },
    /// Seen done well today at this rung.
    SeenDoneWell,
    /// Settled and done: one rung up.
    Climbed {
        pain: Recorded<PainScore>,
        line: PainScore,
        did: Recorded<Did>,
    },
    /// A stage with no visit before it: one rung up when its check holds.
    StageUp {
        stage: i64,
        days: i64,
        pain_at_most: PainScore,
    },
    /// Kept: the body's answer was tolerable, not settled.
    KeptTolerable { sign: BadSign },
    /// Kept: pain was high but the medicine had not been taken.
    KeptMedicineFirst { pain: PainScore, line: PainScore },
    /// Kept: a fact a climb needs was not recorded.
    KeptNotRecorded { fact: NeededFact },
    /// Kept: too little of the last sheet was done.
    KeptLittleDone {
        done_percent: Recorded<i64>,
        line: i64,
        did: Recorded<Did>,
    },
    /// Kept: far more was done than asked, and not settled at two visits yet: ask why.
    KeptFarMore {
        done_percent: Recorded<i64>,
        line: i64,
    },
    /// Kept: too few days since the last rung.
    KeptTooSoon { days: i64, line: i64 },
    /// Kept: loaded work that was not seen done well.
    KeptNotSeen,
    /// Kept: already the highest rung.
    KeptTopRung,
    /// Kept: the next rung's entry test fails.
    KeptByTest {
        test: Test,
        value: Recorded<FactValue>,
    },
    /// Kept: the next rung is not allowed or needs what the home has not.
    KeptNotAllowed { reason: WhyNot },
    /// Overdone, but a row of every day on its lowest rung: it goes on.
    KeptLowestRung { sign: BadSign },
    /// Overdone: one rung down.
    Eased { sign: BadSign },
    /// Overdone loaded work: rests first.
    Rests { sign: BadSign, until: NaiveDate },
    /// Kept: the next rung takes so long that other work would leave the sheet.
    KeptForRoom,
    /// Overdone range work, but its measure is past the review line: the same minutes.
    KeptEndOfRange { sign: BadSign, fact: Fact },
    /// Overdone range work: same bend, shorter hold, more often.
    RangeShorterMoreOften { sign: BadSign },
    /// A measure is past the review line of its course: more often.
    BehindCourse { fact: Fact, value: i64, line: i64 },
    /// A modifier lowers it.
    Modified { modifier: ModifierId },
    /// No more times than the phase asks for.
    PhaseTimes { most: i64, asked: i64 },
    /// No more times than the day has slots.
    SlotsOfTheDay { slots: i64, asked: i64 },
    /// The aim made from a measure.
    AimFromMeasure { fact: Fact, value: i64 },
    /// A limit, less its margin.
    Clipped {
        limit: LimitId,
        degrees: Degrees,
        margin: Degrees,
    },
    /// The clinician's word.
    Clinician { because: String, by: String },
    /// The rung that was asked for is not offered, so the nearest easier one.
    LowerRungOffered { reason: WhyNot },
}

/// A fact a climb needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum NeededFact {
    /// Pain in exercise.
    Pain,
    /// The next morning.
    Morning,
    /// How much was done.
    Did,
    /// Whether it was seen.
    Seen,
}

/// What showed that a dose was more than settled; of several equally bad ones the last named here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(tag = "sign", rename_all = "kebab-case")]
#[expect(missing_docs, reason = "each variant's own line names its fields")]
pub enum BadSign {
    /// Pain in exercise above the line.
    Pain { pain: PainScore, line: PainScore },
    /// Pain above the line, fine only if usual again next morning, and nobody recorded that.
    PainUnheard { pain: PainScore, line: PainScore },
    /// The next morning.
    Morning { word: Morning },
    /// Bad mornings, of three.
    Mornings { bad: i64 },
    /// Swelling.
    Swelling,
}

/// Why an exercise, or a rung of it, is not on the sheet.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[serde(tag = "reason", rename_all = "kebab-case")]
#[expect(missing_docs, reason = "each variant's own line names its fields")]
pub enum WhyNot {
    /// A limit forbids it.
    Forbidden { limit: LimitId },
    /// A limit names a joint and motion this exercise does not declare.
    DemandUnknown { limit: LimitId },
    /// Clipping would leave too little.
    ClippedAway {
        limit: LimitId,
        stop_at: Degrees,
        floor: Degrees,
    },
    /// An entry test fails.
    NotYet {
        test: Test,
        value: Recorded<FactValue>,
    },
    /// It has done its work.
    DoneWith { test: Test },
    /// The home has not got it.
    NoEquipment { equipment: EquipmentId },
    /// They cannot take the position.
    Position { position: Position },
    /// Another one of its family is on the sheet.
    SameFamily { instead: ExerciseId },
    /// The sheet is full.
    NoRoom { items: i64 },
    /// The day is full.
    NoMinutes { minutes: i64 },
    /// Other exercises serve this person more.
    LessNeeded,
    /// Nothing new while the answer to the last dose is worse than settled.
    NothingNew { response: Response },
    /// Nothing new while a red flag narrows the program.
    FlagNarrows { flag: FlagId },
    /// Nothing new while nothing of the last sheet was done.
    NothingDone,
    /// More than one rung above what is done of it a day, or that was not recorded.
    AboveReported { fact: Fact, value: Recorded<i64> },
    /// The clinician left it out.
    Clinician { because: String, by: String },
    /// Shown by the clinician first, and not seen yet.
    NotTaught,
    /// No order of this kind stands on every day of the sheet.
    NotOrdered { order: OrderKind },
    /// A measure is past a line at which such work is not new, and no harder, before somebody looked.
    KeptByReview { fact: Fact },
    /// Only the last sheet brought it up, and that one is void.
    VoidSheet { sheet: i64 },
}

impl WhyNot {
    /// Says whether it is something that forbids, and no mere choice among what is allowed.
    ///
    /// The clinician's word and a void sheet are told by themselves.
    pub fn bars(&self) -> bool {
        match self {
            Self::Forbidden { .. }
            | Self::DemandUnknown { .. }
            | Self::ClippedAway { .. }
            | Self::NotYet { .. }
            | Self::NoEquipment { .. }
            | Self::Position { .. }
            | Self::NotOrdered { .. } => true,
            Self::DoneWith { .. }
            | Self::SameFamily { .. }
            | Self::NoRoom { .. }
            | Self::NoMinutes { .. }
            | Self::LessNeeded
            | Self::NothingNew { .. }
            | Self::FlagNarrows { .. }
            | Self::NothingDone
            | Self::AboveReported { .. }
            | Self::Clinician { .. }
            | Self::NotTaught
            | Self::KeptByReview { .. }
            | Self::VoidSheet { .. } => false,
        }
    }
}
