#![doc = include_str!("d721_void_sheet.md")]

use crate::domain::verdict::{RuleId, Why, WhyNot};
use crate::engine::allow::Bar;
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D721"),
    name: "void-sheet",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Enters by test again where the last sheet counted the days wrongly.",
    sources: &["practice"],
    doc: include_str!("d721_void_sheet.md"),
};

/// Proposes the phase's own rung, but no higher one than the void sheet gave.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let void = dosing.case.void_sheet()?;
    let last_at = dosing.last_at()?;
    if working.given.is_some() {
        return None;
    }
    let start = dosing.ladder.start.unwrap_or(0).min(last_at);
    let sheet = void.issued.sheet;
    Some((dosing.given(start)?, Why::VoidSheet { sheet }))
}

/// Returns the bar for what only the void sheet brought up.
pub(crate) fn bar(dosing: &Dosing<'_>) -> Option<Bar> {
    let void = dosing.case.void_sheet()?;
    let on_it = dosing.last.is_some();
    let named = dosing.ladder.start.is_some() || dosing.wanted.is_some();
    let sheet = void.issued.sheet;
    (on_it && !named).then_some(Bar {
        reason: WhyNot::VoidSheet { sheet },
        rule: RULE.id,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::Record;
    use crate::domain::word::{AdjustAction, Fact};
    use crate::engine::sample;

    /// A sheet of the middle phase on day 16 by the wrong count; today is the tenth day.
    fn counted_too_high() -> Record {
        let mut record = sample::record(10);
        sample::earlier(
            &mut record,
            6,
            &[("bend", "b3"), ("lift", "l2"), ("rise", "r3")],
        );
        sample::issued(&mut record, 0).phase = Some(sample::id("middle"));
        record.visits[0].measured.flexion = sample::degrees(Some(84));
        record.corrections.push(sample::day_put_right(-10, 1));
        record
    }

    #[test]
    fn it_is_entered_by_test_in_the_phase_of_the_right_day() {
        let record = counted_too_high();
        let program = sample::program(&sample::library(), &record);
        assert_eq!(
            program.phase,
            sample::id("early"),
            "not the phase of the sheet"
        );
        let bend = sample::item(&program, "bend");
        assert_eq!(bend.steps[0].why, Why::VoidSheet { sheet: 1 });
        assert_eq!(bend.rung, sample::id("b1"), "neither kept nor climbed");
        let measured = program.facts.get(Fact::Flexion);
        assert!(measured.is_recorded(), "measures stay");
    }

    #[test]
    fn never_above_the_sheet_when_the_days_were_counted_too_low() {
        let mut library = sample::library();
        sample::candidate(&mut library, 0, "bend").rung = sample::id("b3");
        let mut record = sample::record(10);
        sample::earlier(&mut record, 6, &[("bend", "b2")]);
        record.corrections.push(sample::day_put_right(4, 1));
        let program = sample::program(&library, &record);
        assert_eq!(sample::item(&program, "bend").rung, sample::id("b2"));
    }

    #[test]
    fn what_only_the_void_sheet_names_is_left_out() {
        let mut library = sample::library();
        for phase in &mut library.procedure.phases {
            phase.candidates.retain(|named| {
                named.exercise != sample::id("rise") || phase.id != sample::id("early")
            });
        }
        let mut record = counted_too_high();
        let program = sample::program(&library, &record);
        let reason = WhyNot::VoidSheet { sheet: 1 };
        assert_eq!(sample::left_out(&program, "rise"), Some(reason));
        assert!(program.gone.contains(&sample::id("rise")));
        sample::adjust(&mut record, "rise", AdjustAction::Add, None);
        let program = sample::program(&library, &record);
        assert_eq!(sample::item(&program, "rise").rung, sample::id("r1"));
    }

    #[test]
    fn from_the_next_sheet_on_it_is_silent() {
        let mut record = counted_too_high();
        assert!(
            sample::program(&sample::library(), &record)
                .fired
                .contains(&RULE.id)
        );
        record.corrections[0].visits = 0;
        let program = sample::program(&sample::library(), &record);
        assert!(!program.fired.contains(&RULE.id), "no sheet stood then");
        record.corrections.clear();
        let program = sample::program(&sample::library(), &record);
        assert!(!program.fired.contains(&RULE.id));
    }
}
