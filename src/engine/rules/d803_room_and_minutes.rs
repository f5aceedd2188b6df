#![doc = include_str!("d803_room_and_minutes.md")]

use crate::domain::verdict::{RuleId, WhyNot};
use crate::engine::allow::Bar;
use crate::engine::choose::seconds_a_day;
use crate::engine::dose::Dosed;
use crate::engine::search::Room;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D803"),
    name: "room-and-minutes",
    stage: Stage::Choose,
    since: "0.1",
    summary: "Keeps the sheet within its items and the day within its minutes.",
    sources: &["practice"],
    doc: include_str!("d803_room_and_minutes.md"),
};

/// Returns the bar when there is no room for one more.
pub(crate) fn bar(item: &Dosed<'_>, inside: &[Dosed<'_>], room: Room) -> Option<Bar> {
    let items = i64::try_from(inside.len()).unwrap_or(i64::MAX);
    let seconds = inside
        .iter()
        .chain([item])
        .map(|each| seconds_a_day(each.dosing.exercise(), &each.given.dose))
        .fold(0, i64::saturating_add);
    let reason = if items >= room.items {
        WhyNot::NoRoom { items: room.items }
    } else if seconds > room.seconds {
        WhyNot::NoMinutes {
            minutes: room.seconds.div_euclid(60),
        }
    } else {
        return None;
    };
    Some(Bar {
        reason,
        rule: RULE.id,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::quantity::{DayMinutes, Items, Quantity};
    use crate::domain::recorded::Recorded;
    use crate::domain::word::PrintNeed;
    use crate::engine::sample;

    #[test]
    fn the_sheet_holds_so_many_items() {
        let mut library = sample::library();
        library.clinic.items = Items::nearest(3);
        let program = sample::program(&library, &sample::record(10));
        assert_eq!(program.items.len(), 3);
        let full = |left: &crate::domain::verdict::LeftOut| {
            left.reason == WhyNot::NoRoom { items: 3 } && left.rule == RULE.id
        };
        assert!(program.left_out.iter().any(full));
    }

    #[test]
    fn the_day_holds_so_many_minutes() {
        let mut library = sample::library();
        library.clinic.minutes_a_day = DayMinutes::nearest(10);
        let program = sample::program(&library, &sample::record(10));
        assert!(program.load.exercises <= 10);
        let full = |left: &crate::domain::verdict::LeftOut| {
            left.reason == WhyNot::NoMinutes { minutes: 10 }
        };
        assert!(program.left_out.iter().any(full));
    }

    #[test]
    fn large_print_holds_four() {
        let mut record = sample::record(10);
        record.episode.needs = Recorded::Yes([PrintNeed::LargePrint].into());
        assert_eq!(sample::program(&sample::library(), &record).items.len(), 4);
    }

    #[test]
    fn with_room_it_is_silent() {
        let program = sample::program(&sample::library(), &sample::record(10));
        assert!(!program.fired.contains(&RULE.id));
    }
}
