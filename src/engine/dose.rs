//! Stage 7: the dose of each exercise.
//!
//! Rules propose, one place applies: no dose changes without a step that says why.

use chrono::NaiveDate;

use crate::domain::exercise::Exercise;
use crate::domain::limit::Modifier;
use crate::domain::procedure::Phase;
use crate::domain::record::{Adjust, Done, IssuedItem};
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Given, LeftOut, LimitInForce, Step, Why};
use crate::domain::word::{BandWork, Fact, Response, Row};

use super::allow::{Bar, Ladder, NotYet};
use super::amount;
use super::answer::{Answer, work_of};
use super::case::Case;
use super::closed::Closed;
use super::log::Log;
use super::modify::Modifiers;
use super::rules::{
    Rule, d701_last_sheet, d702_long_gap, d703_phase_start, d704_lower_rung_offered,
    d705_easier_by_test, d706_other_way_by_test, d707_seen_done_well, d708_climb,
    d709_keep_tolerable, d710_ease, d711_rest_loaded, d712_range_more_often, d713_clinician_set,
    d714_behind_more_often, d715_modifiers, d716_no_more_than_last, d717_slots_of_the_day,
    d718_clip, d719_aim, d720_nothing_new, d721_void_sheet, d722_phase_times, d723_earlier_sheet,
    d804_clinicians_choice, d806_end_of_range,
};

/// What the dose rules look at for one exercise.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Dosing<'a> {
    pub(crate) case: &'a Case<'a>,
    pub(crate) phase: &'a Phase,
    pub(crate) ladder: &'a Ladder<'a>,
    pub(crate) limits: &'a [LimitInForce],
    /// Modifiers in force for this exercise.
    pub(crate) modifiers: &'a [&'a Modifier],
    pub(crate) last: Option<&'a IssuedItem>,
    pub(crate) answer: Option<&'a Answer>,
    pub(crate) done: Option<&'a Done>,
    pub(crate) wanted: Option<&'a Adjust>,
}

/// A dose on its way, and how it came about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Working {
    pub(crate) given: Option<Given>,
    pub(crate) steps: Vec<Step>,
}

/// An exercise with its dose.
#[derive(Debug, Clone)]
pub(crate) struct Dosed<'a> {
    pub(crate) dosing: Dosing<'a>,
    pub(crate) given: Given,
    pub(crate) steps: Vec<Step>,
    /// The dose without its climb, for when the longer one leaves no room for other work.
    pub(crate) shorter: Option<Working>,
}

/// What a rule proposes: the dose after it, equal to the one before when it keeps, and why.
pub(crate) type Proposal = Option<(Given, Why)>;

/// One line of an order of rules.
pub(crate) struct Line {
    rule: &'static Rule,
    propose: fn(&Dosing<'_>, &Working) -> Proposal,
    turns: Turns,
}

/// How often a rule may speak about one exercise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Turns {
    /// Once.
    One,
    /// Until it has nothing more to say.
    UntilSilent,
}

macro_rules! order {
    ($name:ident, $doc:literal, $($module:ident $turns:ident,)*) => {
        #[doc = $doc]
        pub(crate) static $name: &[Line] = &[
            $(Line { rule: &$module::RULE, propose: $module::propose, turns: Turns::$turns },)*
        ];
    };
}

order! { ENTER, "Where the ladder is entered today.",
    d701_last_sheet One,
    d721_void_sheet One,
    d702_long_gap One,
    d723_earlier_sheet One,
    d703_phase_start One,
    d704_lower_rung_offered One,
    d705_easier_by_test One,
    d706_other_way_by_test One,
}
order! { MOVE, "Up, down or kept, by the answer, by what was seen and by the clinician's word.",
    d707_seen_done_well One,
    d708_climb One,
    d709_keep_tolerable One,
    d710_ease One,
    d711_rest_loaded One,
    d712_range_more_often One,
    d713_clinician_set One,
}
order! { FINISH, "What holds for any rung: more often while behind, then what only lowers.",
    d714_behind_more_often One,
    d715_modifiers UntilSilent,
    d716_no_more_than_last One,
    d722_phase_times One,
    d717_slots_of_the_day One,
    d718_clip One,
    d719_aim One,
}

impl Working {
    /// Starts with no dose.
    pub(crate) const fn new() -> Self {
        Self {
            given: None,
            steps: Vec::new(),
        }
    }

    /// Starts from a dose that needs no telling.
    pub(crate) const fn from(given: Given) -> Self {
        Self {
            given: Some(given),
            steps: Vec::new(),
        }
    }

    /// Says whether any step was taken for such a reason.
    pub(crate) fn took(&self, reason: impl Fn(&Why) -> bool) -> bool {
        self.steps.iter().any(|step| reason(&step.why))
    }

    /// The only place that changes a dose.
    pub(crate) fn apply(&mut self, rule: &'static Rule, after: Given, why: Why) {
        let before = self.given.replace(after.clone());
        self.steps.push(Step {
            rule: rule.id,
            before,
            after,
            why,
        });
    }

    /// Runs an order of rules.
    pub(crate) fn run(&mut self, order: &[Line], dosing: &Dosing<'_>, log: &mut Log) {
        for line in order {
            while let Some((after, why)) = (line.propose)(dosing, self) {
                log.fire(line.rule);
                self.apply(line.rule, after, why);
                if line.turns == Turns::One {
                    break;
                }
            }
        }
    }
}

impl<'a> Dosing<'a> {
    pub(crate) const fn exercise(&self) -> &'a Exercise {
        self.ladder.exercise
    }

    /// Returns a rung with its own dose.
    pub(crate) fn given(&self, rung: usize) -> Option<Given> {
        self.exercise().rungs.get(rung).map(|rung| Given {
            rung: rung.id.clone(),
            dose: amount::of_rung(rung),
        })
    }

    /// Returns an easier rung with nothing in its dose above the one it replaces.
    pub(crate) fn easier(&self, rung: usize, than: &Given) -> Option<Given> {
        self.given(rung).map(|given| Given {
            dose: amount::no_harder(&given.dose, &than.dose),
            ..given
        })
    }

    /// Returns the place of a given rung in the ladder.
    pub(crate) fn at(&self, given: &Given) -> Option<usize> {
        self.exercise().rung(&given.rung).map(|(at, _)| at)
    }

    /// Returns the place of the last sheet's rung.
    pub(crate) fn last_at(&self) -> Option<usize> {
        let item = self.last?;
        self.exercise().rung(&item.rung).map(|(at, _)| at)
    }

    /// Returns what bars a rung; the clinician's word sets all but hard limits aside.
    pub(crate) fn bar(&self, rung: usize) -> Option<&'a Bar> {
        match self.wanted {
            Some(_) => (0..=rung).find_map(|below| self.ladder.hard_at(below)),
            None => self.ladder.barred_to(rung),
        }
    }

    /// Returns the failing entry test of a rung; the clinician's word sets it aside.
    pub(crate) fn entry(&self, rung: usize) -> Option<&'a NotYet> {
        let check = self.ladder.rungs.get(rung)?;
        check.entry.as_ref().filter(|_| self.wanted.is_none())
    }

    /// Says whether a rung may be given today.
    pub(crate) fn fits(&self, rung: usize) -> bool {
        rung < self.ladder.rungs.len() && self.bar(rung).is_none() && self.entry(rung).is_none()
    }

    /// Returns the highest rung below another that may be given today.
    pub(crate) fn highest_below(&self, rung: usize) -> Option<usize> {
        (0..rung).rev().find(|below| self.fits(*below))
    }

    /// Says whether this row only says how, such as which walking aid: it has no dose to answer to.
    fn is_advice(&self) -> bool {
        self.exercise().row == Row::Advice
    }

    /// Returns how the body took this exercise, when that was recorded.
    pub(crate) fn response(&self) -> Option<Response> {
        if self.is_advice() {
            return None;
        }
        match self.answer.map(|answer| answer.response) {
            Some(Recorded::Yes(response)) => Some(response),
            Some(Recorded::NotRecorded) | None => None,
        }
    }

    /// Returns the answer to the whole sheet that holds this back, when it is worse than settled.
    pub(crate) fn worse(&self) -> Option<Response> {
        if self.is_advice() {
            return None;
        }
        match self.last_work() {
            Some(work) => self.case.answers.worse_for(work),
            None => self.case.answers.worse_than_settled(),
        }
    }

    /// Returns what keeps anything new off the sheet.
    pub(crate) fn closed(&self) -> Option<Closed> {
        if self.is_advice() {
            return None;
        }
        Closed::of(self.case)
    }

    /// Says whether what begins all the same begins at its first rung.
    pub(crate) fn only_easiest(&self) -> bool {
        let exercise = self.exercise().row == Row::Exercise;
        exercise && self.closed().is_some_and(|why| why != Closed::Tolerable)
    }

    /// Returns the measure past its review line that this range work is for.
    pub(crate) fn end_of_range(&self) -> Option<Fact> {
        let ends = d806_end_of_range::ends(self.case);
        let mut ends = ends.into_iter();
        ends.find(|fact| d806_end_of_range::works_at(self.case, self.exercise(), *fact))
    }

    /// Returns by which band the last dose is judged.
    pub(crate) fn last_work(&self) -> Option<BandWork> {
        let library = self.case.library;
        self.last
            .map(|item| work_of(library, self.exercise(), &item.rung))
    }

    /// Says whether this is range work that is not eased for ordinary pain today: in the early
    /// weeks, and while its measure is past the review line.
    pub(crate) fn protected(&self) -> bool {
        let spared = self.case.protects(self.exercise()) || self.end_of_range().is_some();
        spared && self.last_work() != Some(BandWork::Loaded)
    }
}

/// Returns the day until which a dose rests.
pub(crate) fn rests_until(steps: &[Step]) -> Option<NaiveDate> {
    steps.iter().rev().find_map(|step| {
        if let Why::Rests { until, .. } = step.why {
            Some(until)
        } else {
            None
        }
    })
}

/// Doses every exercise, or says why it is left out.
pub(crate) fn all<'a>(
    case: &'a Case<'a>,
    phase: &'a Phase,
    ladders: &'a [Ladder<'a>],
    limits: &'a [LimitInForce],
    modifiers: &'a Modifiers<'a>,
    log: &mut Log,
) -> (Vec<Dosed<'a>>, Vec<LeftOut>) {
    let mut dosed = Vec::new();
    let mut left_out = Vec::new();
    for ladder in ladders {
        let id = &ladder.exercise.id;
        let dosing = Dosing {
            case,
            phase,
            ladder,
            limits,
            modifiers: modifiers.of(ladder.exercise),
            last: case.last_item(id),
            answer: case.answers.each.get(id),
            done: case.done(id),
            wanted: case.wanted(id),
        };
        match one(dosing, ladders, log) {
            Ok(item) => dosed.push(item),
            Err(bar) => {
                log.fired.insert(bar.rule);
                left_out.push(LeftOut {
                    exercise: id.clone(),
                    reason: bar.reason,
                    rule: bar.rule,
                    was_issued: dosing.last.is_some(),
                    offered: None,
                });
            }
        }
    }
    (dosed, left_out)
}

fn one<'a>(dosing: Dosing<'a>, ladders: &[Ladder<'_>], log: &mut Log) -> Result<Dosed<'a>, Bar> {
    if let Some(bar) = d804_clinicians_choice::left_out(dosing.case, &dosing.exercise().id) {
        return Err(bar);
    }
    if let (Some(bar), None) = (&dosing.ladder.bar, dosing.wanted) {
        return Err(bar.clone());
    }
    if let Some(bar) = d721_void_sheet::bar(&dosing) {
        return Err(bar);
    }
    if let Some(bar) = d720_nothing_new::bar(&dosing, ladders) {
        return Err(bar);
    }
    let mut working = Working::new();
    working.run(ENTER, &dosing, log);
    if let Some(bar) = refusal(&dosing, &working) {
        return Err(bar);
    }
    working.run(MOVE, &dosing, log);
    working.run(FINISH, &dosing, log);
    d719_aim::note(&dosing, log);
    let nothing = || d703_phase_start::nothing_to_start(&dosing);
    Ok(Dosed {
        dosing,
        shorter: d806_end_of_range::without_climb(&dosing, &working),
        given: working.given.ok_or_else(nothing)?,
        steps: working.steps,
    })
}

/// Returns what stands against the rung entered, when nothing easier may be given either.
fn refusal(dosing: &Dosing<'_>, working: &Working) -> Option<Bar> {
    let given = working.given.as_ref()?;
    let at = dosing.at(given)?;
    dosing
        .bar(at)
        .cloned()
        .or_else(|| dosing.entry(at).map(NotYet::bar))
}
