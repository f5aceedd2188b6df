#![doc = include_str!("d805_core_empty.md")]

use crate::domain::quantity::Quantity;
use crate::domain::verdict::{Notice, RuleId};
use crate::engine::dose::Dosed;
use crate::engine::log::Log;
use crate::engine::need::{Needs, STANDS_FOR};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D805"),
    name: "core-empty",
    stage: Stage::Choose,
    since: "0.1",
    summary: "Warns when no exercise of the sheet serves a core domain.",
    sources: &["practice"],
    doc: include_str!("d805_core_empty.md"),
};

/// Leaves the notices.
pub(crate) fn note(needs: &Needs, inside: &[Dosed<'_>], log: &mut Log) {
    for domain in &needs.core {
        let served = inside
            .iter()
            .filter_map(|item| item.dosing.exercise().domains.get(domain))
            .any(|weight| weight.get() >= STANDS_FOR);
        if !served {
            let notice = Notice::CoreEmpty {
                rule: RULE.id,
                domain: domain.clone(),
            };
            log.notice(&RULE, notice);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::word::AdjustAction;
    use crate::engine::sample;

    #[test]
    fn an_empty_core_domain_warns() {
        let mut record = sample::record(10);
        for id in ["bend", "straight"] {
            sample::adjust(&mut record, id, AdjustAction::LeaveOut, None);
        }
        let program = sample::program(&sample::library(), &record);
        let notice = Notice::CoreEmpty {
            rule: RULE.id,
            domain: sample::id("range"),
        };
        assert!(program.notices.contains(&notice));
    }

    #[test]
    fn a_full_core_is_silent() {
        let program = sample::program(&sample::library(), &sample::record(10));
        assert!(!program.fired.contains(&RULE.id));
    }
}
