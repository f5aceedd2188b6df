#![doc = include_str!("d801_best_set.md")]

use crate::domain::verdict::{RuleId, WhyNot};
use crate::engine::allow::Bar;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D801"),
    name: "best-set",
    stage: Stage::Choose,
    since: "0.1",
    summary: "Chooses the set of exercises that serves this person most.",
    sources: &["practice"],
    doc: include_str!("d801_best_set.md"),
};

/// Returns the reason for a candidate that would fit and still serves less.
pub(crate) const fn bar() -> Bar {
    Bar {
        reason: WhyNot::LessNeeded,
        rule: RULE.id,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::quantity::{Items, Quantity};
    use crate::domain::word::ScreenAnswer;
    use crate::engine::sample;

    #[test]
    fn core_domains_come_first() {
        let mut library = sample::library();
        library.clinic.items = Items::nearest(2);
        let program = sample::program(&library, &sample::record(10));
        assert!(program.fired.contains(&RULE.id));
        let core = &library.procedure.phases[0].core;
        for domain in core {
            assert!(program.items.iter().any(|item| {
                library.exercises[&item.exercise]
                    .domains
                    .contains_key(domain)
            }));
        }
    }

    #[test]
    fn without_a_program_it_is_silent() {
        let mut record = sample::record(10);
        sample::answer(&mut record, "clot", ScreenAnswer::Yes);
        let verdict = sample::verdict(&sample::library(), &record);
        assert!(matches!(
            verdict,
            crate::domain::verdict::Verdict::Withheld(_)
        ));
    }

    #[test]
    fn what_adds_nothing_is_less_needed() {
        let mut library = sample::library();
        sample::exercise(&mut library, "push").domains.clear();
        let program = sample::program(&library, &sample::record(10));
        assert_eq!(sample::left_out(&program, "push"), Some(WhyNot::LessNeeded));
    }
}
