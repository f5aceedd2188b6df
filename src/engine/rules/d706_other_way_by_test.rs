#![doc = include_str!("d706_other_way_by_test.md")]

use crate::domain::verdict::{RuleId, Why};
use crate::domain::word::{Row, YesNo};
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D706"),
    name: "other-way-by-test",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Takes the way of a daily row that fits how the person does it now.",
    sources: &["practice"],
    doc: include_str!("d706_other_way_by_test.md"),
};

/// Proposes the first rung above that fits.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let at = dosing.at(working.given.as_ref()?)?;
    let stuck = !dosing.fits(at) && dosing.worse().is_none();
    let beside = match dosing.exercise().row {
        Row::Daily | Row::Advice => true,
        Row::Exercise | Row::Background => false,
    };
    if !beside || !stuck {
        return None;
    }
    let rungs = dosing.exercise().rungs.iter().enumerate().skip(at);
    let (found, rung) = rungs
        .filter(|(_, rung)| rung.loaded == YesNo::No)
        .find(|(above, _)| dosing.fits(*above))?;
    let why = Why::FitsToday {
        test: rung.entry.first().cloned(),
    };
    Some((dosing.given(found)?, why))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::recorded::Recorded;
    use crate::domain::word::WalkingAid;
    use crate::engine::sample;

    fn rung(aid: WalkingAid) -> (String, bool) {
        let mut record = sample::record(10);
        record.visits[0].measured.walking_aid = Recorded::Yes(aid);
        let program = sample::program(&sample::library(), &record);
        let row = program
            .daily
            .iter()
            .find(|item| item.exercise == sample::id("aid"));
        (
            row.unwrap().rung.to_string(),
            program.fired.contains(&RULE.id),
        )
    }

    #[test]
    fn the_row_follows_the_aid() {
        assert_eq!(rung(WalkingAid::OneStick), ("a2".to_owned(), true));
    }

    #[test]
    fn a_row_that_fits_is_silent() {
        assert_eq!(rung(WalkingAid::Frame), ("a1".to_owned(), false));
    }

    #[test]
    fn after_a_bad_answer_the_row_does_not_move() {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("bend", "b1"), ("aid", "a1")]);
        record.visits[1].pain.exercise = sample::pain(Some(9));
        record.visits[1].measured.walking_aid = Recorded::Yes(WalkingAid::OneStick);
        let program = sample::program(&sample::library(), &record);
        assert!(
            program
                .daily
                .iter()
                .all(|item| item.exercise != sample::id("aid"))
        );
    }
}
