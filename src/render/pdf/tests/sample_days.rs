//! The plan, the diary, the rules and the care of the sample documents. Made up, all of it.

use super::sample::{NAMES, labelled, row, section};
use crate::handout::model::{
    BoxState, Diary, DiaryBox, DiaryRow, Handout, Plan, PlanCell, PlanRow, Section, Table,
};

const DAYS: [&str; 7] = [
    "Tuesday",
    "Wednesday",
    "Thursday",
    "Friday",
    "Saturday",
    "Sunday",
    "Monday",
];

pub fn plan(count: usize) -> Plan {
    let mut rows: Vec<PlanRow> = (0..count)
        .map(|index| PlanRow {
            number: u8::try_from(index + 1).ok(),
            name: NAMES[index].0.to_owned(),
            how_much: format!("{} {}", NAMES[index].2, NAMES[index].3),
            cells: vec![
                PlanCell::Due,
                if index % 3 == 2 {
                    PlanCell::Free
                } else {
                    PlanCell::Due
                },
                PlanCell::Due,
            ],
            across: None,
        })
        .collect();
    rows.push(PlanRow {
        number: None,
        name: "Walk".to_owned(),
        how_much: "5 minutes".to_owned(),
        cells: vec![PlanCell::Due; 3],
        across: None,
    });
    rows.push(PlanRow {
        number: None,
        name: "Cold, leg up".to_owned(),
        how_much: "20 minutes".to_owned(),
        cells: Vec::new(),
        across: Some("after each time you exercise".to_owned()),
    });
    Plan {
        title: "Your day".to_owned(),
        slots: vec![
            labelled("Morning", "after breakfast"),
            labelled("Midday", "before lunch"),
            labelled("Evening", "after your meal"),
        ],
        rows,
        notes: vec!["Plan your exercise for about an hour after your pain tablets.".to_owned()],
    }
}

pub fn diary(count: usize, days: usize) -> Diary {
    let boxes = |state| -> Vec<DiaryBox> {
        (1..=count)
            .filter_map(|number| u8::try_from(number).ok())
            .map(|number| DiaryBox { number, state })
            .collect()
    };
    let few = || {
        boxes(BoxState::Empty)
            .into_iter()
            .take(count.min(4))
            .collect::<Vec<_>>()
    };
    let rows = (0..days)
        .map(|day| {
            let state = if day == 0 {
                BoxState::Ticked
            } else {
                BoxState::Empty
            };
            let last = day + 1 == days;
            DiaryRow {
                day: DAYS[day % 7].to_owned(),
                date: format!("{} November", 24 + day % 7),
                slots: if last {
                    vec![few(), Vec::new(), Vec::new()]
                } else {
                    vec![
                        boxes(state).into_iter().take(count.min(5)).collect(),
                        few(),
                        few(),
                    ]
                },
                words: last.then(|| "your visit".to_owned()),
            }
        })
        .collect();
    Diary {
        title: "Your diary".to_owned(),
        how_to: "Tick each number when you have done it. We did Tuesday morning with you. Write your pain when you wake: 0 is no pain, 10 is the worst. Bring this page on Tuesday 1\u{a0}December.".to_owned(),
        slots: ["Morning", "Midday", "Evening"].map(str::to_owned).to_vec(),
        day_head: "Day".to_owned(),
        pain_head: labelled("Pain", "0 to 10"),
        rows,
        notes: row("Anything to tell us?", "More swelling? A bad night? Write it here."),
        questions_title: "Questions for my next visit".to_owned(),
    }
}

/// A handout whose day has too many boxes for one line.
pub fn with_long_diary(mut handout: Handout, days: usize) -> Handout {
    let count = handout.blocks.len();
    handout.diary = diary(count, days);
    for row in &mut handout.diary.rows {
        let first = row.slots[0].clone();
        if row.words.is_none() {
            row.slots = vec![first.clone(), first.clone(), first];
        }
    }
    handout
}

pub fn rules() -> Table {
    let rows: [[&str; 4]; 3] = [
        [
            "Do not kneel on it",
            "The skin needs time to close.",
            "24 December",
            "your surgeon",
        ],
        [
            "Two sticks outdoors",
            "You still limp.",
            "Ask us on 1 December",
            "your therapist",
        ],
        [
            "No driving",
            "You must be able to stop hard.",
            "Ask on or after 24 December",
            "your surgeon",
        ],
    ];
    Table {
        title: "Your rules".to_owned(),
        head: ["Rule", "Why", "Until", "Who"].map(str::to_owned).to_vec(),
        rows: rows
            .iter()
            .map(|row| row.map(str::to_owned).to_vec())
            .collect(),
    }
}

pub fn care() -> Section {
    section(
        "Look after your knee at home",
        &[
            (
                "Cold",
                "15 to 20 minutes, a cloth between. Look at the skin after 5\u{a0}minutes. Not on numb skin. Not asleep. Wait 2\u{a0}hours between.",
            ),
            (
                "Leg up",
                "Lie flat. Whole leg on pillows, heel above your heart. Knee straight.",
            ),
            (
                "Sleep",
                "On your back or either side. A pillow under your lower leg and heel, so that your knee rests straight.",
            ),
            ("Wound", "No cream and no bath until it is closed and dry."),
            ("Pain tablets", "Take them as prescribed. Never take extra."),
            (
                "Drive",
                "Not yet. Ask on or after Thursday 24\u{a0}December.",
            ),
        ],
    )
}
