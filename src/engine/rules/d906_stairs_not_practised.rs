#![doc = include_str!("d906_stairs_not_practised.md")]

use crate::domain::ids::LimitId;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{LeftOut, Notice, RuleId, WhyNot};
use crate::domain::word::{Fact, YesNo};
use crate::engine::case::Case;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D906"),
    name: "stairs-not-practised",
    stage: Stage::Plan,
    since: "0.1",
    summary: "Warns of stairs at home that nobody has seen practised or that a limit forbids.",
    sources: &["practice"],
    doc: include_str!("d906_stairs_not_practised.md"),
};

/// Leaves the notice.
pub(crate) fn note(case: &Case<'_>, left_out: &[LeftOut], log: &mut Log) {
    let Recorded::Yes(home) = case.patient().home else {
        return;
    };
    let practised = std::iter::once(case.visit)
        .chain(case.history.iter().copied())
        .find_map(|visit| visit.measured.stairs_practised.known());
    if home.stairs != Recorded::Yes(YesNo::Yes) {
        return;
    }
    if practised != Some(YesNo::Yes) {
        log.notice(&RULE, Notice::StairsNotPractised { rule: RULE.id });
    } else if let Some(limit) = forbidden(case, left_out) {
        let limit = limit.clone();
        log.notice(
            &RULE,
            Notice::StairsForbidden {
                rule: RULE.id,
                limit,
            },
        );
    }
}

/// Finds the limit that keeps off the sheet what waits for stairs that were practised.
fn forbidden<'a>(case: &Case<'_>, left_out: &'a [LeftOut]) -> Option<&'a LimitId> {
    let climbs = |left: &&LeftOut| {
        let exercise = case.library.exercises.get(&left.exercise);
        let mut entry = exercise.into_iter().flat_map(|exercise| &exercise.entry);
        entry.any(|test| test.fact == Fact::StairsPractised)
    };
    let mut all = left_out.iter().filter(climbs);
    all.find_map(|left| match &left.reason {
        WhyNot::Forbidden { limit }
        | WhyNot::DemandUnknown { limit }
        | WhyNot::ClippedAway { limit, .. } => Some(limit),
        WhyNot::NotYet { .. }
        | WhyNot::DoneWith { .. }
        | WhyNot::NoEquipment { .. }
        | WhyNot::Position { .. }
        | WhyNot::SameFamily { .. }
        | WhyNot::NoRoom { .. }
        | WhyNot::NoMinutes { .. }
        | WhyNot::LessNeeded
        | WhyNot::NothingNew { .. }
        | WhyNot::FlagNarrows { .. }
        | WhyNot::NothingDone
        | WhyNot::AboveReported { .. }
        | WhyNot::Clinician { .. }
        | WhyNot::NotTaught
        | WhyNot::NotOrdered { .. }
        | WhyNot::KeptByReview { .. }
        | WhyNot::VoidSheet { .. } => None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::Home;
    use crate::engine::sample;

    fn warns(stairs: Recorded<YesNo>, practised: [Option<YesNo>; 2]) -> bool {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("bend", "b1")]);
        for (visit, practised) in record.visits.iter_mut().zip(practised) {
            visit.patient.home = Recorded::Yes(Home {
                alone: Recorded::NotRecorded,
                stairs,
                bed: Recorded::NotRecorded,
                floor_safe: Recorded::NotRecorded,
            });
            visit.measured.stairs_practised = Recorded::from(practised);
        }
        let program = sample::program(&sample::library(), &record);
        let notice = Notice::StairsNotPractised { rule: RULE.id };
        assert_eq!(
            program.notices.contains(&notice),
            program.fired.contains(&RULE.id)
        );
        program.notices.contains(&notice)
    }

    #[test]
    fn stairs_nobody_practised_are_warned_of() {
        assert!(warns(Recorded::Yes(YesNo::Yes), [None, None]));
        assert!(warns(
            Recorded::Yes(YesNo::Yes),
            [Some(YesNo::Yes), Some(YesNo::No)]
        ));
    }

    #[test]
    fn practised_once_or_no_stairs_is_silent() {
        assert!(!warns(Recorded::Yes(YesNo::Yes), [Some(YesNo::Yes), None]));
        assert!(!warns(Recorded::Yes(YesNo::No), [None, None]));
        assert!(!warns(Recorded::NotRecorded, [None, None]));
    }
}
