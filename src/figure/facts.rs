//! What a picture shows, for those who cannot see it.

use crate::domain::pose::{Footing, Pose, Scene, Stance, Surface, Thing, View};

use super::body::Body;
use super::error::FigureError;
use super::{Shown, bodies, body::wrapped, follows};

/// How the person is placed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Posture {
    /// On the back.
    Back,
    /// On the front.
    Front,
    /// On the other side.
    Side,
    /// Sitting with the legs along a bed.
    OnBed,
    /// Sitting.
    Sitting,
    /// Standing.
    Standing,
    /// On one knee or both.
    Kneeling,
}

/// Where the operated leg is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LegFacts {
    /// Seen from the side: bends of knee and hip, to 5 degrees.
    Bends {
        /// Of the knee.
        knee: i64,
        /// Of the hip; backward is negative.
        hip: i64,
    },
    /// Seen along the body: degrees out to the side, to 5 degrees.
    Out(i64),
}

/// What one picture shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Facts {
    /// How the person is placed.
    pub posture: Posture,
    /// Where the operated leg is.
    pub leg: LegFacts,
    /// The things in it, each once.
    pub things: Vec<Thing>,
}

/// Returns what both pictures of an exercise show.
pub fn facts(pose: &Pose, shown: &Shown) -> Result<[Facts; 2], FigureError> {
    let scene = pose.scene_of(shown.how.as_ref());
    let bodies = bodies(scene, follows(scene, shown))?;
    let mut things: Vec<Thing> = Vec::new();
    if pose.surface == Surface::Bed {
        things.push(Thing::BedEdge);
    }
    for prop in &scene.props {
        if prop.kind != Thing::BedEnd && !things.contains(&prop.kind) {
            things.push(prop.kind);
        }
    }
    if shown.weight {
        things.push(Thing::Weight);
    }
    let of = |body: &Body, stance: &Stance| Facts {
        posture: posture(pose, scene, stance, body),
        leg: leg(scene, body),
        things: things.clone(),
    };
    Ok([of(&bodies.start, &scene.start), of(&bodies.end, &scene.end)])
}

fn posture(pose: &Pose, scene: &Scene, stance: &Stance, body: &Body) -> Posture {
    if [&stance.near, &stance.far]
        .iter()
        .any(|leg| leg.on == Footing::Knee)
    {
        return Posture::Kneeling;
    }
    match scene.view {
        View::Behind => Posture::Standing,
        View::SideLying => Posture::Side,
        View::Above => Posture::Back,
        View::Side => {
            if pose.surface == Surface::Floor {
                let sits = scene.props.iter().any(|prop| {
                    matches!(
                        prop.kind,
                        Thing::Chair | Thing::ArmChair | Thing::BedEdge | Thing::Bike
                    )
                });
                let high = (body.hip.y - 0.47).is_sign_positive();
                let bike = scene.props.iter().any(|prop| prop.kind == Thing::Bike);
                if sits && (bike || !high) {
                    Posture::Sitting
                } else {
                    Posture::Standing
                }
            } else if body.trunk.abs() < 45.0 {
                Posture::Front
            } else if body.trunk > 140.0 {
                Posture::Back
            } else {
                Posture::OnBed
            }
        }
    }
}

fn leg(scene: &Scene, body: &Body) -> LegFacts {
    let leg = &body.legs[0];
    if scene.view == View::Side {
        return LegFacts::Bends {
            knee: fives(leg.knee_bend()),
            hip: fives(body.hip_bend(leg)),
        };
    }
    LegFacts::Out(fives(wrapped(leg.thigh - body.trunk + 180.0).abs()))
}

#[expect(clippy::cast_possible_truncation, reason = "degrees")]
fn fives(degrees: f64) -> i64 {
    (degrees / 5.0).round() as i64 * 5
}
