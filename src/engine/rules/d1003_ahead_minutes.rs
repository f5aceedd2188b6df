#![doc = include_str!("d1003_ahead_minutes.md")]

use crate::domain::exercise::Exercise;
use crate::domain::verdict::{Item, RuleId};
use crate::engine::choose::seconds_a_day;
use crate::engine::log::Log;
use crate::engine::search::Room;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D1003"),
    name: "ahead-minutes",
    stage: Stage::Ahead,
    since: "0.1",
    summary: "Keeps the day within its minutes when every next rung is taken.",
    sources: &["practice"],
    doc: include_str!("d1003_ahead_minutes.md"),
};

/// Keeps the next rungs the day has room for, the nearest rung of every line first.
pub(crate) fn fit(items: &mut [Item], exercises: &[&Exercise], room: Room, log: &mut Log) {
    let mut kept: Vec<usize> = vec![0; items.len()];
    let most = room.seconds.max(hardest_day(items, exercises, &kept));
    let farthest = items.iter().map(|item| item.next.len()).max().unwrap_or(0);
    for step in 1..=farthest {
        for (line, item) in items.iter().enumerate() {
            let mut tried = kept.clone();
            let Some(own) = tried.get_mut(line) else {
                continue;
            };
            if own.saturating_add(1) != step || item.next.len() < step {
                continue;
            }
            *own = step;
            if hardest_day(items, exercises, &tried) <= most {
                kept = tried;
            }
        }
    }
    for (item, keep) in items.iter_mut().zip(kept) {
        if item.next.len() > keep {
            item.next.truncate(keep);
            log.fire(&RULE);
        }
    }
}

/// Returns the seconds of a day on which each line stands at its longest.
fn hardest_day(items: &[Item], exercises: &[&Exercise], kept: &[usize]) -> i64 {
    items
        .iter()
        .zip(exercises)
        .zip(kept)
        .map(|((item, exercise), keep)| {
            let next = item.next.iter().take(*keep).map(|next| &next.dose);
            let doses = next.chain([&item.dose]);
            let seconds = doses.map(|dose| seconds_a_day(exercise, dose));
            seconds.max().unwrap_or(0)
        })
        .fold(0, i64::saturating_add)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::quantity::{DayMinutes, Quantity};
    use crate::engine::sample;

    fn run(minutes: i64) -> (bool, bool) {
        let mut library = sample::library();
        library.clinic.minutes_a_day = DayMinutes::nearest(minutes);
        let program = sample::program(&library, &sample::record(10));
        let exercises: Vec<&Exercise> = program
            .items
            .iter()
            .map(|item| &library.exercises[&item.exercise])
            .collect();
        let kept: Vec<usize> = program.items.iter().map(|item| item.next.len()).collect();
        let fits = hardest_day(&program.items, &exercises, &kept) <= minutes * 60;
        (fits, program.fired.contains(&RULE.id))
    }

    #[test]
    fn a_full_day_drops_what_would_overflow() {
        assert_eq!(run(32), (true, true));
    }

    #[test]
    fn a_long_day_is_silent() {
        assert_eq!(run(240), (true, false));
    }
}
