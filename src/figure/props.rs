//! Things round the person, by layer: behind, between the legs, in front.
//!
//! Must not know exercises. Next: `furniture` holds the larger ones.

use crate::domain::pose::{Prop, Spot, Surface, Thing, View};

use super::body::Body;
use super::canvas::{Canvas, smooth};
use super::drawing::{Ink, Role};
use super::furniture;
use super::gear;
use super::place::Follows;
use super::plane::{Point, at, toward};
use super::seats;
use super::spots::spot;
use super::worn;

/// Where a thing stands among the limbs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layer {
    /// Behind everybody.
    Back,
    /// Between the far and the near leg.
    Middle,
    /// Before the trunk, under the near arm.
    Front,
    /// On top of all.
    Top,
}

/// What a thing is drawn with.
#[derive(Debug, Clone, Copy)]
pub struct Around<'a> {
    /// From where.
    pub view: View,
    /// What the person is on.
    pub surface: Surface,
    /// The body of this picture.
    pub body: &'a Body,
    /// The body of the first picture, for what does not move.
    pub start: &'a Body,
    /// The dose's numbers.
    pub follows: Follows,
    /// The things.
    pub props: &'a [Prop],
}

impl Around<'_> {
    /// Finds a thing.
    pub fn find(&self, kind: Thing) -> Option<&Prop> {
        self.props.iter().find(|prop| prop.kind == kind)
    }

    /// Returns where a thing stands.
    pub fn x(&self, prop: &Prop) -> f64 {
        self.follows.length(prop.x)
    }

    /// Returns how high a thing is.
    pub fn y(&self, prop: &Prop) -> f64 {
        self.follows.length(prop.y)
    }
}

/// Weight of a main edge and of a lesser one, millimetres.
pub const EDGE: f64 = 0.45;
/// Weight of a lesser edge, millimetres.
pub const THIN: f64 = 0.35;

/// Draws everything of a layer.
pub fn layer(canvas: &mut Canvas, around: &Around<'_>, layer: Layer) {
    if layer == Layer::Back && around.surface == Surface::Bed {
        furniture::bed(canvas, around);
    }
    for prop in around.props {
        thing(canvas, around, prop, layer);
    }
}

fn thing(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop, layer: Layer) {
    match (prop.kind, layer) {
        (Thing::Pillow, Layer::Back) => pillow(canvas, around),
        (Thing::LegPillow, Layer::Middle) => leg_pillow(canvas, around),
        (Thing::Chair, Layer::Back) => seats::chair(canvas, around, prop),
        (Thing::FacingChair, Layer::Back) => seats::facing_chair(canvas, around, prop),
        (Thing::ArmChair, Layer::Back) => {
            seats::arm_rest(canvas, around, prop, furniture::FAR);
            seats::chair(canvas, around, prop);
            if !sits(around) {
                seats::arm_rest(canvas, around, prop, at(0.0, 0.0));
            }
        }
        (Thing::ArmChair, Layer::Front) if sits(around) => {
            seats::arm_rest(canvas, around, prop, at(0.0, 0.0));
        }
        (Thing::Towel | Thing::Roll, Layer::Middle) => roll(canvas, around, prop),
        (Thing::Cushion, Layer::Front) => cushion(canvas, around, prop),
        (Thing::Strap, Layer::Front) => worn::strap(canvas, around, prop),
        (Thing::Band, Layer::Front) => worn::band(canvas, around, prop),
        (Thing::Weight, Layer::Front) => worn::weight(canvas, &around.body.legs[0]),
        (Thing::Worktop, Layer::Back) => furniture::worktop(canvas, around, prop),
        (Thing::Wall, Layer::Back) => furniture::wall(canvas, around, prop),
        (Thing::Step, Layer::Back) => furniture::step(canvas, around, prop),
        (Thing::Stairs, Layer::Back) => gear::stairs(canvas, around, prop),
        (Thing::Rail, Layer::Back) => gear::rail(canvas, around, prop),
        (Thing::Stool, Layer::Back) => seats::stool(canvas, around, prop),
        (Thing::TableLeg, Layer::Back) => furniture::table_leg(canvas, around, prop),
        (Thing::BedEdge, Layer::Back) => furniture::bed_edge(canvas, around, prop),
        (Thing::Bike, Layer::Back) => gear::bike(canvas, around, prop),
        (Thing::Stick | Thing::Sticks, Layer::Back) => worn::far_stick(canvas, around, prop),
        (Thing::Sticks, Layer::Front) => worn::stick(canvas, &around.body.arms[0], around.x(prop)),
        (Thing::Frame, Layer::Back) => gear::walker(canvas, around, prop, furniture::FAR),
        (Thing::Frame, Layer::Front) => gear::walker(canvas, around, prop, at(0.0, 0.0)),
        (Thing::Line, Layer::Back) => furniture::tape(canvas, around),
        _ => {}
    }
}

/// Says whether the person is still on the seat.
fn sits(around: &Around<'_>) -> bool {
    around.body.hip.y - around.start.hip.y < 0.05
}

/// Returns a rectangle with round corners.
pub fn rounded(left: f64, bottom: f64, width: f64, height: f64, r: f64) -> Vec<Point> {
    let (right, top) = (left + width, bottom + height);
    let corners = [
        (right - r, top - r, 0.0),
        (left + r, top - r, 90.0),
        (left + r, bottom + r, 180.0),
        (right - r, bottom + r, 270.0),
    ];
    let mut ring = Vec::new();
    for (x, y, from) in corners {
        for step in 0..=3 {
            ring.push(at(x, y) + toward(from + 30.0 * f64::from(step)) * r);
        }
    }
    ring
}

/// Returns a circle.
pub fn round(centre: Point, r: f64) -> Vec<Point> {
    (0..36)
        .map(|step| centre + toward(f64::from(step) * 10.0) * r)
        .collect()
}

fn pillow(canvas: &mut Canvas, around: &Around<'_>) {
    let body = around.start;
    let head = body.head();
    let long_sitting = around.view == View::Side && (60.0..140.0).contains(&body.trunk);
    if long_sitting {
        let ring: Vec<Point> = rounded(-0.066, 0.03, 0.050, 0.27, 0.02)
            .iter()
            .map(|p| body.of_trunk(p.x - 0.05, p.y))
            .collect();
        canvas.area(Role::Prop, &ring, EDGE, Ink::White);
        return;
    }
    let (bottom, height) = if around.view == View::Above {
        (head.y - 0.12, 0.24)
    } else {
        (0.0, (head.y - 0.052).max(0.03))
    };
    let half = if around.view == View::Above {
        0.07
    } else {
        0.10
    };
    let ring = rounded(
        head.x - half,
        bottom,
        2.0 * half,
        height,
        (height / 2.2).min(0.03),
    );
    canvas.area(Role::Prop, &ring, EDGE, Ink::White);
}

fn leg_pillow(canvas: &mut Canvas, around: &Around<'_>) {
    let [top, under] = &around.start.legs;
    let middle = top.knee().between(under.knee(), 0.5);
    let high = (top.knee().y - under.knee().y - 0.060).max(0.03);
    let ring = rounded(
        middle.x - 0.14,
        middle.y - high / 2.0,
        0.22,
        high,
        high / 2.5,
    );
    canvas.area(Role::Prop, &ring, EDGE, Ink::White);
}

/// A rolled towel under a place of the body: a circle with a spiral; its height is `y`.
fn roll(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop) {
    let on = spot(prop.of.unwrap_or(Spot::NearKnee), around.body);
    let r = around.y(prop) / 2.0;
    let x = on.x + around.x(prop);
    let centre = at(x, r);
    // The far end shows that it is a roll and not a ball.
    let far = centre + furniture::FAR * 1.6;
    canvas.area(Role::Prop, &round(far, r), EDGE, Ink::White);
    let (left, right) = (toward(135.0) * r, toward(315.0) * r);
    let side = [centre + left, far + left, far + right, centre + right];
    let paper = canvas.paper(&side);
    canvas.fill_paper(Role::Prop, &[paper], Ink::White);
    canvas.line(Role::Prop, &[centre + left, far + left], EDGE);
    canvas.line(Role::Prop, &[centre + right, far + right], EDGE);
    canvas.area(Role::Prop, &round(centre, r), EDGE, Ink::White);
    let mut spiral = Vec::new();
    for step in 0..=24 {
        let share = f64::from(step) / 24.0;
        spiral.push(centre + toward(share * 620.0) * (r * 0.82 * (1.0 - share) + 0.002));
    }
    canvas.line(Role::Prop, &smooth(&spiral, false), THIN);
}

/// A flat cushion or folded towel under a place of the body.
fn cushion(canvas: &mut Canvas, around: &Around<'_>, prop: &Prop) {
    let on = spot(prop.of.unwrap_or(Spot::NearThigh), around.body);
    let high = around.y(prop);
    let x = on.x + around.x(prop);
    let ring = rounded(x - 0.075, 0.0, 0.15, high, high / 2.2);
    canvas.area(Role::Prop, &ring, EDGE, Ink::White);
    canvas.line(
        Role::Prop,
        &[at(x - 0.06, high / 2.0), at(x + 0.06, high / 2.0)],
        THIN,
    );
}
