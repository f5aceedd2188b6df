//! What must hold of the stages of many made-up people with no next visit.

use proptest::prelude::*;

use crate::domain::library::Library;
use crate::domain::quantity::Quantity;
use crate::domain::record::{NextVisit, Record, Until};
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{LimitInForce, Program};
use crate::domain::word::{Response, YesNo};
use crate::engine::dates::{days_between, each};
use crate::engine::sample;

use super::compare::{items, keeps};
use super::people::{self, Person, person};

fn record(library: &Library, person: &Person) -> Record {
    let mut record = people::record(library, person);
    let visit = record.visits.last_mut().unwrap();
    visit.next_visit = Recorded::Yes(NextVisit::None);
    record
}

/// Says whether a limit of the sheet still stands on a day; none begins while the sheet lives.
fn stands(limit: &LimitInForce, date: chrono::NaiveDate) -> bool {
    match limit.until {
        Until::Date(last) => date <= last,
        Until::Asked | Until::Open => true,
    }
}

fn staged(person: &Person) -> (Library, Program) {
    let library = sample::library();
    let program = sample::program(&library, &record(&library, person));
    (library, program)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn no_stage_passes_a_limit_on_any_of_its_days(person in person()) {
        let (library, program) = staged(&person);
        for stage in &program.stages {
            for line in &stage.lines {
                let exercise = &library.exercises[&line.exercise];
                let (_, rung) = exercise.rung(&line.rung).unwrap();
                for date in each(stage.from, program.life.until) {
                    for limit in program.limits.iter().filter(|limit| stands(limit, date)) {
                        let kept = keeps(exercise, rung, &line.dose, limit);
                        prop_assert!(kept, "{} {:?} on {}", line.exercise, limit, date);
                    }
                }
            }
        }
    }

    #[test]
    fn no_stage_brings_an_exercise_or_a_load(person in person()) {
        let (library, program) = staged(&person);
        for line in program.stages.iter().flat_map(|stage| &stage.lines) {
            let item = items(&program).find(|item| item.exercise == line.exercise).unwrap();
            let exercise = &library.exercises[&line.exercise];
            let loaded = |id| exercise.rung(id).unwrap().1.loaded == YesNo::Yes;
            prop_assert!(!loaded(&line.rung) || loaded(&item.rung), "{}", line.exercise);
            prop_assert_eq!(line.dose.load_g, item.dose.load_g);
            prop_assert_eq!(line.dose.band, item.dose.band);
            prop_assert_eq!(line.dose.support, item.dose.support);
            prop_assert_eq!(line.dose.often, item.dose.often);
            prop_assert_eq!(line.dose.days_a_week, item.dose.days_a_week);
        }
    }

    #[test]
    fn stages_climb_one_rung_at_a_time_and_never_go_back(person in person()) {
        let (library, program) = staged(&person);
        let rules = library.procedure.settings.stages;
        let ahead = library.procedure.settings.look_ahead_rungs;
        prop_assert!(program.stages.len() != 1);
        prop_assert!(i64::try_from(program.stages.len()).unwrap() <= rules.most.get());
        for pair in program.stages.windows(2) {
            prop_assert!(days_between(pair[0].from, pair[1].from) >= rules.days.get());
            prop_assert!(pair[1].ring_by > pair[1].from && pair[1].ring_by <= program.life.until);
            let mut raised = 0;
            for (was, now) in pair[0].lines.iter().zip(&pair[1].lines) {
                prop_assert_eq!(&was.exercise, &now.exercise);
                let at = |id| library.exercises[&was.exercise].rung(id).unwrap().0;
                let up = at(&now.rung) - at(&was.rung);
                prop_assert!(up <= 1);
                prop_assert_eq!(up == 0, now.steps.is_empty());
                raised += i64::try_from(up).unwrap();
                let last = now.steps.last().map(|step| &step.after);
                prop_assert!(last.is_none_or(|last| last.dose == now.dose && last.rung == now.rung));
                let first = now.steps.first().and_then(|step| step.before.as_ref());
                prop_assert!(first.is_none_or(|first| first.dose == was.dose));
            }
            prop_assert!((1..=rules.raised_most.get()).contains(&raised));
        }
        for item in items(&program) {
            let reach = i64::try_from(program.may_reach(item).len()).unwrap();
            prop_assert!(reach <= ahead.unloaded.get());
            prop_assert!(program.stages.is_empty() || item.next.is_empty());
        }
    }

    #[test]
    fn a_worse_answer_never_brings_more_stages(person in person()) {
        let library = sample::library();
        let mut before = usize::MAX;
        for pain in 0..=10 {
            let asked = Person { pain: Some(pain), ..person.clone() };
            let program = sample::program(&library, &record(&library, &asked));
            let worse = matches!(program.response, Recorded::Yes(r) if r > Response::Settled);
            prop_assert!(!worse || program.stages.is_empty());
            prop_assert!(program.stages.len() <= before, "pain {}", pain);
            before = program.stages.len();
        }
    }
}
