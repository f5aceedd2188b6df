//! Reads how an exercise is drawn.
//!
//! `end` takes what it does not say from `start`, a way takes it from the usual way; so the tables
//! are laid over each other first and read then. The numbers of a picture are no doses and need no
//! source. Next: `checks::pose` looks at what they draw.

use std::collections::BTreeMap;

use crate::domain::ids::HowId;
use crate::domain::pose::{Arrow, Bend, Place, Pose, Prop, Scene, Stance, View};
use crate::domain::quantity::Degrees;

use super::super::kind::{Keys, Kind};
use super::super::node::{Node, Value};
use super::super::reader::{TableReader, in_table};
use super::super::reading::Reading;
use super::super::values::Readable;
use super::super::wrong::wrong_kind;
use super::pose_keys::{ARROW, BEND, POSE, PROP, STANCE, WAY};
use super::pose_values::Bare;

/// Reads the pose of an exercise.
pub fn read(table: &mut TableReader<'_>) -> Option<Pose> {
    let panel = table.need("panel");
    let surface = table.need("surface");
    let still = table.may("still");
    let crop = table.may::<Bare>("crop");
    let parts = Parts::of(table);
    let ways = table.may_any("ways");
    let scene = scene(&parts, table.reading());
    let ways = ways.map(|node| ways_of(&node, &parts, table.reading()));
    Some(Pose {
        panel: panel?,
        surface: surface?,
        still: still == Some(crate::domain::word::YesNo::Yes),
        crop: crop.map(|crop| crop.0),
        scene: scene?,
        ways: ways.unwrap_or_default(),
        origin: table.at().origin(),
    })
}

/// The tables a scene is read from.
#[derive(Clone, Default)]
struct Parts {
    view: Option<View>,
    start: Option<Node>,
    end: Option<Node>,
    props: Option<Node>,
    arrows: Option<Node>,
    bend: Option<Node>,
}

impl Parts {
    fn of(table: &mut TableReader<'_>) -> Self {
        Self {
            view: table.may("view"),
            start: table.may_any("start"),
            end: table.may_any("end"),
            props: table.may_any("props"),
            arrows: table.may_any("arrows"),
            bend: table.may_any("bend"),
        }
    }

    /// Lays the tables of a way over those of the usual one.
    fn under(&self, way: Self) -> Self {
        Self {
            view: way.view.or(self.view),
            start: over(self.start.as_ref(), way.start),
            end: over(self.end.as_ref(), way.end),
            props: way.props.or_else(|| self.props.clone()),
            arrows: way.arrows.or_else(|| self.arrows.clone()),
            bend: way.bend.or_else(|| self.bend.clone()),
        }
    }
}

/// Lays one table over another.
fn over(base: Option<&Node>, top: Option<Node>) -> Option<Node> {
    let (Some(base), Some(top)) = (base, top.as_ref()) else {
        return top.or_else(|| base.cloned());
    };
    if !matches!(top.value, Value::Table(_)) {
        return Some(top.clone());
    }
    let mut entries = top.entries().to_vec();
    let missing = base
        .entries()
        .iter()
        .filter(|entry| top.get(&entry.key).is_none());
    entries.extend(missing.cloned());
    Some(Node {
        value: Value::Table(entries),
        at: top.at.clone(),
    })
}

fn ways_of(node: &Node, usual: &Parts, reading: &mut Reading) -> BTreeMap<HowId, Scene> {
    let mut ways = BTreeMap::new();
    if !matches!(node.value, Value::Table(_)) {
        wrong_kind(node, reading, Kind::Either("a table of ways"));
    }
    for entry in node.entries() {
        let name = Node {
            value: Value::Text(entry.key.clone()),
            at: entry.key_at.clone(),
        };
        let name = HowId::read(&name, reading);
        let parts = in_table(&entry.node, &WAY, reading, Parts::of);
        let scene = parts.and_then(|parts| scene(&usual.under(parts), reading));
        if let (Some(name), Some(scene)) = (name, scene) {
            ways.insert(name, scene);
        }
    }
    ways
}

fn scene(parts: &Parts, reading: &mut Reading) -> Option<Scene> {
    let before = reading.told();
    let start = parts.start.as_ref()?;
    let first = in_table(start, &STANCE, reading, stance).flatten();
    if reading.told() > before {
        return None;
    }
    let end = over(Some(start), parts.end.clone())?;
    let end = in_table(&end, &STANCE, reading, stance).flatten();
    let props = list(parts.props.as_ref(), &PROP, reading, prop);
    let arrows = list(parts.arrows.as_ref(), &ARROW, reading, arrow);
    let bend = parts
        .bend
        .as_ref()
        .and_then(|node| in_table(node, &BEND, reading, bend).flatten());
    Some(Scene {
        view: parts.view?,
        start: first?,
        end: end?,
        props,
        arrows,
        bend,
    })
}

fn list<T>(
    node: Option<&Node>,
    keys: &'static Keys,
    reading: &mut Reading,
    read: fn(&mut TableReader<'_>) -> Option<T>,
) -> Vec<T> {
    let Some(node) = node else {
        return Vec::new();
    };
    let Value::List(list) = &node.value else {
        wrong_kind(node, reading, Kind::Tables(keys));
        return Vec::new();
    };
    list.iter()
        .filter_map(|item| in_table(item, keys, reading, read).flatten())
        .collect()
}

fn stance(table: &mut TableReader<'_>) -> Option<Stance> {
    let trunk = table.need("trunk");
    let neck = table.may("neck");
    let hip = table.may::<Place>("hip");
    let shoulders = table.may("shoulders_stay");
    let near = table.need("near");
    let far = table.need("far");
    let near_arm = table.need("near_arm");
    let far_arm = table.need("far_arm");
    Some(Stance {
        trunk: trunk?,
        neck: neck.unwrap_or_default(),
        hip,
        shoulders_stay: shoulders == Some(crate::domain::word::YesNo::Yes),
        near: near?,
        far: far?,
        near_arm: near_arm?,
        far_arm: far_arm?,
    })
}

fn prop(table: &mut TableReader<'_>) -> Option<Prop> {
    let kind = table.need("kind");
    let x = table.may("x");
    let y = table.may("y");
    let of = table.may("of");
    Some(Prop {
        kind: kind?,
        x: x.unwrap_or_default(),
        y: y.unwrap_or_default(),
        of,
    })
}

fn arrow(table: &mut TableReader<'_>) -> Option<Arrow> {
    let panel = table.need("panel");
    let of = table.need("of");
    let kind = table.need("kind");
    let towards = table.may::<Vec<Bare>>("towards");
    let towards = towards.and_then(|way| match way.as_slice() {
        [x, y] => Some([x.0, y.0]),
        _ => None,
    });
    Some(Arrow {
        panel: panel?,
        of: of?,
        kind: kind?,
        towards,
    })
}

fn bend(table: &mut TableReader<'_>) -> Option<Bend> {
    let number = |degrees: Degrees| crate::domain::quantity::Quantity::get(degrees);
    let usual = table.need("usual").map(number);
    let min = table.need("min").map(number);
    let max = table.need("max").map(number);
    Some(Bend {
        usual: usual?,
        min: min?,
        max: max?,
    })
}

/// The keys of a pose, for the exercise's own table.
pub static KEYS: &Keys = &POSE;
