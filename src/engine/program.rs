//! The program put together: lines with their marks, care rows, lines of text.
//!
//! Must not decide a dose.

use std::collections::BTreeSet;

use crate::domain::ids::{CareId, ExerciseId, OrderKind};
use crate::domain::procedure::{HomeCare, TimedLine};
use crate::domain::recorded::Recorded;
use crate::domain::time::Window;
use crate::domain::verdict::{Item, LimitInForce, Mark};

use super::ahead;
use super::case::Case;
use super::choose::seconds;
use super::gate::Gate;
use super::judge::value_on;
use super::limit::flag_holds;
use super::log::Log;
use super::orders;
use super::plan::Planned;
use super::rules::{d905_advice_that_fits, d907_orders_left_out};

/// Makes one line of the program.
pub(crate) fn item(case: &Case<'_>, line: &Planned<'_>, log: &mut Log) -> Item {
    let exercise = line.dosed.dosing.exercise();
    let given = &line.dosed.given;
    Item {
        exercise: exercise.id.clone(),
        rung: given.rung.clone(),
        dose: given.dose.clone(),
        slots: line.slots.clone(),
        weekdays: line.weekdays.clone(),
        rests_until: line.rests_until,
        mark: mark(case, line),
        seconds: seconds(exercise, &given.dose),
        steps: line.dosed.steps.clone(),
        next: ahead::next(line, log),
    }
}

/// Says how a line differs from the last sheet.
fn mark(case: &Case<'_>, line: &Planned<'_>) -> Mark {
    match (case.last, line.dosed.dosing.last) {
        (None, _) => Mark::First,
        (Some(_), None) => Mark::New,
        (Some(_), Some(last)) if last.dose == line.dosed.given.dose => Mark::Same,
        (Some(_), Some(last)) => Mark::Changed {
            from: Box::new(last.dose.clone()),
        },
    }
}

/// Lists what stood on the last sheet and does not on this one.
pub(crate) fn gone(case: &Case<'_>, now: &BTreeSet<ExerciseId>) -> Vec<ExerciseId> {
    let Some(last) = case.last else {
        return Vec::new();
    };
    last.issued
        .items
        .iter()
        .map(|item| &item.exercise)
        .filter(|id| !now.contains(*id))
        .cloned()
        .collect()
}

fn touches(case: &Case<'_>, window: Window) -> bool {
    window.touches(case.day, case.day_of(case.life.until))
}

/// Lists the home care rows in force; in the place of a row that is not for this person, or that
/// asks too much, another one may stand.
pub(crate) fn care<'a>(
    case: &Case<'a>,
    gate: &Gate,
    limits: &[LimitInForce],
    log: &mut Log,
) -> Vec<&'a HomeCare> {
    let conditions = case.conditions();
    let named = case.procedure().home_care.iter();
    let is_for = |row: &&HomeCare| {
        row.unless.is_disjoint(&conditions)
            && (row.only_if.is_empty() || !row.only_if.is_disjoint(&conditions))
            && row.whose.is(&case.facts)
    };
    let (theirs, mut unfit): (Vec<&HomeCare>, Vec<&HomeCare>) = named
        .filter(|row| touches(case, row.window))
        .filter(|row| match &row.when_order {
            Some(kind) => !orders::during_life(case, kind).is_empty(),
            None => true,
        })
        .filter(|row| {
            let mut flags = row.when_flag.iter();
            row.when_flag.is_empty() || flags.any(|flag| flag_holds(gate, flag))
        })
        .partition(is_for);
    let (fit, too_much): (Vec<&HomeCare>, Vec<&HomeCare>) = theirs
        .into_iter()
        .partition(|row| d905_advice_that_fits::fits(case, limits, &row.asks, log));
    for row in &unfit {
        d907_orders_left_out::note(row, &conditions, log);
    }
    let own = too_much.iter().filter(|row| row.instead_of.is_none());
    own.for_each(|row| d905_advice_that_fits::note(&row.id, log));
    unfit.extend(too_much);
    let brought: BTreeSet<&OrderKind> = fit
        .iter()
        .filter_map(|row| row.when_order.as_ref())
        .collect();
    let gives_way = |row: &&HomeCare| {
        let kind = row.unless_order.as_ref();
        kind.is_some_and(|kind| brought.contains(kind))
    };
    let left = fit.iter().copied().filter(|row| !gives_way(row));
    left.filter(|row| is_called_for(row, &unfit)).collect()
}

/// Says whether a row has its turn: its own, or that of another that does not fit.
fn is_called_for(row: &HomeCare, unfit: &[&HomeCare]) -> bool {
    let Some(of) = &row.instead_of else {
        return true;
    };
    let mut others = unfit.iter().filter(|other| other.id == *of);
    others.any(|other| is_called_for(other, unfit))
}

/// Lists the lines of text in force: what is usual, what is not, and the goals.
pub(crate) fn all_lines(
    case: &Case<'_>,
    limits: &[LimitInForce],
    log: &mut Log,
) -> [Vec<CareId>; 3] {
    let procedure = case.procedure();
    [
        &procedure.usual,
        &procedure.not_usual,
        &procedure.milestones,
    ]
    .map(|all| lines(case, all, limits, log))
}

/// Lists lines in force that ask for nothing a limit forbids; one whose goal is met is no longer
/// said.
fn lines(
    case: &Case<'_>,
    lines: &[TimedLine],
    limits: &[LimitInForce],
    log: &mut Log,
) -> Vec<CareId> {
    let unmet = |line: &&TimedLine| match &line.met {
        None => true,
        Some(test) => match value_on(case, test.fact, case.day) {
            Recorded::Yes(value) => !test.passes(&value),
            Recorded::NotRecorded => true,
        },
    };
    let in_force = lines.iter().filter(|line| touches(case, line.window));
    let in_force = in_force.filter(|line| line.whose.is(&case.facts));
    let mut kept = Vec::new();
    for line in in_force.filter(unmet) {
        if d905_advice_that_fits::fits(case, limits, &line.asks, log) {
            kept.push(line.id.clone());
        } else {
            d905_advice_that_fits::note(&line.id, log);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::{Order, OrderValue, Until};
    use crate::domain::word::ScreenAnswer;
    use crate::engine::sample;

    fn care(day: i64, change: impl Fn(&mut crate::domain::record::Record)) -> Vec<CareId> {
        let mut record = sample::record(day);
        change(&mut record);
        sample::program(&sample::library(), &record).care
    }

    #[test]
    fn care_goes_by_days_and_conditions() {
        assert_eq!(care(10, |_| {}), [sample::id("cold")]);
        let sensitive = care(10, |record| sample::condition(record, "cold-skin"));
        assert_eq!(sensitive, [sample::id("warm")]);
        assert_eq!(care(41, |_| {}), [sample::id("cold")]);
        assert!(care(42, |_| {}).is_empty());
    }

    #[test]
    fn a_row_stands_in_the_place_of_one_that_is_not_for_this_person() {
        let mut library = sample::library();
        let warm = &mut library.procedure.home_care[1];
        warm.only_if.clear();
        warm.instead_of = Some(sample::id("cold"));
        let mut record = sample::record(10);
        let care = |library: &_, record: &_| sample::program(library, record).care;
        assert_eq!(care(&library, &record), [sample::id("cold")]);
        let numb = sample::is(crate::domain::word::Fact::BlockGone, &["no"]);
        let gone = sample::is(crate::domain::word::Fact::BlockGone, &["yes"]);
        record.visits[0].block_gone = Recorded::Yes(crate::domain::word::YesNo::Yes);
        library.procedure.home_care[0].whose.unless_when = vec![numb];
        assert_eq!(care(&library, &record), [sample::id("cold")]);
        library.procedure.home_care[0].whose.unless_when = vec![gone.clone()];
        assert_eq!(care(&library, &record), [sample::id("warm")]);
        library.procedure.home_care[0].whose.unless_when.clear();
        library.procedure.home_care[0].whose.only_when = vec![gone];
        assert_eq!(care(&library, &record), [sample::id("cold")]);
        // Not recorded is no yes.
        record.visits[0].block_gone = Recorded::NotRecorded;
        assert_eq!(care(&library, &record), [sample::id("warm")]);
        library.procedure.home_care[0].whose.only_when.clear();
        sample::condition(&mut record, "cold-skin");
        assert_eq!(care(&library, &record), [sample::id("warm")]);
    }

    #[test]
    fn care_that_hangs_on_an_order_needs_the_order() {
        let rows = care(50, |record| {
            let order = sample::cap(1, 1, Until::Open);
            record.orders.push(Order {
                what: sample::id("wrap"),
                value: OrderValue::Stands,
                ..order
            });
        });
        assert_eq!(rows, [sample::id("wrap")]);
    }

    #[test]
    fn care_that_hangs_on_a_red_flag_needs_the_flag() {
        let mut library = sample::library();
        let row = &mut library.procedure.home_care[0];
        row.when_flag = [sample::id("wound")].into();
        row.asks.demands = Some(Vec::new());
        let rows = |answer: ScreenAnswer| {
            let mut record = sample::record(10);
            sample::answer(&mut record, "wound", answer);
            let rows = sample::program(&library, &record).care;
            rows.contains(&sample::id("cold"))
        };
        assert!(!rows(ScreenAnswer::No));
        assert!(rows(ScreenAnswer::Yes));
        assert!(rows(ScreenAnswer::Known), "its limits stand");
    }

    #[test]
    fn a_goal_that_is_met_is_no_longer_said() {
        let goals = |flexion| {
            let mut record = sample::record(10);
            record.visits[0].measured.flexion = sample::degrees(flexion);
            sample::program(&sample::library(), &record)
                .milestones
                .len()
        };
        assert_eq!(goals(None), 1);
        assert_eq!(goals(Some(89)), 1);
        assert_eq!(goals(Some(90)), 0);
    }

    #[test]
    fn marks_compare_with_the_last_sheet() {
        let first = sample::program(&sample::library(), &sample::record(10));
        assert!(first.items.iter().all(|item| item.mark == Mark::First));
        let mut record = sample::record(10);
        sample::earlier(
            &mut record,
            3,
            &[("bend", "b1"), ("push", "u2"), ("pump", "m1")],
        );
        sample::adjust(
            &mut record,
            "pump",
            crate::domain::word::AdjustAction::LeaveOut,
            None,
        );
        let program = sample::program(&sample::library(), &record);
        assert!(matches!(
            sample::item(&program, "bend").mark,
            Mark::Changed { .. }
        ));
        assert_eq!(sample::item(&program, "push").mark, Mark::Same);
        assert_eq!(sample::item(&program, "rise").mark, Mark::New);
        assert_eq!(program.gone, [sample::id("pump")]);
    }

    #[test]
    fn the_day_adds_up() {
        let program = sample::program(&sample::library(), &sample::record(10));
        let seconds: i64 = program
            .items
            .iter()
            .map(|item| item.seconds * i64::try_from(item.slots.len()).unwrap())
            .sum();
        assert_eq!(program.load.exercises, (seconds + 59) / 60);
        assert_eq!(
            program.load.walks, 17,
            "three walks of 5 min and 30 s to get ready"
        );
        assert_eq!(program.load.care, 60);
        assert!(program.load.session * 3 >= program.load.exercises);
    }
}
