//! One limit a motion, the strictest, the same wherever it is named.

use banister::domain::limit::{LimitDegrees, LimitRule, MotionOf};
use banister::domain::quantity::Quantity;

use super::super::check::{Property, Wrong};
use super::super::eyes::Scene;
use super::page::{Line, Page, Place};

/// What stands for one motion: the number a person reads, and where every dose stops.
struct Strictest {
    named: i64,
    stop: i64,
}

/// Every number of degrees on the page is the strictest limit of its motion, or within its stop.
pub fn one_a_motion(scene: &Scene<'_>, page: &Page, wrong: &mut Vec<Wrong>) {
    let strictest = strictest(scene);
    let named: Vec<i64> = strictest.iter().map(|(_, limit)| limit.named).collect();
    for line in page.lines() {
        for degrees in degrees(&line.text) {
            let tells = tells_a_limit(line);
            if tells && !named.contains(&degrees) && !is_stop(line, &strictest, degrees) {
                let what = format!("{degrees} is not the strictest limit: {}", line.said());
                wrong.push((Property::OneLimitAMotion, what));
            }
        }
    }
    blocks(scene, page, &strictest, wrong);
}

/// The strictest limit of each motion, for those that hold in every way of moving.
fn strictest(scene: &Scene<'_>) -> Vec<(MotionOf, Strictest)> {
    let mut found: Vec<(MotionOf, Strictest)> = Vec::new();
    for stands in scene.limits() {
        let LimitRule::Motion {
            of,
            degrees,
            margin,
            modes,
        } = &stands.limit.rule
        else {
            continue;
        };
        if !modes.is_empty() {
            continue;
        }
        let named = match degrees {
            LimitDegrees::Fixed(most) => most.get(),
            LimitDegrees::FromOrder => stands.stop + margin.get(),
        };
        match found.iter_mut().find(|(own, _)| own == of) {
            Some((_, own)) => {
                own.named = own.named.min(named);
                own.stop = own.stop.min(stands.stop);
            }
            None => found.push((
                *of,
                Strictest {
                    named,
                    stop: stands.stop,
                },
            )),
        }
    }
    found
}

fn tells_a_limit(line: &Line) -> bool {
    let limiting = [
        "not past",
        "do not bend",
        "no further",
        "we stop at",
        "not more than",
    ];
    let text = line.text.to_lowercase();
    matches!(line.place, Place::Limit | Place::Rule)
        || limiting.iter().any(|word| text.contains(word))
}

/// The rules say beside the limit where we stop.
fn is_stop(line: &Line, strictest: &[(MotionOf, Strictest)], degrees: i64) -> bool {
    line.place == Place::Rule && strictest.iter().any(|(_, limit)| limit.stop == degrees)
}

/// Within a block of a limited motion: no dose past the stop, no aim beside the limit, no firm pull.
fn blocks(
    scene: &Scene<'_>,
    page: &Page,
    strictest: &[(MotionOf, Strictest)],
    wrong: &mut Vec<Wrong>,
) {
    for (at, item) in scene.program.items.iter().enumerate() {
        let exercise = &scene.library.exercises[&item.exercise];
        let makes = |of: &MotionOf| {
            exercise.demands.iter().any(|demand| {
                let moves = demand.mode != banister::domain::word::Mode::Isometric;
                moves && demand.joint == of.joint && demand.motion == of.motion
            })
        };
        let own = strictest.iter().filter(|(of, _)| makes(of));
        // Degrees on a page do not name their motion: the mildest of those the exercise makes.
        let Some(stop) = own.map(|(_, limit)| limit.stop).max() else {
            continue;
        };
        block(page, at, stop, wrong);
        let of = page
            .at(&Place::Block(at))
            .find_map(|line| line.of.as_deref());
        let mut limits = page.at(&Place::Limit);
        let said = limits.any(|line| line.of.as_deref() == of && !degrees(&line.text).is_empty());
        if item.dose.limit.is_some() && !said {
            let what = format!("{}: its limit is not said", item.exercise);
            wrong.push((Property::OneLimitAMotion, what));
        }
    }
}

fn block(page: &Page, at: usize, stop: i64, wrong: &mut Vec<Wrong>) {
    for line in page.at(&Place::Block(at)) {
        let text = line.text.to_lowercase();
        let further = degrees(&line.text)
            .into_iter()
            .any(|degrees| degrees > stop);
        let asks_for_more = text.contains("firm pull");
        let aims = text.contains("aim") && text.contains("upright");
        for (is, what) in [
            (further, "past the stop"),
            (asks_for_more, "a firm pull under a limit"),
            (aims, "an aim beside the limit"),
        ] {
            if is {
                let what = format!("{what}: {}", line.said());
                wrong.push((Property::OneLimitAMotion, what));
            }
        }
    }
}

/// Every number that stands before "degrees" or "degree".
pub fn degrees(text: &str) -> Vec<i64> {
    let words: Vec<&str> = text.split([' ', '\u{a0}']).collect();
    words
        .windows(2)
        .filter(|pair| pair[1].to_lowercase().starts_with("degree"))
        .filter_map(|pair| pair[0].parse().ok())
        .collect()
}
