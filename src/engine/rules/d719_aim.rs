#![doc = include_str!("d719_aim.md")]

use crate::domain::dose::Dose;
use crate::domain::exercise::{Demand, Peak};
use crate::domain::fact::FactValue;
use crate::domain::limit::LimitRule;
use crate::domain::quantity::{Degrees, Quantity};
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Given, LimitInForce, Notice, RuleId, Why};
use crate::engine::dose::{Dosing, Proposal, Working};
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D719"),
    name: "aim",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Makes the printed aim from a measure: rounded down, plus a little, inside every limit.",
    sources: &["practice"],
    doc: include_str!("d719_aim.md"),
};

/// Proposes the aim.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let given = working.given.as_ref()?;
    let rule = dosing.exercise().aim_rule.as_ref()?;
    let Recorded::Yes(dated) = dosing.case.facts.get(rule.fact) else {
        return None;
    };
    let FactValue::Number(value) = dated.value else {
        return None;
    };
    let step = rule.round_down_to.get().max(1);
    let rounded = value.div_euclid(step).saturating_mul(step);
    let wanted = Degrees::nearest(rounded.saturating_add(rule.plus.get()));
    let aim = stops(dosing)
        .chain(given.dose.limit)
        .fold(wanted.min(rule.at_most), Degrees::min);
    let dose = Dose {
        aim: Some(aim),
        ..given.dose.clone()
    };
    let why = Why::AimFromMeasure {
        fact: rule.fact,
        value,
    };
    Some((
        Given {
            rung: given.rung.clone(),
            dose,
        },
        why,
    ))
}

/// Lists where limits stop the motion the aim is about.
fn stops<'a>(dosing: &Dosing<'a>) -> impl Iterator<Item = Degrees> + 'a {
    let demand = aimed(dosing);
    dosing
        .limits
        .iter()
        .filter_map(move |limit| stop(limit, demand?))
}

fn stop(limit: &LimitInForce, demand: &Demand) -> Option<Degrees> {
    match &limit.rule {
        LimitRule::Motion { of, .. } if of.joint == demand.joint && of.motion == demand.motion => {
            limit.stop_at
        }
        LimitRule::Motion { .. } | LimitRule::Forbid(_) | LimitRule::AllOf(_) => None,
    }
}

/// Finds the motion of the operated joint that goes farthest: the one an aim is about.
fn aimed<'a>(dosing: &Dosing<'a>) -> Option<&'a Demand> {
    let joint = dosing.case.procedure().joint;
    dosing
        .exercise()
        .demands
        .iter()
        .filter(|demand| demand.joint == joint)
        .max_by_key(|demand| match demand.peak {
            Peak::Fixed(peak) => peak,
            Peak::OfRung => Degrees::nearest(Degrees::MAX),
        })
}

/// Notes that no aim could be made.
pub(crate) fn note(dosing: &Dosing<'_>, log: &mut Log) {
    if let Some(rule) = &dosing.exercise().aim_rule
        && !dosing.case.facts.get(rule.fact).is_recorded()
    {
        log.notice(
            &RULE,
            Notice::NotRecorded {
                rule: RULE.id,
                fact: rule.fact,
            },
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn aim(flexion: Option<i64>) -> Option<i64> {
        let mut record = sample::record(14);
        record.visits[0].measured.flexion = sample::degrees(flexion);
        let program = sample::program(&sample::library(), &record);
        sample::item(&program, "bend").dose.aim.map(Quantity::get)
    }

    #[test]
    fn the_aim_is_rounded_down_plus_a_little() {
        assert_eq!(aim(Some(79)), Some(80));
        assert_eq!(aim(Some(80)), Some(85));
        assert_eq!(aim(Some(82)), Some(85));
    }

    #[test]
    fn never_above_the_most() {
        assert_eq!(aim(Some(124)), Some(125));
        assert_eq!(aim(Some(130)), Some(125));
    }

    #[test]
    fn without_a_measure_there_is_no_aim() {
        assert_eq!(aim(None), None);
    }

    #[test]
    fn never_above_a_limit_of_the_same_motion() {
        let mut library = sample::library();
        sample::exercise(&mut library, "bend").demands[0].peak = Peak::Fixed(sample::angle(70));
        let mut record = sample::record(14);
        record
            .orders
            .push(sample::cap(95, 1, crate::domain::record::Until::Open));
        record.visits[0].measured.flexion = sample::degrees(Some(110));
        let dose = &sample::item(&sample::program(&library, &record), "bend")
            .dose
            .clone();
        assert_eq!(dose.limit, None);
        assert_eq!(dose.aim, Some(sample::angle(90)));
    }

    #[test]
    fn never_above_the_printed_limit() {
        let mut library = sample::library();
        let bend = sample::exercise(&mut library, "bend");
        let mut turn = bend.demands[0].clone();
        turn.motion = crate::domain::word::Motion::Rotation;
        turn.peak = Peak::Fixed(sample::angle(150));
        bend.demands.push(turn);
        let mut record = sample::record(14);
        record
            .orders
            .push(sample::cap(60, 1, crate::domain::record::Until::Open));
        record.visits[0].measured.flexion = sample::degrees(Some(82));
        let dose = &sample::item(&sample::program(&library, &record), "bend")
            .dose
            .clone();
        assert_eq!(
            (dose.limit, dose.aim),
            (Some(sample::angle(55)), Some(sample::angle(55)))
        );
    }
}
