//! How an exercise is drawn: two poses, the things round them and the marks on them.
//!
//! Angles are whole degrees, lengths thousandths of stature; drawn for the right side.
//! Must not draw. Next: `figure` turns it into shapes.

use std::collections::BTreeMap;

use super::ids::HowId;
use super::source::Origin;
use super::word::words;

words! {
    /// From where a pose is looked at.
    View { Side = "side", Behind = "behind", SideLying = "side-lying", Above = "above", }
    /// Height of the two frames: low 33 mm, tall 42 mm.
    Panel { Low = "low", Tall = "tall", }
    /// What the person lies, sits or stands on.
    Surface { Bed = "bed", Floor = "floor", }
    /// What a leg rests on.
    Footing {
        Air = "air", Heel = "heel", Sole = "sole", Stand = "stand", Seat = "seat",
        Roll = "roll", Out = "out", Knee = "knee",
    }
    /// One of the two poses.
    Which { Start = "start", End = "end", }
    /// A hand.
    Grasp { Flat = "flat", Grip = "grip", }
    /// A place of the body.
    Spot {
        NearToe = "near-toe", NearHeel = "near-heel", NearSole = "near-sole",
        NearAnkle = "near-ankle", NearKnee = "near-knee", NearThigh = "near-thigh",
        NearHand = "near-hand", FarToe = "far-toe", FarHeel = "far-heel", FarSole = "far-sole",
        FarAnkle = "far-ankle", FarKnee = "far-knee", FarThigh = "far-thigh",
        FarHand = "far-hand", Pelvis = "pelvis", Chest = "chest", Head = "head",
    }
    /// How an arrow runs.
    ArrowKind { Move = "move", Line = "line", Push = "push", Swing = "swing", Turn = "turn", }
    /// A thing in the picture.
    Thing {
        Pillow = "pillow", LegPillow = "leg-pillow", Chair = "chair", ArmChair = "arm-chair",
        Towel = "towel", Roll = "roll", Strap = "strap", Band = "band", Weight = "weight",
        Worktop = "worktop", Wall = "wall", Step = "step", Stairs = "stairs", Rail = "rail",
        Stool = "stool", Stick = "stick", Sticks = "sticks", Frame = "frame", Bike = "bike",
        TableLeg = "table-leg", Line = "line", FacingChair = "facing-chair", Cushion = "cushion", BedEdge = "bed-edge", BedEnd = "bed-end",
    }
}

/// A number that may follow the dose: base + per cent of the bend + per cent of the step's height.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize)]
pub struct Amount {
    /// What does not change.
    pub base: i64,
    /// Per cent of the bend drawn.
    pub bend: i64,
    /// Per cent of the height of the step.
    pub height: i64,
}

impl Amount {
    /// Makes a number that follows nothing.
    pub const fn fixed(base: i64) -> Self {
        Self {
            base,
            bend: 0,
            height: 0,
        }
    }
}

/// A point that may follow the dose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct Place {
    /// To the right.
    pub x: Amount,
    /// Up.
    pub y: Amount,
}

/// One leg of a pose. What a footing has no use for is 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct LegPose {
    /// What it rests on.
    pub on: Footing,
    /// Bend of the hip.
    pub hip: Amount,
    /// Bend of the knee.
    pub knee: Amount,
    /// Toes toward the shin are positive.
    pub ankle: Amount,
    /// Where the ankle stands.
    pub x: Amount,
    /// Height of what it rests on.
    pub y: Amount,
    /// Degrees the heel is up.
    pub tilt: Amount,
    /// Degrees out to the side.
    pub out: Amount,
    /// Degrees the shin is out to the side.
    pub shin_out: Amount,
    /// Per cent of the thigh seen.
    pub thigh_long: Amount,
    /// Per cent of the shin seen.
    pub shin_long: Amount,
}

/// One arm of a pose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub enum ArmPose {
    /// The palm is at a point.
    At(Place, Grasp),
    /// The palm is on a place of the body.
    On(Spot, Grasp),
    /// Shoulder and elbow have these bends.
    Free {
        /// Bend of the shoulder.
        shoulder: Amount,
        /// Bend of the elbow.
        elbow: Amount,
        /// Per cent of the forearm seen.
        seen: Amount,
        /// The hand.
        hand: Grasp,
    },
}

/// One pose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct Stance {
    /// Direction from hip to shoulder: 90 upright, 180 on the back, 0 on the front.
    pub trunk: Amount,
    /// Bend of the neck.
    pub neck: Amount,
    /// Where the hip is; none when a leg carries it.
    pub hip: Option<Place>,
    /// Whether the shoulders stay where the start has them.
    pub shoulders_stay: bool,
    /// The operated leg.
    pub near: LegPose,
    /// The other leg.
    pub far: LegPose,
    /// The arm of the operated side.
    pub near_arm: ArmPose,
    /// The other arm.
    pub far_arm: ArmPose,
}

/// What the drawn bend of the knee follows: aim, limit or range of the dose, else what is usual.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct Bend {
    /// Without a number in the dose.
    pub usual: i64,
    /// The least that can be drawn.
    pub min: i64,
    /// The most that can be drawn.
    pub max: i64,
}

/// A thing in the picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct Prop {
    /// What it is.
    pub kind: Thing,
    /// Where, if it does not follow the body.
    pub x: Amount,
    /// How high.
    pub y: Amount,
    /// Where on the body.
    pub of: Option<Spot>,
}

/// An arrow.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct Arrow {
    /// In which picture.
    pub panel: Which,
    /// What moves or is pushed.
    pub of: Spot,
    /// How it runs.
    pub kind: ArrowKind,
    /// Direction of a push or a line that does not follow the body.
    pub towards: Option<[i64; 2]>,
}

/// A pair of poses with all that stands round them.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Scene {
    /// From where.
    pub view: View,
    /// Before.
    pub start: Stance,
    /// After.
    pub end: Stance,
    /// Things.
    pub props: Vec<Prop>,
    /// Arrows.
    pub arrows: Vec<Arrow>,
    /// What the bend follows.
    pub bend: Option<Bend>,
}

/// How an exercise is drawn.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Pose {
    /// Height of the frames.
    pub panel: Panel,
    /// What the person is on.
    pub surface: Surface,
    /// Whether start and end look alike, so that only an arrow says what to do.
    pub still: bool,
    /// Nothing left of this is drawn, in thousandths of stature from the hip.
    pub crop: Option<i64>,
    /// The usual way.
    pub scene: Scene,
    /// Other ways of doing it.
    pub ways: BTreeMap<HowId, Scene>,
    /// Where it stands in its file.
    pub origin: Origin,
}

impl Pose {
    /// Returns the scene of a way of doing it.
    pub fn scene_of(&self, how: Option<&HowId>) -> &Scene {
        how.and_then(|how| self.ways.get(how))
            .unwrap_or(&self.scene)
    }
}

impl Prop {
    /// Makes a thing that follows the body.
    pub const fn plain(kind: Thing) -> Self {
        Self {
            kind,
            x: Amount::fixed(0),
            y: Amount::fixed(0),
            of: None,
        }
    }
}

impl Pose {
    /// Returns a plain pose on the back in which nothing moves, for exercises written in code.
    pub fn plain(origin: Origin) -> Self {
        let leg = LegPose {
            on: Footing::Air,
            hip: Amount::fixed(0),
            knee: Amount::fixed(5),
            ankle: Amount::fixed(0),
            x: Amount::fixed(0),
            y: Amount::fixed(0),
            tilt: Amount::fixed(0),
            out: Amount::fixed(0),
            shin_out: Amount::fixed(0),
            thigh_long: Amount::fixed(100),
            shin_long: Amount::fixed(100),
        };
        let arm = ArmPose::Free {
            shoulder: Amount::fixed(0),
            elbow: Amount::fixed(5),
            seen: Amount::fixed(100),
            hand: Grasp::Flat,
        };
        let start = Stance {
            trunk: Amount::fixed(180),
            neck: Amount::fixed(0),
            hip: Some(Place {
                x: Amount::fixed(0),
                y: Amount::fixed(66),
            }),
            shoulders_stay: false,
            near: leg,
            far: leg,
            near_arm: arm,
            far_arm: arm,
        };
        let scene = Scene {
            view: View::Side,
            start,
            end: start,
            props: Vec::new(),
            arrows: Vec::new(),
            bend: None,
        };
        Self {
            panel: Panel::Low,
            surface: Surface::Bed,
            still: true,
            crop: None,
            scene,
            ways: BTreeMap::new(),
            origin,
        }
    }
}
