//! The pictures: a pose becomes two drawings of shapes in thousandths of a millimetre.
//!
//! Drawn from joint angles for the right side; the left side is the mirror image. Pure: no file,
//! no clock, no words but the numbers on a picture. Floats stay in this room; what leaves is whole.
//! Must not know a page. Next: `handout` puts pictures beside words, `render` on paper.

mod arrow;
mod body;
mod canvas;
mod cases;
mod check;
mod drawing;
mod error;
mod facts;
mod flat;
mod flesh;
mod frame;
mod furniture;
mod gear;
mod hatch;
mod head;
mod marks;
mod picture;
mod place;
mod plane;
mod props;
mod room;
mod seats;
mod spots;
mod worn;

pub use cases::{Case, cases, fault};
pub use drawing::{Drawing, Ink, Label, Paint, Role, Shape, Spot};
pub use error::FigureError;
pub use facts::{Facts, LegFacts, Posture, facts};
pub use marks::Goal;

use crate::domain::ids::HowId;
use crate::domain::pose::{ArrowKind, Panel, Pose, Prop, Scene, Surface, Thing, View, Which};
use crate::domain::word::{Joint, Motion, Side};

use body::{Body, wrapped};
use canvas::Canvas;
use picture::{Look, Marked, draw};
use place::{Follows, place};
use plane::{Point, at};
use props::Around;
use room::Room;

/// What a picture shows of one person's dose.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Shown {
    /// A goal for the bend of the knee, degrees.
    pub aim: Option<i64>,
    /// A stop for the bend of the knee, margin taken off: it is drawn no further.
    pub limit: Option<i64>,
    /// The range of the dose, degrees.
    pub range: Option<i64>,
    /// Height of the step, centimetres.
    pub height_cm: Option<i64>,
    /// The time of a hold in words, such as "5 s".
    pub hold: Option<String>,
    /// What no joint may be drawn past.
    pub caps: Vec<Cap>,
    /// Whether a weight is worn.
    pub weight: bool,
    /// The way of doing it.
    pub how: Option<HowId>,
}

/// What a joint of the operated leg may not be drawn past.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cap {
    /// The joint.
    pub joint: Joint,
    /// The motion.
    pub motion: Motion,
    /// The most, degrees.
    pub most: i64,
}

/// Two pictures of one exercise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pair {
    /// Before.
    pub start: Drawing,
    /// After.
    pub end: Drawing,
}

/// Width of a frame, millimetres.
pub const WIDTH: f64 = 55.0;

/// Returns the height of a frame, millimetres.
pub const fn height(panel: Panel) -> f64 {
    match panel {
        Panel::Low => 33.0,
        Panel::Tall => 42.0,
    }
}

/// White between a picture and its frame, millimetres.
const MARGIN: f64 = 1.0;
/// The largest scale, millimetres a stature.
const LARGEST: f64 = 72.0;
/// A person's stature for the height of a step, centimetres.
const STATURE_CM: f64 = 168.0;

#[expect(clippy::cast_precision_loss, reason = "small whole numbers")]
const fn real(number: i64) -> f64 {
    number as f64
}

/// Returns the bend drawn: aim or range or what is usual, never above the limit.
pub fn bend(scene: &Scene, shown: &Shown) -> i64 {
    let Some(bend) = scene.bend else {
        return 0;
    };
    let wanted = shown.aim.or(shown.range).unwrap_or(bend.usual);
    let wanted = wanted.clamp(bend.min, bend.max);
    shown.limit.map_or(wanted, |stop| wanted.min(stop))
}

/// Returns what the end pose is: the stop or the aim of the bend, where it is drawn just there.
///
/// A pose that ends before its stop, or does not move the knee to its bend, is neither.
pub fn goal(pose: &Pose, shown: &Shown) -> Option<Goal> {
    let scene = pose.scene_of(shown.how.as_ref());
    let moves = scene.end.near.knee.bend != 0 && scene.start.near.knee.bend == 0;
    if scene.view != View::Side || !moves {
        return None;
    }
    scene.bend.as_ref()?;
    let drawn = bend(scene, shown);
    let stop = shown.limit.filter(|stop| *stop == drawn);
    let aim = shown.aim.filter(|aim| *aim == drawn);
    stop.map(Goal::Limit).or(aim.map(Goal::Aim))
}

/// The two bodies of a pair.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bodies {
    start: Body,
    end: Body,
    follows: Follows,
}

fn bodies(scene: &Scene, follows: Follows) -> Result<Bodies, FigureError> {
    let start = place(&scene.start, scene.view, follows, None)?;
    let end = place(&scene.end, scene.view, follows, Some(&start))?;
    Ok(Bodies {
        start,
        end,
        follows,
    })
}

fn follows(scene: &Scene, shown: &Shown) -> Follows {
    Follows {
        bend: real(bend(scene, shown)),
        height: shown
            .height_cm
            .map_or(60.0, |cm| real(cm) * 1000.0 / STATURE_CM),
    }
}

/// Draws both pictures of an exercise for one side.
pub fn pair(pose: &Pose, side: Side, shown: &Shown) -> Result<Pair, FigureError> {
    let scene = pose.scene_of(shown.how.as_ref());
    let follows = follows(scene, shown);
    let bodies = bodies(scene, follows)?;
    check::poses(pose, scene, &bodies, &shown.caps)?;
    let mut props: Vec<Prop> = scene.props.clone();
    if shown.weight {
        props.push(Prop::plain(Thing::Weight));
    }
    let around = |body| Around {
        view: scene.view,
        surface: pose.surface,
        body,
        start: &bodies.start,
        follows,
        props: &props,
    };
    let look = |body| Look {
        around: around(body),
        marked: if side == Side::Both {
            Marked::Both
        } else {
            Marked::Near
        },
        hatch: Some(hatch(&bodies)),
    };
    let looks = [look(&bodies.start), look(&bodies.end)];
    let frame = at(WIDTH, height(pose.panel));
    let map = frame::fit(&looks, pose.crop, frame);
    check::change(pose, &bodies, map.scale)?;
    let mut drawn = Vec::new();
    for (look, which) in looks.iter().zip([Which::Start, Which::End]) {
        let mut canvas = Canvas::new(map);
        if pose.surface == Surface::Floor {
            frame::floor(&mut canvas, frame);
        }
        draw(&mut canvas, look);
        marks_of(&mut canvas, pose, shown, &bodies, which, frame);
        let drawing = canvas.finish(frame.x, frame.y);
        check::inside(&drawing, pose.crop.is_some())?;
        drawn.push(if side == Side::Left {
            drawing.mirrored()
        } else {
            drawing
        });
    }
    let end = drawn.pop().ok_or(FigureError::NoChange)?;
    let start = drawn.pop().ok_or(FigureError::NoChange)?;
    Ok(Pair { start, end })
}

/// Chooses the direction of the pattern that is furthest from thigh and shank of both poses.
fn hatch(bodies: &Bodies) -> f64 {
    let away = |angle: f64| {
        let mut least = 90.0_f64;
        for leg in [&bodies.start.legs[0], &bodies.end.legs[0]] {
            for bone in [leg.thigh, leg.shank] {
                let off = wrapped(2.0 * (angle + bone)).abs() / 2.0;
                least = least.min(off);
            }
        }
        least
    };
    if away(-45.0) >= away(45.0) {
        -45.0
    } else {
        45.0
    }
}

fn marks_of(
    canvas: &mut Canvas,
    pose: &Pose,
    shown: &Shown,
    bodies: &Bodies,
    which: Which,
    size: Point,
) {
    let scene = pose.scene_of(shown.how.as_ref());
    let mut room = Room::new(size.x, size.y);
    room.take(&canvas.shapes);
    let body = match which {
        Which::Start => &bodies.start,
        Which::End => &bodies.end,
    };
    for arrow in scene.arrows.iter().filter(|arrow| arrow.panel == which) {
        arrow::arrow(canvas, &mut room, arrow, &bodies.start, &bodies.end);
    }
    if which == Which::Start {
        return;
    }
    if let Some(goal) = goal(pose, shown) {
        marks::angle(canvas, &mut room, &body.legs[0], goal);
    }
    if let Some(hold) = &shown.hold {
        let near = scene
            .arrows
            .iter()
            .find(|arrow| arrow.kind != ArrowKind::Turn)
            .map_or(body.legs[0].knee(), |arrow| spots::spot(arrow.of, body));
        marks::hold(canvas, &mut room, near, hold);
    }
}
