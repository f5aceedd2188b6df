//! Reads the values of a pose: numbers that may follow the dose, points, legs, arms.

use crate::domain::pose::{Amount, ArmPose, Footing, Grasp, LegPose, Place, Spot};

use super::super::codes::Code;
use super::super::kind::{Kind, Kinded};
use super::super::node::{Node, Value};
use super::super::problem::Problem;
use super::super::reader::{TableReader, in_table};
use super::super::reading::Reading;
use super::super::values::Readable;
use super::super::wrong::wrong_kind;
use super::pose_keys::{AMOUNT, ARM, LEG};

/// A whole number of a picture; it is no dose, so no source is asked for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bare(pub i64);

/// The largest number of a picture, either way.
const MOST: i64 = 2000;

impl Kinded for Bare {
    const KIND: Kind = Kind::Number {
        min: -MOST,
        max: MOST,
        unit: "",
    };
}

impl Readable for Bare {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        let Value::Number(number) = node.value else {
            wrong_kind(node, reading, Self::KIND);
            return None;
        };
        if (-MOST..=MOST).contains(&number) {
            return Some(Self(number));
        }
        let message = format!(
            "`{}` must be from -{MOST} to {MOST}, not {number}",
            reading.key
        );
        reading.tell(Problem::new(Code::OutOfRange, node.at.clone(), message, ""));
        None
    }
}

impl Kinded for Amount {
    const KIND: Kind = Kind::Either("a whole number, or a table of `base`, `bend` and `height`");
}

impl Readable for Amount {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        if !matches!(node.value, Value::Table(_)) {
            return Bare::read(node, reading).map(|number| Self::fixed(number.0));
        }
        in_table(node, &AMOUNT, reading, |table| {
            let number = |found: Option<Bare>| found.map_or(0, |bare| bare.0);
            let base = number(table.may("base"));
            let bend = number(table.may("bend"));
            let height = number(table.may("height"));
            Self { base, bend, height }
        })
    }
}

impl Kinded for Place {
    const KIND: Kind = Kind::Either("two numbers in brackets: to the right, up");
}

impl Readable for Place {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        let Value::List(list) = &node.value else {
            wrong_kind(node, reading, Self::KIND);
            return None;
        };
        let [x, y] = list.as_slice() else {
            wrong_kind(node, reading, Self::KIND);
            return None;
        };
        let (x, y) = (Amount::read(x, reading), Amount::read(y, reading));
        Some(Self { x: x?, y: y? })
    }
}

impl Kinded for LegPose {
    const KIND: Kind = Kind::Table(&LEG);
}

/// What a leg must say, and what it may say, by what it rests on.
const fn of_footing(on: Footing) -> (&'static [&'static str], &'static [&'static str]) {
    match on {
        Footing::Air => (&["hip", "knee"], &["ankle"]),
        Footing::Heel | Footing::Seat => (&["knee"], &["ankle", "y"]),
        Footing::Sole => (&["x"], &["y", "tilt"]),
        Footing::Stand => (
            &["x"],
            &[
                "knee",
                "ankle",
                "y",
                "tilt",
                "out",
                "shin_out",
                "thigh_long",
                "shin_long",
            ],
        ),
        Footing::Roll => (&["knee", "y"], &["ankle"]),
        Footing::Out => (
            &["out"],
            &["shin_out", "thigh_long", "shin_long", "tilt", "ankle"],
        ),
        Footing::Knee => (&["knee", "ankle", "x"], &["hip", "y"]),
    }
}

impl Readable for LegPose {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        in_table(node, &LEG, reading, leg).flatten()
    }
}

fn leg(table: &mut TableReader<'_>) -> Option<LegPose> {
    let on = table.need::<Footing>("on");
    let mut amount = |name: &'static str| table.may::<Amount>(name);
    let (hip, knee, ankle) = (amount("hip"), amount("knee"), amount("ankle"));
    let (x, y, tilt) = (amount("x"), amount("y"), amount("tilt"));
    let (out, shin_out) = (amount("out"), amount("shin_out"));
    let (thigh_long, shin_long) = (amount("thigh_long"), amount("shin_long"));
    let on = on?;
    let (must, may) = of_footing(on);
    for name in [
        "hip",
        "knee",
        "ankle",
        "x",
        "y",
        "tilt",
        "out",
        "shin_out",
        "thigh_long",
        "shin_long",
    ] {
        let there = table.has(name);
        let message = if there && !must.contains(&name) && !may.contains(&name) {
            format!("a leg on \"{on}\" has no use for `{name}`")
        } else if !there && must.contains(&name) {
            format!("a leg on \"{on}\" needs `{name}`")
        } else {
            continue;
        };
        table.tell(Problem::new(
            Code::KeysClash,
            table.at_key(name),
            message,
            "",
        ));
        return None;
    }
    Some(LegPose {
        on,
        hip: hip.unwrap_or_default(),
        knee: knee.unwrap_or_default(),
        ankle: ankle.unwrap_or_default(),
        x: x.unwrap_or_default(),
        y: y.unwrap_or_default(),
        tilt: tilt.unwrap_or_default(),
        out: out.unwrap_or_default(),
        shin_out: shin_out.or(out).unwrap_or_default(),
        thigh_long: thigh_long.unwrap_or(Amount::fixed(100)),
        shin_long: shin_long.unwrap_or(Amount::fixed(100)),
    })
}

impl Kinded for ArmPose {
    const KIND: Kind = Kind::Table(&ARM);
}

impl Readable for ArmPose {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        in_table(node, &ARM, reading, arm).flatten()
    }
}

fn arm(table: &mut TableReader<'_>) -> Option<ArmPose> {
    let at = table.may::<Place>("at");
    let on = table.may::<Spot>("on");
    let shoulder = table.may::<Amount>("shoulder");
    let elbow = table.may::<Amount>("elbow");
    let seen = table.may::<Amount>("forearm_long");
    let hand = table.may::<Grasp>("hand").unwrap_or(Grasp::Flat);
    match (at, on, shoulder, elbow.or(seen)) {
        (Some(at), None, None, None) => Some(ArmPose::At(at, hand)),
        (None, Some(on), None, None) => Some(ArmPose::On(on, hand)),
        (None, None, Some(shoulder), _) => Some(ArmPose::Free {
            shoulder,
            elbow: elbow.unwrap_or_default(),
            seen: seen.unwrap_or(Amount::fixed(100)),
            hand,
        }),
        _ => {
            let message = "an arm is `at` a point, `on` a place of the body, or has a `shoulder`";
            table.tell(Problem::new(Code::KeysClash, table.at(), message, ""));
            None
        }
    }
}
