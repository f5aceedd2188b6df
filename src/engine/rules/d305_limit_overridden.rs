#![doc = include_str!("d305_limit_overridden.md")]

use chrono::NaiveDate;

use crate::domain::limit::{LiftedBy, Limit};
use crate::domain::record::LimitOverride;
use crate::domain::verdict::{Notice, RuleId};
use crate::engine::case::Case;
use crate::engine::dates::later;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D305"),
    name: "limit-overridden",
    stage: Stage::Limit,
    since: "0.1",
    summary: "Sets a limit aside that a named clinician has overridden for the whole sheet.",
    sources: &["practice"],
    doc: include_str!("d305_limit_overridden.md"),
};

/// Says whether a limit is set aside; one that is for too few days stands and is told.
pub(crate) fn sets_aside(case: &Case<'_>, limit: &Limit, log: &mut Log) -> bool {
    let Some(longest) = longest(case, limit) else {
        return false;
    };
    if longest.until < case.life.until {
        let notice = Notice::OverrideTooShort {
            rule: RULE.id,
            limit: limit.id.clone(),
            until: longest.until,
        };
        log.notice(&RULE, notice);
        return false;
    }
    log.fire(&RULE);
    log.overridden.push(longest.clone());
    true
}

/// Finds the override of a limit that lasts longest, of those known today.
fn longest<'a>(case: &Case<'a>, limit: &Limit) -> Option<&'a LimitOverride> {
    if limit.lifted_by() != LiftedBy::Clinician {
        return None;
    }
    let said = case.record.overrides.iter();
    said.filter(|said| said.limit == limit.id && said.on <= case.known && case.date <= said.until)
        .max_by_key(|said| said.until)
}

/// Returns the day after the last one on which a limit is set aside, when it is.
pub(crate) fn stands_again(case: &Case<'_>, limit: &Limit) -> Option<NaiveDate> {
    longest(case, limit).map(|said| later(said.until, 1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::{Record, Until};
    use crate::domain::verdict::Program;
    use crate::engine::sample;

    fn thin_bone(by: &str, limit: &str, until: i64) -> Record {
        let mut record = sample::record(10);
        sample::condition(&mut record, "thin-bone");
        record.overrides.push(LimitOverride {
            limit: sample::id(limit),
            by: by.to_owned(),
            on: sample::on(10),
            because: "Scan shows firm bone.".to_owned(),
            until: sample::on(until),
        });
        record
    }

    fn decided(record: &Record) -> Program {
        sample::program(&sample::library(), record)
    }

    #[test]
    fn it_counts_when_it_lasts_as_long_as_the_sheet() {
        let life = decided(&sample::record(10)).life;
        let last = 10 + (life.until - life.from).num_days();
        for (until, stands) in [(last - 1, true), (last, false), (last + 1, false)] {
            let program = decided(&thin_bone("PT-1", "thin-bone", until));
            assert_eq!(program.limits.len(), usize::from(stands), "{until}");
            assert_eq!(program.overridden.len(), usize::from(!stands), "{until}");
            assert_eq!(sample::has(&program, "poise"), !stands, "{until}");
            assert!(program.fired.contains(&RULE.id));
        }
    }

    #[test]
    fn one_that_is_too_short_is_told() {
        let program = decided(&thin_bone("PT-1", "thin-bone", 12));
        let notice = Notice::OverrideTooShort {
            rule: RULE.id,
            limit: sample::id("thin-bone"),
            until: sample::on(12),
        };
        assert!(program.notices.contains(&notice));
    }

    #[test]
    fn another_limit_a_later_word_and_a_past_one_change_nothing() {
        let mut tomorrow = thin_bone("PT-1", "thin-bone", 60);
        tomorrow.overrides[0].on = sample::on(11);
        let mut over = thin_bone("PT-1", "thin-bone", 9);
        over.overrides[0].on = sample::on(1);
        for record in [thin_bone("PT-1", "numb", 60), tomorrow, over] {
            let program = decided(&record);
            assert_eq!(program.limits.len(), 1);
            assert!(!program.fired.contains(&RULE.id));
        }
    }

    #[test]
    fn a_surgeons_hard_limit_is_not_the_clinicians_to_lift() {
        let mut record = thin_bone("PT-1", "cap", 60);
        record.orders.push(sample::cap(90, 1, Until::Open));
        let program = decided(&record);
        let caps = program.limits.iter().filter(|limit| limit.order.is_some());
        assert_eq!(caps.count(), 1);
        assert!(program.overridden.is_empty());
    }

    #[test]
    fn a_slipped_visit_ends_with_it() {
        let free = decided(&sample::record(10)).life;
        let last = 10 + (free.until - free.from).num_days();
        let life = decided(&thin_bone("PT-1", "thin-bone", last + 3)).life;
        assert_eq!(life.slip_until, sample::on(last + 3));
    }
}
