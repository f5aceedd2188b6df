//! Why a pose cannot be drawn.

use crate::domain::word::{Joint, Motion};

/// Why a pose cannot be drawn.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FigureError {
    /// A hand or a foot cannot get to where it should be.
    #[error("the {what} cannot reach its place: {short:.1} thousandths of stature short")]
    OutOfReach {
        /// Which part.
        what: &'static str,
        /// How far it is off, in thousandths of stature.
        short: f64,
    },
    /// A part that rests on something cannot touch it.
    #[error("the {what} cannot be brought to rest on its surface")]
    NoContact {
        /// Which part.
        what: &'static str,
    },
    /// A foot would go through what it stands or lies on.
    #[error("a foot would go {by:.1} thousandths of stature through what is under it")]
    Sunk {
        /// How far, in thousandths of stature.
        by: f64,
    },
    /// No leg carries the hip and no place is given for it.
    #[error("nothing says where the hip is: give `hip`, or let a leg stand")]
    NoHip,
    /// A joint would be bent further than anybody's goes, or than this person's may.
    #[error("the {joint} would be drawn at {got} degrees of {motion}; {most} is the most")]
    TooFar {
        /// The joint.
        joint: Joint,
        /// The motion.
        motion: Motion,
        /// What would be drawn.
        got: i64,
        /// What is allowed.
        most: i64,
    },
    /// An arm would be bent as no arm bends.
    #[error("the {what} would be drawn at {got} degrees, and none goes there")]
    ArmTooFar {
        /// Shoulder or elbow.
        what: &'static str,
        /// What would be drawn.
        got: i64,
    },
    /// A segment would be drawn longer than it is.
    #[error("a segment of the {what} would be drawn longer than it is")]
    Stretched {
        /// Leg or arm.
        what: &'static str,
    },
    /// The picture would be larger than its frame.
    #[error("the picture would leave its frame by {by_um} thousandths of a millimetre")]
    OutsideFrame {
        /// By how much.
        by_um: i64,
    },
    /// Start and end look the same.
    #[error("start and end look the same, and the pose is not `still`")]
    NoChange,
}
