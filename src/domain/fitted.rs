//! For whom a row or a wording is: what is known of the person, and how the dose is done.
//!
//! Must not know what is said. Next: `exercise` and `care` hold wordings for some people.

use std::collections::{BTreeMap, BTreeSet};

use super::dose::Dose;
use super::exercise::ExerciseWords;
use super::fact::{Facts, Test};
use super::ids::{ConditionId, FlagId, HowId};
use super::recorded::Recorded;
use super::word::Support;

/// What is known of a person when words are chosen.
#[derive(Debug, Clone)]
pub struct Person<'a> {
    /// Facts of the day.
    pub facts: &'a Facts,
    /// Other illnesses; not recorded is none known.
    pub conditions: Recorded<&'a BTreeSet<ConditionId>>,
    /// Red flags that stand.
    pub flags: BTreeSet<&'a FlagId>,
}

/// The people some words are for: all that is named must hold.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Serialize)]
pub struct ForWhom {
    /// All must be known and hold.
    pub facts: Vec<Test>,
    /// One of these; none named is anybody.
    pub conditions: BTreeSet<ConditionId>,
    /// One of these red flags stands; none named is whichever.
    pub flags: BTreeSet<FlagId>,
    /// The hands of the dose: one of these; none named is any.
    pub support: BTreeSet<Support>,
    /// The way of the dose: one of these; none named is any.
    pub ways: BTreeSet<HowId>,
}

impl ForWhom {
    /// Says whether the words are for a person, with a dose where there is one.
    pub fn is(&self, person: &Person<'_>, dose: Option<&Dose>) -> bool {
        let ill = match person.conditions {
            Recorded::Yes(own) => !self.conditions.is_disjoint(own),
            Recorded::NotRecorded => false,
        };
        let support = dose.and_then(|dose| dose.support);
        let way = dose.and_then(|dose| dose.how.as_ref());
        self.facts.iter().all(|test| holds(person.facts, test))
            && (self.conditions.is_empty() || ill)
            && (self.flags.is_empty() || self.flags.iter().any(|own| person.flags.contains(own)))
            && (self.support.is_empty() || support.is_some_and(|own| self.support.contains(&own)))
            && (self.ways.is_empty() || way.is_some_and(|own| self.ways.contains(own)))
    }
}

/// Says whether a fact is known and passes.
pub fn holds(facts: &Facts, test: &Test) -> bool {
    match facts.get(test.fact) {
        Recorded::Yes(dated) => test.passes(&dated.value),
        Recorded::NotRecorded => false,
    }
}

/// Words of an exercise for some people, in the place of the usual ones; what is left out stays.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct FittedWords {
    /// For whom.
    pub whom: ForWhom,
    /// How to set up.
    pub set_up: Option<String>,
    /// Steps; empty when they are the usual ones.
    pub steps: Vec<String>,
    /// Usual errors; empty when they are the usual ones.
    pub errors: Vec<String>,
    /// What should be felt.
    pub feel: Option<String>,
    /// How a rung is done, by key.
    pub how: BTreeMap<HowId, String>,
}

impl ExerciseWords {
    /// Returns the words as a person reads them: every wording for them laid over the usual one,
    /// a later over an earlier.
    #[must_use]
    pub fn fitted_to(&self, person: &Person<'_>, dose: &Dose) -> Self {
        let mut words = self.clone();
        let fitted = self.fitted.iter();
        for own in fitted.filter(|own| own.whom.is(person, Some(dose))) {
            if let Some(set_up) = &own.set_up {
                words.set_up.clone_from(set_up);
            }
            if !own.steps.is_empty() {
                words.steps.clone_from(&own.steps);
            }
            if !own.errors.is_empty() {
                words.errors.clone_from(&own.errors);
            }
            if let Some(feel) = &own.feel {
                words.feel.clone_from(feel);
            }
            let how = own.how.iter();
            words
                .how
                .extend(how.map(|(way, text)| (way.clone(), text.clone())));
        }
        words
    }
}
