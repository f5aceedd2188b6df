#![doc = include_str!("d409_taught.md")]

use crate::domain::exercise::{Exercise, Rung};
use crate::domain::verdict::{RuleId, WhyNot};
use crate::domain::word::{How, YesNo};
use crate::engine::allow::Bar;
use crate::engine::case::Case;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D409"),
    name: "taught",
    stage: Stage::Allow,
    since: "0.1",
    summary: "Holds back a rung that must be shown first, when nobody can show it.",
    sources: &["practice"],
    doc: include_str!("d409_taught.md"),
};

/// Returns the bar when the rung was never given and cannot be shown today.
pub(crate) fn bar(case: &Case<'_>, exercise: &Exercise, at: usize, rung: &Rung) -> Option<Bar> {
    let by_phone = match case.visit.how {
        How::Phone => true,
        How::Seen => false,
    };
    let barred = by_phone && rung.taught == YesNo::Yes && !given_before(case, exercise, at);
    barred.then_some(Bar {
        reason: WhyNot::NotTaught,
        rule: RULE.id,
    })
}

/// Says whether a rung or a harder one was ever given.
pub(crate) fn given_before(case: &Case<'_>, exercise: &Exercise, at: usize) -> bool {
    case.sheets
        .iter()
        .flat_map(|sheet| &sheet.issued.items)
        .filter(|item| item.exercise == exercise.id)
        .filter_map(|item| exercise.rung(&item.rung))
        .any(|(given, _)| given >= at)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    #[test]
    fn by_phone_an_untaught_rung_is_held_back() {
        let mut record = sample::record(10);
        record.visits[0].how = How::Phone;
        let program = sample::program(&sample::library(), &record);
        assert_eq!(sample::left_out(&program, "poise"), Some(WhyNot::NotTaught));
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn a_rung_given_before_stays() {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("poise", "p1")]);
        record.visits[1].how = How::Phone;
        assert!(sample::has(
            &sample::program(&sample::library(), &record),
            "poise"
        ));
    }

    #[test]
    fn in_person_it_is_silent() {
        let program = sample::program(&sample::library(), &sample::record(10));
        assert!(!program.fired.contains(&RULE.id));
    }

    #[test]
    fn a_harder_rung_given_before_counts() {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("poise", "p2")]);
        record.visits[1].how = How::Phone;
        assert!(sample::has(
            &sample::program(&sample::library(), &record),
            "poise"
        ));
    }
}
