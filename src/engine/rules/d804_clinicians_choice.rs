#![doc = include_str!("d804_clinicians_choice.md")]

use crate::domain::ids::ExerciseId;
use crate::domain::verdict::{RuleId, SetAside, WhyNot};
use crate::domain::word::AdjustAction;
use crate::engine::allow::{Bar, NotYet};
use crate::engine::case::Case;
use crate::engine::dose::Dosed;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D804"),
    name: "clinicians-choice",
    stage: Stage::Choose,
    since: "0.1",
    summary: "Holds what the clinician wants on the sheet and leaves out what they do not.",
    sources: &["practice"],
    doc: include_str!("d804_clinicians_choice.md"),
};

/// Returns the bar when the clinician took the exercise off.
pub(crate) fn left_out(case: &Case<'_>, exercise: &ExerciseId) -> Option<Bar> {
    let adjust = case.adjust(exercise)?;
    match adjust.action {
        AdjustAction::Set | AdjustAction::Add | AdjustAction::AsDecided => None,
        AdjustAction::LeaveOut => Some(Bar {
            reason: WhyNot::Clinician {
                because: adjust.because.clone(),
                by: adjust.by.clone(),
            },
            rule: RULE.id,
        }),
    }
}

/// Lists what would else leave out an exercise, or the rung it is given at.
pub(crate) fn set_aside(item: &Dosed<'_>) -> Vec<SetAside> {
    let dosing = &item.dosing;
    let Some(at) = dosing.wanted.and_then(|_| dosing.at(&item.given)) else {
        return Vec::new();
    };
    let ladder = dosing.ladder;
    let own = ladder.bar.clone();
    let soft = ladder.barred_to(at).cloned();
    let entry = ladder.rungs.get(at).and_then(|check| check.entry.as_ref());
    let mut found: Vec<SetAside> = Vec::new();
    for bar in own.into_iter().chain(soft).chain(entry.map(NotYet::bar)) {
        let one = SetAside {
            exercise: dosing.exercise().id.clone(),
            reason: bar.reason,
            rule: bar.rule,
        };
        if !found.contains(&one) {
            found.push(one);
        }
    }
    found
}

/// Notes that a line stands at the clinician's word.
pub(crate) fn note(item: &Dosed<'_>, log: &mut Log) {
    if item.dosing.wanted.is_some() {
        log.fire(&RULE);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::quantity::{Items, Quantity};
    use crate::engine::sample;

    #[test]
    fn what_is_taken_off_is_left_out() {
        let mut record = sample::record(10);
        sample::adjust(&mut record, "bend", AdjustAction::LeaveOut, None);
        let program = sample::program(&sample::library(), &record);
        assert!(matches!(
            sample::left_out(&program, "bend"),
            Some(WhyNot::Clinician { .. })
        ));
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn what_is_added_stands_whatever_the_room() {
        let mut library = sample::library();
        library.clinic.items = Items::nearest(1);
        let mut record = sample::record(3);
        sample::adjust(&mut record, "lift", AdjustAction::Add, None);
        sample::adjust(&mut record, "poise", AdjustAction::Add, None);
        let program = sample::program(&library, &record);
        assert_eq!(program.items.len(), 2);
        assert!(sample::has(&program, "lift"));
    }

    #[test]
    fn the_last_word_counts_and_one_taken_back_is_none() {
        let mut record = sample::record(10);
        let untouched = sample::program(&sample::library(), &record);
        sample::adjust(&mut record, "bend", AdjustAction::LeaveOut, None);
        sample::adjust(&mut record, "bend", AdjustAction::Add, None);
        assert!(sample::has(
            &sample::program(&sample::library(), &record),
            "bend"
        ));
        sample::adjust(&mut record, "bend", AdjustAction::AsDecided, None);
        let back = sample::program(&sample::library(), &record);
        assert_eq!(back, untouched);
    }

    #[test]
    fn without_a_word_it_is_silent() {
        let program = sample::program(&sample::library(), &sample::record(10));
        assert!(!program.fired.contains(&RULE.id));
    }
}
