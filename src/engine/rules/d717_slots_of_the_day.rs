#![doc = include_str!("d717_slots_of_the_day.md")]

use crate::domain::quantity::{Quantity, TimesADay};
use crate::domain::verdict::{Given, RuleId, Why};
use crate::engine::amount;
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D717"),
    name: "slots-of-the-day",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Asks no more often in a day than the day has slots.",
    sources: &["practice"],
    doc: include_str!("d717_slots_of_the_day.md"),
};

/// Says whether a reason for more often opens slots beyond the person's own.
pub(crate) fn opens_slots(why: &Why) -> bool {
    matches!(
        why,
        Why::BehindCourse { .. } | Why::RangeShorterMoreOften { .. }
    )
}

/// Proposes the times that fit.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let given = working.given.as_ref()?;
    let asked = given.dose.times_a_day()?.get();
    let most = dosing.case.settings().bounds.times_a_day_most.get();
    let own = i64::try_from(dosing.case.own_slots().len()).unwrap_or(most);
    let slots = if working.took(opens_slots) {
        own.max(most)
    } else {
        own
    };
    (asked > slots).then(|| {
        let dose = amount::at_times(&given.dose, TimesADay::nearest(slots));
        let given = Given {
            rung: given.rung.clone(),
            dose,
        };
        (given, Why::SlotsOfTheDay { slots, asked })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::word::Slot;
    use crate::engine::sample;

    fn times(slots: &[Slot], flexion: Option<i64>) -> (i64, bool) {
        let mut record = sample::record(14);
        sample::slots(&mut record, slots);
        record.visits[0].measured.flexion = sample::degrees(flexion);
        let program = sample::program(&sample::library(), &record);
        (
            amount::times(&sample::item(&program, "bend").dose),
            program.fired.contains(&RULE.id),
        )
    }

    #[test]
    fn a_short_day_asks_less_often() {
        assert_eq!(times(&[Slot::Breakfast, Slot::Evening], None), (2, true));
    }

    #[test]
    fn a_day_with_room_is_silent() {
        assert_eq!(
            times(&[Slot::Breakfast, Slot::Midday, Slot::Evening], None),
            (3, false)
        );
    }

    #[test]
    fn range_work_that_is_behind_opens_slots() {
        let (times, _) = times(&[Slot::Breakfast, Slot::Evening], Some(70));
        assert_eq!(times, 4);
    }
}
