#![doc = include_str!("d902_slots.md")]

use std::collections::{BTreeMap, BTreeSet};

use crate::domain::verdict::RuleId;
use crate::domain::word::{Slot, Word};
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D902"),
    name: "slots",
    stage: Stage::Plan,
    since: "0.1",
    summary: "Spreads each exercise over the slots of the day.",
    sources: &["practice"],
    doc: include_str!("d902_slots.md"),
};

/// Slots opened first when the day has too few.
const OPENED_FIRST: [Slot; 3] = [Slot::Afternoon, Slot::MidMorning, Slot::Bedtime];

/// Returns the slots of the day, more opened when some line needs them.
pub(crate) fn open(own: &[Slot], most: i64) -> Vec<Slot> {
    let mut slots: BTreeSet<Slot> = own.iter().copied().collect();
    for slot in OPENED_FIRST.iter().chain(Slot::ALL) {
        if count(slots.len()) >= most {
            break;
        }
        slots.insert(*slot);
    }
    slots.into_iter().collect()
}

/// Returns the slots of one line.
pub(crate) fn spread(
    own: &[Slot],
    slots: &[Slot],
    times: i64,
    filled: &BTreeMap<Slot, i64>,
    log: &mut Log,
) -> Vec<Slot> {
    let from = if times > count(own.len()) { slots } else { own };
    let wanted = usize::try_from(times).unwrap_or(0).min(from.len());
    if wanted > 0 {
        log.fire(&RULE);
    }
    if wanted == 1 {
        let lightest = from
            .iter()
            .min_by_key(|slot| filled.get(slot).copied().unwrap_or(0));
        return lightest.into_iter().copied().collect();
    }
    evenly(from, wanted)
}

/// Takes so many of some slots, evenly from the first to the last; all when there are no more.
pub(crate) fn evenly(from: &[Slot], wanted: usize) -> Vec<Slot> {
    let wanted = wanted.min(from.len());
    let last = from.len().saturating_sub(1);
    let gaps = wanted.saturating_sub(1).max(1);
    (0..wanted)
        .filter_map(|step| from.get(step.saturating_mul(last).checked_div(gaps)?))
        .copied()
        .collect()
}

fn count(length: usize) -> i64 {
    i64::try_from(length).unwrap_or(i64::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn slots(times: i64, own: &[Slot]) -> Vec<Slot> {
        spread(own, own, times, &BTreeMap::new(), &mut Log::new())
    }

    #[test]
    fn they_are_spread_evenly() {
        let three = [Slot::Breakfast, Slot::Midday, Slot::Evening];
        assert_eq!(slots(2, &three), [Slot::Breakfast, Slot::Evening]);
        assert_eq!(slots(3, &three), three);
        let four = [
            Slot::Breakfast,
            Slot::Midday,
            Slot::Afternoon,
            Slot::Evening,
        ];
        assert_eq!(
            slots(3, &four),
            [Slot::Breakfast, Slot::Midday, Slot::Evening]
        );
    }

    #[test]
    fn of_more_slots_than_a_day_has_times_for_so_many_are_taken() {
        let mut record = sample::record(10);
        sample::slots(&mut record, Slot::ALL);
        let program = sample::program(&sample::library(), &record);
        let four = [
            Slot::Breakfast,
            Slot::MidMorning,
            Slot::Afternoon,
            Slot::Bedtime,
        ];
        assert_eq!(program.slots, four);
    }

    #[test]
    fn once_a_day_takes_the_lightest_slot() {
        let filled = BTreeMap::from([
            (Slot::Breakfast, 60),
            (Slot::Midday, 10),
            (Slot::Evening, 30),
        ]);
        let own = [Slot::Breakfast, Slot::Midday, Slot::Evening];
        assert_eq!(
            spread(&own, &own, 1, &filled, &mut Log::new()),
            [Slot::Midday]
        );
    }

    #[test]
    fn more_slots_open_in_their_order() {
        let own = [Slot::Breakfast, Slot::Evening];
        assert_eq!(open(&own, 2), own);
        assert_eq!(
            open(&own, 4),
            [
                Slot::Breakfast,
                Slot::MidMorning,
                Slot::Afternoon,
                Slot::Evening
            ]
        );
    }

    #[test]
    fn hourly_work_takes_none() {
        assert!(slots(0, &[Slot::Breakfast]).is_empty());
        let program = sample::program(&sample::library(), &sample::record(10));
        assert!(program.background.iter().all(|item| item.slots.is_empty()));
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn a_row_once_a_day_goes_where_the_exercises_are_fewest() {
        let mut record = sample::record(10);
        let aid = crate::domain::word::WalkingAid::Frame;
        record.visits[0].measured.walking_aid = crate::domain::recorded::Recorded::Yes(aid);
        let program = sample::program(&sample::library(), &record);
        let row = program
            .daily
            .iter()
            .find(|item| item.exercise == sample::id("aid"));
        assert_eq!(row.unwrap().slots, [Slot::Midday]);
    }
}
