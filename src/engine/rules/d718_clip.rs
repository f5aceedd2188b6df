#![doc = include_str!("d718_clip.md")]

use crate::domain::dose::Dose;
use crate::domain::verdict::{Given, RuleId, Why};
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D718"),
    name: "clip",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Prints where a motion must stop, and never lets the range go past it.",
    sources: &["practice"],
    doc: include_str!("d718_clip.md"),
};

/// Proposes the stop.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let given = working.given.as_ref()?;
    let at = dosing.at(given)?;
    let clip = dosing.ladder.rungs.get(at)?.clip.as_ref()?;
    let dose = Dose {
        limit: Some(clip.stop_at),
        range_degrees: given
            .dose
            .range_degrees
            .map(|range| range.min(clip.stop_at)),
        ..given.dose.clone()
    };
    let why = Why::Clipped {
        limit: clip.limit.clone(),
        degrees: clip.degrees,
        margin: clip.margin,
    };
    Some((
        Given {
            rung: given.rung.clone(),
            dose,
        },
        why,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::Until;
    use crate::engine::sample;

    fn limit(cap: i64) -> (Option<i64>, bool) {
        let mut record = sample::record(10);
        record.orders.push(sample::cap(cap, 1, Until::Open));
        record.visits[0].measured.flexion = sample::degrees(Some(84));
        let program = sample::program(&sample::library(), &record);
        let dose = &sample::item(&program, "bend").dose;
        let limit = dose.limit.map(crate::domain::quantity::Quantity::get);
        if let (Some(aim), Some(limit)) = (dose.aim, dose.limit) {
            assert!(aim <= limit);
        }
        (limit, program.fired.contains(&RULE.id))
    }

    #[test]
    fn the_stop_is_the_limit_less_its_margin() {
        assert_eq!(limit(90), (Some(85), true));
        assert_eq!(limit(70), (Some(65), true));
    }

    #[test]
    fn a_limit_out_of_reach_is_silent() {
        assert_eq!(limit(130), (None, false));
    }
}
