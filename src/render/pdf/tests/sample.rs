//! Documents for the tests. Every word in them is made up; none is advice.

use crate::domain::page::PageDesign;
use crate::domain::word::{Level, Paper};
use crate::handout::model::{
    Action, Block, BlockMark, DoseWords, Frame, Handout, Labelled, Led, Message, Section, Tier,
    VoidNote, WithheldPage,
};

use super::sample_days::{care, diary, plan, rules};

/// Reads the page design that ships.
pub fn design() -> PageDesign {
    toml::from_str(include_str!("../../../../templates/page.toml")).unwrap()
}

pub fn labelled(label: &str, value: &str) -> Labelled {
    Labelled {
        label: label.to_owned(),
        value: value.to_owned(),
    }
}

pub fn row(lead: &str, text: &str) -> Led {
    Led {
        lead: (!lead.is_empty()).then(|| lead.to_owned()),
        text: text.to_owned(),
    }
}

pub fn section(title: &str, rows: &[(&str, &str)]) -> Section {
    Section {
        title: title.to_owned(),
        rows: rows.iter().map(|(lead, text)| row(lead, text)).collect(),
    }
}

pub fn frame(paper: Paper) -> Frame {
    Frame {
        paper,
        language: "en-GB".to_owned(),
        document_title: "Home program EX-0001, sheet 3".to_owned(),
        clinic: "Alder Row Physiotherapy (made-up)".to_owned(),
        ring_us: labelled("Ring us:", "01632\u{a0}960\u{a0}210"),
        foot_id: "EX-0001, 24 November 2026, 7c3e91ab".to_owned(),
        page_words: "Page {page} of {pages}".to_owned(),
        preview: None,
        notes: vec!["Draft library: no licensed clinician has read these exercises yet.".to_owned()],
        deference: "What your surgeon and your hospital tell you comes first. If it differs from this, ring us.".to_owned(),
        date: Some("2026-11-24".to_owned()),
    }
}

pub const NAMES: [(&str, &str, &str, &str); 8] = [
    ("Squeeze thigh", "Squeeze your thigh", "10", "times"),
    ("Slide heel", "Slide your heel", "10", "times"),
    ("Heel on a roll", "Rest your heel on a roll", "5", "minutes"),
    ("Lift leg", "Lift your straight leg", "8", "times"),
    ("Stand up", "Stand up from a chair", "8", "times"),
    ("Rock on bike", "Rock on the bike", "5", "minutes"),
    (
        "Step up",
        "Step up with both hands on the rail",
        "8",
        "times",
    ),
    (
        "Reach up",
        "Reach up along the wall, standing tall",
        "9",
        "times",
    ),
];

fn block(index: usize) -> Block {
    let (_, name, number, unit) = NAMES[index];
    let mark = match index {
        4 => BlockMark::New("New".to_owned()),
        1 => BlockMark::Changed("Changed".to_owned()),
        _ => BlockMark::Same("Same as before".to_owned()),
    };
    Block {
        number: u8::try_from(index + 1).ok(),
        name: name.to_owned(),
        mark,
        pictures: None,
        dose: DoseWords {
            number: number.to_owned(),
            unit: unit.to_owned(),
            lines: vec!["Hold each one for 5\u{a0}seconds.".to_owned()],
            often: "3\u{a0}times a day".to_owned(),
            when: "morning, midday, evening".to_owned(),
            total: Some("30 in a day, no more than 40.".to_owned()),
        },
        why: "Why: it wakes the big muscle that holds your knee.".to_owned(),
        how: (index == 1).then(|| "Use the strap to help at the end of the bend.".to_owned()),
        aim: (index == 1).then(|| "Aim: your foot flat, your shin upright.".to_owned()),
        limit: (index == 3).then(|| {
            row(
                "Not past this:",
                "90 degrees, until Thursday 24\u{a0}December. Your surgeon set this.",
            )
        }),
        rest_first: (index == 4)
            .then(|| "Leave this one out until Thursday 26\u{a0}November.".to_owned()),
        caution: (index == 6)
            .then(|| "Hold the rail with both hands. Have someone near you.".to_owned()),
        set_up: "You need a firm bed and a rolled towel.".to_owned(),
        make_do: vec!["No towel? Use a small cushion.".to_owned()],
        steps: [
            "Lie on your bed. Put the roll under your right knee.",
            "Push the back of your knee down into the roll.",
            "Keep it tight. Count to 5 out loud.",
            "Let go fully. Count to 3, then start again.",
        ]
        .map(str::to_owned)
        .to_vec(),
        error: row(
            "Not like this:",
            "you squeeze your buttock or hold your breath.",
        ),
        feel: "You should feel the front of your thigh work.".to_owned(),
        next: vec!["From Saturday 28\u{a0}November, if this feels easy: 12\u{a0}times.".to_owned()],
    }
}

/// Boxes of signs as short as they can be.
pub fn short_tiers() -> Vec<Tier> {
    let mut tiers = tiers();
    for (tier, hazard) in
        tiers
            .iter_mut()
            .zip(["Chest pain.", "A sore, swollen calf.", "Pain 8 or more."])
    {
        hazard.clone_into(&mut tier.hazard);
        "Made up.".clone_into(&mut tier.consequence);
        "Ring now".clone_into(&mut tier.action);
    }
    tiers
}

fn tiers() -> Vec<Tier> {
    let tier = |level, action: &str, phone: Option<&str>, hazard: &str, consequence: &str| Tier {
        level,
        action: action.to_owned(),
        phone: phone.map(str::to_owned),
        hazard: hazard.to_owned(),
        consequence: consequence.to_owned(),
    };
    vec![
        tier(
            Level::Emergency,
            "Ring 999 now",
            None,
            "Chest pain. Hard to breathe. Coughing blood. Collapse. Cold, white or blue foot. Bleeding that does not stop.",
            "This can be life-threatening.",
        ),
        tier(
            Level::SameDay,
            "Ring us today",
            Some("01632\u{a0}960\u{a0}210"),
            "Calf or thigh newly sore or more swollen. Wound wet, red, hot or open. Shivers, or 38\u{a0}°C or more. A fall that hurt you. You could lift your leg and now cannot.",
            "It may be a clot, an infection or an injury. Closed? Ring 01632\u{a0}960\u{a0}299.",
        ),
        tier(
            Level::NextVisit,
            "Leave that one out",
            None,
            "Pain 8 or more, sharp, or worse next morning.",
            "Do the others. Tomorrow do half. Still bad after 2\u{a0}days: ring us.",
        ),
    ]
}

/// A home program of so many exercises, at most eight.
pub fn handout(count: usize, paper: Paper) -> Handout {
    Handout {
        frame: frame(paper),
        title: "Exercises for your new right knee".to_owned(),
        name_box: "Name (write, or stick a label)".to_owned(),
        meta: vec![
            labelled("For", "EX-0001"),
            labelled("Operation", "12\u{a0}November"),
            labelled("Today: day 12, week 2", "Tuesday 24\u{a0}November"),
            labelled("Next visit", "Tuesday 1\u{a0}December"),
            labelled("Sheet", "3, replaces sheet 2"),
        ],
        void: None,
        actions: Vec::new(),
        actions_title: "Do this first".to_owned(),
        message: Message {
            headline: "Exercise 3\u{a0}times every day until Tuesday\u{a0}1\u{a0}December."
                .to_owned(),
            bullets: vec![
                row(
                    "",
                    &format!("{count} exercises, about 15\u{a0}minutes each time."),
                ),
                row(
                    "",
                    "Pain up to 5 of 10 is fine. More than that: push less, do not stop. It should be back to your usual by next morning.",
                ),
                row("New:", "5, stand up from a chair."),
                row("Changed:", "2, slide your heel."),
            ],
        },
        plan: plan(count),
        tiers_title: "When to stop and who to ring".to_owned(),
        tiers: tiers(),
        stages: None,
        blocks: (0..count).map(block).collect(),
        daily: vec![Block {
            number: None,
            name: "Walk".to_owned(),
            mark: BlockMark::None,
            limit: None,
            ..block(0)
        }],
        daily_title: "Every day".to_owned(),
        rules: Some(rules()),
        bad_day: section(
            "A bad day",
            &[
                (
                    "",
                    "Do half of each exercise, and more cold with your leg up.",
                ),
                (
                    "",
                    "Go back to the whole amount the next day if it has settled.",
                ),
                ("Two bad days:", "ring us."),
            ],
        ),
        visit_moves: section(
            "If your visit moves",
            &[(
                "",
                "Carry on with this sheet. Do not move up. After Tuesday 15\u{a0}December, ring us.",
            )],
        ),
        care: care(),
        usual: section(
            "What is usual now",
            &[
                ("", "Warmth round the knee."),
                ("", "A bruise that moves down your leg."),
                ("", "Broken sleep for some weeks."),
            ],
        ),
        not_usual: section("What is not usual", &[("", "A calf that is newly sore.")]),
        hope: section(
            "By your next visit we hope",
            &[("", "You stand up from your kitchen chair 5\u{a0}times.")],
        ),
        know: [
            section(
                "We know",
                &[(
                    "",
                    "Moving and getting strong help you walk and climb stairs again.",
                )],
            ),
            section(
                "We do not know",
                &[(
                    "",
                    "No one knows the one best number. Regular is what counts. A missed day does no harm.",
                )],
            ),
        ],
        know_title: "What we know and what we do not know".to_owned(),
        sign: "Your therapist".to_owned(),
        diary: diary(count, 8),
    }
}

/// Two things to do first.
pub fn actions() -> Vec<Action> {
    let action = |level, action: &str, finding: &str| {
        Action {
        level,
        action: action.to_owned(),
        finding: finding.to_owned(),
        consequence: "It may be an infection.".to_owned(),
        restrict: Some("Until then: no bend past 60\u{a0}degrees, no bike.".to_owned()),
        until: vec!["Keep it covered.".to_owned(), "No cream, no bath.".to_owned()],
        say: "“I had a new right knee on 12\u{a0}November. My wound is wet. I was told to ring you today.”".to_owned(),
    }
    };
    vec![
        action(
            Level::SameDay,
            "Ring the ward today: 01632\u{a0}960\u{a0}210",
            "Your wound is wet.",
        ),
        action(
            Level::Within48Hours,
            "See your doctor within 2\u{a0}days",
            "You had a fall that did not hurt you.",
        ),
    ]
}

/// The note that the sheet before is void.
pub fn void() -> VoidNote {
    VoidNote {
        title: "Sheet 2 and all before it are wrong. Do not use them.".to_owned(),
        lines: vec![
            "We named the wrong knee. Your exercises are for your right knee.".to_owned(),
            "We counted the days wrongly. Your operation was on 12\u{a0}November.".to_owned(),
            "Tear them up, or bring them back to us.".to_owned(),
        ],
    }
}

/// The page that replaces a program, for a phone call or for a visit.
pub fn withheld(paper: Paper, at_visit: bool) -> WithheldPage {
    let [emergency, ..] = <[Tier; 3]>::try_from(tiers()).unwrap();
    WithheldPage {
        frame: frame(paper),
        name_box: "Name (write, or stick a label)".to_owned(),
        void: None,
        level: Level::SameDay,
        bar: "Do not exercise today.".to_owned(),
        action: if at_visit {
            "You must be seen today."
        } else {
            "Ring us now. You must be seen today."
        }
        .to_owned(),
        phone: (!at_visit).then(|| "01632\u{a0}960\u{a0}210".to_owned()),
        phone_lines: if at_visit {
            vec![
                "We have rung ____________________".to_owned(),
                "Go to ____________________ at ________".to_owned(),
                "Take this page with you.".to_owned(),
            ]
        } else {
            vec!["Closed? Ring 01632\u{a0}960\u{a0}299.".to_owned()]
        },
        why: section(
            "Why",
            &[(
                "Your right calf is sore and swollen.",
                "It may be a blood clot in your leg. A clot can move to your lung, so it must be checked today.",
            )],
        ),
        say: section(
            "What to say",
            &[(
                "",
                "“I had a new right knee on 12\u{a0}November. My right calf is sore and swollen. I was told to ring you today.”",
            )],
        ),
        until: section(
            "Until you are seen",
            &[
                ("", "Rest. Walk only as far as you need."),
                ("", "Do not rub your calf. Do not drive yourself."),
                ("", "Do not start again until we say so."),
            ],
        ),
        tier: Some(emergency),
        sign: ["Who was rung", "Time", "Your therapist"]
            .map(str::to_owned)
            .to_vec(),
    }
}
