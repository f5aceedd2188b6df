//! What the engine answers: a program, a refusal with whom to ring, or questions.
//!
//! Ids and numbers only; sentences are made in `handout`. Refusing is an answer, not an error.

use std::collections::BTreeSet;

use chrono::{NaiveDate, Weekday};

use super::dose::Dose;
use super::fact::{Facts, Test};
use super::ids::{
    CareId, ConditionId, CriterionId, DomainId, ExerciseId, FlagId, LimitId, ModifierId, OrderKind,
    PhaseId, RungId,
};
use super::limit::LimitRule;
use super::quantity::Degrees;
use super::record::{LimitOverride, NextVisit, Order, Until};
use super::recorded::Recorded;
use super::time::{Day, VisitDate};
use super::word::{Fact, How, Level, Lever, Response, Slot};

pub use super::found::{Earlier, FlagRaised, FlagStood, RaisedBy, ReviewDue};
pub use super::question::{Asked, Question, Unanswered};
pub use super::stage::{Stage, StageCheck, StageLine};
pub use super::why::{BadSign, NeededFact, Why, WhyNot};

/// A rule of the engine, such as `D704`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(transparent)]
pub struct RuleId(pub &'static str);

/// The engine's answer.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[serde(tag = "verdict", rename_all = "kebab-case")]
pub enum Verdict {
    /// A program to print.
    Program(Box<Program>),
    /// No exercises; somebody must be rung.
    Withheld(Box<Withheld>),
    /// Questions that must be answered first.
    Unanswered(Box<Unanswered>),
}

/// The days a sheet is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct Life {
    /// First day of use.
    pub from: NaiveDate,
    /// Last day of use, included.
    pub until: NaiveDate,
    /// The next visit.
    pub next_visit: NextVisit,
    /// If the visit slips: the same dose until this day, included.
    pub slip_until: NaiveDate,
}

/// Why a profile counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ProfileBy {
    /// An order picked it.
    Order,
    /// Nobody picked one: it is the usual one.
    Usual,
    /// Nobody picked one and none is usual, so that each counts.
    NobodyPicked,
}

/// A profile that counts on any day of the sheet's life.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
pub struct ProfileInForce {
    /// Which.
    pub profile: OrderKind,
    /// Why.
    pub by: ProfileBy,
}

/// An order that stands on any day of the sheet's life.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct OrderInForce {
    /// The order; one of the clinic's standing orders has no name.
    pub order: Order,
    /// Its last day, when there is one.
    pub until: Until,
}

/// A limit in force during the sheet's life, with its number filled in.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct LimitInForce {
    /// Which.
    pub limit: LimitId,
    /// What it says; degrees are the surgeon's own where the limit takes them.
    pub rule: LimitRule,
    /// The most allowed, margin not taken off.
    pub degrees: Option<Degrees>,
    /// Degrees after the margin: where we stop.
    pub stop_at: Option<Degrees>,
    /// The order behind it.
    pub order: Option<Order>,
    /// Its last day, when there is one.
    pub until: Until,
}

/// A rung and the dose given at it.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Given {
    /// The rung.
    pub rung: RungId,
    /// The dose.
    pub dose: Dose,
}

/// One change of a dose: folding the steps of an item gives its dose.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Step {
    /// The rule that made it.
    pub rule: RuleId,
    /// Before; the first step of an item has none.
    pub before: Option<Given>,
    /// After. Equal to `before` when a rule decided to keep.
    pub after: Given,
    /// Why.
    pub why: Why,
}

/// An exercise that is not on the sheet, and why.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct LeftOut {
    /// Which.
    pub exercise: ExerciseId,
    /// Why; the first reason found.
    pub reason: WhyNot,
    /// The rule that left it out.
    pub rule: RuleId,
    /// It was on the last sheet.
    pub was_issued: bool,
    /// The dose it was offered, when nothing but the choice among the offered ones left it out.
    pub offered: Option<Given>,
}

/// Something that stands against an exercise and that the clinician's word has set aside.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct SetAside {
    /// Which exercise.
    pub exercise: ExerciseId,
    /// What would else leave it out.
    pub reason: WhyNot,
    /// By which rule.
    pub rule: RuleId,
}

/// How a line differs from the last sheet.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Mark {
    /// No earlier sheet to compare with.
    First,
    /// Not on the last sheet.
    New,
    /// On it with another dose.
    Changed {
        /// What it was.
        from: Box<Dose>,
    },
    /// On it with the same dose.
    Same,
}

/// A rung that may follow on this sheet.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct NextRung {
    /// Not before this day.
    pub from: NaiveDate,
    /// The rung.
    pub rung: RungId,
    /// Its dose, caps applied.
    pub dose: Dose,
    /// What it raises.
    pub lever: Lever,
}

/// One line of the program.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Item {
    /// Which exercise.
    pub exercise: ExerciseId,
    /// At which rung.
    pub rung: RungId,
    /// The dose.
    pub dose: Dose,
    /// Slots of the day, in order; hourly work has none.
    pub slots: Vec<Slot>,
    /// Named days of the week; empty means every day.
    pub weekdays: Vec<Weekday>,
    /// Rests before this date.
    pub rests_until: Option<NaiveDate>,
    /// Against the last sheet.
    pub mark: Mark,
    /// Seconds of one session, sides and changeover included.
    pub seconds: i64,
    /// How the dose came about.
    pub steps: Vec<Step>,
    /// What may follow on this sheet.
    pub next: Vec<NextRung>,
}

/// Something a rule would have liked to know or had to assume.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(tag = "notice", rename_all = "kebab-case")]
pub enum Notice {
    /// Not recorded, so not considered.
    NotRecorded {
        /// By which rule.
        rule: RuleId,
        /// Which fact.
        fact: Fact,
    },
    /// Not recorded; the usual value for the day was taken.
    UsualTaken {
        /// By which rule.
        rule: RuleId,
        /// Which fact.
        fact: Fact,
        /// The value taken.
        value: i64,
    },
    /// An earlier measure was taken.
    EarlierTaken {
        /// By which rule.
        rule: RuleId,
        /// Which fact.
        fact: Fact,
        /// Days ago.
        days_ago: i64,
    },
    /// Something other than a fact was not recorded.
    Blank {
        /// By which rule.
        rule: RuleId,
        /// What: the record's own key.
        key: &'static str,
    },
    /// A flag was answered yes, but what it says was lost was never there.
    FlagNotCounted {
        /// By which rule.
        rule: RuleId,
        /// Which flag.
        flag: FlagId,
    },
    /// Earlier visits were of the wrong side: nothing of them counts.
    WrongSide {
        /// By which rule.
        rule: RuleId,
        /// Which, by number.
        visits: Vec<i64>,
    },
    /// The clinician set a phase of the other side of the operation: it was not taken.
    PhaseNotTaken {
        /// By which rule.
        rule: RuleId,
        /// Which phase.
        phase: PhaseId,
    },
    /// A limit is set aside for fewer days than the sheet is for, so it stands.
    OverrideTooShort {
        /// By which rule.
        rule: RuleId,
        /// Which limit.
        limit: LimitId,
        /// Its last day.
        until: NaiveDate,
    },
    /// Advice that asks for what is not allowed or not possible is left out.
    AdviceLeftOut {
        /// By which rule.
        rule: RuleId,
        /// Which row or line.
        advice: CareId,
    },
    /// An order stands whose row of advice an illness takes off the sheet: ask the surgeon.
    OrderLeftOut {
        /// By which rule.
        rule: RuleId,
        /// Which kind of order.
        order: OrderKind,
        /// The illnesses it is not for.
        because: BTreeSet<ConditionId>,
    },
    /// Somebody must look before anything is gone up to: the sheet shows no step ahead.
    LookFirst {
        /// By which rule.
        rule: RuleId,
        /// What asks for it.
        modifier: ModifierId,
    },
    /// There are stairs at home, and nobody has recorded that they were practised.
    StairsNotPractised {
        /// By which rule.
        rule: RuleId,
    },
    /// There are stairs at home, and a limit keeps the row for them off the sheet.
    StairsForbidden {
        /// By which rule.
        rule: RuleId,
        /// Which limit.
        limit: LimitId,
    },
    /// Two overdone answers within seven days: tell the team.
    TellTeam {
        /// By which rule.
        rule: RuleId,
    },
    /// Far more was done than asked: ask why, and say to do no more.
    FarMoreDone {
        /// By which rule.
        rule: RuleId,
        /// The most of any line, in per cent; not recorded when only the word was.
        percent: Recorded<i64>,
    },
    /// Nothing of the last sheet was done: ask why.
    NothingDone {
        /// By which rule.
        rule: RuleId,
    },
    /// The last sheet ran out before today.
    SheetRanOut {
        /// By which rule.
        rule: RuleId,
        /// Its number.
        sheet: i64,
        /// Days since its last day.
        days: i64,
    },
    /// A measure is past its review line, and less is done for it than on the last sheet.
    EndWorkLost {
        /// By which rule.
        rule: RuleId,
        /// The measure.
        fact: Fact,
        /// Seconds a day on this sheet.
        seconds: i64,
        /// On the last one.
        before: i64,
    },
    /// No exercise of the sheet serves a core domain.
    CoreEmpty {
        /// By which rule.
        rule: RuleId,
        /// Which domain.
        domain: DomainId,
    },
}

impl Notice {
    /// Says whether it asks for something to be done, and is no mere blank.
    pub fn is_to_act_on(&self) -> bool {
        match self {
            Self::TellTeam { .. }
            | Self::FarMoreDone { .. }
            | Self::NothingDone { .. }
            | Self::OrderLeftOut { .. }
            | Self::SheetRanOut { .. }
            | Self::EndWorkLost { .. } => true,
            Self::NotRecorded { .. }
            | Self::UsualTaken { .. }
            | Self::EarlierTaken { .. }
            | Self::Blank { .. }
            | Self::FlagNotCounted { .. }
            | Self::WrongSide { .. }
            | Self::PhaseNotTaken { .. }
            | Self::OverrideTooShort { .. }
            | Self::AdviceLeftOut { .. }
            | Self::LookFirst { .. }
            | Self::StairsNotPractised { .. }
            | Self::StairsForbidden { .. }
            | Self::CoreEmpty { .. } => false,
        }
    }
}

/// The minutes of a day, rounded up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct DayLoad {
    /// Exercises.
    pub exercises: i64,
    /// Walks.
    pub walks: i64,
    /// Cold and leg up, which go together.
    pub care: i64,
    /// Exercises of one session, the longest of the day.
    pub session: i64,
}

/// A home program.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Program {
    /// Decided for this date.
    pub date: VisitDate,
    /// Day since the operation.
    pub day: Day,
    /// The days it is for.
    pub life: Life,
    /// The phase.
    pub phase: PhaseId,
    /// Criteria that hold the person in it.
    pub held_by: Vec<CriterionId>,
    /// Targets of the phase not met; they print "review".
    pub targets_unmet: Vec<Test>,
    /// How the body took the last dose; not recorded on a first sheet or when nobody asked.
    pub response: Recorded<Response>,
    /// Flags that restrict or tell, soonest first.
    pub flags: Vec<FlagRaised>,
    /// Flags that were assessed or are known.
    pub stood: Vec<FlagStood>,
    /// Orders that stand on any day of its life, beside each other where there are several of a kind.
    pub orders: Vec<OrderInForce>,
    /// Limits in force.
    pub limits: Vec<LimitInForce>,
    /// Profiles that count; none when the procedure has none.
    pub profiles: Vec<ProfileInForce>,
    /// Limits set aside for the whole of the sheet's life.
    pub overridden: Vec<LimitOverride>,
    /// Measures past a review line.
    pub reviews: Vec<ReviewDue>,
    /// Numbered exercises, in the order of the day.
    pub items: Vec<Item>,
    /// Background rows, such as hourly work.
    pub background: Vec<Item>,
    /// Walking, stairs and the like.
    pub daily: Vec<Item>,
    /// With no next visit: two to four stages, or none. They stand in the place of next rungs.
    pub stages: Vec<Stage>,
    /// On the last sheet and not on this one.
    pub gone: Vec<ExerciseId>,
    /// Everything considered and not given.
    pub left_out: Vec<LeftOut>,
    /// What the clinician's word sets aside.
    pub set_aside: Vec<SetAside>,
    /// Slots of the day, in order, extra ones included.
    pub slots: Vec<Slot>,
    /// Home care rows in force.
    pub care: Vec<CareId>,
    /// Usual lines in force.
    pub usual: Vec<CareId>,
    /// Not-usual lines in force.
    pub not_usual: Vec<CareId>,
    /// Goals in force.
    pub milestones: Vec<CareId>,
    /// Minutes.
    pub load: DayLoad,
    /// What was wanted and not known.
    pub notices: BTreeSet<Notice>,
    /// Facts the decision looked at.
    pub facts: Facts,
    /// Every rule that took part.
    pub fired: BTreeSet<RuleId>,
}

/// No program: somebody must be rung.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Withheld {
    /// Decided for this date.
    pub date: VisitDate,
    /// Day since the operation.
    pub day: Day,
    /// The visit was in person or by phone.
    pub how: How,
    /// The soonest level among the flags.
    pub level: Level,
    /// Flags that withhold, soonest first, then the others.
    pub flags: Vec<FlagRaised>,
    /// Flags that were assessed or are known.
    pub stood: Vec<FlagStood>,
}

impl Program {
    /// Lists what was offered before the set was chosen, in no order: the lines of the sheet and
    /// what the choice left out.
    pub fn offers(&self) -> impl Iterator<Item = (&ExerciseId, &RungId, &Dose)> {
        let lines = self.items.iter().chain(&self.background).chain(&self.daily);
        let left_out = self.left_out.iter().filter_map(|left| {
            let offered = left.offered.as_ref()?;
            Some((&left.exercise, &offered.rung, &offered.dose))
        });
        lines
            .map(|item| (&item.exercise, &item.rung, &item.dose))
            .chain(left_out)
    }
}
