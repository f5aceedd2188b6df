//! Safety properties of the whole engine over many made-up people.

mod compare;
mod limits;
mod people;
mod speaks;
mod stages;

use std::collections::BTreeMap;

use proptest::prelude::*;

use crate::domain::dose::Dose;
use crate::domain::quantity::Quantity;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::Verdict;
use crate::domain::word::{BandWork, Response, Work, YesNo};

use compare::{given, items, keeps, no_more_work, only_loading_hurts, places, shifted, undated};
use people::{CONDITIONS, Person, PutRight, maybe, person, record, word};

use super::{amount, answer, sample};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn steps_replay_to_the_dose(person in person()) {
        let library = sample::library();
        let program = sample::program(&library, &record(&library, &person));
        for item in items(&program) {
            let mut now = None;
            for step in &item.steps {
                prop_assert_eq!(&step.before, &now);
                now = Some(step.after.clone());
            }
            let last = now.unwrap();
            prop_assert_eq!(&last.rung, &item.rung);
            prop_assert_eq!(&last.dose, &item.dose);
        }
    }

    #[test]
    fn no_limit_is_ever_passed(person in person()) {
        let library = sample::library();
        let program = sample::program(&library, &record(&library, &person));
        for item in items(&program) {
            let exercise = &library.exercises[&item.exercise];
            for (rung, dose) in given(exercise, item) {
                for limit in &program.limits {
                    prop_assert!(keeps(exercise, rung, dose, limit), "{} {:?}", item.exercise, limit);
                }
            }
        }
    }

    #[test]
    fn more_pain_never_gives_a_higher_rung(person in person(), medicine in maybe(word::<YesNo>())) {
        let library = sample::library();
        let mut before: Option<BTreeMap<String, (usize, Dose)>> = None;
        for pain in 0..=10 {
            let mut record = record(&library, &Person { pain: Some(pain), ..person.clone() });
            record.visits.last_mut().unwrap().pain.medicine_before = Recorded::from(medicine);
            let now = places(&library, &record);
            if let Some(before) = before {
                for (id, (at, dose)) in &now {
                    let Some((was, less)) = before.get(id) else {
                        prop_assert!(false, "{} came with pain {}", id, pain);
                        continue;
                    };
                    prop_assert!(at <= was, "{} at pain {}", id, pain);
                    prop_assert!(at < was || no_more_work(dose, less), "{} at pain {}", id, pain);
                }
            }
            before = Some(now);
        }
    }

    #[test]
    fn one_more_condition_never_adds_or_raises(person in person(), more in 0_usize..CONDITIONS.len()) {
        let library = sample::library();
        let without = record(&library, &person);
        let mut with = without.clone();
        sample::condition(&mut with, CONDITIONS[more]);
        let before = places(&library, &without);
        for (id, (at, dose)) in places(&library, &with) {
            let Some((was, less)) = before.get(&id) else {
                prop_assert!(false, "{} came with {}", id, CONDITIONS[more]);
                continue;
            };
            prop_assert!(at <= *was);
            prop_assert!(at < *was || no_more_work(&dose, less), "{}", id);
            prop_assert!(at < *was || amount::times(&dose) <= amount::times(less), "{}", id);
        }
    }

    #[test]
    fn a_bad_answer_brings_nothing_new_and_nothing_harder(person in person()) {
        let library = sample::library();
        let record = record(&library, &person);
        let program = sample::program(&library, &record);
        let worse = matches!(program.response, Recorded::Yes(r) if r > Response::Settled);
        let sheet = record.visits[0].issued.as_ref();
        let alone = only_loading_hurts(&library, &record, &program);
        if let (true, Some(sheet)) = (worse, sheet) {
            for item in items(&program) {
                let exercise = &library.exercises[&item.exercise];
                let last = sheet.items.iter().find(|last| last.exercise == item.exercise);
                // Work that loads, tolerable for its pain alone, holds back what loads and no more.
                let loads = answer::work_of(&library, exercise, &item.rung) == BandWork::Loaded;
                if alone && !loads {
                    continue;
                }
                prop_assert!(item.next.is_empty(), "{}", item.exercise);
                let Some(last) = last else {
                    let swap = sheet.items.iter().any(|old| {
                        let old = &library.exercises[&old.exercise];
                        old.swaps.contains(&exercise.id) && old.effort > exercise.effort
                    });
                    prop_assert!(swap || exercise.work == Work::Range, "{}", item.exercise);
                    continue;
                };
                let place = |rung| exercise.rung(rung).unwrap().0;
                prop_assert!(place(&item.rung) <= place(&last.rung), "{}", item.exercise);
                let free = exercise.work == Work::Range;
                prop_assert!(free || no_more_work(&item.dose, &last.dose), "{}", item.exercise);
                prop_assert!(free || amount::times(&item.dose) <= amount::times(&last.dose));
            }
        }
    }

    #[test]
    fn the_day_keeps_within_its_room(person in person(), items in 1_i64..=8, minutes in 5_i64..60) {
        let mut library = sample::library();
        library.clinic.items = sample::n(items);
        library.clinic.minutes_a_day = sample::n(minutes);
        let program = sample::program(&library, &record(&library, &person));
        prop_assert!(i64::try_from(program.items.len()).unwrap() <= items);
        prop_assert!(program.load.exercises <= minutes);
        for item in &program.items {
            let times = item.dose.times_a_day().map_or(0, Quantity::get);
            prop_assert_eq!(i64::try_from(item.slots.len()).unwrap(), times);
        }
    }

    #[test]
    fn shifting_all_dates_by_weeks_changes_nothing(person in person(), weeks in 1_u64..60) {
        let library = sample::library();
        let record = record(&library, &person);
        let here = sample::program(&library, &record);
        let there = sample::program(&library, &shifted(&record, weeks * 7));
        prop_assert!(undated(&here) == undated(&there));
    }

    #[test]
    fn after_the_wrong_side_the_sheet_is_the_first_one(person in person()) {
        let library = sample::library();
        let wrong = record(&library, &Person { put_right: PutRight::Side, ..person.clone() });
        let mut first = wrong.clone();
        first.corrections.clear();
        first.visits.remove(0);
        let after = sample::program(&library, &wrong);
        let first = sample::program(&library, &first);
        prop_assert_eq!(&after.items, &first.items);
        prop_assert_eq!(&after.background, &first.background);
        prop_assert_eq!(&after.daily, &first.daily);
        prop_assert_eq!(&after.facts, &first.facts);
        prop_assert!(after.gone.is_empty());
    }

    #[test]
    fn after_a_wrong_count_nothing_is_gone_on_from(person in person(), was in -20_i64..20) {
        let library = sample::library();
        let put_right = PutRight::Day(was);
        let record = record(&library, &Person { put_right, seen: None, ..person.clone() });
        let program = sample::program(&library, &record);
        let (_, phase) = library.procedure.phase(&program.phase).unwrap();
        let sheet = record.visits[0].issued.as_ref();
        for item in items(&program) {
            let exercise = &library.exercises[&item.exercise];
            let named = phase.candidates.iter().find(|named| named.exercise == item.exercise);
            let start = named.map_or(0, |named| exercise.rung(&named.rung).unwrap().0);
            let at = exercise.rung(&item.rung).unwrap().0;
            prop_assert!(at <= start, "{} at {}", item.exercise, item.rung);
            let last = sheet.and_then(|sheet| {
                sheet.items.iter().find(|last| last.exercise == item.exercise)
            });
            if let Some(last) = last {
                let before = exercise.rung(&last.rung).unwrap().0;
                prop_assert!(at <= before, "{} at {}", item.exercise, item.rung);
            }
        }
    }

    #[test]
    fn equal_inputs_give_equal_answers(person in person()) {
        let library = sample::library();
        let record = record(&library, &person);
        prop_assert_eq!(sample::verdict(&library, &record), sample::verdict(&library, &record));
    }

    #[test]
    fn every_date_has_an_answer(person in person(), day in -400_i64..4000) {
        let library = sample::library();
        let mut record = record(&library, &person);
        let at = record.visits.len() - 1;
        record.visits[at].date = sample::on(day);
        record.visits[at].phase = None;
        let verdict = sample::verdict(&library, &record);
        prop_assert!(!matches!(verdict, Verdict::Withheld(_)));
    }
}
