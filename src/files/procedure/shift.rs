//! Reads how far the entry days of exercises are moved, and moves them.

use crate::domain::exercise::Exercise;
use crate::domain::fact::{Comparison, Test};
use crate::domain::procedure::Shift;
use crate::domain::time::Day;
use crate::domain::word::Fact;

use super::super::kind::{Key, Keys, Kind, may_as, need};
use super::super::reader::TableReader;
use super::super::values::Whole;
use super::SOURCE;

/// Days an entry day may be moved by.
type Moved = Whole<-28, 56>;

pub(super) const SHIFT: Key = may_as(
    "entry_days",
    Kind::Table(&KEYS),
    "Entry days of exercises and rungs, moved.",
);

static KEYS: Keys = Keys {
    what: "moved entry days",
    keys: &[
        need::<Day>("from_day", "Entry days from this one on are moved."),
        need::<Moved>("later_by", "Days later; earlier when negative."),
        SOURCE,
    ],
};

pub(super) fn read(table: &mut TableReader<'_>) -> Option<Shift> {
    table.may_table("entry_days", &KEYS, |table| {
        let from = table.need("from_day");
        let later = table.need::<Moved>("later_by");
        Some(Shift {
            from: from?,
            days: later?.0,
            source: table.need_source()?,
        })
    })
}

/// Moves the entry days of an exercise and of its rungs; none moves before day 0.
///
/// What waits for the surgeon's word never comes earlier than its own file says.
pub fn move_entry_days(exercise: &mut Exercise, shift: &Shift) {
    if shift.days < 0 && !exercise.needs_orders.is_empty() {
        return;
    }
    let rungs = exercise.rungs.iter_mut();
    let tests = rungs.flat_map(|rung| rung.entry.iter_mut());
    for test in tests.chain(exercise.entry.iter_mut()) {
        moved(test, shift);
    }
}

fn moved(test: &mut Test, shift: &Shift) {
    if let (Fact::Day, Comparison::AtLeast(day)) = (test.fact, &mut test.comparison)
        && *day >= shift.from.get()
    {
        *day = day.saturating_add(shift.days).max(0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::source::Source;

    #[test]
    fn only_entry_days_from_the_first_on_are_moved() {
        let shift = |days| Shift {
            from: Day::new(14),
            days,
            source: Source::Practice,
        };
        let after = |fact, day, days| {
            let mut test = Test {
                fact,
                comparison: Comparison::AtLeast(day),
            };
            moved(&mut test, &shift(days));
            test.comparison
        };
        assert_eq!(after(Fact::Day, 13, -7), Comparison::AtLeast(13));
        assert_eq!(after(Fact::Day, 14, -7), Comparison::AtLeast(7));
        assert_eq!(after(Fact::Day, 14, 21), Comparison::AtLeast(35));
        assert_eq!(after(Fact::Day, 14, -28), Comparison::AtLeast(0));
        assert_eq!(after(Fact::Lag, 14, -7), Comparison::AtLeast(14));
    }
}
