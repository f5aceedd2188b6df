//! Reads what was measured at a visit, and the pain around it.

use crate::domain::quantity::{Degrees, Minutes, PainScore, Quantity};
use crate::domain::record::{Measured, Pain};
use crate::domain::recorded::Recorded;
use crate::domain::word::{LegLift, Morning, WalkingAid, YesNo};

use super::super::codes::Code;
use super::super::kind::{Keys, Kind, Kinded, may};
use super::super::node::{Node, Value};
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::reading::Reading;
use super::super::values::{Readable, Whole, number};
use super::recorded;

/// An angle in a range of its own, in whole degrees.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Angle<const MIN: i64, const MAX: i64>(pub Degrees);

impl<const MIN: i64, const MAX: i64> Kinded for Angle<MIN, MAX> {
    const KIND: Kind = Kind::Number {
        min: MIN,
        max: MAX,
        unit: Degrees::MANY,
    };
}

impl<const MIN: i64, const MAX: i64> Readable for Angle<MIN, MAX> {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        let degrees = number(node, reading, Self::KIND)?;
        Degrees::new(degrees).ok().map(Self)
    }
}

impl<const MIN: i64, const MAX: i64> Angle<MIN, MAX> {
    /// Both ends of the range.
    pub const ENDS: [i64; 2] = [MIN, MAX];
}

/// Bend.
pub type Flexion = Angle<0, 160>;
/// Bend that earlier versions took.
const CLOSED_FLEXION_MOST: i64 = 180;
/// Degrees short of straight; beyond straight is negative.
pub type Deficit = Angle<-30, 90>;
/// Active short of passive.
pub type Lag = Angle<0, 90>;
/// Seconds on the operated leg.
pub type Stance = Whole<0, 600>;
/// Bad mornings of the last three.
pub type Mornings = Whole<0, 3>;

/// Keys of `measured`.
pub static MEASURED: Keys = Keys {
    what: "`measured`",
    keys: &[
        may::<Flexion>("flexion", "How far the joint bends, in degrees."),
        may::<Deficit>(
            "extension_deficit",
            "Degrees short of straight; beyond straight is negative.",
        ),
        may::<LegLift>("leg_lift", "How the leg lifts."),
        may::<Lag>(
            "lag",
            "Degrees the lifted leg is short of what it can be straightened to.",
        ),
        may::<WalkingAid>("walking_aid", "What they walk with."),
        may::<Stance>("stance_s", "Seconds on the operated leg, with hands."),
        may::<Minutes>("walk_minutes", "Minutes walked in one day, in all."),
        may::<YesNo>("limp", "Limps."),
        may::<YesNo>("stairs_practised", "Stairs have been practised."),
    ],
};

/// Keys of `pain`.
pub static PAIN: Keys = Keys {
    what: "`pain`",
    keys: &[
        may::<PainScore>("rest", "At rest."),
        may::<PainScore>("exercise", "Worst while exercising."),
        may::<YesNo>(
            "medicine_before",
            "Pain medicine was taken before exercising.",
        ),
        may::<Morning>("morning", "Next morning against usual."),
        may::<Mornings>(
            "bad_mornings",
            "On how many of the last three mornings it was more than usual.",
        ),
    ],
};

/// Reads what was measured; a visit without it measured nothing.
pub fn measured(table: &mut TableReader<'_>, is_closed: bool) -> Measured {
    let measured = table.may_table("measured", &MEASURED, |table| {
        let flexion = flexion(table, is_closed);
        Some(measures(table, flexion))
    });
    measured.unwrap_or(Measured {
        flexion: Recorded::NotRecorded,
        extension_deficit: Recorded::NotRecorded,
        lag: Recorded::NotRecorded,
        leg_lift: Recorded::NotRecorded,
        walking_aid: Recorded::NotRecorded,
        stance_s: Recorded::NotRecorded,
        walk_minutes: Recorded::NotRecorded,
        limp: Recorded::NotRecorded,
        stairs_practised: Recorded::NotRecorded,
    })
}

/// Reads a bend; what is sealed in a closed visit stays, though no door takes it today.
fn flexion(table: &mut TableReader<'_>, is_closed: bool) -> Option<Degrees> {
    let node = table.may_any("flexion")?;
    if let Value::Number(bend) = node.value
        && is_closed
        && (0..=CLOSED_FLEXION_MOST).contains(&bend)
    {
        return Degrees::new(bend).ok();
    }
    Flexion::read(&node, table.reading()).map(|angle| angle.0)
}

fn measures(table: &mut TableReader<'_>, flexion: Option<Degrees>) -> Measured {
    let deficit = table.may::<Deficit>("extension_deficit");
    let deficit = deficit.map(|angle| angle.0);
    if let (Some(flexion), Some(deficit)) = (flexion, deficit)
        && flexion < deficit
    {
        crossed(table);
    }
    Measured {
        flexion: Recorded::from(flexion),
        extension_deficit: Recorded::from(deficit),
        lag: Recorded::from(table.may::<Lag>("lag").map(|angle| angle.0)),
        leg_lift: recorded(table, "leg_lift"),
        walking_aid: recorded(table, "walking_aid"),
        stance_s: Recorded::from(table.may::<Stance>("stance_s").map(|n| n.0)),
        walk_minutes: recorded(table, "walk_minutes"),
        limp: recorded(table, "limp"),
        stairs_practised: recorded(table, "stairs_practised"),
    }
}

fn crossed(table: &mut TableReader<'_>) {
    let message = "`flexion` is less than `extension_deficit`: no joint measures like that";
    let at = table.at_key("flexion");
    let problem = Problem::new(Code::Measures, at, message, "bends to here")
        .also(table.at_key("extension_deficit"), "straightens to here");
    table.tell(problem.help("perhaps the two are exchanged"));
}

/// Reads pain; a visit without it asked for none.
pub fn pain(table: &mut TableReader<'_>) -> Pain {
    let pain = table.may_table("pain", &PAIN, |table| {
        Some(Pain {
            rest: recorded(table, "rest"),
            exercise: recorded(table, "exercise"),
            medicine_before: recorded(table, "medicine_before"),
            morning: recorded(table, "morning"),
            bad_mornings: Recorded::from(table.may::<Mornings>("bad_mornings").map(|n| n.0)),
        })
    });
    pain.unwrap_or(Pain {
        rest: Recorded::NotRecorded,
        exercise: Recorded::NotRecorded,
        medicine_before: Recorded::NotRecorded,
        morning: Recorded::NotRecorded,
        bad_mornings: Recorded::NotRecorded,
    })
}

#[cfg(test)]
mod tests {
    use super::super::samples::only;

    #[test]
    fn measures_that_cannot_be_are_refused() {
        only(
            "flexion = 82, extension_deficit = 5",
            "flexion = 5, extension_deficit = 82",
            "BN071",
            "`flexion`",
        );
        only("flexion = 82", "flexion = -82", "BN023", "from 0 to 160");
        only("flexion = 82", "flexion = 161", "BN023", "from 0 to 160");
        only("lag = 6", "lag = -6", "BN023", "from 0 to 90");
        only(
            "bad_mornings = 1",
            "bad_mornings = 4",
            "BN023",
            "from 0 to 3",
        );
        only("asked = 21", "asked = 0", "BN023", "from 1 to 2000");
        only("limp = \"yes\"", "limp = true", "BN027", "`limp`");
        only("rest = 2", "rest = 2.5", "BN022", "`rest`");
    }
}
