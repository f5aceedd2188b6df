//! Small made-up values: a library, a record and a program to write down.

use std::collections::{BTreeMap, BTreeSet};

use banister::domain::clinic::{Clinic, Control, Phones};
use banister::domain::dose::{Amount, Dose, Often};
use banister::domain::exercise::{Demand, Exercise, ExerciseWords, Peak, Rung};
use banister::domain::ids::{ExerciseId, Id, RungId};
use banister::domain::library::{Digests, Library};
use banister::domain::phrase::Phrases;
use banister::domain::pose::Pose;
use banister::domain::quantity::Quantity;
use banister::domain::recorded::Recorded;
use banister::domain::source::{Origin, Source};
use banister::domain::word::{
    DocumentState, Joint, LegLoad, Mode, Motion, Paper, Position, Row, Sides, Word, Work, YesNo,
};
use chrono::NaiveDate;

pub fn date(month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, month, day).unwrap()
}

pub fn id<T: Id>(text: &str) -> T {
    T::new(text).unwrap()
}

pub fn q<T: Quantity>(n: i64) -> T {
    T::new(n).unwrap()
}

pub fn origin() -> Origin {
    Origin {
        path: "sample.toml".to_owned(),
        line: 1,
        column: 1,
    }
}

pub fn en<T>(value: T) -> BTreeMap<String, T> {
    BTreeMap::from([("en".to_owned(), value)])
}

/// The phrases as shipped.
pub fn phrases() -> Phrases {
    let text = std::fs::read_to_string("templates/words.en.toml").unwrap();
    let file: toml::Table = text.parse().unwrap();
    let texts = file["phrases"].as_table().unwrap();
    let texts = texts.iter().map(|(key, text)| {
        let phrase = banister::domain::phrase::Phrase::find(key).unwrap_or_else(|| panic!("{key}"));
        (phrase, text.as_str().unwrap().to_owned())
    });
    Phrases {
        language: file["language"].as_str().unwrap().to_owned(),
        texts: texts.collect(),
    }
}

pub fn counted(sets: i64, repetitions: i64, hold: i64, pause: i64, rest: i64) -> Amount {
    Amount::Counted {
        sets: q(sets),
        repetitions: q(repetitions),
        hold_s: q(hold),
        pause_s: q(pause),
        rest_s: q(rest),
    }
}

pub fn timed(minutes: i64) -> Amount {
    Amount::Timed {
        minutes: q(minutes),
    }
}

pub fn times(n: i64) -> Often {
    Often::Times(q(n))
}

pub fn dose(amount: Amount, often: Often) -> Dose {
    Dose {
        amount,
        often,
        days_a_week: q(7),
        aim: None,
        limit: None,
        range_degrees: None,
        height_cm: None,
        seat_cm: None,
        load_g: None,
        band: None,
        support: None,
        lower_s: None,
        how: None,
    }
}

/// A rung that gives a dose; everything else is plain.
pub fn rung(rung_id: &str, dose: &Dose) -> Rung {
    Rung {
        id: id(rung_id),
        lever: None,
        amount: dose.amount,
        often: dose.often,
        days_a_week: dose.days_a_week,
        loaded: YesNo::No,
        taught: YesNo::No,
        entry: Vec::new(),
        needs: BTreeSet::new(),
        load_g: dose.load_g,
        band: dose.band,
        support: dose.support,
        height_cm: dose.height_cm,
        seat_cm: dose.seat_cm,
        range_degrees: dose.range_degrees,
        lower_s: dose.lower_s,
        how: dose.how.clone(),
        weight_bearing: None,
        tags: BTreeSet::new(),
        source: Source::Work {
            key: id("key2020"),
            at: Some("table 2".to_owned()),
        },
        origin: origin(),
    }
}

/// An exercise with made-up words; its rungs come from the doses it is given.
pub fn exercise(
    name: &str,
    title: &str,
    short: &str,
    position: Position,
    rungs: Vec<Rung>,
) -> Exercise {
    Exercise {
        id: id(name),
        trade_name: format!("Trade {name}"),
        aim: "Range and strength.".to_owned(),
        row: Row::Exercise,
        family: None,
        domains: BTreeMap::new(),
        work: Work::Range,
        position,
        sides: Sides::Operated,
        needs: BTreeSet::new(),
        needs_orders: BTreeSet::new(),
        effort: q(2),
        tempo_s: q(2),
        changeover_s: q(30),
        entry: Vec::new(),
        leave: Vec::new(),
        behind: None,
        aim_rule: None,
        stay: Vec::new(),
        reported: None,
        unreported_kept: BTreeSet::new(),
        swaps: Vec::new(),
        hands: Vec::new(),
        gentler: BTreeSet::new(),
        demands: vec![Demand {
            joint: Joint::Knee,
            motion: Motion::Flexion,
            peak: Peak::Fixed(q(120)),
            mode: Mode::Active,
            weight_bearing: LegLoad::None,
            arm_load: YesNo::No,
            tags: BTreeSet::new(),
            clip_floor: None,
        }],
        rungs,
        stop: vec![id("pain-over-5"), id("sharp-pain")],
        pose: Pose::plain(origin()),
        words: en(words(title, short)),
        source: Source::Practice,
        origin: origin(),
    }
}

fn words(title: &str, short: &str) -> ExerciseWords {
    ExerciseWords {
        name: title.to_owned(),
        short: short.to_owned(),
        why: "It keeps your knee moving.".to_owned(),
        why_if_no_pain: "It works even when nothing hurts.".to_owned(),
        set_up: "Sit down. Look at your {side} knee.".to_owned(),
        steps: vec![
            "Move your {side} leg.".to_owned(),
            "Keep your {other} leg still.".to_owned(),
            "Let go slowly.".to_owned(),
        ],
        steps_if_stopped: Vec::new(),
        steps_if_limited: Vec::new(),
        feel_if_limited: None,
        how_if_limited: BTreeMap::new(),
        errors_if_stopped: Vec::new(),
        errors: vec!["You hold your breath.".to_owned(), "You hurry.".to_owned()],
        feel: "You should feel a firm pull.".to_owned(),
        how: BTreeMap::from([(id("strap"), "Use the strap to help at the end.".to_owned())]),
        make_do: BTreeMap::from([(id("strap"), "a long scarf or a belt".to_owned())]),
        fitted: Vec::new(),
    }
}

pub fn clinic() -> Clinic {
    Clinic {
        id: id("alder-row"),
        name: "Alder Row Physiotherapy (made-up)".to_owned(),
        phones: Phones {
            same_day: "01632 960 210".to_owned(),
            closed: "01632 960 299".to_owned(),
        },
        hours: "Monday to Friday, 8 am to 6 pm".to_owned(),
        emergency: None,
        paper: Paper::A4,
        language: "en-GB".to_owned(),
        items: q(6),
        minutes_a_day: q(45),
        sheet_days: q(14),
        also_ask: std::collections::BTreeSet::new(),
        status: Control {
            state: DocumentState::Approved,
            by: "clinical lead".to_owned(),
            on: date(1, 10),
            review_due: date(12, 31),
        },
        adopted: None,
        standing_orders: Vec::new(),
        usual_sets: Vec::new(),
        replaced: Vec::new(),
    }
}

pub fn library(exercises: Vec<Exercise>) -> Library {
    let ids: Vec<ExerciseId> = exercises
        .iter()
        .map(|exercise| exercise.id.clone())
        .collect();
    Library {
        procedure: super::procedure::procedure(ids),
        exercises: exercises
            .into_iter()
            .map(|each| (each.id.clone(), each))
            .collect(),
        clinic: clinic(),
        sources: BTreeMap::new(),
        digests: Digests {
            built_in: format!("sha256:{}", "a".repeat(64)),
            clinic: format!("sha256:{}", "b".repeat(64)),
            both: format!("sha256:7c3e91ab{}", "c".repeat(56)),
        },
    }
}

/// Names the rung of an exercise at a place in its ladder, from 0.
pub fn rung_id(exercise: &Exercise, at: usize) -> RungId {
    exercise.rungs[at].id.clone()
}

pub fn not_recorded<T>() -> Recorded<T> {
    Recorded::NotRecorded
}
