//! A small made-up procedure.

use std::collections::{BTreeMap, BTreeSet};

use banister::domain::fact::{Comparison, Test};
use banister::domain::ids::ExerciseId;
use banister::domain::limit::{
    Limit, LimitDegrees, LimitRule, LimitSpan, LimitWords, Modifier, MotionOf, When,
};
use banister::domain::procedure::{
    Asks, Bounds, ByLoad, CareWords, Criterion, DueDays, FlagWords, HomeCare, PainBands, Phase,
    Procedure, ProcedureWords, RedFlag, Settings, StageRules, TimedLine, Whose,
};
use banister::domain::source::Source;
use banister::domain::time::{Day, Window};
use banister::domain::word::{
    BandWork, CareRow, Fact, FlagEffect, Joint, KnownFlag, Level, LimitLevel, Motion, Operates,
    Slot, YesNo,
};

use super::sample::{en, id, origin, q};

pub fn procedure(exercises: Vec<ExerciseId>) -> Procedure {
    Procedure {
        frail_from: BTreeMap::new(),
        id: id("knee-total"),
        based_on: None,
        joint: Joint::Knee,
        version: "1.0".to_owned(),
        operates: Operates::One,
        needs_orders: Vec::new(),
        profiles: Vec::new(),
        default_profile: None,
        shift: None,
        settings: settings(),
        exercises,
        phases: vec![phase()],
        equipment: Vec::new(),
        derives: Vec::new(),
        missing: Vec::new(),
        limits: limits(),
        modifiers: vec![modifier()],
        courses: Vec::new(),
        reviews: Vec::new(),
        bands: bands(),
        answers: Vec::new(),
        red_flags: flags(),
        home_care: care(),
        usual: vec![line("warm", "Your knee feels warm.")],
        not_usual: vec![line("rising", "Pain that gets worse each day.")],
        milestones: vec![line("chair", "You stand up from your chair 5 times.")],
        conditions: BTreeMap::from([(id("blood-thinner"), "Anticoagulant".to_owned())]),
        words: en(ProcedureWords {
            title: "Exercises for your new {side} knee".to_owned(),
            title_before: Some("Get ready for your new {side} knee".to_owned()),
            operation: "total knee replacement".to_owned(),
            part: "knee".to_owned(),
        }),
        origin: origin(),
    }
}

fn settings() -> Settings {
    Settings {
        last_day: Day::new(180),
        kit_if_unasked: BTreeSet::new(),
        default_slots: vec![Slot::Breakfast, Slot::Midday, Slot::Evening],
        next_visit_days: q(14),
        wait_days: ByLoad {
            unloaded: q(4),
            loaded: q(7),
        },
        look_ahead_rungs: ByLoad {
            unloaded: q(3),
            loaded: q(2),
        },
        enough_done: q(75),
        far_more: q(150),
        items_usual: q(6),
        items_most: q(8),
        last_value_days: q(14),
        range_protected_before: Day::new(42),
        gap_days: q(28),
        rest_days: q(2),
        loading_tags: BTreeSet::new(),
        due: DueDays {
            phone_check: [q(2), q(5)],
            sheet: q(2),
            order: q(7),
            clearance: q(2),
        },
        bounds: Bounds {
            sheet_days_most: q(28),
            slip_days: q(14),
            large_print_items: q(4),
            alike_percent: q(10),
            times_a_day_most: q(4),
            bad_mornings: 2,
            flare_days: q(7),
            clearance_days: q(7),
            clearance_days_most: q(14),
            angle_error: q(5),
            little_pain: q(2),
            missed_days: q(14),
            missed_rungs_most: 3,
            gentle_effort: q(2),
            shin_upright: [q(90), q(95)],
        },
        stages: StageRules {
            days: q(7),
            most: q(4),
            most_first: q(3),
            raised_most: q(3),
            after_days_a_week: q(3),
        },
    }
}

fn phase() -> Phase {
    Phase {
        id: id("motion"),
        name: "Restore motion".to_owned(),
        window: Window {
            from: Day::new(0),
            before: None,
        },
        core: Vec::new(),
        safety: vec![Criterion {
            id: id("wound-dry"),
            test: Test {
                fact: Fact::Wound,
                comparison: Comparison::Is(vec!["no".to_owned()]),
            },
            ask: "Is the wound dry?".to_owned(),
        }],
        targets: Vec::new(),
        candidates: Vec::new(),
        times_at_most: None,
        no_signs: BTreeSet::new(),
    }
}

fn modifier() -> Modifier {
    Modifier {
        id: id("frail"),
        when: When::Condition(id("frail")),
        exercises: BTreeSet::new(),
        repetitions_percent: Some(q(70)),
        sets_at_most: None,
        hold_s_at_most: None,
        rest_s_at_least: None,
        minutes_at_most: None,
        load_g_at_most: None,
        height_cm_at_most: None,
        support_at_least: None,
        times_at_most: None,
        max_items: None,
        look_ahead: None,
        source: Source::Practice,
        origin: origin(),
    }
}

fn limits() -> Vec<Limit> {
    let limit = |name: &str, degrees, rule: &str, why: &str| Limit {
        act: None,
        profile: None,
        id: id(name),
        when: When::Order(id("flexion-cap")),
        rule: LimitRule::Motion {
            of: MotionOf {
                joint: Joint::Knee,
                motion: Motion::Flexion,
            },
            modes: [].into(),
            degrees,
            margin: q(5),
        },
        level: LimitLevel::Hard,
        span: LimitSpan::Order,
        words: en(LimitWords {
            rule: rule.to_owned(),
            why: why.to_owned(),
        }),
        source: Source::Practice,
        origin: origin(),
    };
    let mut silent = limit("silent", LimitDegrees::Fixed(q(60)), "", "");
    silent.words = BTreeMap::new();
    vec![
        limit(
            "bend-order",
            LimitDegrees::FromOrder,
            "Do not bend your {side} knee past {degrees} degrees.",
            "Your stitches need time.",
        ),
        silent,
    ]
}

fn bands() -> Vec<PainBands> {
    let band = |work, settled, tolerable| PainBands {
        work,
        window: Window::ALWAYS,
        settled: q(settled),
        tolerable: q(tolerable),
        calm_after: YesNo::No,
        source: Source::Practice,
    };
    vec![
        band(BandWork::Range, 5, 7),
        band(BandWork::Loaded, 3, 5),
        band(BandWork::Other, 3, 5),
    ]
}

fn flags() -> Vec<RedFlag> {
    let flag =
        |name: &str, level, effect, hazard: &str, consequence: &str, rest: [&str; 2]| RedFlag {
            id: id(name),
            level,
            effect,
            window: Window {
                from: Day::new(0),
                before: None,
            },
            known: KnownFlag::Lift,
            only_if_before: None,
            calls_for: [].into(),
            only_if: [].into(),
            stops: [].into(),
            lasts: banister::domain::word::YesNo::No,
            words: en(FlagWords {
                ask: hazard.to_owned(),
                hazard: hazard.to_owned(),
                consequence: consequence.to_owned(),
                finding: rest[0].to_owned(),
                say: rest[1].to_owned(),
                until: vec!["Rest. Walk only as far as you need.".to_owned()],
                restrict: (effect == FlagEffect::Restrict)
                    .then(|| "Do not use the bike. Bend less for now.".to_owned()),
            }),
        };
    vec![
        flag(
            "chest",
            Level::Emergency,
            FlagEffect::Withhold,
            "Chest pain. Hard to breathe.",
            "It may be a clot in your lung.",
            ["You have chest pain.", "I have chest pain."],
        ),
        flag(
            "calf",
            Level::SameDay,
            FlagEffect::Withhold,
            "Calf newly sore or swollen.",
            "It may be a blood clot.",
            [
                "Your {side} calf is sore and swollen.",
                "My {side} calf is sore and swollen.",
            ],
        ),
        flag(
            "wound",
            Level::SameDay,
            FlagEffect::Restrict,
            "Wound wet, red, hot or open.",
            "It may be an infection.",
            ["Your wound is wet.", "My wound is wet."],
        ),
        flag(
            "foot",
            Level::Within48Hours,
            FlagEffect::Tell,
            "Foot newly weak.",
            "A nerve may be sore.",
            ["Your foot is weak.", "My foot is weak."],
        ),
    ]
}

fn care() -> Vec<HomeCare> {
    let row = |name: &str, row, title: &str, text: &str, short: Option<&str>| HomeCare {
        id: id(name),
        window: Window::ALWAYS,
        unless: BTreeSet::new(),
        only_if: BTreeSet::new(),
        whose: Whose::default(),
        when_order: None,
        unless_order: None,
        when_flag: [].into(),
        asks: Asks::default(),
        instead_of: None,
        minutes: Some([q(15), q(20)]),
        every_hours: Some([2, 4]),
        times_a_day: short.map(|_| q(2)),
        row,
        words: en(CareWords {
            title: title.to_owned(),
            text: text.to_owned(),
            short: short.map(str::to_owned),
            bad_day: None,
            fitted: Vec::new(),
        }),
        source: Source::Practice,
    };
    vec![
        row(
            "cold",
            CareRow::Day,
            "Cold and leg up",
            "{minutes} minutes, a cloth between, {times} times a day.",
            Some("Cold, leg up"),
        ),
        row(
            "sleep",
            CareRow::Care,
            "Sleep",
            "On your back or either side.",
            None,
        ),
    ]
}

fn line(name: &str, text: &str) -> TimedLine {
    TimedLine {
        id: id(name),
        window: Window::ALWAYS,
        asks: Asks::default(),
        whose: Whose::default(),
        met: None,
        words: en(text.to_owned()),
    }
}
