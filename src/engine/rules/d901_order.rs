#![doc = include_str!("d901_order.md")]

use crate::domain::quantity::Effort;
use crate::domain::verdict::RuleId;
use crate::domain::word::{Position, Word};
use crate::engine::dose::Dosed;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D901"),
    name: "order",
    stage: Stage::Plan,
    since: "0.1",
    summary: "Puts the exercises in order: positions together, hard and easy in turn, the easiest last.",
    sources: &["practice"],
    doc: include_str!("d901_order.md"),
};

/// Orders the exercises of the sheet.
pub(crate) fn order<'a>(chosen: &[Dosed<'a>], log: &mut Log) -> Vec<Dosed<'a>> {
    if chosen.len() > 1 {
        log.fire(&RULE);
    }
    let mut ordered = Vec::new();
    for position in Position::ALL {
        let group: Vec<Dosed<'a>> = chosen
            .iter()
            .filter(|item| item.dosing.exercise().position == *position)
            .cloned()
            .collect();
        ordered.extend(in_turn(group));
    }
    ordered
}

fn effort(item: &Dosed<'_>) -> Effort {
    item.dosing.exercise().effort
}

/// Takes the hardest and an easier one in turn; the easiest ends the group.
fn in_turn(mut group: Vec<Dosed<'_>>) -> Vec<Dosed<'_>> {
    group.sort_by(|one, other| {
        let ids = || one.dosing.exercise().id.cmp(&other.dosing.exercise().id);
        effort(other).cmp(&effort(one)).then_with(ids)
    });
    let last = group.pop();
    let mut left: std::collections::VecDeque<Dosed<'_>> = group.into();
    let mut ordered = Vec::new();
    while let Some(hard) = left.pop_front() {
        ordered.push(hard);
        ordered.extend(left.pop_back());
    }
    ordered.extend(last);
    ordered
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    #[test]
    fn positions_stand_together_and_the_easiest_ends_each() {
        let library = sample::library();
        let program = sample::program(&library, &sample::record(10));
        let positions: Vec<Position> = program
            .items
            .iter()
            .map(|item| library.exercises[&item.exercise].position)
            .collect();
        let mut sorted = positions.clone();
        sorted.sort();
        assert_eq!(positions, sorted);
        let lying: Vec<Effort> = program
            .items
            .iter()
            .map(|item| &library.exercises[&item.exercise])
            .filter(|exercise| exercise.position == Position::Lying)
            .map(|exercise| exercise.effort)
            .collect();
        assert!(lying.len() >= 3);
        assert_eq!(lying.iter().min(), lying.last());
        assert_eq!(lying.iter().max(), lying.first());
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn one_exercise_needs_no_order() {
        let mut library = sample::library();
        library.clinic.items = crate::domain::quantity::Quantity::nearest(1);
        let program = sample::program(&library, &sample::record(10));
        assert!(!program.fired.contains(&RULE.id));
    }
}
