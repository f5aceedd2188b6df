#![doc = include_str!("d802_one_of_a_family.md")]

use crate::domain::verdict::{RuleId, WhyNot};
use crate::engine::allow::Bar;
use crate::engine::dose::Dosed;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D802"),
    name: "one-of-a-family",
    stage: Stage::Choose,
    since: "0.1",
    summary: "Holds at most one exercise of a family on a sheet.",
    sources: &["practice"],
    doc: include_str!("d802_one_of_a_family.md"),
};

/// Returns the bar when a relative stands on the sheet.
pub(crate) fn bar(item: &Dosed<'_>, inside: &[Dosed<'_>]) -> Option<Bar> {
    let family = item.dosing.exercise().family.as_ref()?;
    let relative = inside
        .iter()
        .map(|chosen| chosen.dosing.exercise())
        .find(|chosen| chosen.family.as_ref() == Some(family))?;
    Some(Bar {
        reason: WhyNot::SameFamily {
            instead: relative.id.clone(),
        },
        rule: RULE.id,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn both(family: bool) -> (usize, bool) {
        let mut library = sample::library();
        if family {
            for id in ["lift", "push"] {
                sample::exercise(&mut library, id).family = Some(sample::id("lifting"));
            }
        }
        let program = sample::program(&library, &sample::record(10));
        let count = ["lift", "push"]
            .iter()
            .filter(|id| sample::has(&program, id))
            .count();
        (count, program.fired.contains(&RULE.id))
    }

    #[test]
    fn one_of_a_family() {
        assert_eq!(both(true), (1, true));
    }

    #[test]
    fn no_family_no_matter() {
        assert_eq!(both(false), (2, false));
    }
}
