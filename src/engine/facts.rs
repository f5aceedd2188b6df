//! The facts of one visit: measured today, derived, or measured not too long ago.
//!
//! Must not judge a fact. Next: `judge` tests them.

use std::collections::BTreeMap;

use crate::domain::fact::{Dated, FactValue, Facts};
use crate::domain::ids::Id;
use crate::domain::procedure::Derive;
use crate::domain::quantity::Quantity;
use crate::domain::record::Visit;
use crate::domain::recorded::Recorded;
use crate::domain::word::{Fact, Word};

use super::case::Case;
use super::log::Log;
use super::orders;
use super::rules::{d101_earlier_value, d102_derived_value};

/// Facts known at one visit, without dates.
pub(crate) type Known = BTreeMap<Fact, FactValue>;

/// Makes a fact's value of a word.
pub(crate) fn word<W: Word>(value: W) -> FactValue {
    FactValue::Word(value.as_str().to_owned())
}

fn put_number<Q: Quantity>(known: &mut Known, fact: Fact, value: Recorded<Q>) {
    if let Recorded::Yes(value) = value {
        known.insert(fact, FactValue::Number(value.get()));
    }
}

fn put_word<W: Word>(known: &mut Known, fact: Fact, value: Recorded<W>) {
    if let Recorded::Yes(value) = value {
        known.insert(fact, word(value));
    }
}

/// Returns what was measured at one visit and may still count at a later one.
pub(crate) fn measured(visit: &Visit) -> Known {
    let mut known = Known::new();
    let m = &visit.measured;
    put_number(&mut known, Fact::Flexion, m.flexion);
    put_number(&mut known, Fact::ExtensionDeficit, m.extension_deficit);
    put_number(&mut known, Fact::Lag, m.lag);
    put_number(&mut known, Fact::WalkMinutes, m.walk_minutes);
    if let Recorded::Yes(seconds) = m.stance_s {
        known.insert(Fact::Stance, FactValue::Number(seconds));
    }
    put_word(&mut known, Fact::LegLift, m.leg_lift);
    put_word(&mut known, Fact::WalkingAid, m.walking_aid);
    put_word(&mut known, Fact::Limp, m.limp);
    put_word(&mut known, Fact::StairsPractised, m.stairs_practised);
    put_word(&mut known, Fact::BlockGone, visit.block_gone);
    known
}

/// Returns what holds on the day of the visit only.
pub(crate) fn of_the_day(visit: &Visit) -> Known {
    let mut known = Known::new();
    put_word(&mut known, Fact::Swelling, visit.swelling);
    put_word(&mut known, Fact::Morning, visit.pain.morning);
    put_number(&mut known, Fact::RestPain, visit.pain.rest);
    known.insert(Fact::How, word(visit.how));
    known
}

/// Adds facts that follow from known ones and were not recorded themselves.
pub(crate) fn derive(known: &mut Known, derives: &[Derive]) -> bool {
    let before = known.len();
    for rule in derives {
        let holds = known
            .get(&rule.when.fact)
            .is_some_and(|value| rule.when.passes(value));
        if holds && !known.contains_key(&rule.fact) {
            known.insert(rule.fact, rule.value.clone());
        }
    }
    known.len() > before
}

/// Returns every fact one visit recorded, derived ones included.
pub(crate) fn at_visit(visit: &Visit, derives: &[Derive]) -> Known {
    let mut known = measured(visit);
    known.extend(of_the_day(visit));
    derive(&mut known, derives);
    known
}

/// Returns the answers of the screen that rules look at as facts.
fn screened(case: &Case<'_>) -> Known {
    let mut known = Known::new();
    let Recorded::Yes(screen) = &case.visit.screen else {
        return known;
    };
    for fact in [Fact::Wound, Fact::GivingWay] {
        let key = fact.as_str().replace('_', "-");
        if let Some((_, answer)) = screen.iter().find(|(flag, _)| flag.as_str() == key) {
            known.insert(fact, word(*answer));
        }
    }
    known
}

/// Gathers the facts of the visit.
pub(crate) fn gather(case: &Case<'_>, log: &mut Log) -> Facts {
    let mut today = measured(case.visit);
    today.extend(of_the_day(case.visit));
    today.extend(screened(case));
    today.insert(Fact::Day, FactValue::Number(case.day.get()));
    if let Recorded::Yes(home) = &case.patient().home {
        put_word(&mut today, Fact::FloorSafe, home.floor_safe);
    }
    put_word(&mut today, Fact::PainMedicine, case.patient().pain_medicine);
    if let Some(bearing) = orders::weight_bearing(case) {
        today.insert(Fact::WeightBearing, word(bearing));
    }
    if derive(&mut today, &case.procedure().derives) {
        log.fire(&d102_derived_value::RULE);
    }
    let mut facts = Facts(
        today
            .into_iter()
            .map(|(fact, value)| {
                (
                    fact,
                    Dated {
                        value,
                        on: case.day,
                    },
                )
            })
            .collect(),
    );
    d101_earlier_value::fill(case, &mut facts, log);
    facts
}
