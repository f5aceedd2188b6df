#![doc = include_str!("d105_flag_raised.md")]

use crate::domain::procedure::RedFlag;
use crate::domain::verdict::{FlagRaised, RaisedBy, RuleId};
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D105"),
    name: "flag-raised",
    stage: Stage::Gate,
    since: "0.1",
    summary: "Raises a red flag that is new or worse and that nobody has assessed.",
    sources: &["practice"],
    doc: include_str!("d105_flag_raised.md"),
};

/// Raises the flag.
pub(crate) fn raise(flag: &RedFlag, why: RaisedBy, log: &mut Log) -> FlagRaised {
    log.fire(&RULE);
    FlagRaised {
        flag: flag.id.clone(),
        level: flag.level,
        effect: flag.effect,
        rule: RULE.id,
        why,
    }
}

#[cfg(test)]
mod tests {
    use crate::domain::recorded::Recorded;
    use crate::domain::verdict::Verdict;
    use crate::domain::word::ScreenAnswer;
    use crate::engine::sample;

    #[test]
    fn a_flag_that_withholds_wins_over_questions() {
        let mut record = sample::record(9);
        sample::answer(&mut record, "clot", ScreenAnswer::Yes);
        sample::answer(&mut record, "tired", ScreenAnswer::Yes);
        record.visits[0].patient.conditions = Recorded::NotRecorded;
        let Verdict::Withheld(page) = sample::verdict(&sample::library(), &record) else {
            panic!("withheld");
        };
        let flags: Vec<String> = page
            .flags
            .iter()
            .map(|flag| flag.flag.to_string())
            .collect();
        assert_eq!(flags, ["clot", "tired"]);
    }

    #[test]
    fn a_flag_that_restricts_leaves_a_program() {
        let mut record = sample::record(9);
        sample::answer(&mut record, "wound", ScreenAnswer::Yes);
        let program = sample::program(&sample::library(), &record);
        assert_eq!(program.flags.len(), 1);
    }

    #[test]
    fn no_sign_raises_nothing() {
        let program = sample::program(&sample::library(), &sample::record(9));
        assert!(program.flags.is_empty());
    }
}
