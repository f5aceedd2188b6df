//! What a blank field does: one test a row of the table of missing facts, on several days.

use std::collections::BTreeSet;

use banister::domain::ids::{Id, RungId};
use banister::domain::library::Library;
use banister::domain::record::{Done, Record, Visit};
use banister::domain::recorded::Recorded::{self, NotRecorded, Yes};
use banister::domain::time::VisitDate;
use banister::domain::verdict::{Item, Notice, Program, Question, Verdict, Why, WhyNot};
use banister::domain::word::{Fact, Morning, Response, Seen, Side, Swelling, YesNo};
use banister::handout::explain::explain_program;

use crate::support::people::{Answers, decide_and_issue, document, operation, person, record, see};
use crate::support::plain_library;

/// A person first seen on a day, with the visit changed before anything is decided.
fn first(library: &Library, day: u64, change: impl Fn(&mut Visit)) -> (Record, Verdict) {
    let mut one = record(person(), Side::Left);
    let date = see(library, &mut one, &Answers::calm(day, 88));
    change(one.visits.last_mut().unwrap());
    let verdict = decide_and_issue(library, &mut one, date);
    (one, verdict)
}

/// A calm person with a sheet from one day, seen again on another, that visit changed.
fn second(library: &Library, days: [u64; 2], change: impl Fn(&mut Visit)) -> (Record, Verdict) {
    let mut one = record(person(), Side::Left);
    let date = see(library, &mut one, &Answers::calm(days[0], 88));
    decide_and_issue(library, &mut one, date);
    let date = see(library, &mut one, &Answers::calm(days[1], 95));
    change(one.visits.last_mut().unwrap());
    let verdict = banister::engine::decide(library, &one, date);
    (one, verdict)
}

/// A calm person with weekly sheets to week nine, seen once more, that visit changed.
fn ninth(library: &Library, change: impl Fn(&Record, &mut Visit)) -> (Record, Verdict) {
    let mut one = record(person(), Side::Left);
    let mut date = VisitDate(operation());
    for week in 0..9 {
        date = see(library, &mut one, &Answers::calm(week * 7 + 3, 112));
        let before = one.clone();
        let visit = one.visits.last_mut().unwrap();
        all_seen(&before, visit);
        if week == 8 {
            change(&before, visit);
        } else {
            decide_and_issue(library, &mut one, date);
        }
    }
    let verdict = banister::engine::decide(library, &one, date);
    (one, verdict)
}

/// Marks every line of the last sheet as seen done well.
fn all_seen(record: &Record, visit: &mut Visit) {
    let last = record.visits.iter().rev().find_map(|v| v.issued.as_ref());
    let items = last.map(|issued| issued.items.clone()).unwrap_or_default();
    let row = |item: &banister::domain::record::IssuedItem| Done {
        exercise: item.exercise.clone(),
        done: NotRecorded,
        asked: NotRecorded,
        seen: Yes(Seen::Yes),
        well_at: NotRecorded,
        during: NotRecorded,
        morning: NotRecorded,
    };
    visit.done = items.iter().map(row).collect();
}

fn program(verdict: &Verdict) -> &Program {
    match verdict {
        Verdict::Program(program) => program,
        other => panic!("{other:?}"),
    }
}

fn item<'a>(program: &'a Program, name: &str) -> Option<&'a Item> {
    let mut items = program.items.iter();
    items.find(|item| item.exercise.as_str() == name)
}

/// Lists the lines that were on the last sheet: name, the rung then, the rung now, loaded or not.
fn moves(library: &Library, record: &Record, program: &Program) -> Vec<(String, i64, YesNo)> {
    let last = record.visits.iter().rev().find_map(|v| v.issued.as_ref());
    let found = last.unwrap().items.iter().filter_map(|then| {
        let now = item(program, then.exercise.as_str())?;
        let exercise = &library.exercises[&then.exercise];
        let place = |rung: &RungId| i64::try_from(exercise.rung(rung).unwrap().0).unwrap();
        let (_, rung) = exercise.rung(&then.rung).unwrap();
        let next = exercise
            .rungs
            .get(usize::try_from(place(&then.rung) + 1).unwrap());
        let any = [Some(rung), next].into_iter().flatten();
        let loaded = any.map(|rung| rung.loaded).find(|word| *word == YesNo::Yes);
        let by = place(&now.rung) - place(&then.rung);
        Some((then.exercise.to_string(), by, loaded.unwrap_or(YesNo::No)))
    });
    found.collect()
}

fn not_recorded(program: &Program, fact: Fact) -> bool {
    let of = |notice: &Notice| matches!(notice, Notice::NotRecorded { fact: f, .. } if *f == fact);
    program.notices.iter().any(of)
}

fn serves(library: &Library, program: &Program, domain: &str) -> bool {
    let domain = Id::new(domain).unwrap();
    let mut items = program.items.iter();
    items.any(|item| {
        library.exercises[&item.exercise]
            .domains
            .contains_key(&domain)
    })
}

#[test]
fn a_bend_of_the_last_two_weeks_counts_with_its_date_and_an_older_one_does_not() {
    let library = plain_library();
    let blank = |visit: &mut Visit| {
        visit.measured.flexion = NotRecorded;
        visit.measured.extension_deficit = NotRecorded;
    };
    for (days, counts) in [
        ([3, 10], true),
        ([15, 29], true),
        ([15, 30], false),
        ([5, 20], false),
    ] {
        let (record, verdict) = second(&library, days, blank);
        let program = program(&verdict);
        let ago = i64::try_from(days[1] - days[0]).unwrap();
        for fact in [Fact::Flexion, Fact::ExtensionDeficit] {
            let found = program.facts.0.get(&fact).map(|dated| dated.on.get());
            let wanted = counts.then(|| i64::try_from(days[0]).unwrap());
            assert_eq!(found, wanted, "{fact} from {days:?}");
            let taken = |notice: &Notice| {
                matches!(notice, Notice::EarlierTaken { fact: f, days_ago, .. }
                    if *f == fact && *days_ago == ago)
            };
            assert_eq!(program.notices.iter().any(taken), counts, "{days:?}");
        }
        let why = explain_program(&verdict, &library, &record);
        assert_eq!(
            why.contains(&format!("flexion is from {ago} days ago")),
            counts,
            "{why}"
        );
    }
}

#[test]
fn a_bend_nobody_measured_is_neither_behind_nor_clipped_and_range_work_stays() {
    let library = plain_library();
    for day in [0, 2, 6, 7, 13, 14, 27, 28, 41, 60] {
        let blank = |visit: &mut Visit| {
            visit.measured.flexion = NotRecorded;
            visit.measured.extension_deficit = NotRecorded;
        };
        let (_, verdict) = first(&library, day, blank);
        let unknown = program(&verdict);
        assert!(unknown.reviews.is_empty(), "day {day}");
        let called = |test: &banister::domain::fact::Test| {
            matches!(test.fact, Fact::Flexion | Fact::ExtensionDeficit)
        };
        assert!(!unknown.targets_unmet.iter().any(called), "day {day}");
        for domain in ["knee-flexion-range", "knee-extension-range"] {
            assert!(serves(&library, unknown, domain), "day {day}: {domain}");
        }
        let usual = |measure, on: u64| {
            let course = library.procedure.course(measure).unwrap();
            let on = i64::try_from(on.max(7)).unwrap();
            course.at(banister::domain::time::Day::new(on)).unwrap().0
        };
        let degrees = |value| Yes(banister::domain::quantity::Quantity::nearest(value));
        let (_, verdict) = first(&library, day, |visit| {
            visit.measured.flexion = degrees(usual(Fact::Flexion, day));
            visit.measured.extension_deficit = degrees(usual(Fact::ExtensionDeficit, day));
        });
        let known = program(&verdict);
        let mut compared = 0;
        for now in &unknown.items {
            let behind = |why: &Why| matches!(why, Why::BehindCourse { .. } | Why::Clipped { .. });
            let steps = &now.steps;
            assert!(
                !steps.iter().any(|s| behind(&s.why)),
                "day {day}: {}",
                now.exercise
            );
            assert!(now.dose.aim.is_none(), "an aim needs a measure");
            if let Some(ordinary) = item(known, now.exercise.as_str()) {
                let mut dose = ordinary.dose.clone();
                dose.aim = None;
                let first = ordinary.steps.first().map(|step| &step.why);
                if matches!(first, Some(Why::StartByTest { .. })) && now.rung != ordinary.rung {
                    // A start by test hangs on what was measured: a blank starts lower.
                    let place = |rung| library.exercises[&now.exercise].rung(rung).unwrap().0;
                    assert!(place(&now.rung) < place(&ordinary.rung), "day {day}");
                    continue;
                }
                assert_eq!((&now.rung, &now.dose), (&ordinary.rung, &dose), "day {day}");
                compared += 1;
            }
        }
        assert!(compared >= 3, "day {day}: {compared}");
    }
}

#[test]
fn a_leg_lift_nobody_looked_at_is_helped_to_day_three_and_then_starts_at_the_first_rung() {
    let library = plain_library();
    let blank = |visit: &mut Visit| visit.measured.leg_lift = NotRecorded;
    for day in [0, 1, 3, 4, 6, 14, 20, 41, 45, 90] {
        let (record, verdict) = first(&library, day, blank);
        let program = program(&verdict);
        assert!(not_recorded(program, Fact::Lag), "day {day}: a notice");
        let why = explain_program(&verdict, &library, &record);
        assert!(why.contains("lag not recorded"), "{why}");
        let alone = item(program, "straight-leg-raise");
        if day <= 3 {
            assert!(alone.is_none(), "day {day}");
            assert!(item(program, "leg-raise-assisted").is_some(), "day {day}");
            continue;
        }
        let not_yet = program.left_out.iter().find(|left| {
            left.exercise.as_str() == "straight-leg-raise"
                && matches!(left.reason, WhyNot::NotYet { .. })
        });
        assert_eq!(not_yet, None, "day {day}");
        if let Some(raise) = alone {
            assert_eq!(raise.rung.as_str(), "l1", "day {day}");
            let why = &raise.steps[0].why;
            assert_eq!(*why, Why::StartBlank { fact: Fact::Lag }, "day {day}");
        }
        if day < 14 {
            let both = alone.is_some() && item(program, "quad-set").is_some();
            assert!(both, "day {day}");
        }
    }
    let (_, verdict) = first(&library, 20, |_| {});
    let raise = item(program(&verdict), "straight-leg-raise").map(|item| item.rung.to_string());
    assert!(
        raise.is_none_or(|rung| rung == "l3"),
        "known: the phase's own rung"
    );
}

#[test]
fn pain_or_the_morning_not_recorded_keeps_every_rung() {
    let library = plain_library();
    for days in [[5, 9], [20, 27], [45, 52]] {
        let (record, verdict) = second(&library, days, |_| {});
        let calm = moves(&library, &record, program(&verdict));
        assert!(calm.iter().any(|(_, by, _)| *by == 1), "{days:?}: {calm:?}");
        for blank in [
            |visit: &mut Visit| visit.pain.exercise = NotRecorded,
            |visit: &mut Visit| visit.pain.morning = NotRecorded,
        ] {
            let (record, verdict) = second(&library, days, blank);
            let kept = moves(&library, &record, program(&verdict));
            assert!(
                kept.len() >= 3 && kept.iter().all(|(_, by, _)| *by == 0),
                "{kept:?}"
            );
        }
    }
}

#[test]
fn a_bad_sign_eases_even_when_the_other_one_is_blank() {
    let library = plain_library();
    let (record, verdict) = second(&library, [45, 52], |visit| {
        visit.pain.exercise = NotRecorded;
        visit.pain.morning = Yes(Morning::MuchMore);
    });
    let program = program(&verdict);
    assert_eq!(program.response, Yes(Response::Overdone));
    let eased = moves(&library, &record, program);
    assert!(eased.iter().all(|(_, by, _)| *by <= 0) && eased.iter().any(|(_, by, _)| *by < 0));
}

#[test]
fn swelling_not_recorded_leaves_pain_to_decide_and_one_rung_at_most() {
    let library = plain_library();
    for days in [[5, 9], [20, 27], [45, 52]] {
        for (pain, rise) in [(2, 0..=1), (5, 0..=1), (8, -9..=0)] {
            let blank = |swelling: Recorded<Swelling>| {
                second(&library, days, move |visit: &mut Visit| {
                    visit.swelling = swelling;
                    visit.pain.exercise = Yes(banister::domain::quantity::Quantity::nearest(pain));
                })
            };
            let (record, verdict) = blank(NotRecorded);
            let unknown = moves(&library, &record, program(&verdict));
            assert!(
                unknown.iter().all(|(_, by, _)| rise.contains(by)),
                "{pain}: {unknown:?}"
            );
            let (record, verdict) = blank(Yes(Swelling::Same));
            assert_eq!(
                moves(&library, &record, program(&verdict)),
                unknown,
                "{days:?} {pain}"
            );
        }
    }
    let seen_high = |swelling: Recorded<Swelling>| {
        let (record, verdict) = second(&library, [5, 9], move |visit| {
            visit.swelling = swelling;
            visit.done = vec![Done {
                exercise: Id::new("straight-leg-raise").unwrap(),
                done: NotRecorded,
                asked: NotRecorded,
                seen: Yes(Seen::Yes),
                well_at: Yes(Id::new("l4").unwrap()),
                during: NotRecorded,
                morning: NotRecorded,
            }];
        });
        let moved = moves(&library, &record, program(&verdict));
        let found = moved
            .into_iter()
            .find(|(name, _, _)| name == "straight-leg-raise");
        found.unwrap().1
    };
    assert_eq!(seen_high(Yes(Swelling::Same)), 3);
    assert_eq!(seen_high(NotRecorded), 1);
}

/// Says which way the lines went: whether any unloaded and any loaded line climbed.
fn climbed(library: &Library, record: &Record, verdict: &Verdict) -> (bool, bool) {
    let moved = moves(library, record, program(verdict));
    assert!(moved.iter().all(|(_, by, _)| *by <= 1), "{moved:?}");
    let any = |word| {
        moved
            .iter()
            .any(|(_, by, loaded)| *loaded == word && *by == 1)
    };
    (any(YesNo::No), any(YesNo::Yes))
}

#[test]
fn how_much_was_done_and_what_was_seen_hold_loaded_work_alone() {
    let library = plain_library();
    let (record, verdict) = ninth(&library, |_, _| {});
    let (unloaded, loaded) = climbed(&library, &record, &verdict);
    assert!(
        loaded,
        "loaded work climbs when it is known to be done and seen"
    );
    for blank in [
        |_: &Record, visit: &mut Visit| visit.did = NotRecorded,
        |_: &Record, visit: &mut Visit| visit.done.clear(),
    ] {
        let (record, verdict) = ninth(&library, blank);
        let now = climbed(&library, &record, &verdict);
        assert_eq!(now, (unloaded, false));
    }
    for days in [[5, 9], [20, 27], [45, 52]] {
        let (record, verdict) = second(&library, days, |visit| visit.did = NotRecorded);
        assert_eq!(
            climbed(&library, &record, &verdict),
            (true, false),
            "{days:?}"
        );
    }
}

#[test]
fn no_symptoms_at_all_give_the_same_dose_and_a_notice() {
    let library = plain_library();
    for days in [[3, 10], [20, 27], [45, 59], [90, 110]] {
        let (record, verdict) = second(&library, days, |visit| {
            visit.pain.exercise = NotRecorded;
            visit.pain.morning = NotRecorded;
            visit.pain.medicine_before = NotRecorded;
            visit.swelling = NotRecorded;
        });
        let program = program(&verdict);
        assert_eq!(program.response, NotRecorded);
        let kept = moves(&library, &record, program);
        assert!(
            kept.len() >= 3 && kept.iter().all(|(_, by, _)| *by == 0),
            "{days:?}: {kept:?}"
        );
        let why = explain_program(&verdict, &library, &record);
        for line in [
            "next morning not recorded",
            "swelling not recorded",
            "`pain.exercise` not recorded",
        ] {
            assert_eq!(why.matches(line).count(), 1, "{line}\n{why}");
        }
    }
}

#[test]
fn timed_tests_not_done_say_nothing_to_the_patient() {
    let library = plain_library();
    for day in [3, 20, 45, 90] {
        let (record, verdict) = first(&library, day, |visit| {
            visit.measured.stance_s = NotRecorded;
            visit.measured.walk_minutes = NotRecorded;
        });
        let page = banister::render::text::text(&document(&library, &record, &verdict));
        for word in ["not recorded", "not measured", "seconds on"] {
            assert!(!page.contains(word), "day {day}: {word}");
        }
        let why = explain_program(&verdict, &library, &record);
        let lines = why.lines().filter(|line| {
            line.contains("not considered")
                && (line.contains("stance") || line.contains("walking a"))
        });
        assert!(lines.count() <= 1, "{why}");
    }
}

#[test]
fn a_home_nobody_asked_about_has_a_bed_and_a_firm_chair() {
    let library = plain_library();
    let assumed: BTreeSet<&str> = ["bed", "chair"].into();
    for day in [2, 10, 30, 60, 100] {
        let (_, verdict) = first(&library, day, |visit| visit.patient.equipment = NotRecorded);
        let program = program(&verdict);
        assert!(!program.items.is_empty(), "day {day}");
        for item in program
            .items
            .iter()
            .chain(&program.background)
            .chain(&program.daily)
        {
            let exercise = &library.exercises[&item.exercise];
            let (_, rung) = exercise.rung(&item.rung).unwrap();
            for thing in exercise.needs.iter().chain(&rung.needs) {
                assert!(
                    assumed.contains(thing.as_str()),
                    "day {day}: {} {thing}",
                    item.exercise
                );
            }
        }
        let (_, verdict) = first(&library, day, |visit| {
            visit.patient.equipment = Yes(BTreeSet::new());
        });
        let nothing = self::program(&verdict);
        for item in &nothing.items {
            let needs = &library.exercises[&item.exercise].needs;
            assert!(
                needs.is_empty(),
                "asked, and there is none: {}",
                item.exercise
            );
        }
    }
}

#[test]
fn conditions_orders_and_the_screen_are_asked_and_no_sheet_is_made() {
    let library = plain_library();
    let asked = |day, change: fn(&mut Visit)| {
        let (record, verdict) = first(&library, day, change);
        let Verdict::Unanswered(page) = verdict else {
            panic!("day {day}: a sheet was made");
        };
        assert!(record.visits[0].issued.is_none());
        let questions = page.questions.iter();
        questions
            .map(|(question, _)| question.clone())
            .collect::<Vec<_>>()
    };
    for day in [0, 3, 4, 14, 42, 84, 180] {
        let conditions = asked(day, |visit| visit.patient.conditions = NotRecorded);
        assert_eq!(conditions, [Question::Conditions], "day {day}");
        let orders = asked(day, |visit| visit.patient.surgeon = NotRecorded);
        assert_eq!(orders, [Question::WeightBearing], "day {day}");
        let screen = asked(day, |visit| visit.screen = NotRecorded);
        assert!(
            matches!(screen.as_slice(), [Question::Screen { flags }] if flags.len() >= 10),
            "day {day}: {screen:?}"
        );
        let one = asked(day, |visit| {
            if let Yes(screen) = &mut visit.screen {
                screen.remove(&Id::new("calf").unwrap());
            }
        });
        assert!(matches!(one.as_slice(), [Question::Screen { flags }] if flags.len() == 1));
    }
}
