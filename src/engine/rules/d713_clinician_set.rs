#![doc = include_str!("d713_clinician_set.md")]

use crate::domain::record::Adjust;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Given, RuleId, Why};
use crate::domain::word::AdjustAction;
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D713"),
    name: "clinician-set",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Takes the rung the clinician has set, inside hard limits.",
    sources: &["practice"],
    doc: include_str!("d713_clinician_set.md"),
};

/// Proposes the clinician's rung.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let given = working.given.as_ref()?;
    let adjust = dosing.wanted?;
    let Some(at) = rung(dosing, adjust) else {
        return match adjust.action {
            AdjustAction::Add => Some((given.clone(), word(adjust))),
            AdjustAction::Set | AdjustAction::LeaveOut | AdjustAction::AsDecided => None,
        };
    };
    match dosing.bar(at) {
        Some(bar) => Some((
            given.clone(),
            Why::LowerRungOffered {
                reason: bar.reason.clone(),
            },
        )),
        None => Some((chosen(dosing, given, at)?, word(adjust))),
    }
}

/// Returns the clinician's rung; the present dose stays when the rung is the same.
fn chosen(dosing: &Dosing<'_>, given: &Given, at: usize) -> Option<Given> {
    let chosen = dosing.given(at)?;
    Some(if chosen.rung == given.rung {
        given.clone()
    } else {
        chosen
    })
}

fn rung(dosing: &Dosing<'_>, adjust: &Adjust) -> Option<usize> {
    match &adjust.rung {
        Recorded::Yes(rung) => dosing.exercise().rung(rung).map(|(at, _)| at),
        Recorded::NotRecorded => None,
    }
}

fn word(adjust: &Adjust) -> Why {
    Why::Clinician {
        because: adjust.because.clone(),
        by: adjust.by.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::Until;
    use crate::engine::sample;

    #[test]
    fn the_clinicians_rung_is_taken() {
        let mut record = sample::record(10);
        sample::adjust(&mut record, "rise", AdjustAction::Set, Some("r3"));
        let program = sample::program(&sample::library(), &record);
        assert_eq!(sample::item(&program, "rise").rung, sample::id("r3"));
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn a_hard_limit_is_not_set_aside() {
        let mut record = sample::record(10);
        sample::condition(&mut record, "thin-bone");
        sample::adjust(&mut record, "poise", AdjustAction::Add, Some("p1"));
        let program = sample::program(&sample::library(), &record);
        assert!(!sample::has(&program, "poise"));
    }

    #[test]
    fn a_rung_past_a_hard_limit_is_not_taken() {
        let mut library = sample::library();
        let rung = &mut sample::exercise(&mut library, "rise").rungs[2];
        rung.range_degrees = Some(sample::angle(100));
        let demand = &mut sample::exercise(&mut library, "rise").demands[0];
        demand.peak = crate::domain::exercise::Peak::OfRung;
        for rung in &mut sample::exercise(&mut library, "rise").rungs[..2] {
            rung.range_degrees = Some(sample::angle(60));
        }
        let mut record = sample::record(10);
        record.orders.push(sample::cap(90, 1, Until::Open));
        sample::adjust(&mut record, "rise", AdjustAction::Set, Some("r3"));
        let program = sample::program(&library, &record);
        assert_eq!(sample::item(&program, "rise").rung, sample::id("r1"));
    }

    #[test]
    fn without_a_word_it_is_silent() {
        let program = sample::program(&sample::library(), &sample::record(10));
        assert!(!program.fired.contains(&RULE.id));
    }
}
