//! An exercise: what it is good for, what it asks of the body, its ladder and its words.
//!
//! Must not know a patient. Next: `procedure` says when an exercise has its place.

use std::collections::{BTreeMap, BTreeSet};

use super::dose::{Amount, Often};
use super::fact::Test;
use super::fitted::FittedWords;
use super::ids::{
    ConditionId, DomainId, EquipmentId, ExerciseId, FamilyId, HowId, OrderKind, RungId, StopSignId,
    TagId,
};
use super::pose::Pose;
use super::quantity::{
    Centimetres, ChangeoverSeconds, DaysAWeek, Degrees, Effort, Grams, HoldSeconds, TempoSeconds,
    TimesADay, Weight,
};
use super::source::{Origin, Source};
use super::word::{
    Band, Fact, Joint, LegLoad, Lever, Mode, Motion, Position, Row, Sides, Support, Work, YesNo,
};

/// The largest angle a motion reaches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Peak {
    /// The same on every rung.
    Fixed(Degrees),
    /// The rung's own range.
    OfRung,
}

/// What an exercise asks of one joint of the operated side.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Demand {
    /// The joint.
    pub joint: Joint,
    /// The motion.
    pub motion: Motion,
    /// Largest angle reached.
    pub peak: Peak,
    /// How the motion is made.
    pub mode: Mode,
    /// What the operated leg bears.
    pub weight_bearing: LegLoad,
    /// Whether the arms bear weight.
    pub arm_load: YesNo,
    /// Words a limit may forbid.
    pub tags: BTreeSet<TagId>,
    /// The motion may be clipped to a limit, but not below this angle.
    pub clip_floor: Option<Degrees>,
}

/// One rung of a ladder.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Rung {
    /// Stable for ever: records point at it.
    pub id: RungId,
    /// What is harder than the rung before; the first rung has none.
    pub lever: Option<Lever>,
    /// Work in one session.
    pub amount: Amount,
    /// Sessions in a day.
    pub often: Often,
    /// Days in a week.
    pub days_a_week: DaysAWeek,
    /// Whether this rung is loaded work: rest days, and climbs only when seen.
    pub loaded: YesNo,
    /// Whether the clinician must have shown it before its first use.
    pub taught: YesNo,
    /// Its own entry tests, besides the exercise's.
    pub entry: Vec<Test>,
    /// Equipment besides the exercise's.
    pub needs: BTreeSet<EquipmentId>,
    /// External weight.
    pub load_g: Option<Grams>,
    /// Elastic band.
    pub band: Option<Band>,
    /// Hand support.
    pub support: Option<Support>,
    /// Step height.
    pub height_cm: Option<Centimetres>,
    /// Seat height.
    pub seat_cm: Option<Centimetres>,
    /// Range of the motion.
    pub range_degrees: Option<Degrees>,
    /// Seconds going down.
    pub lower_s: Option<HoldSeconds>,
    /// Which way of doing it.
    pub how: Option<HowId>,
    /// Leg load of this rung, where it differs from the demands'.
    pub weight_bearing: Option<LegLoad>,
    /// Tags of this rung, besides the demands'.
    pub tags: BTreeSet<TagId>,
    /// What vouches for its numbers.
    pub source: Source,
    /// Where it stands.
    pub origin: Origin,
}

/// More often while a measure is behind its usual course.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Behind {
    /// The measure.
    pub fact: Fact,
    /// Up to so many times a day.
    pub times_a_day: TimesADay,
    /// What vouches for it.
    pub source: Source,
}

/// How a printed aim is made from a measure: rounded down, plus a little, never above the most.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct AimRule {
    /// The measure.
    pub fact: Fact,
    /// Rounded down to a multiple of this.
    pub round_down_to: Degrees,
    /// Then this is added.
    pub plus: Degrees,
    /// Never above this.
    pub at_most: Degrees,
    /// What vouches for it.
    pub source: Source,
}

/// What a patient reads about one exercise, in one language.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct ExerciseWords {
    /// Title of its block.
    pub name: String,
    /// Short name for the plan of the day.
    pub short: String,
    /// Why.
    pub why: String,
    /// Why, even when nothing hurts.
    pub why_if_no_pain: String,
    /// How to set up.
    pub set_up: String,
    /// Three to five steps.
    pub steps: Vec<String>,
    /// Usual errors; the first one is printed on the page.
    pub errors: Vec<String>,
    /// Steps while a limit allows a joint no motion at all; empty when they are the same.
    pub steps_if_stopped: Vec<String>,
    /// Usual errors then; empty when they are the same.
    pub errors_if_stopped: Vec<String>,
    /// Steps while a limit stops the motion earlier: none asks for more than a gentle pull; empty
    /// when they are the same.
    pub steps_if_limited: Vec<String>,
    /// What should be felt.
    pub feel: String,
    /// What should be felt while a limit stops the motion; none when it is the same.
    pub feel_if_limited: Option<String>,
    /// How a rung is done, by key.
    pub how: BTreeMap<HowId, String>,
    /// The same while a limit stops the motion; keys that are not here stay as they are.
    pub how_if_limited: BTreeMap<HowId, String>,
    /// Make-do things for equipment.
    pub make_do: BTreeMap<EquipmentId, String>,
    /// Words for some people, in the place of these.
    pub fitted: Vec<FittedWords>,
}

/// A way of doing an exercise that goes with a hold of the hands.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Hands {
    /// The hold.
    pub support: Support,
    /// The way.
    pub how: HowId,
}

/// One exercise file.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Exercise {
    /// Its id, equal to the file's name.
    pub id: ExerciseId,
    /// The clinician's name for it.
    pub trade_name: String,
    /// What it is for, in the clinician's words.
    pub aim: String,
    /// Where it stands on the sheet.
    pub row: Row,
    /// At most one of a family stands on a sheet.
    pub family: Option<FamilyId>,
    /// What it is good for, and how much.
    pub domains: BTreeMap<DomainId, Weight>,
    /// What kind of work it is while unloaded.
    pub work: Work,
    /// Body position.
    pub position: Position,
    /// Which leg does it.
    pub sides: Sides,
    /// What the home must have.
    pub needs: BTreeSet<EquipmentId>,
    /// Orders that must stand on every day of a sheet: it is for the surgeon to say yes.
    pub needs_orders: BTreeSet<OrderKind>,
    /// How tiring it is.
    pub effort: Effort,
    /// Seconds a repetition takes besides hold.
    pub tempo_s: TempoSeconds,
    /// Seconds to get ready.
    pub changeover_s: ChangeoverSeconds,
    /// All must hold before it may be given.
    pub entry: Vec<Test>,
    /// When all hold it is done with; an empty list never is.
    pub leave: Vec<Test>,
    /// More often while behind.
    pub behind: Option<Behind>,
    /// How its aim is made.
    pub aim_rule: Option<AimRule>,
    /// While all hold it comes on a first sheet and stays on the sheet it was on; an empty list asks for nothing.
    pub stay: Vec<Test>,
    /// Minutes of it a day that people report: the dose is at most one rung above.
    pub reported: Option<Fact>,
    /// With any of these conditions it does not go up while nobody reported the minutes.
    pub unreported_kept: BTreeSet<ConditionId>,
    /// Other ways to the same end, first choice first.
    pub swaps: Vec<ExerciseId>,
    /// The gentler ones of them: all that may take its place after work that was too much.
    pub gentler: BTreeSet<ExerciseId>,
    /// What it asks of the body.
    pub demands: Vec<Demand>,
    /// Ways that go with a hold of the hands; empty when every way is done with any.
    pub hands: Vec<Hands>,
    /// Easy to hard; never empty.
    pub rungs: Vec<Rung>,
    /// Stop signs.
    pub stop: Vec<StopSignId>,
    /// How it is drawn.
    pub pose: Pose,
    /// Words by language.
    pub words: BTreeMap<String, ExerciseWords>,
    /// What vouches for its own numbers.
    pub source: Source,
    /// Where it stands.
    pub origin: Origin,
}

impl Exercise {
    /// Finds a rung and its place in the ladder, from 0.
    pub fn rung(&self, id: &RungId) -> Option<(usize, &Rung)> {
        self.rungs
            .iter()
            .enumerate()
            .find(|(_, rung)| rung.id == *id)
    }

    /// Returns how many sides are worked one after the other.
    pub fn sides_worked(&self) -> i64 {
        match self.sides {
            Sides::Operated | Sides::Both => 1,
            Sides::Either => 2,
        }
    }
}
