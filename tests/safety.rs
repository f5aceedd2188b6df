//! Safety properties on every example and on a few thousand made-up records.

use std::collections::{BTreeMap, BTreeSet};

use banister::domain::exercise::{Exercise, Peak};
use banister::domain::ids::{ConditionId, ExerciseId, Id, RungId};
use banister::domain::library::Library;
use banister::domain::quantity::{Degrees, Quantity};
use banister::domain::record::{OrderValue, Record, Until};
use banister::domain::recorded::Recorded;
use banister::domain::verdict::{Item, Program, Verdict};
use banister::domain::word::{
    Did, LegLift, LegLoad, Morning, Motion, Response, ScreenAnswer, Side, Swelling, WalkingAid,
    WeightBearing, Work, YesNo,
};
use chrono::Days;

use crate::support;
use crate::support::people::{Answers, decide_and_issue, order, person, record, see};

/// Numbers that look like chance and are the same in every run.
struct Dice(u64);

impl Dice {
    /// A number from 0 to `below`, not included: xorshift64* of Vigna 2016.
    fn roll(&mut self, below: u64) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33) % below
    }

    fn pick<T: Clone>(&mut self, of: &[T]) -> T {
        let index = usize::try_from(self.roll(of.len() as u64)).unwrap();
        of[index].clone()
    }

    fn maybe<T: Clone>(&mut self, of: &[T]) -> Option<T> {
        if self.roll(4) == 0 {
            None
        } else {
            Some(self.pick(of))
        }
    }
}

fn answers(dice: &mut Dice, day: u64) -> Answers {
    let pain: Vec<i64> = (0..=10).collect();
    let bend: Vec<i64> = (30..=130).collect();
    let deficit: Vec<i64> = (-2..=20).collect();
    let flags = [
        "calf",
        "wound",
        "fall",
        "foot",
        "giving-way",
        "chest",
        "rest-pain",
    ];
    let flag = if dice.roll(6) == 0 {
        vec![(
            dice.pick(&flags),
            dice.pick(&[ScreenAnswer::Yes, ScreenAnswer::Known]),
        )]
    } else {
        Vec::new()
    };
    Answers {
        day,
        next_in: 1 + dice.roll(20),
        flexion: dice.maybe(&bend),
        deficit: dice.maybe(&deficit),
        leg_lift: dice.maybe(&[
            LegLift::AloneStraight,
            LegLift::AloneLag,
            LegLift::WithHelp,
            LegLift::No,
        ]),
        aid: dice.maybe(&[WalkingAid::Frame, WalkingAid::TwoSticks, WalkingAid::None]),
        pain: dice.maybe(&pain),
        medicine: dice.maybe(&[YesNo::Yes, YesNo::No]),
        morning: dice.maybe(&[
            Morning::Less,
            Morning::Same,
            Morning::More,
            Morning::MuchMore,
        ]),
        swelling: dice.maybe(&[Swelling::Less, Swelling::Same, Swelling::More]),
        did: dice.maybe(&[Did::All, Did::Most, Did::Half, Did::Little, Did::None]),
        flags: flag,
    }
}

fn someone(dice: &mut Dice) -> Record {
    let mut patient = person();
    let conditions = [
        "heart",
        "osteoporosis",
        "frail",
        "other-knee",
        "back",
        "shoulder",
        "memory",
        "numb-feet",
    ];
    let mut has = BTreeSet::new();
    for _ in 0..dice.roll(3) {
        has.insert(ConditionId::new(dice.pick(&conditions)).unwrap());
    }
    patient.conditions = Recorded::Yes(has);
    let mut record = record(patient, dice.pick(&[Side::Left, Side::Right]));
    if dice.roll(3) == 0 {
        let degrees = Degrees::nearest(dice.pick(&[60, 70, 90, 100]));
        record
            .orders
            .push(order(60, "flexion-cap", OrderValue::Degrees(degrees)));
    }
    if dice.roll(4) == 0 {
        let bears = dice.pick(&[
            WeightBearing::None,
            WeightBearing::Touch,
            WeightBearing::Partial,
        ]);
        record.orders.push(order(
            60,
            "weight-bearing",
            OrderValue::WeightBearing(bears),
        ));
    }
    record
}

/// What the person was last given, by exercise.
type Given = BTreeMap<ExerciseId, (usize, Work)>;

fn place(library: &Library, exercise: &ExerciseId, rung: &RungId) -> usize {
    library.exercises[exercise].rung(rung).unwrap().0
}

fn given(library: &Library, program: &Program) -> Given {
    let all = program
        .items
        .iter()
        .chain(&program.background)
        .chain(&program.daily);
    all.map(|item| {
        let exercise = &library.exercises[&item.exercise];
        (
            item.exercise.clone(),
            (place(library, &item.exercise, &item.rung), exercise.work),
        )
    })
    .collect()
}

fn all(program: &Program) -> impl Iterator<Item = &Item> {
    program
        .items
        .iter()
        .chain(&program.background)
        .chain(&program.daily)
}

/// The largest bend an item asks for, by its own file: this test's own reading of the demands.
fn bend_asked(exercise: &Exercise, item: &Item) -> i64 {
    let (_, rung) = exercise.rung(&item.rung).unwrap();
    let peaks = exercise.demands.iter().filter(|demand| {
        demand.joint == banister::domain::word::Joint::Knee && demand.motion == Motion::Flexion
    });
    let peaks = peaks.map(|demand| match demand.peak {
        Peak::Fixed(degrees) => degrees.get(),
        Peak::OfRung => rung.range_degrees.map_or(180, Quantity::get),
    });
    let peak = peaks.max().unwrap_or(0);
    item.dose.limit.map_or(peak, |limit| peak.min(limit.get()))
}

fn check_program(library: &Library, record: &Record, program: &Program, last: Option<&Given>) {
    let clinic = &library.clinic;
    assert!(program.items.len() <= 8);
    assert!(i64::try_from(program.items.len()).unwrap() <= clinic.items.get());
    assert!(
        program.load.exercises <= clinic.minutes_a_day.get(),
        "{:?}",
        program.load
    );
    for item in all(program) {
        let exercise = &library.exercises[&item.exercise];
        let (_, rung) = exercise.rung(&item.rung).unwrap();
        for order in &record.orders {
            let touches = match order.until {
                Until::Date(until) => until >= program.life.from,
                Until::Asked | Until::Open => true,
            };
            match order.value {
                OrderValue::Degrees(most) if touches => {
                    assert!(
                        bend_asked(exercise, item) <= most.get(),
                        "{} bends past it",
                        item.exercise
                    );
                    assert!(
                        item.dose.aim.is_none_or(|aim| aim < most),
                        "{} aims past it",
                        item.exercise
                    );
                }
                OrderValue::WeightBearing(WeightBearing::None | WeightBearing::Touch)
                    if touches =>
                {
                    let own = exercise.demands.iter().map(|demand| demand.weight_bearing);
                    let load = rung.weight_bearing.or(own.max()).unwrap();
                    let walks = exercise.row != banister::domain::word::Row::Exercise;
                    assert!(
                        walks || load == LegLoad::None,
                        "{} loads the leg",
                        item.exercise
                    );
                }
                OrderValue::Degrees(_)
                | OrderValue::WeightBearing(_)
                | OrderValue::Stands
                | OrderValue::NotOrdered => {}
            }
        }
        let mut folded = None;
        for step in &item.steps {
            assert_eq!(step.before, folded, "{}: steps join", item.exercise);
            folded = Some(step.after.clone());
        }
        let end = folded.expect("a dose has its reason");
        assert_eq!(
            (&end.rung, &end.dose),
            (&item.rung, &item.dose),
            "steps give the dose"
        );
    }
    if let (Recorded::Yes(answer @ (Response::Tolerable | Response::Overdone)), Some(last)) =
        (program.response, last)
    {
        check_worse(library, program, last, answer);
    }
}

/// Says whether work loads the joint, by what it asks for.
fn loads(library: &Library, exercise: &ExerciseId) -> bool {
    let tags = &library.procedure.settings.loading_tags;
    let demands = library.exercises[exercise].demands.iter();
    demands
        .flat_map(|demand| &demand.tags)
        .any(|tag| tags.contains(tag))
}

/// Worse than settled: nothing new but a named gentler swap, and no higher rung. A tolerable
/// answer lets range work in, and may have held back work that loads alone.
fn check_worse(library: &Library, program: &Program, last: &Given, answer: Response) {
    let gentler: BTreeSet<&ExerciseId> = last
        .keys()
        .flat_map(|id| &library.exercises[id].gentler)
        .collect();
    let overdone = answer == Response::Overdone;
    for item in &program.items {
        let work = library.exercises[&item.exercise].work;
        match last.get(&item.exercise) {
            Some((before, _)) => {
                let now = place(library, &item.exercise, &item.rung);
                assert!(
                    now <= *before || !(overdone || loads(library, &item.exercise)),
                    "{} climbed after a bad answer: {:#?}",
                    item.exercise,
                    item.steps
                );
            }
            None => {
                let range = work == Work::Range && !overdone;
                let called_for = program.flags.iter().any(|raised| {
                    let flag = library.procedure.red_flag(&raised.flag);
                    flag.is_some_and(|flag| flag.calls_for.contains(&item.exercise))
                });
                let fine = called_for || range || gentler.contains(&item.exercise);
                assert!(fine, "{} is new after a bad answer", item.exercise);
            }
        }
    }
}

#[test]
fn no_made_up_life_breaks_a_safety_rule() {
    for (procedure, lives) in [
        ("knee-total", 900),
        ("knee-partial", 300),
        ("knee-revision", 300),
        ("knee-both", 300),
    ] {
        live(&support::plain_library_of(procedure), lives);
    }
}

/// Lets so many people live through four visits each.
fn live(library: &Library, lives: u64) {
    let mut dice = Dice(0x00BA_2157_E12D);
    let mut answered = BTreeMap::new();
    for _ in 0..lives {
        let mut record = someone(&mut dice);
        support::people::had(&mut record, library);
        let mut last: Option<Given> = None;
        let mut day = 1 + dice.roll(5);
        for _ in 0..4 {
            let answers = answers(&mut dice, day);
            let date = see(library, &mut record, &answers);
            let verdict = decide_and_issue(library, &mut record, date);
            let again = banister::engine::decide(library, &record, date);
            assert_eq!(verdict, again, "equal inputs, equal answers");
            let kind = match &verdict {
                Verdict::Program(program) => {
                    check_program(library, &record, program, last.as_ref());
                    last = Some(given(library, program));
                    "program"
                }
                Verdict::Withheld(_) => "withheld",
                Verdict::Unanswered(_) => "unanswered",
            };
            let clot = answers.flags.iter().any(|(flag, answer)| {
                ["calf", "chest"].contains(flag) && *answer == ScreenAnswer::Yes
            });
            assert!(!clot || kind == "withheld", "a clot sign must withhold");
            *answered.entry(kind).or_insert(0) += 1;
            if kind == "unanswered" {
                break;
            }
            day += 2 + dice.roll(30);
            if day > 170 {
                break;
            }
        }
    }
    let programs = answered["program"];
    assert!(
        programs * 3 > lives * 5 && answered["withheld"] * 18 > lives,
        "too little was tried: {answered:?}"
    );
}

#[test]
fn shifting_every_date_changes_no_dose() {
    let library = support::plain_library();
    let mut dice = Dice(77);
    for _ in 0..60 {
        let base = someone(&mut dice);
        let first = answers(&mut dice, 3);
        let second = answers(&mut dice, 17);
        let live = |shift: u64| {
            let mut record = base.clone();
            let moved = record.episode.operation.0 + Days::new(shift);
            record.episode.operation.0 = moved;
            for order in &mut record.orders {
                order.on = order.on + Days::new(shift);
                if let Until::Date(until) = order.until {
                    order.until = Until::Date(until + Days::new(shift));
                }
            }
            let mut doses = Vec::new();
            for answers in [&first, &second] {
                let date = see(&library, &mut record, answers);
                if let Verdict::Program(program) = decide_and_issue(&library, &mut record, date) {
                    doses.extend(
                        all(&program).map(|item| (item.exercise.clone(), item.dose.clone())),
                    );
                }
            }
            doses
        };
        assert_eq!(live(0), live(371), "the calendar must not matter");
    }
}

#[test]
fn range_work_is_never_eased_for_a_blank_field() {
    let library = support::plain_library();
    let mut full = record(person(), Side::Left);
    let date = see(&library, &mut full, &Answers::calm(3, 70));
    decide_and_issue(&library, &mut full, date);
    let blanks: [fn(&mut Answers); 7] = [
        |a| a.flexion = None,
        |a| a.deficit = None,
        |a| a.leg_lift = None,
        |a| a.pain = None,
        |a| a.morning = None,
        |a| a.swelling = None,
        |a| a.did = None,
    ];
    for mask in 0..128_u32 {
        let mut second = Answers::calm(12, 80);
        for (index, blank) in blanks.iter().enumerate() {
            if mask & (1 << index) != 0 {
                blank(&mut second);
            }
        }
        let mut record = full.clone();
        let before = record.visits[0].issued.clone().unwrap();
        let date = see(&library, &mut record, &second);
        let Verdict::Program(program) = decide_and_issue(&library, &mut record, date) else {
            panic!("a blank field must not stop the sheet before a phase ends")
        };
        for item in &program.items {
            let exercise = &library.exercises[&item.exercise];
            let Some(old) = before
                .items
                .iter()
                .find(|old| old.exercise == item.exercise)
            else {
                continue;
            };
            if exercise.work == Work::Range {
                let now = place(&library, &item.exercise, &item.rung);
                let then = place(&library, &old.exercise, &old.rung);
                assert!(
                    now >= then,
                    "{} eased with blanks {mask:07b}",
                    item.exercise
                );
            }
        }
        for domain in ["knee-flexion-range", "knee-extension-range"] {
            let covered = program.items.iter().any(|item| {
                let domains = &library.exercises[&item.exercise].domains;
                domains.keys().any(|id| id.as_str() == domain)
            });
            assert!(covered, "{domain} left the sheet with blanks {mask:07b}");
        }
    }
}
