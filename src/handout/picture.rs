//! The two pictures of an exercise: this person's side, dose and limits, with caption and alt text.
//!
//! A picture that would pass a limit is not shown. Next: `render` puts the shapes on paper.

use std::sync::{Arc, LazyLock, Mutex, PoisonError};

use super::angle;
use super::entry::Entry;
use super::error::HandoutError;
use super::model::Picture;
use super::numbers::list;
use super::wording::{Wording, keyed};
use crate::domain::dose::Amount;
use crate::domain::exercise::Demand;
use crate::domain::limit::{LimitRule, MotionOf};
use crate::domain::phrase::Phrase;
use crate::domain::pose::Pose;
use crate::domain::quantity::Quantity;
use crate::domain::verdict::Program;
use crate::domain::word::{Joint, Motion, Row, Side, Word};
use crate::figure::{Cap, Facts, Goal, LegFacts, Pair, Posture, Shown, facts, goal, pair};

/// Draws the pictures of one line of the program.
pub(super) fn pictures(
    words: &Wording<'_>,
    entry: &Entry<'_>,
    program: &Program,
) -> Result<Option<[Picture; 2]>, HandoutError> {
    if entry.exercise.row == Row::Daily {
        // Walking and stairs: the page has no room for what everybody has seen.
        return Ok(None);
    }
    let shown = shown(words, entry, program)?;
    let pose = &entry.exercise.pose;
    let side = words.record.episode.side;
    let Some(drawn) = drawn(pose, side, &shown) else {
        return Ok(None);
    };
    let (pair, [before, after]) = (drawn.pair.clone(), &drawn.facts);
    let start = words.plain(Phrase::PictureStart)?;
    let end = words.plain(end_caption(pose, &shown))?;
    let then = words.plain(Phrase::PictureEnd)?;
    Ok(Some([
        Picture {
            drawing: pair.start,
            alt: alt(words, &start, before)?,
            caption: start,
        },
        Picture {
            drawing: pair.end,
            alt: alt(words, &then, after)?,
            caption: end,
        },
    ]))
}

/// Both pictures, and what they show.
struct Drawn {
    pair: Pair,
    facts: [Facts; 2],
}

/// Pairs drawn before, each with what it was drawn of.
type Made = Vec<((Shown, Side, Pose), Arc<Drawn>)>;

/// Pairs kept at most; then it begins again with none.
const KEPT: usize = 500;

/// Draws a pair, or gives back the same one drawn before; none when it would pass a limit.
fn drawn(pose: &Pose, side: Side, shown: &Shown) -> Option<Arc<Drawn>> {
    static MADE: LazyLock<Mutex<Made>> = LazyLock::new(Mutex::default);
    let lock = || MADE.lock().unwrap_or_else(PoisonError::into_inner);
    let before = lock()
        .iter()
        .find(|(of, _)| (&of.0, of.1, &of.2) == (shown, side, pose))
        .map(|(_, drawn)| Arc::clone(drawn));
    if before.is_some() {
        return before;
    }
    let drawn = Arc::new(Drawn {
        pair: pair(pose, side, shown).ok()?,
        facts: facts(pose, shown).ok()?,
    });
    let mut made = lock();
    if made.len() >= KEPT {
        made.clear();
    }
    made.push(((shown.clone(), side, pose.clone()), Arc::clone(&drawn)));
    Some(drawn)
}

/// Says what the end picture is: a stop or a goal only where its pose is that end of the motion.
fn end_caption(pose: &Pose, shown: &Shown) -> Phrase {
    match goal(pose, shown) {
        Some(Goal::Limit(_)) => Phrase::PictureLimit,
        Some(Goal::Aim(_)) => Phrase::PictureAim,
        None => Phrase::PictureEnd,
    }
}

/// Gathers the numbers of the dose that a picture shows.
fn shown(words: &Wording<'_>, entry: &Entry<'_>, program: &Program) -> Result<Shown, HandoutError> {
    let dose = &entry.item.dose;
    // The pose follows the bend of the knee alone.
    let bend = MotionOf {
        joint: Joint::Knee,
        motion: Motion::Flexion,
    };
    let limit = angle::stop(entry, program).filter(|stop| stop.of == bend);
    let caps = program.limits.iter().filter_map(|limit| match &limit.rule {
        LimitRule::Motion { of, modes, .. } => {
            let made = |demand: &Demand| {
                demand.joint == of.joint
                    && demand.motion == of.motion
                    && modes.contains(&demand.mode)
            };
            let holds = modes.is_empty() || entry.exercise.demands.iter().any(made);
            limit.stop_at.filter(|_| holds).map(|most| Cap {
                joint: of.joint,
                motion: of.motion,
                most: most.get(),
            })
        }
        LimitRule::Forbid(_) | LimitRule::AllOf(_) => None,
    });
    Ok(Shown {
        aim: dose.aim.map(Quantity::get),
        limit: limit.map(|stop| stop.stop_at.get()),
        range: dose.range_degrees.map(Quantity::get),
        height_cm: dose.height_cm.map(Quantity::get),
        hold: hold(words, dose.amount)?,
        caps: caps.collect(),
        weight: dose.load_g.is_some(),
        how: dose.how.clone(),
    })
}

/// Says how long the end is held, when it is.
fn hold(words: &Wording<'_>, amount: Amount) -> Result<Option<String>, HandoutError> {
    match amount {
        Amount::Counted { hold_s, .. } if hold_s.get() > 1 => {
            let n = hold_s.get().to_string();
            words.say(Phrase::PictureSeconds, &[("n", &n)]).map(Some)
        }
        Amount::Counted { .. } | Amount::Timed { .. } => Ok(None),
    }
}

/// Says what a picture shows.
fn alt(words: &Wording<'_>, when: &str, facts: &Facts) -> Result<String, HandoutError> {
    let posture = words.plain(match facts.posture {
        Posture::Back => Phrase::PostureBack,
        Posture::Front => Phrase::PostureFront,
        Posture::Side => Phrase::PostureSide,
        Posture::OnBed => Phrase::PostureOnBed,
        Posture::Sitting => Phrase::PostureSitting,
        Posture::Standing => Phrase::PostureStanding,
        Posture::Kneeling => Phrase::PostureKneeling,
    })?;
    let who = words.say_with_side(Phrase::PictureAlt, &[("when", when), ("posture", &posture)])?;
    let leg = match facts.leg {
        LegFacts::Bends { knee, hip } if hip < 0 => {
            let knee = words.plain(bent(knee))?;
            words.say(Phrase::PictureHipBack, &[("knee", &knee)])?
        }
        LegFacts::Bends { knee, hip } => {
            let (knee, hip) = (words.plain(bent(knee))?, words.plain(bent(hip))?);
            words.say(Phrase::PictureBends, &[("knee", &knee), ("hip", &hip)])?
        }
        LegFacts::Out(0) => words.plain(Phrase::PictureIn)?,
        LegFacts::Out(_) => words.plain(Phrase::PictureOut)?,
    };
    if facts.things.is_empty() {
        return Ok(format!("{who} {leg}"));
    }
    let names = facts.things.iter().map(|thing| {
        let phrase = keyed("thing", thing.as_str())?;
        words.plain(phrase)
    });
    let names = list(words, &names.collect::<Result<Vec<_>, _>>()?)?;
    let things = words.say(Phrase::PictureThings, &[("things", &names)])?;
    Ok(format!("{who} {leg} {things}"))
}

/// Says how far a joint is bent in a picture, where no number may be read as a limit.
const fn bent(degrees: i64) -> Phrase {
    match degrees {
        ..=9 => Phrase::BentStraight,
        10..=39 => Phrase::BentLittle,
        40..=79 => Phrase::BentHalf,
        80..=100 => Phrase::BentSquare,
        101.. => Phrase::BentFar,
    }
}
