//! Places of the body by name.

use crate::domain::pose::Spot;

use super::body::{Body, Leg};
use super::plane::{Point, toward};

/// Returns a place of the body.
pub fn spot(spot: Spot, body: &Body) -> Point {
    let [near, far] = &body.legs;
    match spot {
        Spot::NearToe => near.foot_discs()[2].c,
        Spot::NearHeel => near.foot_discs()[0].c,
        Spot::NearSole => near.of_foot(0.03, -0.039),
        Spot::NearAnkle => near.ankle(),
        Spot::NearKnee => near.knee(),
        Spot::NearThigh => on_thigh(near),
        Spot::NearHand => body.arms[0].palm(),
        Spot::FarToe => far.foot_discs()[2].c,
        Spot::FarHeel => far.foot_discs()[0].c,
        Spot::FarSole => far.of_foot(0.03, -0.039),
        Spot::FarAnkle => far.ankle(),
        Spot::FarKnee => far.knee(),
        Spot::FarThigh => on_thigh(far),
        Spot::FarHand => body.arms[1].palm(),
        Spot::Pelvis => body.hip,
        Spot::Chest => body.of_trunk(0.0, 0.2),
        Spot::Head => body.head(),
    }
}

/// On top of the thigh, above the knee: where a hand lies.
fn on_thigh(leg: &Leg) -> Point {
    leg.hip.between(leg.knee(), 0.72) + toward(leg.thigh + 90.0) * 0.058
}
