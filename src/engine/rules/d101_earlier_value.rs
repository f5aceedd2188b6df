#![doc = include_str!("d101_earlier_value.md")]

use crate::domain::fact::{Dated, FactValue, Facts};
use crate::domain::quantity::Quantity;
use crate::domain::verdict::{Notice, RuleId};
use crate::domain::word::{Fact, MissingRule, Word, YesNo};
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
    fill_block(case, facts, log);
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

/// Takes "no" for a block that was still there when it was last asked about, however long ago: a
/// test ends it and no date does. On days on which it must be known it is asked.
fn fill_block(case: &Case<'_>, facts: &mut Facts, log: &mut Log) {
    let fact = Fact::BlockGone;
    let asked = case.procedure().when_blank(fact, case.day) == Some(MissingRule::Ask);
    if asked || facts.get(fact).is_recorded() {
        return;
    }
    // Whichever side was typed: the block was in the leg that was operated.
    let mut told = case.history.iter().chain(&case.other_side);
    let told = told.find_map(|visit| Some((visit.date, visit.block_gone.known()?)));
    let Some((date, YesNo::No)) = told else {
        return;
    };
    let dated = Dated {
        value: FactValue::Word(YesNo::No.as_str().to_owned()),
        on: case.day_of(date),
    };
    facts.0.insert(fact, dated);
    let notice = Notice::EarlierTaken {
        rule: RULE.id,
        fact,
        days_ago: days_between(date, case.date),
    };
    log.notice(&RULE, notice);
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
    fn a_block_that_was_still_there_is_until_a_visit_says_that_it_is_gone() {
        let known = |day: i64, told: &[(i64, YesNo)]| {
            let mut record = sample::record(day);
            record.visits[0].block_gone = Recorded::NotRecorded;
            for (day, gone) in told {
                sample::earlier(&mut record, *day, &[]);
                let mut visits = record.visits.iter_mut();
                let visit = visits.find(|visit| visit.date == sample::on(*day));
                visit.unwrap().block_gone = Recorded::Yes(*gone);
            }
            let program = sample::program(&sample::library(), &record);
            let found = program.facts.0.get(&Fact::BlockGone);
            found.map(|dated| dated.value.clone())
        };
        let word = |word: &str| Some(FactValue::Word(word.to_owned()));
        let (yes, no) = (YesNo::Yes, YesNo::No);
        assert_eq!(known(20, &[(18, yes)]), word("yes"));
        assert_eq!(known(20, &[(18, no)]), word("no"));
        assert_eq!(known(40, &[(2, no)]), word("no"), "however long ago");
        assert_eq!(known(40, &[(2, no), (30, yes)]), word("yes"));
        assert_eq!(
            known(40, &[(2, no), (10, yes)]),
            None,
            "gone, and too old to name"
        );
        assert_eq!(known(40, &[]), None);
    }

    #[test]
    fn on_days_on_which_it_must_be_known_it_is_asked() {
        let mut record = sample::record(3);
        sample::earlier(&mut record, 1, &[]);
        record.visits[0].block_gone = Recorded::Yes(YesNo::No);
        record.visits[1].block_gone = Recorded::NotRecorded;
        assert!(!sample::questions(&sample::library(), &record).is_empty());
    }
}
