//! A dose: how much of one exercise, how often, how hard.
//!
//! Must not decide anything. Next: the engine changes doses by recorded steps only.

use super::ids::HowId;
use super::quantity::{
    Centimetres, ChangeoverSeconds, DaysAWeek, Degrees, Grams, HoldSeconds, Minutes, PauseSeconds,
    Quantity, Repetitions, RestSeconds, Sets, TempoSeconds, TimesADay,
};
use super::word::{Band, Support};

/// The amount of work in one session.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Amount {
    /// Counted work.
    Counted {
        /// Sets in a session.
        sets: Sets,
        /// Repetitions in a set.
        repetitions: Repetitions,
        /// Hold of each repetition.
        hold_s: HoldSeconds,
        /// Between repetitions.
        pause_s: PauseSeconds,
        /// Between sets.
        rest_s: RestSeconds,
    },
    /// Work by the clock.
    Timed {
        /// Minutes in a session.
        minutes: Minutes,
    },
}

/// How often in a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Often {
    /// So many times, at slots of the day.
    Times(TimesADay),
    /// Each waking hour; takes no slot.
    Hourly,
}

/// How much of one exercise, how often and how hard. Keys without a value do not apply.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Dose {
    /// Work in one session.
    pub amount: Amount,
    /// Sessions in a day.
    pub often: Often,
    /// Days in a week.
    pub days_a_week: DaysAWeek,
    /// Aim in degrees of the exercise's own motion: a goal, never a stop.
    pub aim: Option<Degrees>,
    /// Limit in degrees after its margin: a stop, never a goal.
    pub limit: Option<Degrees>,
    /// Range of the motion, such as the depth of a squat.
    pub range_degrees: Option<Degrees>,
    /// Height of a step.
    pub height_cm: Option<Centimetres>,
    /// Height of a seat.
    pub seat_cm: Option<Centimetres>,
    /// External weight.
    pub load_g: Option<Grams>,
    /// Elastic band.
    pub band: Option<Band>,
    /// Hand support.
    pub support: Option<Support>,
    /// Seconds going down.
    pub lower_s: Option<HoldSeconds>,
    /// Which way of doing it; a key of the exercise's `how` words.
    pub how: Option<HowId>,
}

impl Dose {
    /// Returns the seconds one session takes on one side, without the changeover.
    ///
    /// Counted work: sets x repetitions x (tempo + slow lowering + hold + pause) + (sets - 1) x rest.
    pub fn session_seconds(&self, tempo: TempoSeconds) -> i64 {
        match self.amount {
            Amount::Counted {
                sets,
                repetitions,
                hold_s,
                pause_s,
                rest_s,
            } => {
                let lower = self.lower_s.map_or(0, Quantity::get);
                let each = tempo
                    .get()
                    .saturating_add(lower)
                    .saturating_add(hold_s.get())
                    .saturating_add(pause_s.get());
                let work = sets
                    .get()
                    .saturating_mul(repetitions.get())
                    .saturating_mul(each);
                let rests = sets.get().saturating_sub(1).saturating_mul(rest_s.get());
                work.saturating_add(rests)
            }
            Amount::Timed { minutes } => minutes.get().saturating_mul(60),
        }
    }

    /// Returns the seconds one session takes over the sides worked, changeover included.
    pub fn seconds(&self, tempo: TempoSeconds, changeover: ChangeoverSeconds, sides: i64) -> i64 {
        self.session_seconds(tempo)
            .saturating_mul(sides)
            .saturating_add(changeover.get())
    }

    /// Returns the times a day at slots; hourly work has none.
    pub fn times_a_day(&self) -> Option<TimesADay> {
        match self.often {
            Often::Times(times) => Some(times),
            Often::Hourly => None,
        }
    }

    /// Returns the repetitions done in one day at slots; timed and hourly work has none.
    pub fn daily_repetitions(&self) -> Option<i64> {
        match (self.amount, self.often) {
            (
                Amount::Counted {
                    sets, repetitions, ..
                },
                Often::Times(times),
            ) => Some(
                sets.get()
                    .saturating_mul(repetitions.get())
                    .saturating_mul(times.get()),
            ),
            (Amount::Counted { .. } | Amount::Timed { .. }, _) => None,
        }
    }
}
