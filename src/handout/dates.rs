//! Dates and slots in words: day names and months in letters, never a numeral month.

use chrono::{Datelike, NaiveDate, Weekday};

use super::error::HandoutError;
use super::wording::Wording;
use crate::domain::phrase::Phrase;
use crate::domain::word::Slot;

const MONTHS: [Phrase; 12] = [
    Phrase::January,
    Phrase::February,
    Phrase::March,
    Phrase::April,
    Phrase::May,
    Phrase::June,
    Phrase::July,
    Phrase::August,
    Phrase::September,
    Phrase::October,
    Phrase::November,
    Phrase::December,
];

fn month(words: &Wording<'_>, date: NaiveDate) -> Result<String, HandoutError> {
    let found = MONTHS.iter().zip(0..).find(|(_, n)| *n == date.month0());
    let (phrase, _) = found.ok_or(HandoutError::Calendar)?;
    words.plain(*phrase)
}

/// Says a day of the week.
pub(super) fn weekday(words: &Wording<'_>, day: Weekday) -> Result<String, HandoutError> {
    words.plain(match day {
        Weekday::Mon => Phrase::Monday,
        Weekday::Tue => Phrase::Tuesday,
        Weekday::Wed => Phrase::Wednesday,
        Weekday::Thu => Phrase::Thursday,
        Weekday::Fri => Phrase::Friday,
        Weekday::Sat => Phrase::Saturday,
        Weekday::Sun => Phrase::Sunday,
    })
}

/// Says "Tuesday 24 November".
pub(super) fn full(words: &Wording<'_>, date: NaiveDate) -> Result<String, HandoutError> {
    words.say(
        Phrase::DateWeekday,
        &[
            ("weekday", &weekday(words, date.weekday())?),
            ("day", &date.day().to_string()),
            ("month", &month(words, date)?),
        ],
    )
}

/// Says "24 November".
pub(super) fn short(words: &Wording<'_>, date: NaiveDate) -> Result<String, HandoutError> {
    words.say(
        Phrase::DateShort,
        &[
            ("day", &date.day().to_string()),
            ("month", &month(words, date)?),
        ],
    )
}

/// Says "24 November 2026".
pub(super) fn with_year(words: &Wording<'_>, date: NaiveDate) -> Result<String, HandoutError> {
    words.say(
        Phrase::DateYear,
        &[
            ("day", &date.day().to_string()),
            ("month", &month(words, date)?),
            ("year", &date.year().to_string()),
        ],
    )
}

/// Counts the days from one date to another, both included.
pub(super) fn days(from: NaiveDate, until: NaiveDate) -> impl Iterator<Item = NaiveDate> {
    from.iter_days().take_while(move |date| *date <= until)
}

/// The phrases of one slot.
pub(super) struct SlotPhrases {
    /// Its name over a column.
    pub(super) name: Phrase,
    /// What it is near to.
    pub(super) hint: Phrase,
    /// A short hint, for when there are four slots.
    pub(super) clock: Phrase,
    /// Its name within a sentence.
    pub(super) inline: Phrase,
}

macro_rules! slot {
    ($name:ident, $hint:ident, $clock:ident, $inline:ident) => {
        SlotPhrases {
            name: Phrase::$name,
            hint: Phrase::$hint,
            clock: Phrase::$clock,
            inline: Phrase::$inline,
        }
    };
}

/// Returns the phrases of a slot.
pub(super) fn slot(slot: Slot) -> SlotPhrases {
    match slot {
        Slot::Breakfast => {
            slot!(
                SlotBreakfast,
                SlotBreakfastHint,
                SlotBreakfastClock,
                SlotBreakfastInline
            )
        }
        Slot::MidMorning => {
            slot!(
                SlotMidMorning,
                SlotMidMorningHint,
                SlotMidMorningClock,
                SlotMidMorningInline
            )
        }
        Slot::Midday => slot!(
            SlotMidday,
            SlotMiddayHint,
            SlotMiddayClock,
            SlotMiddayInline
        ),
        Slot::Afternoon => {
            slot!(
                SlotAfternoon,
                SlotAfternoonHint,
                SlotAfternoonClock,
                SlotAfternoonInline
            )
        }
        Slot::Evening => slot!(
            SlotEvening,
            SlotEveningHint,
            SlotEveningClock,
            SlotEveningInline
        ),
        Slot::Bedtime => slot!(
            SlotBedtime,
            SlotBedtimeHint,
            SlotBedtimeClock,
            SlotBedtimeInline
        ),
    }
}

/// Lists slots within a sentence: "morning, midday, evening".
pub(super) fn slots_inline(words: &Wording<'_>, slots: &[Slot]) -> Result<String, HandoutError> {
    let names: Result<Vec<_>, _> = slots
        .iter()
        .map(|each| words.plain(slot(*each).inline))
        .collect();
    Ok(names?.join(", "))
}
