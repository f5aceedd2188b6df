#![doc = include_str!("d606_amount_done.md")]

use crate::domain::quantity::Quantity;
use crate::domain::record::Done;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Notice, RuleId};
use crate::domain::word::Did;
use crate::engine::case::{Case, Sheet};
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D606"),
    name: "amount-done",
    stage: Stage::Answer,
    since: "0.1",
    summary: "Tells when far more of the last sheet was done than asked, or nothing.",
    sources: &["practice"],
    doc: include_str!("d606_amount_done.md"),
};

/// Says whether nothing of the last sheet was done.
pub(crate) fn nothing(case: &Case<'_>) -> bool {
    case.last.is_some() && case.visit.did == Recorded::Yes(Did::None)
}

/// Leaves the notices.
pub(crate) fn note(case: &Case<'_>, last: Sheet<'_>, log: &mut Log) {
    let rule = RULE.id;
    if nothing(case) {
        log.notice(&RULE, Notice::NothingDone { rule });
    }
    let line = case.settings().far_more.get();
    let rows = case.visit.done.iter().filter(|row| !went_up(last, row));
    let most = rows.filter_map(percent).max();
    let most = most.filter(|percent| *percent >= line);
    if most.is_some() || case.visit.did == Recorded::Yes(Did::More) {
        let percent = Recorded::from(most);
        log.notice(&RULE, Notice::FarMoreDone { rule, percent });
    }
}

/// Says whether the stages of the sheet let the line go up: more than its first dose was asked.
fn went_up(last: Sheet<'_>, row: &Done) -> bool {
    let mut items = last.issued.items.iter();
    items.any(|item| item.exercise == row.exercise && !item.may_reach.is_empty())
}

/// Returns the share of a line that was done, in whole per cent rounded down.
pub(crate) fn percent(row: &Done) -> Option<i64> {
    match (row.done, row.asked) {
        (Recorded::Yes(done), Recorded::Yes(asked)) if asked > 0 => {
            done.saturating_mul(100).checked_div(asked)
        }
        (Recorded::Yes(_) | Recorded::NotRecorded, _) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::Record;
    use crate::domain::verdict::{Program, WhyNot};
    use crate::engine::sample;

    fn run(change: impl Fn(&mut Record)) -> Program {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("lift", "l1"), ("straight", "s1")]);
        change(&mut record);
        sample::program(&sample::library(), &record)
    }

    fn far_more(program: &Program) -> Option<Recorded<i64>> {
        program.notices.iter().find_map(|notice| {
            let Notice::FarMoreDone { percent, .. } = notice else {
                return None;
            };
            Some(*percent)
        })
    }

    #[test]
    fn far_more_is_said_calm_or_sore() {
        for pain in [2, 6, 9] {
            let program = run(|record| {
                record.visits[1].pain.exercise = sample::pain(Some(pain));
                record.visits[1].did = Recorded::Yes(Did::More);
            });
            assert_eq!(far_more(&program), Some(Recorded::NotRecorded), "{pain}");
        }
        assert_eq!(far_more(&run(|_| {})), None);
    }

    #[test]
    fn each_side_of_the_line() {
        let counted = |asked, done| {
            far_more(&run(|record| {
                let row = sample::done(record, 1, "lift");
                row.asked = Recorded::Yes(asked);
                row.done = Recorded::Yes(done);
            }))
        };
        assert_eq!(counted(100, 149), None);
        assert_eq!(counted(100, 150), Some(Recorded::Yes(150)));
        assert_eq!(counted(0, 150), None);
    }

    #[test]
    fn what_the_stages_let_go_up_is_not_far_more() {
        let program = run(|record| {
            sample::issued(record, 0).items[0].may_reach = vec![sample::id("l2")];
            let row = sample::done(record, 1, "lift");
            row.asked = Recorded::Yes(10);
            row.done = Recorded::Yes(30);
        });
        assert_eq!(far_more(&program), None);
    }

    #[test]
    fn nothing_done_asks_why_and_adds_nothing() {
        let program = run(|record| record.visits[1].did = Recorded::Yes(Did::None));
        let notice = Notice::NothingDone { rule: RULE.id };
        assert!(program.notices.contains(&notice));
        for new in ["rise", "bend", "push"] {
            assert_eq!(sample::left_out(&program, new), Some(WhyNot::NothingDone));
        }
        assert!(!run(|_| {}).notices.contains(&notice));
    }
}
