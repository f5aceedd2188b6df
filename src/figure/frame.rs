//! Fits both pictures of a pair into their frames at one scale.

use crate::domain::pose::View;

use super::canvas::{Canvas, Map};
use super::drawing::{Ink, Role};
use super::picture::{Look, draw};
use super::plane::{Point, at};
use super::{LARGEST, MARGIN, real};

/// Draws the line of the floor over the whole frame.
pub fn floor(canvas: &mut Canvas, size: Point) {
    let y = canvas.map.top + 0.15;
    let strip = [
        at(1.5, y),
        at(size.x - 1.5, y),
        at(size.x - 1.5, y - 0.022 * canvas.map.scale),
        at(1.5, y - 0.022 * canvas.map.scale),
    ];
    canvas.fill_paper(Role::Prop, &[strip.to_vec()], Ink::Surface);
    canvas.line_paper(
        Role::Prop,
        &[at(1.5, y), at(size.x - 1.5, y)],
        0.5,
        Ink::Black,
    );
}

/// Finds the scale and place at which both pictures fill their frames.
pub fn fit(looks: &[Look<'_>; 2], crop: Option<i64>, size: Point) -> Map {
    let probe = 40.0;
    let (mut low, mut high) = (at(f64::MAX, f64::MAX), at(f64::MIN, f64::MIN));
    for look in looks {
        let mut canvas = Canvas::new(Map {
            scale: probe,
            left: 0.0,
            top: 0.0,
        });
        let bare = Look {
            hatch: None,
            ..*look
        };
        draw(&mut canvas, &bare);
        for (x, y) in canvas
            .shapes
            .iter()
            .flat_map(|shape| &shape.rings)
            .flatten()
        {
            let p = at(f64::from(*x) / 1000.0, f64::from(*y) / 1000.0);
            low = at(low.x.min(p.x), low.y.min(p.y));
            high = at(high.x.max(p.x), high.y.max(p.y));
        }
    }
    if let Some(crop) = crop {
        low.x = real(crop) / 1000.0 * probe;
    }
    let room = size - at(2.0 * MARGIN, 2.0 * MARGIN);
    let grow = (room.x / (high.x - low.x)).min(room.y / (high.y - low.y));
    let scale = (probe * grow).min(LARGEST);
    let by = scale / probe;
    let seen_from_above = looks[0].around.view == View::Above;
    let left = if crop.is_some() {
        -low.x * by
    } else {
        (size.x - (low.x + high.x) * by) / 2.0
    };
    Map {
        scale,
        left,
        top: if seen_from_above {
            (size.y - (low.y + high.y) * by) / 2.0
        } else {
            size.y - MARGIN - high.y * by
        },
    }
}
