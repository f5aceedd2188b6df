//! Limits and modifiers: the one rule model for operation, illness, red flag, clinic and surgeon.

use std::collections::{BTreeMap, BTreeSet};

use super::fact::Test;
use super::ids::{ConditionId, ExerciseId, FlagId, LimitId, ModifierId, OrderKind, TagId};
use super::quantity::{
    Centimetres, Degrees, Grams, HoldSeconds, Items, Minutes, Percent, RestSeconds, Sets, TimesADay,
};
use super::source::{Origin, Source};
use super::time::Window;
use super::word::{Fact, Joint, LegLoad, LimitLevel, Mode, Motion, Position, Support, YesNo};

/// What brings a limit or modifier into force.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum When {
    /// Always, within its window.
    Always,
    /// A surgeon's order of this kind stands.
    Order(OrderKind),
    /// The person has this condition.
    Condition(ConditionId),
    /// A fact test holds.
    Fact(Test),
    /// A red flag restricts the program.
    Flag(FlagId),
    /// A red flag is new, and nobody has looked at it yet.
    Raised(FlagId),
}

/// The angle of a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LimitDegrees {
    /// Fixed by the library.
    Fixed(Degrees),
    /// The surgeon's own number.
    FromOrder,
}

/// A motion of a joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct MotionOf {
    /// The joint.
    pub joint: Joint,
    /// The motion.
    pub motion: Motion,
}

/// Kinds of work; what asks for any one of them is of these kinds.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Kinds {
    /// Loads of the operated leg.
    pub weight_bearing: BTreeSet<LegLoad>,
    /// Tags.
    pub tags: BTreeSet<TagId>,
    /// Modes of a motion.
    pub modes: BTreeSet<Mode>,
    /// The motion the modes are of; none means any.
    pub of: Option<MotionOf>,
    /// Body positions.
    pub positions: BTreeSet<Position>,
    /// External weight above this; the weight itself is not of the kind.
    pub load_above: Option<Grams>,
}

/// One of several things that are not allowed at once.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Condition {
    /// A motion goes further than this; the angle itself does not.
    Beyond {
        /// The motion.
        of: MotionOf,
        /// The angle.
        degrees: Degrees,
    },
    /// Work of these kinds is asked for.
    Kinds(Kinds),
}

/// What a limit says.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LimitRule {
    /// A motion stops at an angle less a margin.
    Motion {
        /// The motion.
        of: MotionOf,
        /// Only while it is made in one of these ways; an empty set means any.
        modes: BTreeSet<Mode>,
        /// The most allowed.
        degrees: LimitDegrees,
        /// Taken off for safety.
        margin: Degrees,
    },
    /// Some kinds of work are not allowed at all.
    Forbid(Kinds),
    /// Several things are not allowed at once; each alone is.
    AllOf(Vec<Condition>),
}

/// When a limit ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LimitSpan {
    /// By day since the operation.
    Days(Window),
    /// As long as the surgeon's order stands.
    Order,
}

/// What the patient's rules table says of a limit, in one language.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct LimitWords {
    /// The rule.
    pub rule: String,
    /// Why it stands.
    pub why: String,
}

/// One limit of a procedure.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Limit {
    /// Only while this profile counts; none when it always does.
    pub profile: Option<OrderKind>,
    /// Its id.
    pub id: LimitId,
    /// What brings it into force.
    pub when: When,
    /// What it says.
    pub rule: LimitRule,
    /// Whether the clinician may set it aside.
    pub level: LimitLevel,
    /// When it stands.
    pub span: LimitSpan,
    /// What the clinician does while it stands, in the words of the trade.
    pub act: Option<String>,
    /// Patient words by language; a limit without words is not printed for the patient.
    pub words: BTreeMap<String, LimitWords>,
    /// What vouches for it.
    pub source: Source,
    /// Where it stands.
    pub origin: Origin,
}

/// Who alone may lift a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LiftedBy {
    /// A clinician, by name and for some days.
    Clinician,
    /// The surgeon, by a newer order.
    Surgeon,
    /// Whoever assesses the red flag.
    Assessment,
}

impl Limit {
    /// Says who may lift it: a soft one is the clinician's, whatever brings it.
    pub fn lifted_by(&self) -> LiftedBy {
        let ordered = match &self.when {
            When::Order(_) => true,
            When::Fact(test) => test.fact == Fact::WeightBearing,
            When::Flag(_) | When::Raised(_) => return LiftedBy::Assessment,
            When::Always | When::Condition(_) => false,
        };
        if (ordered || self.profile.is_some()) && self.level == LimitLevel::Hard {
            LiftedBy::Surgeon
        } else {
            LiftedBy::Clinician
        }
    }
}

/// How a condition or flag lowers doses. Keys without a value change nothing.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Modifier {
    /// Its id.
    pub id: ModifierId,
    /// What brings it into force.
    pub when: When,
    /// Only these exercises; an empty set means all.
    pub exercises: BTreeSet<ExerciseId>,
    /// Repetitions times this, rounded down, never below 1.
    pub repetitions_percent: Option<Percent>,
    /// Never more sets.
    pub sets_at_most: Option<Sets>,
    /// Never a longer hold.
    pub hold_s_at_most: Option<HoldSeconds>,
    /// Never a shorter rest between sets.
    pub rest_s_at_least: Option<RestSeconds>,
    /// Never more minutes.
    pub minutes_at_most: Option<Minutes>,
    /// Never more weight.
    pub load_g_at_most: Option<Grams>,
    /// Never a higher step.
    pub height_cm_at_most: Option<Centimetres>,
    /// Never less hand support.
    pub support_at_least: Option<Support>,
    /// Never more often.
    pub times_at_most: Option<TimesADay>,
    /// Never more items on the sheet.
    pub max_items: Option<Items>,
    /// Whether the person may go up without somebody looking: no shows no rung ahead, no stage.
    pub look_ahead: Option<YesNo>,
    /// What vouches for it.
    pub source: Source,
    /// Where it stands.
    pub origin: Origin,
}
