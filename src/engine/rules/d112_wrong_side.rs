#![doc = include_str!("d112_wrong_side.md")]

use crate::domain::verdict::{Notice, RuleId};
use crate::engine::case::Case;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D112"),
    name: "wrong-side",
    stage: Stage::Gate,
    since: "0.1",
    summary: "Leaves out the visits that were of the wrong side.",
    sources: &["practice"],
    doc: include_str!("d112_wrong_side.md"),
};

/// Leaves the notice when visits were left out.
pub(crate) fn note(case: &Case<'_>, log: &mut Log) {
    let mut visits: Vec<i64> = case.other_side.iter().map(|visit| visit.n).collect();
    visits.sort_unstable();
    if !visits.is_empty() {
        let rule = RULE.id;
        log.notice(&RULE, Notice::WrongSide { rule, visits });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::recorded::Recorded;
    use crate::domain::verdict::{Mark, Verdict};
    use crate::domain::word::{Fact, LegLift, ScreenAnswer};
    use crate::engine::sample;

    fn third(visits: i64) -> crate::domain::record::Record {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 3, &[("bend", "b2"), ("rise", "r2")]);
        sample::earlier(&mut record, 6, &[("bend", "b3"), ("rise", "r3")]);
        record.visits[1].measured.flexion = sample::degrees(Some(84));
        record.corrections.push(sample::side_put_right(visits));
        record
    }

    #[test]
    fn nothing_of_the_wrong_side_counts() {
        let record = third(2);
        let program = sample::program(&sample::library(), &record);
        let visits = vec![1, 2];
        let notice = Notice::WrongSide {
            rule: RULE.id,
            visits,
        };
        assert!(program.notices.contains(&notice));
        assert!(!program.facts.get(Fact::Flexion).is_recorded());
        assert_eq!(program.response, Recorded::NotRecorded);
        assert!(program.items.iter().all(|item| item.mark == Mark::First));
        assert!(program.gone.is_empty());
        let first = sample::program(&sample::library(), &sample::record(10));
        assert_eq!(program.items, first.items);
    }

    #[test]
    fn a_visit_after_the_correction_counts() {
        let program = sample::program(&sample::library(), &third(1));
        let visits = vec![1];
        let notice = Notice::WrongSide {
            rule: RULE.id,
            visits,
        };
        assert!(program.notices.contains(&notice));
        assert!(program.facts.get(Fact::Flexion).is_recorded());
        assert_ne!(sample::item(&program, "bend").mark, Mark::First);
    }

    #[test]
    fn what_was_there_on_the_wrong_side_is_not_taken_for_lost() {
        let mut record = third(2);
        record.visits[0].measured.leg_lift = Recorded::Yes(LegLift::WithHelp);
        sample::answer(&mut record, "lift-lost", ScreenAnswer::Yes);
        let verdict = sample::verdict(&sample::library(), &record);
        assert!(
            matches!(verdict, Verdict::Withheld(_)),
            "nobody has looked at this leg: it counts"
        );
    }

    #[test]
    fn a_red_flag_nobody_assessed_is_not_forgotten() {
        let mut record = third(2);
        record.visits[1].issued = None;
        if let Recorded::Yes(screen) = &mut record.visits[1].screen {
            screen.insert(sample::id("clot"), ScreenAnswer::Yes);
        }
        let verdict = sample::verdict(&sample::library(), &record);
        assert!(matches!(verdict, Verdict::Withheld(_)));
    }

    #[test]
    fn without_a_correction_it_is_silent() {
        let mut record = third(2);
        record.corrections.clear();
        let program = sample::program(&sample::library(), &record);
        assert!(!program.fired.contains(&RULE.id));
        record.corrections.push(sample::side_put_right(0));
        let program = sample::program(&sample::library(), &record);
        assert!(!program.fired.contains(&RULE.id), "no visit stood then");
    }
}
