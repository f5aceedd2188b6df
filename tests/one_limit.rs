//! One limit a motion on every page: the strictest in force, with the number its owner set.
//!
//! Every kind of order beside every flag that limits a motion, in every phase of every operation:
//! each number of degrees on the sheet is held against the limits the decision found.

use std::cell::Cell;
use std::collections::BTreeSet;
use std::sync::LazyLock;

use banister::domain::ids::Id;
use banister::domain::library::Library;
use banister::domain::limit::{Limit, LimitRule, When};
use banister::domain::order_kind::{FLEXION_CAP, OrderSays};
use banister::domain::quantity::{Degrees, Quantity};
use banister::domain::record::{Order, OrderValue, Record, Until};
use banister::domain::recorded::Recorded;
use banister::domain::time::VisitDate;
use banister::domain::verdict::{LimitInForce, Program, Verdict};
use banister::domain::word::{Joint, Motion, ScreenAnswer, Side};
use banister::engine::decide;
use banister::figure::Role;
use banister::handout::model::{Block, Document, Handout};
use banister::render::text;
use chrono::Days;

use crate::support;
use crate::support::people::{Answers, document, had, order, person, record, see};

/// One sheet with what was decided for it.
struct Sheet {
    what: String,
    library: Library,
    program: Program,
    page: Box<Handout>,
    text: String,
}

fn bends(limit: &LimitInForce) -> bool {
    match &limit.rule {
        LimitRule::Motion { of, .. } => of.joint == Joint::Knee && of.motion == Motion::Flexion,
        LimitRule::Forbid(_) | LimitRule::AllOf(_) => false,
    }
}

/// Sets of orders: none, each kind alone, and caps that overlap and end on different days.
fn orders(library: &Library, day: u64) -> Vec<(String, Vec<Order>)> {
    let cap = |degrees: i64, until: u64| {
        let value = OrderValue::Degrees(Degrees::nearest(degrees));
        order(until, FLEXION_CAP, value)
    };
    let mut sets = vec![("nothing ordered".to_owned(), Vec::new())];
    for degrees in [50, 60, 63, 65, 80, 90, 110] {
        sets.push((format!("cap {degrees}"), vec![cap(degrees, 200)]));
    }
    let two = vec![cap(65, day + 3), cap(90, 200)];
    sets.push(("cap 65 for some days, cap 90".to_owned(), two));
    let mut ahead = cap(60, 200);
    ahead.from = Some(ahead.on + Days::new(day + 2));
    let two = vec![cap(80, 200), ahead];
    sets.push(("cap 80, from the day after next 60".to_owned(), two));
    for kind in library.procedure.order_kinds() {
        if library.procedure.order_says(kind) == OrderSays::Stands {
            let alone = order(200, kind, OrderValue::Stands);
            sets.push((kind.to_owned(), vec![alone.clone()]));
            sets.push((format!("{kind}, cap 95"), vec![alone, cap(95, 200)]));
        }
    }
    sets
}

/// The answers to flags that limit a motion; none beside them.
fn flags(library: &Library) -> Vec<(String, ScreenAnswer)> {
    let limits_motion = |limit: &&Limit| matches!(limit.rule, LimitRule::Motion { .. });
    let limits = library.procedure.limits.iter().filter(limits_motion);
    let of_flag = |limit: &Limit| match &limit.when {
        When::Flag(flag) | When::Raised(flag) => Some(flag.to_string()),
        When::Always | When::Order(_) | When::Condition(_) | When::Fact(_) => None,
    };
    let named: BTreeSet<String> = limits.filter_map(of_flag).collect();
    assert!(!named.is_empty());
    let answers = [ScreenAnswer::Yes, ScreenAnswer::Known];
    let all = named.iter();
    all.flat_map(|flag| answers.map(|answer| (flag.clone(), answer)))
        .collect()
}

fn decided(library: &Library, record: &Record, what: String) -> Option<Sheet> {
    let date = record.visits.last().unwrap().date;
    let verdict = decide(library, record, VisitDate(date));
    let page = match &verdict {
        Verdict::Program(_) => document(library, record, &verdict),
        Verdict::Withheld(_) => return None,
        Verdict::Unanswered(asked) => panic!("{what}: {asked:?}"),
    };
    let text = support::flat(&text::text(&page)).replace('\u{a0}', " ");
    match (verdict, page) {
        (Verdict::Program(program), Document::Handout(page)) => Some(Sheet {
            what,
            library: library.clone(),
            program: *program,
            page,
            text,
        }),
        other => panic!("{other:?}"),
    }
}

/// Every kind of order in every phase, and on one day each with every flag beside it.
static SHEETS: LazyLock<Vec<Sheet>> = LazyLock::new(|| {
    let mut sheets = Vec::new();
    for procedure in ["knee-total", "knee-partial", "knee-revision", "knee-both"] {
        let library = support::plain_library_of(procedure);
        let screened = flags(&library);
        for day in [3, 20, 50, 90] {
            for (named, set) in orders(&library, day) {
                let beside = if day == 20 && procedure == "knee-total" {
                    screened.len()
                } else {
                    usize::from(day == 3)
                };
                let answers = screened.iter().take(beside).map(Some).chain([None]);
                sheets.extend(answers.filter_map(|flag| {
                    let what = format!("{procedure}, day {day}, {named}, {flag:?}");
                    sheet(&library, day, &set, flag, what)
                }));
            }
        }
    }
    assert!(sheets.len() > 200, "only {} sheets", sheets.len());
    sheets
});

fn sheet(
    library: &Library,
    day: u64,
    orders: &[Order],
    flag: Option<&(String, ScreenAnswer)>,
    what: String,
) -> Option<Sheet> {
    let mut record = record(person(), Side::Left);
    had(&mut record, library);
    record.orders.extend(orders.iter().cloned());
    see(library, &mut record, &Answers::calm(day, 88));
    if let Some((flag, answer)) = flag {
        let visit = record.visits.last_mut().unwrap();
        let mut screen = visit.screen.clone().known().unwrap();
        screen.insert(Id::new(flag).unwrap(), *answer);
        visit.screen = Recorded::Yes(screen);
    }
    decided(library, &record, what)
}

fn each(look: impl Fn(&Sheet)) {
    SHEETS.iter().for_each(look);
}

impl Sheet {
    fn limits(&self) -> impl Iterator<Item = &LimitInForce> {
        self.program.limits.iter().filter(|limit| bends(limit))
    }

    /// The least number that anybody set for the bend.
    fn strictest(&self) -> Option<i64> {
        let set = self.limits().filter_map(|limit| limit.degrees);
        set.map(Quantity::get).min()
    }

    /// Where the bend stops, every margin taken off.
    fn stop(&self) -> Option<i64> {
        let stops = self.limits().filter_map(|limit| limit.stop_at);
        stops.map(Quantity::get).min()
    }

    fn asks_for_bending(&self, block: &Block) -> bool {
        let items = self.program.items.iter().chain(&self.program.daily);
        let mut items = items.chain(&self.program.background);
        items.any(|item| {
            let exercise = &self.library.exercises[&item.exercise];
            let named = exercise.words["en"].name.replace("{side}", "left");
            let mut demands = exercise.demands.iter();
            let bends = |demand: &banister::domain::exercise::Demand| {
                demand.joint == Joint::Knee && demand.motion == Motion::Flexion
            };
            named.replace("{other}", "right") == block.name && demands.any(bends)
        })
    }

    fn blocks(&self) -> impl Iterator<Item = &Block> {
        self.page.blocks.iter().chain(&self.page.daily)
    }
}

/// Every number of degrees of a text, with the words before it.
fn numbers(text: &str) -> Vec<(i64, String)> {
    let mut found = Vec::new();
    for (at, _) in text.match_indices(" degree").chain(text.match_indices('°')) {
        let before = text[..at].trim_end();
        let from = before.rfind(|letter: char| !letter.is_ascii_digit());
        let number = &before[from.map_or(0, |at| at + 1)..];
        if let Ok(number) = number.parse() {
            let start = text.floor_char_boundary(at.saturating_sub(60));
            found.push((number, text[start..at].to_owned()));
        }
    }
    found
}

#[test]
fn every_number_of_degrees_is_the_strictest_limit_or_within_it() {
    each(|sheet| {
        for (number, near) in numbers(&sheet.text) {
            let what = format!("{}: {near}", sheet.what);
            let words: Vec<&str> = near.split_whitespace().rev().collect();
            match words.get(1).copied() {
                Some("about") => {
                    let most = sheet.stop().unwrap_or(i64::MAX);
                    assert!(number <= most, "{what}, stop at {most}");
                }
                Some("at") => assert_eq!(Some(number), sheet.stop(), "{what}"),
                _ => assert_eq!(Some(number), sheet.strictest(), "{what}"),
            }
        }
    });
}

#[test]
fn a_limit_of_the_bend_stands_on_page_one_and_once_in_the_rules() {
    each(|sheet| {
        let Some(strictest) = sheet.strictest() else {
            assert!(!sheet.text.contains("Not past"), "{}", sheet.what);
            return;
        };
        let rows = sheet.page.rules.iter().flat_map(|table| &table.rows);
        let said = if strictest == 0 {
            "Do not bend ".to_owned()
        } else {
            format!("past {strictest} degrees")
        };
        let rows = rows.filter(|row| row[0].contains("past ") || row[0].contains("Do not bend"));
        let rows: Vec<_> = rows.collect();
        assert_eq!(rows.len(), 1, "{}: {rows:?}", sheet.what);
        let plain = |text: &str| text.replace('\u{a0}', " ").contains(&said);
        assert!(plain(&rows[0][0]), "{}: {rows:?}", sheet.what);
        let bullets = sheet.page.message.bullets.iter();
        let told = bullets.filter(|bullet| plain(&bullet.text)).count();
        assert_eq!(told, 1, "{}: {:?}", sheet.what, sheet.page.message);
    });
}

#[test]
fn who_set_it_is_whoever_set_the_number_that_is_printed() {
    each(|sheet| {
        let strictest = sheet.strictest();
        let mut owners = sheet.limits();
        let ordered = owners
            .any(|limit| limit.degrees.map(Quantity::get) == strictest && limit.order.is_some());
        let limits = sheet.blocks().filter_map(|block| block.limit.as_ref());
        for limit in limits {
            let surgeon = limit.text.contains("surgeon set this");
            assert_eq!(surgeon, ordered, "{}: {limit:?}", sheet.what);
        }
    });
}

#[test]
fn no_dose_aim_or_next_rung_goes_past_the_stop() {
    each(|sheet| {
        let Some(stop) = sheet.stop() else { return };
        let items = sheet.program.items.iter().chain(&sheet.program.background);
        for item in items.chain(&sheet.program.daily) {
            let next = item.next.iter().map(|next| &next.dose);
            for dose in next.chain([&item.dose]) {
                let angles = [dose.limit, dose.aim, dose.range_degrees];
                for angle in angles.into_iter().flatten().map(Quantity::get) {
                    let what = format!("{}: {}", sheet.what, item.exercise);
                    assert!(angle <= stop, "{what}: {angle}, stop at {stop}");
                }
            }
        }
    });
}

#[test]
fn under_a_limit_no_word_asks_for_a_firm_pull() {
    each(|sheet| {
        if sheet.strictest().is_none() {
            return;
        }
        for block in sheet.blocks().filter(|block| sheet.asks_for_bending(block)) {
            let said = format!("{block:?}").to_lowercase();
            assert!(
                !said.contains("firm pull"),
                "{}: {}",
                sheet.what,
                block.name
            );
        }
        let page = format!("{:?} {:?}", sheet.page.message, sheet.page.stages);
        assert!(!page.contains("firm pull"), "{}: {page}", sheet.what);
    });
}

#[test]
fn a_picture_has_no_number_of_degrees_and_says_stop_only_where_the_mark_of_a_limit_stands() {
    let stops = Cell::new(0);
    each(|sheet| {
        for block in sheet.blocks() {
            for picture in block.pictures.iter().flatten() {
                let mut labels = picture.drawing.labels.iter();
                let what = format!("{}: {}", sheet.what, block.name);
                assert!(labels.all(|label| !label.text.contains('°')), "{what}");
                assert!(numbers(&picture.alt).is_empty(), "{what}: {}", picture.alt);
                let mut shapes = picture.drawing.shapes.iter();
                let marked = shapes.any(|shape| shape.role == Role::Limit);
                assert!(!marked || picture.caption == "Not past this", "{what}");
                let stop = picture.caption == "Not past this";
                assert!(!stop || block.limit.is_some(), "{what}");
                stops.set(stops.get() + usize::from(stop));
            }
        }
    });
    assert!(
        stops.get() > 50,
        "only {} pictures showed a stop",
        stops.get()
    );
}

#[test]
fn the_limit_of_some_days_is_said_for_as_long_as_the_sheet_is_used() {
    let library = support::plain_library();
    let mut record = record(person(), Side::Left);
    let cap = |degrees: i64, until: u64| {
        let value = OrderValue::Degrees(Degrees::nearest(degrees));
        order(until, FLEXION_CAP, value)
    };
    record.orders = vec![cap(65, 12), cap(90, 200)];
    let date = see(&library, &mut record, &Answers::calm(9, 70));
    let alone = |record: &Record| decided(&library, record, date.0.to_string()).unwrap();
    let both = alone(&record);
    for block in both.blocks().filter_map(|block| block.limit.as_ref()) {
        assert!(
            block.text.contains("as long as you use this sheet"),
            "{block:?}"
        );
    }
    record.orders.pop();
    assert!(matches!(record.orders[0].until, Until::Date(_)));
    let one = alone(&record);
    let mut limits = one.blocks().filter_map(|block| block.limit.as_ref());
    assert!(limits.all(|limit| limit.text.contains("14\u{a0}March")));
}
