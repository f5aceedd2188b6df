#![doc = include_str!("d404_position.md")]

use crate::domain::exercise::Exercise;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Notice, RuleId, WhyNot};
use crate::engine::allow::Bar;
use crate::engine::case::Case;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D404"),
    name: "position",
    stage: Stage::Allow,
    since: "0.1",
    summary: "Leaves out exercises in a position the person cannot take.",
    sources: &["practice"],
    doc: include_str!("d404_position.md"),
};

/// Returns the bar when the position is not possible.
pub(crate) fn bar(case: &Case<'_>, exercise: &Exercise, log: &mut Log) -> Option<Bar> {
    match &case.patient().positions_no {
        Recorded::Yes(no) => no.contains(&exercise.position).then_some(Bar {
            reason: WhyNot::Position {
                position: exercise.position,
            },
            rule: RULE.id,
        }),
        Recorded::NotRecorded => {
            log.notice(
                &RULE,
                Notice::Blank {
                    rule: RULE.id,
                    key: "positions_no",
                },
            );
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::word::Position;
    use crate::engine::sample;

    #[test]
    fn a_position_that_is_not_possible_bars() {
        let mut record = sample::record(10);
        record.visits[0].patient.positions_no = Recorded::Yes([Position::Sitting].into());
        let program = sample::program(&sample::library(), &record);
        let reason = WhyNot::Position {
            position: Position::Sitting,
        };
        assert_eq!(sample::left_out(&program, "rise"), Some(reason));
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn an_empty_list_is_silent() {
        let program = sample::program(&sample::library(), &sample::record(10));
        assert!(!program.fired.contains(&RULE.id));
    }

    #[test]
    fn a_blank_leaves_a_notice() {
        let mut record = sample::record(10);
        record.visits[0].patient.positions_no = Recorded::NotRecorded;
        let program = sample::program(&sample::library(), &record);
        assert!(sample::has(&program, "rise"));
        let notice = Notice::Blank {
            rule: RULE.id,
            key: "positions_no",
        };
        assert!(program.notices.contains(&notice));
    }
}
