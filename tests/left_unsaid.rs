//! What a sheet must not pass over in silence: stairs nobody may climb, an order it does not keep,
//! what follows when a limit ends, and a number that a clinic changed.

use std::fs;

use banister::domain::ids::{ConditionId, Id, ProcedureId};
use banister::domain::library::Library;
use banister::domain::quantity::{Degrees, Quantity};
use banister::domain::record::{Home, OrderValue, Record, Until};
use banister::domain::recorded::Recorded;
use banister::domain::verdict::{Notice, Program, Verdict};
use banister::domain::word::{Fact, Side, WeightBearing, YesNo};
use banister::engine::decide;
use banister::render::text;

use crate::support;
use crate::support::people::{Answers, document, had, operation, order, person, record, see};

/// Every operation of the library.
const ALL: [&str; 4] = ["knee-total", "knee-partial", "knee-revision", "knee-both"];

/// The program of somebody on a day, and its sheet in one line.
fn decided(library: &Library, day: u64, change: impl Fn(&mut Record)) -> (Program, String) {
    let mut record = record(person(), Side::Left);
    had(&mut record, library);
    change(&mut record);
    let mut answers = Answers::calm(day, 92);
    answers.next_in = 14;
    let date = see(library, &mut record, &answers);
    let verdict = decide(library, &record, date);
    let page = support::flat(&text::text(&document(library, &record, &verdict)));
    match verdict {
        Verdict::Program(program) => (*program, page),
        other => panic!("{other:?}"),
    }
}

fn at_home(stairs: YesNo) -> Recorded<Home> {
    Recorded::Yes(Home {
        alone: Recorded::NotRecorded,
        stairs: Recorded::Yes(stairs),
        bed: Recorded::NotRecorded,
        floor_safe: Recorded::NotRecorded,
    })
}

fn ill(record: &mut Record, condition: &str) {
    record.patient.conditions = Recorded::Yes([ConditionId::new(condition).unwrap()].into());
}

#[test]
fn stairs_at_home_that_an_order_forbids_are_spoken_of() {
    const WARNS: &str = "Do not climb stairs alone yet.";
    let bearing = |bearing| ("weight-bearing", OrderValue::WeightBearing(bearing));
    let orders = [
        bearing(WeightBearing::None),
        bearing(WeightBearing::Touch),
        ("brace-locked", OrderValue::Stands),
    ];
    for id in ALL {
        let library = support::plain_library_of(id);
        for (kind, value) in &orders {
            for stairs in [YesNo::Yes, YesNo::No] {
                let (program, page) = decided(&library, 20, |record| {
                    record.patient.home = at_home(stairs);
                    record.orders.push(order(200, kind, value.clone()));
                });
                // Whichever exercise waits for stairs that were practised.
                let climbs = program.daily.iter().chain(&program.items).any(|item| {
                    let entry = &library.exercises[&item.exercise].entry;
                    entry.iter().any(|test| test.fact == Fact::StairsPractised)
                });
                let who = format!("{id}, {kind} {value:?}, stairs {stairs}");
                assert_eq!(
                    page.contains(WARNS),
                    stairs == YesNo::Yes && !climbs,
                    "{who}"
                );
                assert!(!climbs || *kind == "brace-locked", "{who}");
            }
        }
        let (_, page) = decided(&library, 20, |record| {
            record.patient.home = at_home(YesNo::Yes);
        });
        assert!(!page.contains(WARNS), "{id}: nothing forbids them");
    }
}

#[test]
fn an_order_whose_row_an_illness_takes_away_is_told_to_the_clinician() {
    let mut looked = 0;
    for id in ALL {
        let library = support::plain_library_of(id);
        for row in &library.procedure.home_care {
            let Some(kind) = &row.when_order else {
                continue;
            };
            let day = row.window.from.get().unsigned_abs() + 3;
            let told = |ill_with: Option<&str>, ordered: bool| {
                let (program, _) = decided(&library, day, |record| {
                    if let Some(condition) = ill_with {
                        ill(record, condition);
                    }
                    if ordered {
                        let order = order(200, kind.as_str(), OrderValue::Stands);
                        record.orders.push(order);
                    }
                });
                let told = |notice: &&Notice| matches!(notice, Notice::OrderLeftOut { order, .. } if order == kind);
                program.notices.iter().find(told).cloned()
            };
            assert_eq!(told(None, true), None, "{id}, {kind}");
            for condition in &row.unless {
                looked += 1;
                let condition = condition.as_str();
                let notice = told(Some(condition), true);
                let notice = notice.unwrap_or_else(|| panic!("{id}, {kind}, {condition}"));
                assert!(notice.is_to_act_on());
                assert_eq!(told(Some(condition), false), None, "{id}, {kind}");
            }
        }
    }
    assert!(looked >= 4, "{looked}");
}

#[test]
fn a_limit_that_ends_within_the_sheet_says_once_what_follows() {
    const AFTER: &str = "After that, stay at this until we see you.";
    let degrees = OrderValue::Degrees(Degrees::new(80).unwrap());
    for id in ALL {
        let library = support::plain_library_of(id);
        let times = |ends: u64, also: Option<u64>| {
            let (_, page) = decided(&library, 20, |record| {
                for ends in [Some(ends), also].into_iter().flatten() {
                    record
                        .orders
                        .push(order(ends, "flexion-cap", degrees.clone()));
                }
            });
            page.matches(AFTER).count()
        };
        assert_eq!(times(26, None), 1, "{id}");
        assert_eq!(times(200, None), 0, "{id}");
        assert_eq!(times(26, Some(200)), 0, "{id}: the other goes on");
    }
}

/// A clinic that has other minutes and hours for one row of cold.
fn with_own_cold(id: &str) -> Library {
    let folder = tempfile::tempdir().unwrap();
    let text = support::read("shared/clinic.toml");
    let plain = text.split("[[override]]").next().unwrap();
    let path = folder.path().join("clinic.toml");
    let row = |key: &str, was: &str, now: &str| {
        format!(
            "[[override]]\npath = \"procedures/knee-total.toml\"\nat = \"home_care.cold.{key}\"\n\
             was = {was}\nnow = {now}\nbecause = \"Skin.\"\nby = \"lead\"\non = 2026-01-10\n\n"
        )
    };
    let own = row("minutes", "[15, 20]", "[7, 8]") + &row("every_hours", "[2, 4]", "[5, 6]");
    fs::write(&path, format!("{plain}{own}")).unwrap();
    let id = ProcedureId::new(id).unwrap();
    banister::files::library::load(&id, &path).unwrap_or_else(|problems| panic!("{problems}"))
}

#[test]
fn a_clinics_own_minutes_of_cold_hold_on_every_sheet() {
    for id in ALL {
        let library = with_own_cold(id);
        let mut looked = 0;
        for row in &library.procedure.home_care {
            if !row.words["en"].text.contains("old pack in a thin cloth") {
                continue;
            }
            looked += 1;
            let minutes = row.minutes.map(|both| both.map(Quantity::get));
            assert_eq!(minutes, Some([7, 8]), "{id}, {}", row.id);
            assert_eq!(row.every_hours, Some([5, 6]), "{id}, {}", row.id);
            let fitted = row.words["en"].fitted.iter();
            let fitted = fitted.filter_map(|own| own.text.as_ref());
            for text in std::iter::once(&row.words["en"].text).chain(fitted) {
                assert!(text.contains("{minutes}"), "{id}, {}", row.id);
                assert!(text.contains("{every_hours}"), "{id}, {}", row.id);
            }
        }
        assert!(looked >= 3, "{id}: {looked}");
    }
}

#[test]
fn nobody_who_may_kneel_is_told_to_ask_first() {
    for id in ALL {
        let library = support::plain_library_of(id);
        let kinds = library.procedure.order_kinds();
        let may = kinds.contains("kneeling-allowed");
        let asks = |ordered: bool| {
            let (_, page) = decided(&library, 60, |record| {
                if ordered {
                    let mut yes = order(0, "kneeling-allowed", OrderValue::Stands);
                    (yes.on, yes.until) = (operation(), Until::Open);
                    record.orders.push(yes);
                }
            });
            assert!(!page.contains("Ask at your next visit"), "{id}");
            page.contains("once your surgeon says yes")
        };
        let row = |row: &&banister::domain::procedure::HomeCare| row.id.as_str() == "kneeling";
        let said = library.procedure.home_care.iter().any(|each| row(&each));
        assert_eq!(asks(false), said, "{id}");
        if may {
            assert!(!asks(true), "{id}");
        }
    }
}
