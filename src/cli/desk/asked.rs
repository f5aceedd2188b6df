//! Questions that the first visit and later ones share.
//!
//! Next: `first` and `follow` put them in order.

use chrono::NaiveDate;

use crate::domain::ids::{FlagId, Id};
use crate::domain::procedure::RedFlag;
use crate::domain::quantity::{Degrees, PainScore, Quantity};
use crate::domain::record::Visit;
use crate::domain::recorded::Recorded;
use crate::domain::time::Day;
use crate::domain::word::{
    Fact, LegLift, MissingRule, Optional, Position, ScreenAnswer, WalkingAid, Word, YesNo,
};

use crate::files::record::{Deficit, Flexion, Lag};

use super::super::assess;
use super::super::person::{lift_and_lag, lost_but_denied};
use super::dates::Lean;
use super::kind::{Choice, Kind};
use super::question::{Ask, Fallback, Group, Question, always, one_of, words, yes_or_no};
use super::scene::{Depth, Scene};

/// Who holds the visit.
pub const BY: Question = Question {
    group: Group::Chart,
    flags: &["by"],
    when: always,
    ask: |_| {
        Ask::new(
            "Who are you (initials or number)",
            Kind::Line { flag: "by" },
        )
        .must()
    },
};

/// The red-flag screen: never defaulted.
pub const SCREEN: Question = Question {
    group: Group::Chair,
    flags: &["screen"],
    when: always,
    ask: screen,
};

fn screen(scene: &Scene<'_>) -> Ask {
    let day = scene.day();
    let asked =
        |flag: &&RedFlag| day.is_none_or(|day| flag.window.holds(day)) && scene.may_concern(flag);
    let choices: Vec<Choice> = scene
        .library
        .procedure
        .red_flags
        .iter()
        .filter(asked)
        .map(|flag| Choice {
            flag: "screen",
            word: flag.id.as_str().to_owned(),
            shown: flag.words.get("en").map_or_else(
                || flag.id.to_string(),
                |words| format!("{}{}", words.ask, flag.of_whom()),
            ),
        })
        .collect();
    let since = if scene.is_the_first_visit() && scene.is_before_operation() {
        "in the last weeks"
    } else if scene.is_the_first_visit() {
        "since the operation"
    } else {
        "since last time"
    };
    let how = if scene.by_phone() {
        "Ask"
    } else {
        "Ask and look"
    };
    let heading = format!("Red flags. {how}: new or worse {since}?");
    Ask::new(
        "Which? none in full, or numbers (4k = known, unchanged)",
        Kind::Screen(choices.clone()),
    )
    .must()
    .numbered(&heading, &choices)
    .doubt(assessed)
}

/// Asks whether a sign that was assessed is the assessed one, and what is known without that.
fn assessed(scene: &Scene<'_>, screen: &str) -> Option<String> {
    let record = scene.record?;
    let answers: Vec<(FlagId, ScreenAnswer)> = screen
        .split(',')
        .filter_map(|pair| {
            let (flag, answer) = pair.split_once('=')?;
            Some((FlagId::new(flag).ok()?, ScreenAnswer::find(answer)?))
        })
        .collect();
    assess::doubtful(
        scene.library,
        record,
        &scene.earlier(),
        scene.date,
        &answers,
    )
}

/// Who cleared the person for home; asked with the first sheet.
pub const CLEARED: Question = Question {
    group: Group::Chair,
    flags: &["cleared-for-home-by"],
    when: |scene| scene.is_the_first_visit() && after_operation(scene),
    ask: |scene| {
        let flag = "cleared-for-home-by";
        let ask = Ask::new("Cleared for home by", Kind::Line { flag });
        ask.or_last(scene.wrong(|visit| visit.cleared_for_home_by.clone()))
            .check(|_, by| {
                let nobody = ["none", "no", "nobody", "n"].contains(&by.to_lowercase().as_str());
                if nobody {
                    return Err("type who cleared them, or - if nobody did".to_owned());
                }
                Ok(())
            })
    },
};

/// Says whether a sheet has gone out, so that there is something to answer to.
pub fn has_sheet(scene: &Scene<'_>) -> bool {
    scene.last_sheet().is_some()
}

/// Says whether the person can be measured: not on the phone.
pub fn in_person(scene: &Scene<'_>) -> bool {
    !scene.by_phone()
}

/// Says whether the operation is done: what it brings with it is asked then.
pub fn after_operation(scene: &Scene<'_>) -> bool {
    !scene.is_before_operation()
}

/// A number that may be left out; Enter keeps the old value when a visit is typed once more.
fn number(
    scene: &Scene<'_>,
    words: &str,
    kind: Kind,
    measure: impl Fn(&Visit) -> Recorded<i64>,
) -> Ask {
    let ask = Ask::new(words, kind).last(scene.last_shown(&measure));
    ask.or_last(scene.wrong(measure))
}

fn plain<Q: Quantity>(value: Recorded<Q>) -> Recorded<i64> {
    match value {
        Recorded::Yes(value) => Recorded::Yes(value.get()),
        Recorded::NotRecorded => Recorded::NotRecorded,
    }
}

/// Pain at rest.
pub const PAIN_REST: Question = Question {
    group: Group::Chair,
    flags: &["pain-rest"],
    when: |scene| scene.is_the_first_visit() || scene.also(Optional::PainRest),
    ask: |scene| {
        let kind = Kind::whole::<PainScore>("pain-rest");
        number(scene, "Pain at rest, 0 to 10", kind, |visit| {
            plain(visit.pain.rest)
        })
    },
};

/// Worst pain in exercise.
pub const PAIN: Question = Question {
    group: Group::Chair,
    flags: &["pain"],
    when: always,
    ask: |scene| {
        let words = if scene.is_the_first_visit() {
            "Pain when bending, 0 to 10"
        } else {
            "Worst pain in exercise, 0 to 10"
        };
        number(scene, words, Kind::whole::<PainScore>("pain"), |visit| {
            plain(visit.pain.exercise)
        })
    },
};

/// Bend.
pub const FLEXION: Question = Question {
    group: Group::Bed,
    flags: &["flexion"],
    when: in_person,
    ask: |scene| {
        let kind = Kind::between("flexion", Flexion::ENDS, Degrees::MANY);
        number(scene, "Bend, degrees", kind, |visit| {
            plain(visit.measured.flexion)
        })
        .doubt(|scene, bend| {
            let course = scene.library.procedure.course(Fact::Flexion)?;
            let best = course.points.iter().map(|point| point.usual).max()?;
            let bend: i64 = bend.parse().ok()?;
            (bend > best)
                .then(|| format!("{bend} is more than is usual even late ({best}). Is it right?"))
        })
    },
};

/// Degrees short of straight.
pub const EXTENSION: Question = Question {
    group: Group::Bed,
    flags: &["extension-deficit"],
    when: in_person,
    ask: |scene| {
        let kind = Kind::between("extension-deficit", Deficit::ENDS, Degrees::MANY);
        let deficit = |visit: &Visit| plain(visit.measured.extension_deficit);
        let ask = number(scene, "Short of straight, degrees", kind, deficit);
        let ask = match scene.wrong(deficit).and_then(|wrong| beyond(&wrong)) {
            Some(shown) => ask.showing(&shown),
            None => ask,
        };
        ask.last(scene.last_shown(|visit| match deficit(visit) {
            Recorded::Yes(deficit) => {
                let typed = deficit.to_string();
                Recorded::Yes(beyond(&typed).unwrap_or(typed))
            }
            Recorded::NotRecorded => Recorded::NotRecorded,
        }))
        .check(|scene, deficit| {
            let bend = scene
                .said("flexion")
                .and_then(|bend| bend.parse::<i64>().ok());
            match (bend, deficit.parse::<i64>()) {
                (Some(bend), Ok(deficit)) if deficit > bend => Err(format!(
                    "a knee that is {deficit} short of straight cannot bend to {bend} only: \
                     have the two been exchanged?"
                )),
                (Some(_) | None, _) => Ok(()),
            }
        })
        .doubt(|_, deficit| {
            let deficit: i64 = deficit.parse().ok()?;
            let beyond = deficit.saturating_abs();
            (deficit < 0).then(|| {
                format!("That is {beyond} BEYOND straight; {beyond} short is typed {beyond}. Is it beyond?")
            })
        })
    },
};

/// Says how far beyond straight a knee goes that is less than nothing short of it.
fn beyond(deficit: &str) -> Option<String> {
    let beyond = deficit.strip_prefix('-')?;
    Some(format!("{beyond} beyond straight"))
}

/// How the leg lifts.
pub const LEG_LIFT: Question = Question {
    group: Group::Bed,
    flags: &["leg-lift"],
    when: |scene| in_person(scene) && after_operation(scene),
    ask: |scene| {
        let ask = one_of("Lifts leg", words::<LegLift>("leg-lift"));
        as_last(scene, ask, |visit| visit.measured.leg_lift).check(lift_and_sign)
    },
};

/// Holds how the leg lifts against the sign that it no longer does.
fn lift_and_sign(scene: &Scene<'_>, lift: &str) -> Result<(), String> {
    let Some(lift) = LegLift::find(lift) else {
        return Ok(());
    };
    let said: Vec<(&str, &str)> = scene
        .said("screen")
        .into_iter()
        .flat_map(|screen| screen.split(','))
        .filter_map(|pair| pair.split_once('='))
        .collect();
    let denied = |flag: &FlagId| {
        let answer = said.iter().find(|(id, _)| *id == flag.as_str());
        answer.is_none_or(|(_, answer)| ScreenAnswer::find(answer) == Some(ScreenAnswer::No))
    };
    let mut earlier = scene.earlier();
    let before = |visit: &&Visit| {
        let record = scene.record.iter();
        record
            .map(|record| record.day(visit.date))
            .all(|day| !day.is_before_operation())
    };
    earlier.retain(before);
    let odd = lost_but_denied(scene.library, &earlier, lift, denied);
    odd.map_or(Ok(()), |odd| Err(format!("{odd}; < goes back")))
}

/// Lag in degrees, for those who measure it.
pub const LAG: Question = Question {
    group: Group::Bed,
    flags: &["lag"],
    when: |scene| in_person(scene) && after_operation(scene) && scene.also(Optional::Lag),
    ask: |scene| {
        let kind = Kind::between("lag", Lag::ENDS, Degrees::MANY);
        number(scene, "Lag, degrees", kind, |visit| {
            plain(visit.measured.lag)
        })
        .check(|scene, lag| {
            let lift = scene.said("leg-lift").and_then(LegLift::find);
            let lag = lag.parse().ok().and_then(|lag| Degrees::new(lag).ok());
            let odd = lift.zip(lag);
            match odd.and_then(|(lift, lag)| lift_and_lag(scene.library, lift, lag)) {
                Some(odd) => Err(format!("{odd}; < goes back to how it lifts")),
                None => Ok(()),
            }
        })
    },
};

/// Whether the nerve block has gone, on the first days and until it has.
pub const BLOCK: Question = Question {
    group: Group::Standing,
    flags: &["block-gone"],
    when: |scene| in_person(scene) && scene.day().is_some_and(|day| block_matters(scene, day)),
    ask: |scene| {
        let ask = yes_or_no("Block gone, knee holds in standing", "block-gone");
        let wrong = scene.wrong(|visit| visit.block_gone);
        ask.must().or_last(wrong)
    },
};

/// Says whether the procedure must know of the block on a day, or it was still there when it was
/// last asked about.
fn block_matters(scene: &Scene<'_>, day: Day) -> bool {
    let last = scene.last(|visit| visit.block_gone);
    if last.is_some_and(|(gone, _)| gone == YesNo::No.as_str()) {
        return true;
    }
    let rules = &scene.library.procedure.missing;
    rules.iter().any(|rule| {
        rule.fact == Fact::BlockGone && rule.then == MissingRule::Ask && rule.window.holds(day)
    })
}

/// What they walk with.
pub const WALKS: Question = Question {
    group: Group::Standing,
    flags: &["walking-aid"],
    when: always,
    ask: |scene| {
        let ask = one_of("Walks with", words::<WalkingAid>("walking-aid"));
        as_last(scene, ask, |visit| visit.measured.walking_aid)
    },
};

/// Takes the word of last time on Enter, and shows its date; a visit given again keeps its own,
/// also when it had none.
pub fn as_last<T: ToString>(
    scene: &Scene<'_>,
    ask: Ask,
    measure: impl Fn(&Visit) -> Recorded<T>,
) -> Ask {
    let shown = |word: &str| word.replace('-', " ");
    if scene.corrects.is_some() {
        return match scene.wrong(measure) {
            Some(wrong) => ask.or(&wrong).showing(&shown(&wrong)),
            None => ask,
        };
    }
    match scene.last(measure) {
        Some((word, date)) => {
            let then = format!("{}, {}", shown(&word), super::dates::short(date));
            ask.or(&word).showing(&then)
        }
        None => ask,
    }
}

/// The next visit.
pub const NEXT: Question = Question {
    group: Group::Home,
    flags: &["next-visit"],
    when: always,
    ask: |scene| {
        let days = scene.library.clinic.sheet_days.get();
        let kind = Kind::Date {
            flag: "next-visit",
            lean: Lean::Future,
            words: &["none", "unknown"],
        };
        let mut ask = Ask::new("Next visit: a date, none or unknown", kind);
        if let Some(stands) = scene.appointment() {
            let word = next_word(stands);
            ask.fallback = Fallback::Typed(word.clone(), format!("stays: {word}"));
        } else if scene.corrects.is_none() {
            ask.fallback = Fallback::Typed(format!("+{days}"), format!("+{days} days"));
        }
        let wrong = scene.wrong(|visit| match visit.next_visit {
            Recorded::Yes(next) => Recorded::Yes(next_word(next)),
            Recorded::NotRecorded => Recorded::NotRecorded,
        });
        ask.or_last(wrong).check(|scene, next| {
            let early = next
                .parse::<NaiveDate>()
                .is_ok_and(|next| next <= scene.date);
            if early {
                return Err("the next visit is after this one".to_owned());
            }
            Ok(())
        })
    },
};

fn next_word(next: crate::domain::record::NextVisit) -> String {
    use crate::domain::record::NextVisit;
    match next {
        NextVisit::Date(date) => date.to_string(),
        NextVisit::None => "none".to_owned(),
        NextVisit::Unknown => "unknown".to_owned(),
    }
}

/// Other conditions: never defaulted, and asked until they are known.
pub const CONDITIONS: Question = Question {
    group: Group::Chair,
    flags: &["conditions", "positions-no"],
    when: |scene| {
        let known = scene
            .patient()
            .is_some_and(|patient| patient.conditions.is_recorded());
        !known || scene.depth == Depth::Full
    },
    ask: conditions,
};

fn conditions(scene: &Scene<'_>) -> Ask {
    let known = scene.library.procedure.conditions.iter();
    let mut choices: Vec<Choice> = known
        .map(|(id, name)| Choice {
            flag: "conditions",
            word: id.as_str().to_owned(),
            shown: name.clone(),
        })
        .collect();
    for (position, shown) in [
        (Position::SideLying, "Cannot lie on the side"),
        (Position::Prone, "Cannot lie on the front"),
    ] {
        choices.push(Choice {
            flag: "positions-no",
            word: position.as_str().to_owned(),
            shown: shown.to_owned(),
        });
    }
    Ask::new(
        "Which? none, or numbers such as 2 5",
        Kind::Many(choices.clone()),
    )
    .must()
    .numbered("Other conditions", &choices)
}
