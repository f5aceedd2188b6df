//! What the clinician reads: every reason has words, and both sides of its comparison.

use banister::domain::fact::{Comparison, FactValue, Test};
use banister::domain::limit::{Kinds, LimitRule};
use banister::domain::procedure::ReviewLine;
use banister::domain::record::{Adjust, PhaseSet, Until};
use banister::domain::recorded::Recorded;
use banister::domain::time::{Day, VisitDate};
use banister::domain::verdict::{
    Asked, BadSign, Earlier, FlagRaised, FlagStood, Given, LimitInForce, NeededFact, Notice,
    Program, Question, RaisedBy, ReviewDue, RuleId, Step, Unanswered, Verdict, Why, WhyNot,
    Withheld,
};
use banister::domain::word::{
    Did, Fact, FlagEffect, How, LegLoad, Level, Morning, Position, Response, ReviewTell, YesNo,
};
use banister::handout::explain::{explain_exercise, explain_program};

use super::cases::{follow_up, full_library, left_out};
use super::patient::record;
use super::sample::{date, id, not_recorded, q};

fn needs(fact: Fact, least: i64) -> Test {
    Test {
        fact,
        comparison: Comparison::AtLeast(least),
    }
}

fn bad() -> [BadSign; 5] {
    [
        BadSign::Pain {
            pain: q(8),
            line: q(7),
        },
        BadSign::PainUnheard {
            pain: q(6),
            line: q(5),
        },
        BadSign::Morning {
            word: Morning::MuchMore,
        },
        BadSign::Mornings { bad: 2 },
        BadSign::Swelling,
    ]
}

fn starts() -> Vec<Why> {
    vec![
        Why::StartByTest {
            tests: vec![needs(Fact::Stance, 10)],
        },
        Why::PhaseStart {
            phase: id("motion"),
        },
        Why::EasierByTest {
            test: needs(Fact::Flexion, 70),
            value: Recorded::Yes(FactValue::Number(65)),
        },
        Why::LastSheet {
            sheet: 1,
            days_ago: 7,
        },
        Why::LongGap {
            days: 30,
            line: 14,
            rungs: 2,
        },
        Why::StartEasiest,
        Why::EarlierSheet { sheet: 2, days: 14 },
        Why::SeenDoneWell,
        Why::LowerRungOffered {
            reason: WhyNot::NotTaught,
        },
        Why::Clinician {
            because: "Sore hip.".to_owned(),
            by: "PT-1".to_owned(),
        },
    ]
}

fn answers() -> Vec<Why> {
    let mut all = vec![
        Why::Climbed {
            pain: Recorded::Yes(q(3)),
            line: q(5),
            did: Recorded::Yes(Did::Most),
        },
        Why::KeptTolerable {
            sign: BadSign::Swelling,
        },
        Why::KeptEndOfRange {
            sign: BadSign::Swelling,
            fact: Fact::Flexion,
        },
        Why::KeptMedicineFirst {
            pain: q(8),
            line: q(7),
        },
        Why::KeptLittleDone {
            done_percent: Recorded::Yes(50),
            line: 75,
            did: Recorded::NotRecorded,
        },
        Why::KeptFarMore {
            done_percent: Recorded::Yes(200),
            line: 150,
        },
        Why::StartBlank { fact: Fact::Lag },
        Why::KeptLowestRung {
            sign: BadSign::Swelling,
        },
        Why::KeptLittleDone {
            done_percent: Recorded::NotRecorded,
            line: 75,
            did: Recorded::Yes(Did::None),
        },
        Why::KeptTooSoon { days: 3, line: 7 },
        Why::KeptNotSeen,
        Why::KeptForRoom,
        Why::KeptTopRung,
        Why::KeptByTest {
            test: needs(Fact::Day, 42),
            value: not_recorded(),
        },
        Why::KeptNotAllowed {
            reason: WhyNot::NoEquipment {
                equipment: id("bike"),
            },
        },
        Why::Rests {
            sign: BadSign::Swelling,
            until: date(11, 26),
        },
        Why::RangeShorterMoreOften {
            sign: BadSign::Morning {
                word: Morning::More,
            },
        },
    ];
    all.extend(
        [
            NeededFact::Pain,
            NeededFact::Morning,
            NeededFact::Did,
            NeededFact::Seen,
        ]
        .map(|fact| Why::KeptNotRecorded { fact }),
    );
    all.extend(bad().map(|sign| Why::Eased { sign }));
    all
}

fn caps() -> Vec<Why> {
    vec![
        Why::BehindCourse {
            fact: Fact::Flexion,
            value: 70,
            line: 91,
        },
        Why::Modified {
            modifier: id("frail"),
        },
        Why::SlotsOfTheDay { slots: 2, asked: 3 },
        Why::AimFromMeasure {
            fact: Fact::Flexion,
            value: 82,
        },
        Why::Clipped {
            limit: id("bend-order"),
            degrees: q(90),
            margin: q(5),
        },
    ]
}

fn why_nots() -> Vec<WhyNot> {
    vec![
        WhyNot::Forbidden {
            limit: id("bend-order"),
        },
        WhyNot::DemandUnknown {
            limit: id("bend-order"),
        },
        WhyNot::ClippedAway {
            limit: id("bend-order"),
            stop_at: q(55),
            floor: q(70),
        },
        WhyNot::NotYet {
            test: needs(Fact::Stance, 5),
            value: not_recorded(),
        },
        WhyNot::DoneWith {
            test: needs(Fact::Flexion, 110),
        },
        WhyNot::NoEquipment {
            equipment: id("strap"),
        },
        WhyNot::Position {
            position: Position::Prone,
        },
        WhyNot::SameFamily {
            instead: id("leg-raise"),
        },
        WhyNot::NoRoom { items: 6 },
        WhyNot::NoMinutes { minutes: 45 },
        WhyNot::LessNeeded,
        WhyNot::NothingNew {
            response: Response::Overdone,
        },
        WhyNot::FlagNarrows { flag: id("wound") },
        WhyNot::NothingDone,
        WhyNot::AboveReported {
            fact: Fact::WalkMinutes,
            value: Recorded::Yes(10),
        },
        WhyNot::AboveReported {
            fact: Fact::WalkMinutes,
            value: Recorded::NotRecorded,
        },
        WhyNot::Clinician {
            because: "Sore hip flexor.".to_owned(),
            by: "PT-1".to_owned(),
        },
        WhyNot::NotTaught,
        WhyNot::KeptByReview { fact: Fact::Lag },
    ]
}

fn notices() -> Vec<Notice> {
    let rule = RuleId("D601");
    vec![
        Notice::NotRecorded {
            rule,
            fact: Fact::Lag,
        },
        Notice::UsualTaken {
            rule,
            fact: Fact::Flexion,
            value: 91,
        },
        Notice::EarlierTaken {
            rule,
            fact: Fact::ExtensionDeficit,
            days_ago: 9,
        },
        Notice::Blank {
            rule,
            key: "swelling",
        },
        Notice::FlagNotCounted {
            rule,
            flag: id("leg-lift"),
        },
        Notice::TellTeam { rule },
        Notice::FarMoreDone {
            rule,
            percent: Recorded::Yes(200),
        },
        Notice::NothingDone { rule },
        Notice::SheetRanOut {
            rule,
            sheet: 2,
            days: 20,
        },
        Notice::EndWorkLost {
            rule,
            fact: Fact::Flexion,
            seconds: 0,
            before: 300,
        },
        Notice::EndWorkLost {
            rule,
            fact: Fact::ExtensionDeficit,
            seconds: 120,
            before: 300,
        },
        Notice::CoreEmpty {
            rule,
            domain: id("balance"),
        },
    ]
}

fn reviews() -> Vec<ReviewDue> {
    let due = |fact, value, line, before: Option<i64>, tell| ReviewDue {
        fact,
        value,
        line,
        before: before.map(|value| Earlier { value, days_ago: 7 }),
        tell,
        keeps: before.map_or(YesNo::No, |_| YesNo::Yes),
    };
    let no_gain = ReviewLine::NoGain {
        days: q(14),
        below: 110,
        gain: 5,
    };
    let (soon, bend) = (ReviewTell::WithinTwoDays, Fact::Flexion);
    let week = ReviewTell::SeeWithinAWeek;
    vec![
        due(bend, 72, ReviewLine::Below(80), None, week),
        due(bend, 95, no_gain, Some(94), ReviewTell::Team),
        due(bend, 80, ReviewLine::Fell(15), Some(110), soon),
        due(Fact::Lag, 18, ReviewLine::Rose(10), Some(3), soon),
        due(Fact::RestPain, 8, ReviewLine::Above(7), None, soon),
    ]
}

fn with_everything() -> Program {
    let (_, mut program) = follow_up();
    let item = &mut program.items[0];
    let given = Given {
        rung: item.rung.clone(),
        dose: item.dose.clone(),
    };
    let whys = starts().into_iter().chain(answers()).chain(caps());
    item.steps = whys
        .map(|why| Step {
            rule: RuleId("D701"),
            before: Some(given.clone()),
            after: given.clone(),
            why,
        })
        .collect();
    item.steps[0].before = None;
    program.left_out = why_nots()
        .into_iter()
        .map(|reason| left_out("bike", reason))
        .collect();
    program.notices = notices().into_iter().collect();
    program.held_by = vec![id("wound-dry")];
    program.targets_unmet = vec![needs(Fact::Flexion, 100)];
    program.response = Recorded::Yes(Response::Tolerable);
    program.stood = vec![
        FlagStood {
            flag: id("calf"),
            cleared: Some(("ultrasound".to_owned(), date(12, 1))),
            limits_stand: false,
        },
        FlagStood {
            flag: id("foot"),
            cleared: None,
            limits_stand: true,
        },
    ];
    program.reviews = reviews();
    program.limits.push(LimitInForce {
        limit: id("silent"),
        rule: LimitRule::Forbid(Kinds {
            weight_bearing: [LegLoad::Full].into(),
            tags: [id("bike")].into(),
            modes: [].into(),
            of: None,
            positions: [Position::Prone].into(),
            load_above: None,
        }),
        degrees: None,
        stop_at: None,
        order: None,
        until: Until::Asked,
    });
    program
}

#[test]
fn a_program_explains_itself_like_this() {
    let (library, program) = follow_up();
    let verdict = Verdict::Program(Box::new(program));
    insta::assert_snapshot!(explain_program(&verdict, &library, &record()));
}

#[test]
fn every_reason_reads_like_this() {
    let mut record = record();
    record.visits[0].phase = Some(PhaseSet {
        id: id("motion"),
        because: "Wound healed early.".to_owned(),
        by: "PT-1".to_owned(),
    });
    record.visits[0].adjust = Vec::<Adjust>::new();
    let verdict = Verdict::Program(Box::new(with_everything()));
    insta::assert_snapshot!(explain_program(&verdict, &full_library(), &record));
}

#[test]
fn one_exercise_explains_itself_like_this() {
    let (library, mut program) = follow_up();
    let item = program.items[0].clone();
    let verdict = Verdict::Program(Box::new(program.clone()));
    let page = explain_exercise(&verdict, &library, &record(), &id("sit-to-stand"));
    insta::assert_snapshot!(page.unwrap());
    let left = explain_exercise(&verdict, &library, &record(), &id("bike")).unwrap();
    assert!(left.contains("no: forbidden by limit bend-order [D801]"));
    assert!(!left.contains("it would be"), "it was not offered");
    let bike = program.left_out.iter_mut();
    for left in bike.filter(|left| left.exercise == id("bike")) {
        left.offered = Some(Given {
            rung: item.rung.clone(),
            dose: item.dose.clone(),
        });
    }
    let verdict = Verdict::Program(Box::new(program));
    let left = explain_exercise(&verdict, &library, &record(), &id("bike")).unwrap();
    let offered = format!("it would be {}: ", item.rung);
    assert!(left.contains(&offered), "the choice alone left it out");
    assert!(explain_exercise(&verdict, &library, &record(), &id("unheard-of")).is_none());
}

#[test]
fn a_refusal_explains_itself_like_this() {
    let verdict = Verdict::Withheld(Box::new(Withheld {
        date: VisitDate(date(11, 24)),
        day: Day::new(12),
        how: How::Seen,
        level: Level::SameDay,
        flags: vec![FlagRaised {
            flag: id("calf"),
            level: Level::SameDay,
            effect: FlagEffect::Withhold,
            rule: RuleId("D101"),
            why: RaisedBy::Yes,
        }],
        stood: Vec::new(),
    }));
    insta::assert_snapshot!(explain_program(&verdict, &full_library(), &record()));
    let page = explain_exercise(&verdict, &full_library(), &record(), &id("bike")).unwrap();
    assert!(page.contains("the program is withheld"));
}

#[test]
fn questions_read_like_this() {
    let questions = vec![
        (Question::NoVisit, Asked::Clinician),
        (
            Question::Screen {
                flags: vec![id("calf"), id("chest")],
            },
            Asked::Patient,
        ),
        (Question::Conditions, Asked::Patient),
        (Question::WeightBearing, Asked::Surgeon),
        (Question::StandingOrders, Asked::Surgeon),
        (
            Question::OpenOrder {
                what: id("flexion-cap"),
            },
            Asked::Surgeon,
        ),
        (
            Question::Criterion {
                criterion: id("wound-dry"),
                phase: id("motion"),
            },
            Asked::Clinician,
        ),
        (
            Question::Fact {
                fact: Fact::Flexion,
            },
            Asked::Clinician,
        ),
        (
            Question::BeyondLibrary {
                first_day: Day::new(-90),
                last_day: Day::new(180),
            },
            Asked::Clinician,
        ),
    ];
    let verdict = Verdict::Unanswered(Box::new(Unanswered {
        date: VisitDate(date(11, 24)),
        day: Day::new(-3),
        questions,
        flags: Vec::new(),
    }));
    insta::assert_snapshot!(explain_program(&verdict, &full_library(), &record()));
}
