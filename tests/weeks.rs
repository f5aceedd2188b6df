//! Week by week: doses differ by week and by person, and each change has its reason.

use banister::domain::ids::Id;
use banister::domain::verdict::{Program, Verdict};
use banister::domain::word::{Morning, Side, Swelling, WalkingAid};

use crate::support;
use crate::support::people::{Answers, decide_and_issue, person, record, see};

/// One line an exercise: its rung, and the rules that took part in its dose.
fn lines(program: &Program) -> Vec<String> {
    program
        .items
        .iter()
        .map(|item| {
            let rules: Vec<&str> = item.steps.iter().map(|step| step.rule.0).collect();
            format!(
                "{} {} by {}",
                item.exercise.as_str(),
                item.rung.as_str(),
                rules.join(" ")
            )
        })
        .collect()
}

/// Lives through twelve weekly visits and returns the program of each.
fn live(answers: impl Fn(u64) -> Answers) -> Vec<Program> {
    let library = support::plain_library();
    let mut record = record(person(), Side::Left);
    (1..=12)
        .map(|week| {
            let date = see(&library, &mut record, &answers(week));
            match decide_and_issue(&library, &mut record, date) {
                Verdict::Program(program) => *program,
                other => panic!("week {week}: {other:?}"),
            }
        })
        .collect()
}

fn calm() -> Vec<Program> {
    live(|week| {
        let bend = [75, 90, 98, 105, 108, 110, 112, 114, 115, 116, 117, 118];
        let mut answers = Answers::calm(week * 7 - 5, bend[usize::try_from(week).unwrap() - 1]);
        answers.deficit = Some(if week < 4 { 6 } else { 3 });
        if week > 4 {
            answers.aid = Some(WalkingAid::OneStick);
        }
        answers
    })
}

fn stiff_with_a_flare() -> Vec<Program> {
    live(|week| {
        let bend = [60, 68, 74, 80, 86, 90, 94, 97, 99, 101, 102, 103];
        let mut answers = Answers::calm(week * 7 - 5, bend[usize::try_from(week).unwrap() - 1]);
        answers.deficit = Some(9);
        if week == 6 {
            answers.pain = Some(7);
            answers.morning = Some(Morning::MuchMore);
            answers.swelling = Some(Swelling::More);
        }
        answers
    })
}

#[test]
fn doses_differ_by_week_and_by_person_with_a_reason_for_each_change() {
    let people = [
        ("calm", calm()),
        ("stiff, a flare in week 6", stiff_with_a_flare()),
    ];
    let mut shown = String::new();
    for (name, weeks) in &people {
        for (week, program) in weeks.iter().enumerate() {
            shown.push_str(&format!(
                "{name}, week {}, phase {}\n",
                week + 1,
                program.phase
            ));
            for line in lines(program) {
                shown.push_str(&format!("  {line}\n"));
            }
            for item in &program.items {
                assert!(!item.steps.is_empty(), "{} has no reason", item.exercise);
                assert_eq!(
                    item.steps.last().unwrap().after.dose,
                    item.dose,
                    "steps give the dose"
                );
            }
        }
        let different = weeks
            .windows(2)
            .filter(|pair| lines(&pair[0]) != lines(&pair[1]))
            .count();
        assert!(
            different >= 9,
            "{name}: only {different} of 11 weeks differ from the one before"
        );
    }
    let [(_, calm), (_, stiff)] = &people;
    let apart = calm
        .iter()
        .zip(stiff)
        .filter(|(a, b)| lines(a) != lines(b))
        .count();
    assert!(apart >= 10, "the two differ in only {apart} weeks");
    insta::assert_snapshot!(shown);
}
