//! What a newer order, assessment or override does to the sheet at home, as ids and numbers.
//!
//! Must not hold sentences. Next: `engine::due` works it out, `handout` puts it into words.

use super::dose::{Amount, Dose, Often};
use super::ids::{CareId, ExerciseId, FlagId};
use super::quantity::Quantity;
use super::verdict::{LimitInForce, WhyNot};

/// A sheet at home and what it says that no longer holds.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Overtaken {
    /// The number of the sheet.
    pub sheet: i64,
    /// What differs; at least one line.
    pub lines: Vec<SheetLine>,
}

/// How the sheet at home stands on a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Stands {
    /// None was given.
    NoSheet,
    /// A correction has made it void.
    Void(i64),
    /// Its days are over, also those of a slipped visit.
    Over(i64),
    /// A page that holds exercises back, and nothing written since changes that.
    Withholds(i64),
    /// Nothing written since differs from it.
    Holds(i64),
    /// It says what no longer holds.
    Overtaken(Overtaken),
}

/// One thing that differs.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SheetLine {
    /// No exercises may be done until these flags are assessed.
    NoExercises(Vec<FlagId>),
    /// Exercises were held back, and are no longer.
    MayExercise,
    /// No sheet can be made before something is answered.
    Asks,
    /// A limit that the sheet does not know.
    Begins(Box<LimitInForce>),
    /// A limit of the sheet that no longer holds.
    Ends(Box<LimitInForce>),
    /// An exercise of the sheet that may not be done any more.
    Gone {
        /// Which.
        exercise: ExerciseId,
        /// Why.
        reason: WhyNot,
    },
    /// An exercise of the sheet with another dose.
    Changed {
        /// Which.
        exercise: ExerciseId,
        /// As the sheet has it.
        from: Box<Dose>,
        /// As it would be given now.
        to: Box<Dose>,
    },
    /// An exercise that was barred and is no longer.
    MayCome {
        /// Which.
        exercise: ExerciseId,
    },
    /// A row of advice that the sheet does not have.
    AdviceBegins(CareId),
    /// A row of advice of the sheet that no longer holds.
    AdviceEnds(CareId),
    /// A row of advice of the sheet that asks for what may not be done now.
    AdviceBarred(CareId),
}

impl SheetLine {
    /// Says whether the sheet at home asks for more than may be done now.
    pub fn is_stricter(&self) -> bool {
        match self {
            Self::NoExercises(_)
            | Self::Asks
            | Self::Begins(_)
            | Self::Gone { .. }
            | Self::AdviceBarred(_) => true,
            Self::Changed { from, to, .. } => is_less(from, to),
            Self::MayExercise
            | Self::Ends(_)
            | Self::MayCome { .. }
            | Self::AdviceBegins(_)
            | Self::AdviceEnds(_) => false,
        }
    }
}

impl Overtaken {
    /// Says whether the sheet at home asks for more than may be done now.
    pub fn is_stricter(&self) -> bool {
        self.lines.iter().any(SheetLine::is_stricter)
    }
}

/// A part of a dose that a new sheet may have otherwise; an aim is a goal, and none of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Amount,
    Often,
    DaysAWeek,
    Limit,
    Range,
    Height,
    Seat,
    Load,
    Band,
    Support,
    Lower,
    How,
}

impl Part {
    const ALL: [Self; 12] = [
        Self::Amount,
        Self::Often,
        Self::DaysAWeek,
        Self::Limit,
        Self::Range,
        Self::Height,
        Self::Seat,
        Self::Load,
        Self::Band,
        Self::Support,
        Self::Lower,
        Self::How,
    ];

    fn is_same(self, one: &Dose, two: &Dose) -> bool {
        match self {
            Self::Amount => one.amount == two.amount,
            Self::Often => one.often == two.often,
            Self::DaysAWeek => one.days_a_week == two.days_a_week,
            Self::Limit => one.limit == two.limit,
            Self::Range => one.range_degrees == two.range_degrees,
            Self::Height => one.height_cm == two.height_cm,
            Self::Seat => one.seat_cm == two.seat_cm,
            Self::Load => one.load_g == two.load_g,
            Self::Band => one.band == two.band,
            Self::Support => one.support == two.support,
            Self::Lower => one.lower_s == two.lower_s,
            Self::How => one.how == two.how,
        }
    }

    /// Says whether the part asks for less than it did, or for something else.
    fn is_less(self, from: &Dose, to: &Dose) -> bool {
        match self {
            Self::Amount => fewer(from.amount, to.amount),
            Self::Often => match (from.often, to.often) {
                (Often::Times(from), Often::Times(to)) => to < from,
                (Often::Times(_), Often::Hourly) | (Often::Hourly, Often::Times(_)) => true,
                (Often::Hourly, Often::Hourly) => false,
            },
            Self::DaysAWeek => to.days_a_week < from.days_a_week,
            Self::Limit => sooner(from.limit, to.limit),
            Self::Range => sooner(from.range_degrees, to.range_degrees),
            Self::Height => sooner(from.height_cm, to.height_cm),
            // A higher seat is the easier one.
            Self::Seat => match (from.seat_cm, to.seat_cm) {
                (Some(from), Some(to)) => to > from,
                (None, Some(_)) => true,
                (Some(_) | None, None) => false,
            },
            Self::Load => lighter(from.load_g, to.load_g),
            Self::Lower => lighter(from.lower_s, to.lower_s),
            Self::Band | Self::Support | Self::How => !self.is_same(from, to),
        }
    }
}

/// Says whether a dose asks for less than another one, or for something else.
fn is_less(from: &Dose, to: &Dose) -> bool {
    Part::ALL.iter().any(|part| part.is_less(from, to))
}

/// Says whether what is new changes a part of a dose, and the sheet has it otherwise.
pub fn differs(issued: &Dose, old: &Dose, now: &Dose) -> bool {
    let mut parts = Part::ALL.iter();
    parts.any(|part| !part.is_same(old, now) && !part.is_same(issued, now))
}

/// Says whether a stop lies sooner; none is no stop.
fn sooner<T: Ord>(from: Option<T>, to: Option<T>) -> bool {
    match (from, to) {
        (Some(from), Some(to)) => to < from,
        (None, Some(_)) => true,
        (Some(_) | None, None) => false,
    }
}

/// Says whether what makes work harder is less, or gone.
fn lighter<T: Ord>(from: Option<T>, to: Option<T>) -> bool {
    match (from, to) {
        (Some(from), Some(to)) => to < from,
        (Some(_), None) => true,
        (None, Some(_) | None) => false,
    }
}

/// Says whether one session is less work, or work of another kind.
fn fewer(from: Amount, to: Amount) -> bool {
    match (from, to) {
        (Amount::Timed { minutes: from }, Amount::Timed { minutes: to }) => to < from,
        (
            Amount::Counted {
                sets: from_sets,
                repetitions: from_times,
                hold_s: from_hold,
                pause_s: _,
                rest_s: _,
            },
            Amount::Counted {
                sets,
                repetitions,
                hold_s,
                pause_s: _,
                rest_s: _,
            },
        ) => {
            let was = from_sets.get().saturating_mul(from_times.get());
            hold_s < from_hold || sets.get().saturating_mul(repetitions.get()) < was
        }
        (Amount::Timed { .. }, Amount::Counted { .. })
        | (Amount::Counted { .. }, Amount::Timed { .. }) => true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::ids::{HowId, Id};
    use crate::domain::quantity::{
        Centimetres, DaysAWeek, Degrees, Grams, HoldSeconds, Minutes, PauseSeconds, Repetitions,
        RestSeconds, Sets, TimesADay,
    };

    fn dose() -> Dose {
        Dose {
            amount: counted(3),
            often: Often::Times(TimesADay::nearest(3)),
            days_a_week: DaysAWeek::nearest(7),
            aim: None,
            limit: Some(Degrees::nearest(60)),
            range_degrees: Some(Degrees::nearest(60)),
            height_cm: Some(Centimetres::nearest(40)),
            seat_cm: Some(Centimetres::nearest(40)),
            load_g: Some(Grams::nearest(1000)),
            band: None,
            support: None,
            lower_s: Some(HoldSeconds::nearest(3)),
            how: None,
        }
    }

    fn counted(sets: i64) -> Amount {
        Amount::Counted {
            sets: Sets::nearest(sets),
            repetitions: Repetitions::nearest(10),
            hold_s: HoldSeconds::nearest(5),
            pause_s: PauseSeconds::nearest(1),
            rest_s: RestSeconds::nearest(0),
        }
    }

    #[test]
    fn every_part_of_a_dose_that_asks_for_less_is_seen_and_told() {
        type Change = fn(&mut Dose);
        let less: [(&str, Change); 11] = [
            ("amount", |dose| dose.amount = counted(2)),
            ("clock", |dose| {
                let minutes = Minutes::nearest(5);
                dose.amount = Amount::Timed { minutes };
            }),
            ("often", |dose| {
                dose.often = Often::Times(TimesADay::nearest(2));
            }),
            ("days", |dose| dose.days_a_week = DaysAWeek::nearest(3)),
            ("limit", |dose| dose.limit = Some(Degrees::nearest(50))),
            ("range", |dose| {
                dose.range_degrees = Some(Degrees::nearest(50));
            }),
            ("height", |dose| {
                dose.height_cm = Some(Centimetres::nearest(35));
            }),
            ("seat", |dose| dose.seat_cm = Some(Centimetres::nearest(50))),
            ("load", |dose| dose.load_g = None),
            ("lower", |dose| dose.lower_s = None),
            ("how", |dose| dose.how = Some(HowId::new("other").unwrap())),
        ];
        for (name, change) in less {
            let mut now = dose();
            change(&mut now);
            assert!(differs(&dose(), &dose(), &now), "{name}");
            assert!(!differs(&now, &dose(), &now), "{name}: the sheet has it");
            assert!(is_less(&dose(), &now), "{name}");
        }
        let mut more = dose();
        more.load_g = Some(Grams::nearest(2000));
        assert!(differs(&dose(), &dose(), &more) && !is_less(&dose(), &more));
    }
}
