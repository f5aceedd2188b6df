#![doc = include_str!("d101_earlier_value.md")]

use crate::domain::fact::{Dated, FactValue, Facts};
use crate::domain::quantity::Quantity;
use crate::domain::verdict::{Notice, RuleId};
use crate::domain::word::{Fact, Word, YesNo};
use crate::engine::case::Case;
use crate::engine::dates::days_between;
use crate::engine::facts::{self, Known};
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D101"),
    name: "earlier-value",
    stage: Stage::Gate,
    since: "0.1",
    summary: "Takes an earlier measure when today has none, if it is not too old.",
    sources: &["practice"],
    doc: include_str!("d101_earlier_value.md"),
};

/// Fills facts not known today from earlier visits, the latest first.
pub(crate) fn fill(case: &Case<'_>, facts: &mut Facts, log: &mut Log) {
    for visit in &case.history {
        let days_ago = days_between(visit.date, case.date);
        if days_ago > case.settings().last_value_days.get() {
            break;
        }
        let mut known = facts::measured(visit);
        facts::derive(&mut known, &case.procedure().derives);
        for (fact, value) in &known {
            if facts.get(*fact).is_recorded() || !counts(case, facts, &known, *fact, value) {
                continue;
            }
            let dated = Dated {
                value: value.clone(),
                on: case.day_of(visit.date),
            };
            facts.0.insert(*fact, dated);
            if days_ago > 0 {
                let notice = Notice::EarlierTaken {
                    rule: RULE.id,
                    fact: *fact,
                    days_ago,
                };
                log.notice(&RULE, notice);
            }
        }
    }
}

/// Says whether an earlier value may stand: nothing it hangs on has changed since.
fn counts(case: &Case<'_>, facts: &Facts, then: &Known, fact: Fact, value: &FactValue) -> bool {
    let block_still_there =
        fact == Fact::BlockGone && *value == FactValue::Word(YesNo::No.as_str().to_owned());
    let changed = case
        .procedure()
        .derives
        .iter()
        .filter(|derive| derive.fact == fact)
        .any(|derive| {
            let now = facts.0.get(&derive.when.fact).map(|dated| &dated.value);
            now.is_some() && now != then.get(&derive.when.fact)
        });
    !block_still_there && !changed
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::quantity::Degrees;
    use crate::domain::recorded::Recorded;
    use crate::engine::sample;

    fn ask(days_ago: i64) -> (bool, bool) {
        let library = sample::library();
        let mut record = sample::record(20);
        sample::earlier(&mut record, 20 - days_ago, &[]);
        record.visits[0].measured.flexion = Recorded::Yes(Degrees::new(84).unwrap());
        let program = sample::program(&library, &record);
        let known = program.facts.get(Fact::Flexion).is_recorded();
        (known, program.fired.contains(&RULE.id))
    }

    #[test]
    fn an_earlier_measure_counts_up_to_the_line() {
        assert_eq!(ask(13), (true, true));
        assert_eq!(ask(14), (true, true));
    }

    #[test]
    fn an_old_measure_does_not_count() {
        assert_eq!(ask(15), (false, false));
    }

    #[test]
    fn a_value_falls_when_what_it_hangs_on_has_changed() {
        let library = sample::library();
        let mut record = sample::record(20);
        sample::earlier(&mut record, 12, &[]);
        record.visits[0].measured.leg_lift =
            Recorded::Yes(crate::domain::word::LegLift::AloneStraight);
        record.visits[1].measured.leg_lift = Recorded::Yes(crate::domain::word::LegLift::No);
        let program = sample::program(&library, &record);
        assert!(!program.facts.get(Fact::Lag).is_recorded());
    }

    #[test]
    fn a_block_that_was_still_there_may_be_gone_now() {
        use crate::domain::word::YesNo;

        for (then, known) in [(YesNo::Yes, true), (YesNo::No, false)] {
            let mut record = sample::record(20);
            sample::earlier(&mut record, 18, &[]);
            record.visits[0].block_gone = Recorded::Yes(then);
            record.visits[1].block_gone = Recorded::NotRecorded;
            let program = sample::program(&sample::library(), &record);
            assert_eq!(program.facts.get(Fact::BlockGone).is_recorded(), known);
        }
    }
}
