//! The made-up procedure.

use std::collections::{BTreeMap, BTreeSet};

use crate::domain::fact::{FactValue, Test};
use crate::domain::library::{Digests, Library};
use crate::domain::procedure::{
    AnswerSign, Asks, Bounds, ByLoad, Candidate, Course, CoursePoint, Criterion, Derive, DueDays,
    HomeCare, Missing, PainBands, Phase, Procedure, RedFlag, Review, ReviewLine, Settings,
    StageRules, TimedLine, Whose,
};
use crate::domain::source::Source;
use crate::domain::time::{Day, Window};
use crate::domain::word::{
    BandWork, Better, CareRow, Fact, FlagEffect, KnownFlag, Level, MissingRule, Operates, Response,
    ReviewTell, Slot, YesNo,
};

use super::{at_least, clinic, exercises, id, is, joint, limits, n, origin};

pub(super) fn days(from: i64, before: i64) -> Window {
    Window {
        from: Day::new(from),
        before: Some(Day::new(before)),
    }
}

pub(super) fn from(day: i64) -> Window {
    Window {
        from: Day::new(day),
        before: None,
    }
}

fn settings() -> Settings {
    Settings {
        last_day: Day::new(180),
        kit_if_unasked: [id("bed"), id("chair")].into(),
        default_slots: vec![Slot::Breakfast, Slot::Midday, Slot::Evening],
        next_visit_days: n(14),
        wait_days: ByLoad {
            unloaded: n(4),
            loaded: n(7),
        },
        look_ahead_rungs: ByLoad {
            unloaded: n(3),
            loaded: n(2),
        },
        enough_done: n(75),
        far_more: n(150),
        items_usual: n(6),
        items_most: n(8),
        last_value_days: n(14),
        range_protected_before: Day::new(42),
        gap_days: n(28),
        rest_days: n(2),
        loading_tags: [].into(),
        due: DueDays {
            phone_check: [n(2), n(5)],
            sheet: n(2),
            order: n(7),
            clearance: n(2),
        },
        bounds: Bounds {
            sheet_days_most: n(28),
            slip_days: n(14),
            large_print_items: n(4),
            alike_percent: n(10),
            times_a_day_most: n(4),
            bad_mornings: 2,
            flare_days: n(7),
            clearance_days: n(7),
            clearance_days_most: n(14),
            angle_error: n(5),
            little_pain: n(2),
            missed_days: n(14),
            missed_rungs_most: 3,
            gentle_effort: n(2),
            shin_upright: [n(90), n(95)],
        },
        stages: StageRules {
            days: n(7),
            most: n(4),
            most_first: n(3),
            raised_most: n(3),
            after_days_a_week: n(3),
        },
    }
}

fn phase(name: &str, window: Window, safety: Vec<Criterion>, bend_target: i64) -> Phase {
    let starts = [
        ("bend", "b1"),
        ("straight", "s1"),
        ("lift", "l1"),
        ("push", "u1"),
        ("rise", "r1"),
        ("poise", "p1"),
        ("pump", "m1"),
        ("stroll", "w1"),
        ("aid", "a1"),
    ];
    Phase {
        id: id(name),
        name: name.to_owned(),
        window,
        core: vec![id("range"), id("strength")],
        safety,
        targets: vec![at_least(Fact::Flexion, bend_target)],
        candidates: starts
            .iter()
            .map(|(exercise, rung)| Candidate {
                by_test: Vec::new(),
                exercise: id(exercise),
                rung: id(rung),
                most: None,
            })
            .collect(),
        times_at_most: None,
        no_signs: BTreeSet::new(),
    }
}

fn phases() -> Vec<Phase> {
    let criterion = |name: &str, test| Criterion {
        id: id(name),
        test,
        ask: String::new(),
    };
    let dry = criterion("dry", is(Fact::Wound, &["no", "known"]));
    let settles = criterion("settles", is(Fact::Response, &["settled", "tolerable"]));
    vec![
        phase("early", days(0, 14), vec![dry, settles.clone()], 80),
        phase("middle", days(14, 42), vec![settles], 100),
        phase("late", from(42), Vec::new(), 110),
    ]
}

fn missing() -> Vec<Missing> {
    let rule = |fact, window, then| Missing { fact, window, then };
    vec![
        rule(Fact::Flexion, from(0), MissingRule::Usual),
        rule(Fact::Lag, days(0, 4), MissingRule::Fail),
        rule(Fact::Lag, from(4), MissingRule::Pass),
        rule(Fact::BlockGone, days(0, 4), MissingRule::Ask),
        rule(Fact::BlockGone, from(4), MissingRule::Pass),
        rule(Fact::Stance, from(0), MissingRule::Fail),
        rule(Fact::WalkingAid, from(0), MissingRule::Fail),
    ]
}

fn course() -> Course {
    let points = [
        (7, 78, 63),
        (14, 91, 75),
        (28, 107, 91),
        (91, 112, 97),
        (182, 112, 98),
    ];
    Course {
        measure: Fact::Flexion,
        unit: "degrees".to_owned(),
        better: Better::Higher,
        points: points
            .iter()
            .map(|(day, usual, review)| CoursePoint {
                day: Day::new(*day),
                usual: *usual,
                review: *review,
            })
            .collect(),
        source: Source::Practice,
    }
}

fn review() -> Review {
    Review {
        fact: Fact::Flexion,
        window: days(14, 28),
        line: ReviewLine::Below(80),
        tell: ReviewTell::SeeWithinAWeek,
        keeps: YesNo::No,
        source: Source::Practice,
    }
}

fn bands() -> Vec<PainBands> {
    let band = |work, window, settled, tolerable| PainBands {
        work,
        window,
        settled: n(settled),
        tolerable: n(tolerable),
        calm_after: YesNo::No,
        source: Source::Practice,
    };
    vec![
        band(BandWork::Range, days(0, 28), 5, 7),
        band(BandWork::Range, from(28), 5, 6),
        band(BandWork::Loaded, from(0), 3, 5),
        band(BandWork::Other, days(0, 28), 5, 7),
        band(BandWork::Other, from(28), 4, 5),
    ]
}

fn answers() -> Vec<AnswerSign> {
    let rows = [
        (Fact::Morning, "less", Response::Settled),
        (Fact::Morning, "same", Response::Settled),
        (Fact::Morning, "more", Response::Tolerable),
        (Fact::Morning, "much-more", Response::Overdone),
        (Fact::Swelling, "less", Response::Settled),
        (Fact::Swelling, "same", Response::Settled),
        (Fact::Swelling, "more", Response::Tolerable),
    ];
    rows.into_iter()
        .map(|(sign, word, means)| AnswerSign {
            sign,
            word: word.to_owned(),
            means,
        })
        .collect()
}

fn flags() -> Vec<RedFlag> {
    let flag = |name: &str, level, effect, known| RedFlag {
        id: id(name),
        level,
        effect,
        window: from(0),
        known,
        only_if_before: None,
        calls_for: [].into(),
        only_if: [].into(),
        stops: [].into(),
        lasts: YesNo::No,
        words: BTreeMap::new(),
    };
    let mut lost = flag(
        "lift-lost",
        Level::SameDay,
        FlagEffect::Withhold,
        KnownFlag::KeepLimits,
    );
    lost.only_if_before = Some(is(Fact::LegLift, &["alone-straight", "alone-lag"]));
    vec![
        flag("tired", Level::NextVisit, FlagEffect::Tell, KnownFlag::Lift),
        flag(
            "clot",
            Level::SameDay,
            FlagEffect::Withhold,
            KnownFlag::Lift,
        ),
        lost,
        flag(
            "wound",
            Level::SameDay,
            FlagEffect::Restrict,
            KnownFlag::KeepLimits,
        ),
    ]
}

fn care() -> Vec<HomeCare> {
    let row = |name: &str, window| HomeCare {
        id: id(name),
        window,
        unless: [].into(),
        only_if: [].into(),
        whose: Whose::default(),
        when_order: None,
        unless_order: None,
        when_flag: [].into(),
        asks: Asks::default(),
        instead_of: None,
        minutes: Some([n(15), n(20)]),
        every_hours: None,
        times_a_day: Some(n(3)),
        row: CareRow::Day,
        words: BTreeMap::new(),
        source: Source::Practice,
    };
    let mut cold = row("cold", days(0, 42));
    cold.unless = [id("cold-skin")].into();
    let mut warm = row("warm", days(0, 42));
    warm.only_if = [id("cold-skin")].into();
    let mut wrap = row("wrap", from(0));
    wrap.when_order = Some(id("wrap"));
    wrap.row = CareRow::Care;
    vec![cold, warm, wrap]
}

fn line(name: &str, window: Window, met: Option<Test>) -> TimedLine {
    TimedLine {
        id: id(name),
        window,
        asks: Asks::default(),
        whose: Whose::default(),
        met,
        words: BTreeMap::new(),
    }
}

fn procedure() -> Procedure {
    let all = exercises::all();
    Procedure {
        id: id("made-up"),
        based_on: None,
        joint: joint(),
        version: "1.0".to_owned(),
        operates: Operates::One,
        needs_orders: Vec::new(),
        profiles: Vec::new(),
        default_profile: None,
        shift: None,
        settings: settings(),
        exercises: all.keys().cloned().collect(),
        phases: phases(),
        derives: vec![Derive {
            fact: Fact::Lag,
            when: is(Fact::LegLift, &["alone-straight"]),
            value: FactValue::Number(0),
        }],
        missing: missing(),
        limits: limits::limits(),
        modifiers: vec![limits::modifier()],
        courses: vec![course()],
        reviews: vec![review()],
        bands: bands(),
        answers: answers(),
        red_flags: flags(),
        home_care: care(),
        usual: vec![line("puffy", days(0, 14), None)],
        not_usual: vec![line("stuck", from(14), None)],
        milestones: vec![line(
            "upright",
            days(0, 42),
            Some(at_least(Fact::Flexion, 90)),
        )],
        equipment: Vec::new(),
        conditions: ["thin-bone", "weak", "cold-skin"]
            .iter()
            .map(|name| (id(name), (*name).to_owned()))
            .collect(),
        frail_from: BTreeMap::new(),
        words: BTreeMap::new(),
        origin: origin(),
    }
}

/// The made-up library.
pub(crate) fn library() -> Library {
    Library {
        procedure: procedure(),
        exercises: exercises::all(),
        clinic: clinic::clinic(),
        sources: BTreeMap::new(),
        digests: Digests {
            built_in: String::new(),
            clinic: String::new(),
            both: String::new(),
        },
    }
}
