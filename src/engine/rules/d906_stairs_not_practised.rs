#![doc = include_str!("d906_stairs_not_practised.md")]

use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Notice, RuleId};
use crate::domain::word::YesNo;
use crate::engine::case::Case;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D906"),
    name: "stairs-not-practised",
    stage: Stage::Plan,
    since: "0.1",
    summary: "Warns when there are stairs at home that nobody has seen practised.",
    sources: &["practice"],
    doc: include_str!("d906_stairs_not_practised.md"),
};

/// Leaves the notice.
pub(crate) fn note(case: &Case<'_>, log: &mut Log) {
    let Recorded::Yes(home) = case.patient().home else {
        return;
    };
    let practised = std::iter::once(case.visit)
        .chain(case.history.iter().copied())
        .find_map(|visit| visit.measured.stairs_practised.known());
    if home.stairs == Recorded::Yes(YesNo::Yes) && practised != Some(YesNo::Yes) {
        log.notice(&RULE, Notice::StairsNotPractised { rule: RULE.id });
    }
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
