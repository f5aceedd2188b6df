//! Bounded whole numbers, one type each, so that a hold is never mistaken for a rest.
//!
//! Every range, unit word and plural can be read here as a table.
//! Must not know files or wording. Next: `dose` puts them together.

use std::fmt;

/// Says that a number lies outside its type's range; the reader adds the key's name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("must be from {min} to {max}, not {got}")]
pub struct OutOfRange {
    /// Smallest value allowed, included.
    pub min: i64,
    /// Largest value allowed, included.
    pub max: i64,
    /// The value found.
    pub got: i64,
}

/// What the reader needs to know of a bounded number: its range and its unit words.
pub trait Quantity: Sized + Copy + Ord {
    /// Smallest value, included.
    const MIN: i64;
    /// Largest value, included.
    const MAX: i64;
    /// Unit word for one.
    const ONE: &'static str;
    /// Unit word for many.
    const MANY: &'static str;

    /// Makes the number, or says which range it missed.
    fn new(value: i64) -> Result<Self, OutOfRange>;

    /// Returns the plain number.
    fn get(self) -> i64;

    /// Makes the nearest number of this type: values beyond either end become that end.
    #[must_use]
    fn nearest(value: i64) -> Self;
}

macro_rules! quantity {
    ($($(#[$doc:meta])* $name:ident = $min:literal ..= $max:literal, $one:literal, $many:literal;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
        #[serde(transparent)]
        pub struct $name(i64);

        impl Quantity for $name {
            const MIN: i64 = $min;
            const MAX: i64 = $max;
            const ONE: &'static str = $one;
            const MANY: &'static str = $many;

            fn new(value: i64) -> Result<Self, OutOfRange> {
                if (Self::MIN..=Self::MAX).contains(&value) {
                    Ok(Self(value))
                } else {
                    Err(OutOfRange { min: Self::MIN, max: Self::MAX, got: value })
                }
            }

            fn get(self) -> i64 {
                self.0
            }

            fn nearest(value: i64) -> Self {
                Self(value.clamp(Self::MIN, Self::MAX))
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                let word = if self.0 == 1 { Self::ONE } else { Self::MANY };
                if word.is_empty() { write!(f, "{}", self.0) } else { write!(f, "{} {word}", self.0) }
            }
        }
    )*};
}

quantity! {
    /// Sets of one exercise in one session.
    Sets = 1..=6, "set", "sets";
    /// Repetitions in one set.
    Repetitions = 1..=60, "repetition", "repetitions";
    /// Seconds one repetition is held; 0 is no hold.
    HoldSeconds = 0..=120, "second", "seconds";
    /// Seconds between two repetitions.
    PauseSeconds = 0..=60, "second", "seconds";
    /// Seconds between two sets.
    RestSeconds = 0..=300, "second", "seconds";
    /// Seconds one repetition takes besides its hold.
    TempoSeconds = 0..=20, "second", "seconds";
    /// Seconds to get ready for an exercise.
    ChangeoverSeconds = 0..=300, "second", "seconds";
    /// Minutes of something done by the clock.
    Minutes = 1..=120, "minute", "minutes";
    /// Times a day at named slots.
    TimesADay = 1..=6, "time a day", "times a day";
    /// Days in a week.
    DaysAWeek = 1..=7, "day a week", "days a week";
    /// Joint angle in whole degrees; beyond straight is negative.
    Degrees = -30..=180, "degree", "degrees";
    /// Pain on the 0 to 10 numeric scale.
    PainScore = 0..=10, "", "";
    /// A share in whole per cent.
    Percent = 1..=100, "per cent", "per cent";
    /// What was done in whole per cent of what was asked, more than was asked.
    FarMore = 101..=1000, "per cent", "per cent";
    /// External weight in grams.
    Grams = 100..=20_000, "gram", "grams";
    /// A height in centimetres.
    Centimetres = 1..=250, "centimetre", "centimetres";
    /// Effort of an exercise, 1 the least and 5 the most tiring.
    Effort = 1..=5, "", "";
    /// How much an exercise serves a domain, 1 a little and 3 most.
    Weight = 1..=3, "", "";
    /// Items of one sheet.
    Items = 1..=8, "item", "items";
    /// Minutes of exercise in one day.
    DayMinutes = 5..=240, "minute", "minutes";
    /// Whole days of a duration.
    Days = 0..=3650, "day", "days";
    /// Clinical frailty judgement, 1 very fit to 9 terminally ill.
    Frailty = 1..=9, "", "";
    /// Whole years of age at operation.
    Years = 16..=110, "year", "years";
}
