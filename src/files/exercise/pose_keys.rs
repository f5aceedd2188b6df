//! The keys of a pose.

use crate::domain::pose::{
    Amount, ArmPose, ArrowKind, LegPose, Panel, Place, Spot, Surface, Thing, View, Which,
};
use crate::domain::quantity::Degrees;
use crate::domain::word::YesNo;

use super::super::kind::{Key, Keys, Kind, may, may_as, need, need_as};
use super::pose_values::Bare;

/// What a pose and another way of it share.
const BEND_FOLLOWS: Key = may_as(
    "bend",
    Kind::Table(&BEND),
    "What the bend of the knee follows.",
);
const PROPS: Key = may_as("props", Kind::Tables(&PROP), "The things round the person.");
const ARROWS: Key = may_as("arrows", Kind::Tables(&ARROW), "The arrows.");

/// Keys of a pose.
pub static POSE: Keys = Keys {
    what: "a pose",
    keys: &[
        need::<View>("view", "From where the pose is looked at."),
        need::<Panel>("panel", "Height of the frames."),
        need::<Surface>("surface", "What the person is on."),
        may::<YesNo>("still", "Whether only an arrow tells end from start."),
        may::<Bare>("crop", "Left edge of the picture, thousandths of stature."),
        BEND_FOLLOWS,
        PROPS,
        ARROWS,
        need_as("start", Kind::Table(&STANCE), "The first picture."),
        need_as(
            "end",
            Kind::Table(&STANCE),
            "The second; what it leaves out is as at the start.",
        ),
        may_as(
            "ways",
            Kind::Either("a table of ways"),
            "Other ways, by a rung's `how`.",
        ),
    ],
};

/// Keys of another way of doing it.
pub static WAY: Keys = Keys {
    what: "a way of a pose",
    keys: &[
        may::<View>("view", "From where it is looked at."),
        BEND_FOLLOWS,
        PROPS,
        ARROWS,
        may_as(
            "start",
            Kind::Table(&STANCE),
            "What differs in the first picture.",
        ),
        may_as("end", Kind::Table(&STANCE), "What differs in the second."),
    ],
};

/// Keys of one of the two poses.
pub static STANCE: Keys = Keys {
    what: "one of the two poses",
    keys: &[
        need::<Amount>(
            "trunk",
            "Direction from hip to shoulder: 90 upright, 180 on the back.",
        ),
        may::<Amount>("neck", "Bend of the neck."),
        may::<Place>("hip", "Where the hip is, when no leg carries it."),
        may::<YesNo>(
            "shoulders_stay",
            "Whether the shoulders stay where the start has them.",
        ),
        need::<LegPose>("near", "The operated leg."),
        need::<LegPose>("far", "The other leg."),
        need::<ArmPose>("near_arm", "The arm of the operated side."),
        need::<ArmPose>("far_arm", "The other arm."),
    ],
};

/// Keys of a thing.
pub static PROP: Keys = Keys {
    what: "a thing in a picture",
    keys: &[
        need::<Thing>("kind", "What it is."),
        may::<Amount>("x", "Where it is."),
        may::<Amount>("y", "How high it is."),
        may::<Spot>("of", "Where on the body it is."),
    ],
};

/// Keys of an arrow.
pub static ARROW: Keys = Keys {
    what: "an arrow",
    keys: &[
        need::<Which>("panel", "In which picture."),
        need::<Spot>("of", "What moves or is pushed."),
        need::<ArrowKind>("kind", "How it runs."),
        may::<Vec<Bare>>("towards", "Its direction, or the middle of a turn."),
    ],
};

/// Keys of a bend.
pub static BEND: Keys = Keys {
    what: "a bend",
    keys: &[
        need::<Degrees>("usual", "Degrees when the dose has none."),
        need::<Degrees>("min", "The least that is drawn."),
        need::<Degrees>("max", "The most that is drawn."),
    ],
};

/// Keys of a number that follows the dose.
pub static AMOUNT: Keys = Keys {
    what: "a number that follows the dose",
    keys: &[
        may::<Bare>("base", "What does not change."),
        may::<Bare>("bend", "Per cent of the bend drawn."),
        may::<Bare>("height", "Per cent of the height of the step."),
    ],
};

/// Keys of a leg.
pub static LEG: Keys = Keys {
    what: "a leg",
    keys: &[
        need::<crate::domain::pose::Footing>("on", "What it rests on."),
        may::<Amount>("hip", "Bend of the hip."),
        may::<Amount>("knee", "Bend of the knee."),
        may::<Amount>("ankle", "Bend of the ankle, toes toward the shin."),
        may::<Amount>("x", "Where the ankle is."),
        may::<Amount>("y", "Height of what it rests on."),
        may::<Amount>("tilt", "Degrees the heel is up."),
        may::<Amount>("out", "Degrees the thigh goes out to the side."),
        may::<Amount>("shin_out", "Degrees the shin goes out to the side."),
        may::<Amount>("thigh_long", "Per cent of the thigh that is seen."),
        may::<Amount>("shin_long", "Per cent of the shin that is seen."),
    ],
};

/// Keys of an arm.
pub static ARM: Keys = Keys {
    what: "an arm",
    keys: &[
        may::<Place>("at", "Where the palm is."),
        may::<Spot>("on", "On what place of the body the palm is."),
        may::<Amount>("shoulder", "Bend of the shoulder."),
        may::<Amount>("elbow", "Bend of the elbow."),
        may::<Amount>("forearm_long", "Per cent of the forearm that is seen."),
        may::<crate::domain::pose::Grasp>("hand", "Flat, or closed round something."),
    ],
};
