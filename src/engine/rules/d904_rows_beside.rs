#![doc = include_str!("d904_rows_beside.md")]

use crate::domain::verdict::RuleId;
use crate::domain::word::Row;
use crate::engine::dose::Dosed;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D904"),
    name: "rows-beside",
    stage: Stage::Plan,
    since: "0.1",
    summary: "Adds the rows beside the exercises: hourly work, walks, stairs.",
    sources: &["practice"],
    doc: include_str!("d904_rows_beside.md"),
};

/// Parts the rows beside the exercises into background and daily ones.
pub(crate) fn split<'a>(beside: Vec<Dosed<'a>>, log: &mut Log) -> (Vec<Dosed<'a>>, Vec<Dosed<'a>>) {
    if !beside.is_empty() {
        log.fire(&RULE);
    }
    beside
        .into_iter()
        .partition(|item| match item.dosing.exercise().row {
            Row::Background => true,
            Row::Exercise | Row::Daily | Row::Advice => false,
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    #[test]
    fn allowed_rows_stand_beside() {
        let program = sample::program(&sample::library(), &sample::record(10));
        assert_eq!(program.background.len(), 1);
        assert!(
            program
                .daily
                .iter()
                .any(|item| item.exercise == sample::id("stroll"))
        );
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn without_rows_it_is_silent() {
        let mut library = sample::library();
        for id in ["pump", "stroll", "aid"] {
            library.exercises.remove(&sample::id(id));
        }
        let program = sample::program(&library, &sample::record(10));
        assert!(!program.fired.contains(&RULE.id));
    }
}
