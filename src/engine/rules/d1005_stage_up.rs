#![doc = include_str!("d1005_stage_up.md")]

use crate::domain::verdict::{Given, RuleId, Step, Why};
use crate::engine::dose::{Dosing, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D1005"),
    name: "stage-up",
    stage: Stage::Ahead,
    since: "0.1",
    summary: "Lets a few lines go up one rung at each stage.",
    sources: &["practice"],
    doc: include_str!("d1005_stage_up.md"),
};

/// Starts a line at the next rung, the step told.
pub(crate) fn start(dosing: &Dosing<'_>, before: Given, at: usize, why: Why) -> Option<Working> {
    dosing.exercise().rungs.get(at)?.lever?;
    let after = dosing.given(at)?;
    let step = Step {
        rule: RULE.id,
        before: Some(before),
        after: after.clone(),
        why,
    };
    Some(Working {
        given: Some(after),
        steps: vec![step],
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::{NextVisit, Record};
    use crate::domain::recorded::Recorded;
    use crate::domain::verdict::Program;
    use crate::domain::word::Seen;
    use crate::engine::sample;

    fn staged(lines: &[(&str, &str)], change: impl Fn(&mut Record)) -> Program {
        let mut record = sample::record(40);
        sample::earlier(&mut record, 30, lines);
        record.visits[1].measured.lag = sample::degrees(Some(0));
        record.visits[1].phase = Some(sample::stay("middle"));
        record.visits[1].next_visit = Recorded::Yes(NextVisit::None);
        change(&mut record);
        let mut library = sample::library();
        library.procedure.settings.stages.raised_most = sample::n(8);
        sample::program(&library, &record)
    }

    fn rungs(program: &Program, exercise: &str) -> Vec<String> {
        let lines = program.stages.iter().flat_map(|stage| &stage.lines);
        lines
            .filter(|line| line.exercise == sample::id(exercise))
            .map(|line| line.rung.to_string())
            .collect()
    }

    #[test]
    fn unloaded_work_goes_up_one_rung_a_stage() {
        let program = staged(&[("bend", "b1")], |record| {
            record.visits[1].did = Recorded::Yes(crate::domain::word::Did::Half);
        });
        assert_eq!(rungs(&program, "bend"), ["b1", "b2", "b3", "b4"]);
        assert!(program.fired.contains(&RULE.id));
        let item = sample::item(&program, "bend");
        assert!(
            item.next.is_empty(),
            "stages stand in the place of next rungs"
        );
        let reach: Vec<String> = program
            .may_reach(item)
            .iter()
            .map(ToString::to_string)
            .collect();
        assert_eq!(reach, ["b2", "b3", "b4"]);
    }

    #[test]
    fn a_first_load_never_comes_alone_and_seen_work_adds_repetitions_only() {
        let seen = |how: Seen| {
            move |record: &mut Record| {
                sample::done(record, 1, "lift").seen = Recorded::Yes(how);
                record.visits[1].did = Recorded::Yes(crate::domain::word::Did::Half);
            }
        };
        for rung in rungs(&staged(&[("lift", "l4")], seen(Seen::Yes)), "lift") {
            assert_eq!(rung, "l4");
        }
        let up = rungs(&staged(&[("lift", "l5")], seen(Seen::Yes)), "lift");
        assert_eq!(up.first().map(String::as_str), Some("l5"));
        assert_eq!(up.last().map(String::as_str), Some("l6"));
        for rung in rungs(&staged(&[("lift", "l5")], seen(Seen::Corrected)), "lift") {
            assert_eq!(rung, "l5");
        }
    }

    #[test]
    fn nobody_takes_a_hand_away_alone() {
        let program = staged(&[("rise", "r2"), ("bend", "b1")], |record| {
            record.visits[1].did = Recorded::Yes(crate::domain::word::Did::Half);
        });
        for rung in rungs(&program, "rise") {
            assert_eq!(rung, "r2");
        }
    }

    #[test]
    fn with_a_visit_it_is_silent() {
        let program = staged(&[("bend", "b1")], |record| {
            record.visits[1].next_visit = Recorded::Yes(NextVisit::Date(sample::on(54)));
        });
        assert!(program.stages.is_empty() && !program.fired.contains(&RULE.id));
        assert!(!sample::item(&program, "bend").next.is_empty());
    }
}
