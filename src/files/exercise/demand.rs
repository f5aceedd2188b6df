//! Reads what an exercise asks of a joint.

use std::collections::BTreeSet;

use crate::domain::exercise::{Demand, Peak};
use crate::domain::ids::TagId;
use crate::domain::quantity::Degrees;

use super::super::kind::{Kind, Kinded};
use super::super::node::{Node, Value};
use super::super::reader::TableReader;
use super::super::reading::Reading;
use super::super::values::Readable;
use super::super::wrong::wrong_kind;

impl Kinded for Peak {
    const KIND: Kind = Kind::Either("a whole number of degrees, or \"rung\"");
}

impl Readable for Peak {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        if node.is_word("rung") {
            return Some(Self::OfRung);
        }
        if matches!(node.value, Value::Number(_)) {
            return Degrees::read(node, reading).map(Self::Fixed);
        }
        wrong_kind(node, reading, Self::KIND);
        None
    }
}

/// Reads one demand.
pub fn read(table: &mut TableReader<'_>) -> Option<Demand> {
    let joint = table.need("joint");
    let motion = table.need("motion");
    let peak = table.need("peak_degrees");
    let mode = table.need("mode");
    let weight_bearing = table.need("weight_bearing");
    let arm_load = table.need("arm_load");
    let tags = table.need::<BTreeSet<TagId>>("tags");
    let clip_floor = table.may("clip_floor");
    Some(Demand {
        joint: joint?,
        motion: motion?,
        peak: peak?,
        mode: mode?,
        weight_bearing: weight_bearing?,
        arm_load: arm_load?,
        tags: tags?,
        clip_floor,
    })
}
