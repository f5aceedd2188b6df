#![doc = include_str!("d405_equipment.md")]

use std::collections::BTreeSet;

use crate::domain::ids::{EquipmentId, Id};
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Notice, RuleId, WhyNot};
use crate::domain::word::YesNo;
use crate::engine::allow::Bar;
use crate::engine::case::Case;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D405"),
    name: "equipment",
    stage: Stage::Allow,
    since: "0.1",
    summary: "Leaves out what the home has no equipment for.",
    sources: &["practice"],
    doc: include_str!("d405_equipment.md"),
};

/// The one thing the home's own answers speak of.
const BED: &str = "bed";

/// Returns the bar for the first thing that is missing.
pub(crate) fn bar(case: &Case<'_>, needs: &BTreeSet<EquipmentId>, log: &mut Log) -> Option<Bar> {
    let missing = needs.iter().find(|thing| !at_home(case, thing, log))?;
    Some(Bar {
        reason: WhyNot::NoEquipment {
            equipment: missing.clone(),
        },
        rule: RULE.id,
    })
}

/// Says whether something is at home; what nobody asked about is not, save for a usual kit.
pub(crate) fn at_home(case: &Case<'_>, thing: &EquipmentId, log: &mut Log) -> bool {
    if thing.as_str() == BED
        && let Recorded::Yes(home) = case.patient().home
        && let Recorded::Yes(bed) = home.bed
    {
        return bed == YesNo::Yes;
    }
    match &case.patient().equipment {
        Recorded::Yes(kit) => kit.contains(thing),
        Recorded::NotRecorded => {
            log.notice(
                &RULE,
                Notice::Blank {
                    rule: RULE.id,
                    key: "equipment",
                },
            );
            case.settings().kit_if_unasked.contains(thing)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    #[test]
    fn what_the_home_has_not_got_is_left_out() {
        let mut record = sample::record(10);
        record.visits[0].patient.equipment = Recorded::Yes(BTreeSet::new());
        let program = sample::program(&sample::library(), &record);
        let reason = WhyNot::NoEquipment {
            equipment: sample::id("chair"),
        };
        assert_eq!(sample::left_out(&program, "rise"), Some(reason));
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn what_it_has_is_silent() {
        let mut record = sample::record(10);
        record.visits[0].patient.equipment =
            Recorded::Yes([sample::id("chair"), sample::id("weight")].into());
        let program = sample::program(&sample::library(), &record);
        assert!(sample::has(&program, "rise"));
        assert!(!program.fired.contains(&RULE.id));
    }

    #[test]
    fn unasked_only_the_plain_kit_is_assumed() {
        let mut record = sample::record(10);
        record.visits[0].patient.equipment = Recorded::NotRecorded;
        let program = sample::program(&sample::library(), &record);
        assert!(sample::has(&program, "rise"));
        let notice = Notice::Blank {
            rule: RULE.id,
            key: "equipment",
        };
        assert!(program.notices.contains(&notice));
    }
}
