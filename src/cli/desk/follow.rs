//! The questions of a follow-up, seen or by phone.

use crate::domain::dose::{Amount, Often};
use crate::domain::ids::Id;
use crate::domain::quantity::{Minutes, Quantity};
use crate::domain::record::{Adjust, IssuedItem};
use crate::domain::word::{AdjustAction, Did, Morning, Optional, Swelling, Word};

use crate::files::record::{Mornings, Stance};

use super::asked::{BLOCK, BY, CLEARED, EXTENSION, FLEXION, LAG, LEG_LIFT, NEXT, PAIN, PAIN_REST};
use super::asked::{CONDITIONS, SCREEN, WALKS, after_operation, as_last, has_sheet, in_person};
use super::kind::{Choice, Kind};
use super::question::{Ask, Group, Question, one_of, words, yes_or_no};
use super::scene::Scene;

/// Every question of `visit`, in the order asked.
pub const QUESTIONS: &[Question] = &[
    BY,
    SCREEN,
    CLEARED,
    CONDITIONS,
    DID,
    WHICH_NOT,
    PAIN_REST,
    PAIN,
    MEDICINE,
    MORNING,
    BAD_MORNINGS,
    SWELLING,
    FLEXION,
    EXTENSION,
    LEG_LIFT,
    LAG,
    BLOCK,
    WALKS,
    LIMP,
    STANCE,
    WALK_MINUTES,
    SIGHT,
    KEEP,
    NEXT,
];

/// Says whether the visit is a new one; a corrected one keeps its rows and changes.
fn is_new(scene: &Scene<'_>) -> bool {
    scene.corrects.is_none()
}

/// Pain above this is looked at again in the light of the medicine.
fn above_settled(scene: &Scene<'_>) -> bool {
    let pain = scene.said("pain").and_then(|pain| pain.parse::<i64>().ok());
    let bands = &scene.library.procedure.bands;
    let line = bands
        .iter()
        .filter(|band| scene.day().is_none_or(|day| band.window.holds(day)))
        .map(|band| band.settled.get())
        .max();
    match (pain, line) {
        (Some(pain), Some(line)) => pain > line,
        (None, _) | (_, None) => false,
    }
}

const DID: Question = Question {
    group: Group::Chair,
    flags: &["did"],
    when: has_sheet,
    ask: |scene| {
        let sheet = scene.last_sheet().map_or(0, |(_, issued)| issued.sheet);
        let words_of = format!("Did how much of sheet {sheet}");
        one_of(&words_of, words::<Did>("did")).or_last(scene.wrong(|visit| visit.did))
    },
};

const WHICH_NOT: Question = Question {
    group: Group::Chair,
    flags: &["done"],
    when: |scene| {
        let some = [Did::Most, Did::Half, Did::Little];
        is_new(scene)
            && has_sheet(scene)
            && some.iter().any(|did| scene.said_is("did", did.as_str()))
    },
    ask: |scene| {
        let days = scene.last_sheet().map_or(1, |(visit, _)| {
            let days = scene.date.signed_duration_since(visit.date).num_days();
            days.max(1)
        });
        let choices: Vec<Choice> = counted_first(scene)
            .into_iter()
            .filter_map(|item| {
                let asked = a_day(item)?.saturating_mul(days);
                Some(Choice {
                    flag: "done",
                    word: format!("{}=0/{asked}", item.exercise),
                    shown: scene.trade_name(&item.exercise),
                })
            })
            .collect();
        let ask = Ask::new("Which not at all? numbers", Kind::Many(choices.clone()));
        ask.numbered("On the last sheet", &choices)
    },
};

/// Lists the last sheet with hourly work at the end, so that one number means one exercise.
fn counted_first<'a>(scene: &'a Scene<'_>) -> Vec<&'a IssuedItem> {
    let items = scene.last_items();
    let (counted, hourly): (Vec<_>, Vec<_>) =
        items.into_iter().partition(|item| a_day(item).is_some());
    counted.into_iter().chain(hourly).collect()
}

/// Returns how many times a day an exercise was asked for; hourly work is not counted.
fn a_day(item: &IssuedItem) -> Option<i64> {
    match (item.dose.amount, item.dose.often) {
        (_, Often::Hourly) => None,
        (Amount::Timed { .. }, Often::Times(times)) => Some(times.get()),
        (Amount::Counted { .. }, Often::Times(_)) => item.dose.daily_repetitions(),
    }
}

const MEDICINE: Question = Question {
    group: Group::Chair,
    flags: &["medicine-before"],
    when: above_settled,
    ask: |scene| {
        let ask = yes_or_no("Was pain medicine taken before it", "medicine-before");
        ask.or_last(scene.wrong(|visit| visit.pain.medicine_before))
    },
};

const MORNING: Question = Question {
    group: Group::Chair,
    flags: &["morning"],
    when: has_sheet,
    ask: |scene| {
        let ask = one_of("Next morning against usual", words::<Morning>("morning"));
        ask.or_last(scene.wrong(|visit| visit.pain.morning))
    },
};

const BAD_MORNINGS: Question = Question {
    group: Group::Chair,
    flags: &["bad-mornings"],
    when: |scene| has_sheet(scene) && scene.also(Optional::BadMornings),
    ask: |_| {
        let kind = Kind::between("bad-mornings", Mornings::ENDS, "");
        Ask::new("Of the last 3 mornings, how many were worse", kind)
    },
};

const SWELLING: Question = Question {
    group: Group::Chair,
    flags: &["swelling"],
    when: |scene| has_sheet(scene) && after_operation(scene),
    ask: |scene| {
        let ask = one_of("Swelling against last time", words::<Swelling>("swelling"));
        ask.or_last(scene.wrong(|visit| visit.swelling))
    },
};

const LIMP: Question = Question {
    group: Group::Standing,
    flags: &["limp"],
    when: in_person,
    ask: |scene| {
        as_last(scene, yes_or_no("Limps", "limp"), |visit| {
            visit.measured.limp
        })
    },
};

const STANCE: Question = Question {
    group: Group::Standing,
    flags: &["stance-s"],
    when: |scene| in_person(scene) && scene.also(Optional::StanceS),
    ask: |_| {
        let kind = Kind::between("stance-s", Stance::ENDS, "seconds");
        Ask::new("Seconds on the operated leg, hands on", kind)
    },
};

const WALK_MINUTES: Question = Question {
    group: Group::Standing,
    flags: &["walk-minutes"],
    when: |scene| scene.also(Optional::WalkMinutes),
    ask: |_| {
        let kind = Kind::whole::<Minutes>("walk-minutes");
        Ask::new("Minutes walked a day in all", kind)
    },
};

const SIGHT: Question = Question {
    group: Group::Standing,
    flags: &["seen", "corrected", "not-well"],
    when: |scene| is_new(scene) && has_sheet(scene) && in_person(scene),
    ask: |scene| {
        let choices: Vec<Choice> = counted_first(scene)
            .into_iter()
            .map(|item| Choice {
                flag: "not-well",
                word: item.exercise.as_str().to_owned(),
                shown: scene.trade_name(&item.exercise),
            })
            .collect();
        let ask = Ask::new(
            "Not done well? none, or numbers (2c = corrected); - not looked at",
            Kind::Sight(choices.clone()),
        );
        ask.numbered("Seen today, of the last sheet", &choices)
    },
};

/// Lists the clinician's changes on the last sheet.
fn changes<'a>(scene: &'a Scene<'_>) -> Vec<&'a Adjust> {
    let mut earlier = scene.earlier().into_iter();
    let last = earlier.find(|visit| visit.kept.is_none());
    last.into_iter()
        .flat_map(|visit| &visit.adjust)
        .filter(|change| change.action != AdjustAction::AsDecided)
        .collect()
}

const KEEP: Question = Question {
    group: Group::Home,
    flags: &["keep-changes"],
    when: |scene| is_new(scene) && !changes(scene).is_empty(),
    ask: |scene| {
        let lines = changes(scene).into_iter().map(|change| {
            let what = match (change.action, change.rung.as_ref().known()) {
                (AdjustAction::LeaveOut, _) => "left out".to_owned(),
                (AdjustAction::AsDecided, _) => "as decided".to_owned(),
                (AdjustAction::Add, None) => "added".to_owned(),
                (AdjustAction::Add, Some(rung)) => format!("added at {rung}"),
                (AdjustAction::Set, rung) => {
                    format!("set to {}", rung.map_or("", |rung| rung.as_str()))
                }
            };
            let name = scene.trade_name(&change.exercise);
            format!("  {name}: {what} ({})", change.because)
        });
        let ask = yes_or_no("Keep these changes of last time", "keep-changes");
        ask.or("y").below(lines.collect())
    },
};
