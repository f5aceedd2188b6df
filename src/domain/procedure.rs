//! A procedure: phases, limits, expected course, red flags and home care of one operation.

use std::collections::{BTreeMap, BTreeSet};

use super::fact::{FactValue, Test};
use super::ids::{
    ConditionId, CriterionId, DomainId, EquipmentId, ExerciseId, FlagId, OrderKind, PhaseId,
    ProcedureId, RungId, StopSignId, TagId,
};
use super::limit::{Limit, Modifier};
use super::quantity::{
    Days, DaysAWeek, Degrees, Effort, FarMore, Frailty, Items, PainScore, Percent, TimesADay,
};
use super::source::{Origin, Source};
use super::time::{Day, Window};
use super::word::{
    BandWork, Better, Fact, Joint, MissingRule, Operates, Response, ReviewTell, Slot, YesNo,
};

pub use super::care::{
    Asks, CareWords, FittedCare, FlagWords, HomeCare, RING, RedFlag, TimedLine, Whose,
};

/// An exercise of a phase and the rung at which someone first starts in it.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Candidate {
    /// The exercise.
    pub exercise: ExerciseId,
    /// Where to start.
    pub rung: RungId,
    /// The highest rung of the phase, included; none is the whole ladder.
    pub most: Option<RungId>,
    /// Further starting rungs for somebody first seen here, easy to hard: the last one whose tests
    /// all hold on recorded facts counts.
    pub by_test: Vec<StartByTest>,
}

/// A rung at which somebody first seen may start, when these tests hold.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct StartByTest {
    /// Where to start.
    pub rung: RungId,
    /// All must hold; what is not recorded does not.
    pub tests: Vec<Test>,
}

/// A safety criterion: while it fails, a person stays in the phase.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Criterion {
    /// Its id.
    pub id: CriterionId,
    /// What must hold.
    pub test: Test,
    /// What to ask when it is not recorded.
    pub ask: String,
}

/// One phase.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Phase {
    /// Its id.
    pub id: PhaseId,
    /// The clinician's name for it.
    pub name: String,
    /// Its days; the first day is the floor.
    pub window: Window,
    /// Domains a sheet of this phase should cover; of as many covered, the first counts most.
    pub core: Vec<DomainId>,
    /// All must hold to leave the phase.
    pub safety: Vec<Criterion>,
    /// Targets: they add need and print a review, and never lock the phase.
    pub targets: Vec<Test>,
    /// Exercises of the phase.
    pub candidates: Vec<Candidate>,
    /// Times a day that an exercise is asked for at the most; none is as its rung says.
    pub times_at_most: Option<TimesADay>,
    /// Stop signs that cannot come up yet, or no more.
    pub no_signs: BTreeSet<StopSignId>,
}

impl Phase {
    /// Says whether the phase ends before the operation, or on its day.
    pub fn is_before_operation(&self) -> bool {
        let end = self.window.before;
        end.is_some_and(|before| before.plus(-1).is_before_operation())
    }
}

/// A fact taken from another one when it was not recorded itself.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Derive {
    /// The fact made.
    pub fact: Fact,
    /// When this holds.
    pub when: Test,
    /// Its value.
    pub value: FactValue,
}

/// What to do with a test on a fact nobody recorded.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Missing {
    /// The fact.
    pub fact: Fact,
    /// The days the rule is for.
    pub window: Window,
    /// What to do.
    pub then: MissingRule,
}

/// One point of an expected course.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct CoursePoint {
    /// The day.
    pub day: Day,
    /// What is usual.
    pub usual: i64,
    /// The review line.
    pub review: i64,
}

/// The expected course of a measure; straight lines between points, no answer outside them.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Course {
    /// The measure.
    pub measure: Fact,
    /// Unit word for people.
    pub unit: String,
    /// Which way is better.
    pub better: Better,
    /// Points in order of day; at least one.
    pub points: Vec<CoursePoint>,
    /// What vouches for it.
    pub source: Source,
}

/// Which side of a review line calls for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ReviewLine {
    /// Less than this.
    Below(i64),
    /// More than this.
    Above(i64),
    /// No more than so many days before, and still less than this.
    NoGain {
        /// The earlier measure is at least so many days old.
        days: Days,
        /// Who reached this needs no gain.
        below: i64,
        /// A smaller gain may be no more than the error of measuring.
        gain: i64,
    },
    /// So much less than the best it was of late, or less still.
    Fell(i64),
    /// So much more than the best it was of late, or more still.
    Rose(i64),
}

/// A line that asks for a look by somebody.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Review {
    /// The measure.
    pub fact: Fact,
    /// The days it is for.
    pub window: Window,
    /// The line.
    pub line: ReviewLine,
    /// Whom it tells.
    pub tell: ReviewTell,
    /// All but motion work keeps at most, and nothing that loads is new, while the line is crossed.
    pub keeps: YesNo,
    /// What vouches for it.
    pub source: Source,
}

/// How pain during work is judged.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct PainBands {
    /// Which work.
    pub work: BandWork,
    /// Which days.
    pub window: Window,
    /// Settled up to and including this.
    pub settled: PainScore,
    /// Tolerable up to and including this; above is overdone.
    pub tolerable: PainScore,
    /// Whether tolerable pain asks for a usual next morning and no more swelling; else overdone.
    pub calm_after: YesNo,
    /// What vouches for it.
    pub source: Source,
}

/// How a sign after the work is judged.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct AnswerSign {
    /// Morning or swelling.
    pub sign: Fact,
    /// The word recorded.
    pub word: String,
    /// What it means.
    pub means: Response,
}

/// One of several ways in which surgeons let people go on; limits may hang on it.
///
/// It is picked by an order of its name, the clinic's standing one or the record's.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Profile {
    /// Its id, which is the kind of the order that picks it.
    pub id: OrderKind,
    /// The clinician's line for it.
    pub name: String,
    /// What vouches for it.
    pub source: Source,
}

/// A number of days for unloaded and for loaded work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct ByLoad {
    /// For unloaded work.
    pub unloaded: Days,
    /// For loaded work.
    pub loaded: Days,
}

/// When the list of who is due speaks up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct DueDays {
    /// First and last day of the phone check, counted from the first sheet, both included.
    pub phone_check: [Days; 2],
    /// A sheet that ends in so many days or fewer is named.
    pub sheet: Days,
    /// An order that ends in so many days or fewer is named.
    pub order: Days,
    /// A clearance that ends in so many days or fewer is named.
    pub clearance: Days,
}

/// Numbers of a procedure that no single exercise owns.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Settings {
    /// Last day a program is made for, included.
    pub last_day: Day,
    /// Equipment assumed when nobody asked.
    pub kit_if_unasked: BTreeSet<EquipmentId>,
    /// Slots assumed when nobody asked.
    pub default_slots: Vec<Slot>,
    /// Days a sheet lives when no next visit is known.
    pub next_visit_days: Days,
    /// Days between rungs on the look-ahead.
    pub wait_days: ByLoad,
    /// Rungs shown ahead at the most.
    pub look_ahead_rungs: ByLoad,
    /// Share of the sheet that counts as done.
    pub enough_done: Percent,
    /// From this share on, far more was done than the sheet asked for.
    pub far_more: FarMore,
    /// Items of a usual sheet.
    pub items_usual: Items,
    /// Items of any sheet at the most.
    pub items_most: Items,
    /// Days an earlier measure still counts, included.
    pub last_value_days: Days,
    /// Range work is not eased for ordinary pain or blank fields before this day.
    pub range_protected_before: Day,
    /// A longer gap since the last sheet ended means entering by test again.
    pub gap_days: Days,
    /// Rest of loaded work after an overdone answer.
    pub rest_days: Days,
    /// Work with any of these tags goes by the band of loaded work, with a load or without.
    pub loading_tags: BTreeSet<TagId>,
    /// When the list of who is due speaks up.
    pub due: DueDays,
    /// Bounds that no rung and no phase owns.
    pub bounds: Bounds,
    /// How a program goes on by itself when no next visit is booked.
    pub stages: StageRules,
}

/// How a program goes on by itself, in stages, when no next visit is booked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct StageRules {
    /// Days on each stage at the least.
    pub days: Days,
    /// Stages at the most, the first one included.
    pub most: Items,
    /// The same for somebody who has answered to no sheet yet.
    pub most_first: Items,
    /// Lines that go up at one stage at the most.
    pub raised_most: Items,
    /// After the last stage: days a week.
    pub after_days_a_week: DaysAWeek,
}

/// Bounds of a sheet that no rung and no phase owns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct Bounds {
    /// Days a sheet lives at the most: then somebody must look again.
    pub sheet_days_most: Days,
    /// Days the same dose may go on while the visit slips.
    pub slip_days: Days,
    /// Items of a sheet in large print at the most.
    pub large_print_items: Items,
    /// Share of the needs within which two sets of exercises serve them alike.
    pub alike_percent: Percent,
    /// Times a day that early range work is asked for at the most.
    pub times_a_day_most: TimesADay,
    /// Bad mornings of the last three that are too many: one bad night is no flare.
    pub bad_mornings: i64,
    /// Days within which a second overdone answer is told to the team, both ends included.
    pub flare_days: Days,
    /// Days an assessment of a red flag counts when nobody says otherwise.
    pub clearance_days: Days,
    /// Days an assessment counts at the most, whoever says otherwise.
    pub clearance_days_most: Days,
    /// Degrees that measuring an angle may err by.
    pub angle_error: Degrees,
    /// Pain while exercising up to this is too low to be a reason of its own.
    pub little_pain: PainScore,
    /// Not done for so many days, work begins one rung lower, and one more for each as many again.
    pub missed_days: Days,
    /// Rungs lower for that at the most.
    pub missed_rungs_most: i64,
    /// How tiring work may be on a first sheet that a red flag narrows.
    pub gentle_effort: Effort,
    /// Bend at which the shin of someone sitting, foot flat, is upright: from the first, below
    /// the second.
    pub shin_upright: [Degrees; 2],
}

/// Entry days of exercises and rungs, moved.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Shift {
    /// Entry days from this one on are moved, included; earlier ones stay.
    pub from: Day,
    /// Days later; earlier when negative.
    pub days: i64,
    /// What vouches for it.
    pub source: Source,
}

/// What a patient reads about the operation, in one language.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct ProcedureWords {
    /// Title of page 1, with a side.
    pub title: String,
    /// Title of page 1 before the operation; none when the procedure has no such phase.
    pub title_before: Option<String>,
    /// The operation.
    pub operation: String,
    /// The part operated on.
    pub part: String,
}

/// Something a home may have, as the clinician is asked about it.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct HomeThing {
    /// Its id, as exercises name it.
    pub id: EquipmentId,
    /// Most homes have it.
    pub usual: YesNo,
    /// The clinician's name for it.
    pub name: String,
}

/// One procedure file.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Procedure {
    /// Its id.
    pub id: ProcedureId,
    /// The procedure whose file it takes over, when it has not a whole file of its own.
    pub based_on: Option<ProcedureId>,
    /// The joint.
    pub joint: Joint,
    /// Its own version.
    pub version: String,
    /// How many sides it is of.
    pub operates: Operates,
    /// Kinds of order without which there is no program; "not ordered" is an answer too.
    pub needs_orders: Vec<OrderKind>,
    /// Profiles surgeons pick from.
    pub profiles: Vec<Profile>,
    /// The profile that counts when nobody picked one; none when all of them count then.
    pub default_profile: Option<OrderKind>,
    /// How its exercises open earlier or later than their files say.
    pub shift: Option<Shift>,
    /// Numbers no single exercise owns.
    pub settings: Settings,
    /// Exercises it reads.
    pub exercises: Vec<ExerciseId>,
    /// Phases in order of day.
    pub phases: Vec<Phase>,
    /// Facts taken from others.
    pub derives: Vec<Derive>,
    /// What to do with blanks.
    pub missing: Vec<Missing>,
    /// Limits.
    pub limits: Vec<Limit>,
    /// Modifiers.
    pub modifiers: Vec<Modifier>,
    /// Expected courses.
    pub courses: Vec<Course>,
    /// Review lines.
    pub reviews: Vec<Review>,
    /// Pain bands, first that fits wins.
    pub bands: Vec<PainBands>,
    /// Signs after the work.
    pub answers: Vec<AnswerSign>,
    /// Red flags in the order asked.
    pub red_flags: Vec<RedFlag>,
    /// Home care.
    pub home_care: Vec<HomeCare>,
    /// What is usual.
    pub usual: Vec<TimedLine>,
    /// What is not.
    pub not_usual: Vec<TimedLine>,
    /// Goals in plain words.
    pub milestones: Vec<TimedLine>,
    /// Conditions it knows, with the clinician's name for each.
    pub conditions: BTreeMap<ConditionId, String>,
    /// Conditions that a frailty judged so high (inclusive) or higher is.
    pub frail_from: BTreeMap<ConditionId, Frailty>,
    /// What a home may have, in the order asked; every thing an exercise needs is here.
    pub equipment: Vec<HomeThing>,
    /// Words by language.
    pub words: BTreeMap<String, ProcedureWords>,
    /// Where it stands.
    pub origin: Origin,
}

impl Procedure {
    /// Finds the course of a measure.
    pub fn course(&self, measure: Fact) -> Option<&Course> {
        self.courses.iter().find(|course| course.measure == measure)
    }

    /// Finds a red flag.
    pub fn red_flag(&self, id: &FlagId) -> Option<&RedFlag> {
        self.red_flags.iter().find(|flag| flag.id == *id)
    }

    /// Finds a phase and its place, from 0.
    pub fn phase(&self, id: &PhaseId) -> Option<(usize, &Phase)> {
        self.phases
            .iter()
            .enumerate()
            .find(|(_, phase)| phase.id == *id)
    }

    /// Returns the first day that any phase covers; day 0 without phases.
    pub fn first_day(&self) -> Day {
        let first = self.phases.first();
        first.map_or(Day::new(0), |phase| phase.window.from)
    }

    /// Returns the first phase on a day's own side of the operation, and its place.
    pub fn first_phase(&self, day: Day) -> Option<(usize, &Phase)> {
        self.phases
            .iter()
            .enumerate()
            .find(|(_, phase)| phase.is_before_operation() == day.is_before_operation())
    }

    /// Returns what the procedure does with a fact that nobody recorded on a day.
    pub fn when_blank(&self, fact: Fact, day: Day) -> Option<MissingRule> {
        let mut rows = self.missing.iter();
        rows.find(|row| row.fact == fact && row.window.holds(day))
            .map(|row| row.then)
    }
}

impl Course {
    /// Returns the usual value and the review line on a day, or none outside the points.
    ///
    /// Straight lines between points, rounded towards negative infinity.
    pub fn at(&self, day: Day) -> Option<(i64, i64)> {
        let next = self.points.iter().find(|point| point.day >= day)?;
        let last = self.points.iter().rev().find(|point| point.day <= day)?;
        let span = next.day.get().saturating_sub(last.day.get());
        if span == 0 {
            return Some((last.usual, last.review));
        }
        let gone = day.get().saturating_sub(last.day.get());
        let between = |a: i64, b: i64| {
            a.saturating_add(b.saturating_sub(a).saturating_mul(gone).div_euclid(span))
        };
        Some((
            between(last.usual, next.usual),
            between(last.review, next.review),
        ))
    }
}
