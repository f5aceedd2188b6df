//! Whether a call may leave the sheet at home as it is: no new number, no new days.
//!
//! In doubt it may not, and the sheet is made anew. Must not decide a dose.

use crate::domain::correction::Correction;
use crate::domain::ids::ExerciseId;
use crate::domain::keep::{AtHome, NotKept};
use crate::domain::library::Library;
use crate::domain::overtaken::SheetLine;
use crate::domain::record::{Adjust, NextVisit, Record, Visit};
use crate::domain::recorded::Recorded;
use crate::domain::time::VisitDate;
use crate::domain::timeline::SheetGiven;
use crate::domain::verdict::{
    Item, LeftOut, LimitInForce, Notice, Program, ReviewDue, Verdict, Why, WhyNot,
};
use crate::domain::word::{How, Response, ScreenAnswer};

use super::due::{at_home, slip_until, told_at};
use super::{decide, facts};

/// Says which sheet a visit may leave at home, or everything that speaks against it.
pub fn keep(library: &Library, record: &Record, visit: &Visit) -> Result<AtHome, Vec<NotKept>> {
    if visit.how == How::Seen {
        return Err(vec![NotKept::Seen]);
    }
    let Some(home) = at_home(record) else {
        return Err(vec![NotKept::NothingAtHome]);
    };
    if home.visit.n == visit.n {
        return Err(vec![NotKept::Corrects]);
    }
    let mut against = of_the_sheet(library, record, visit, home);
    against.extend(of_the_call(visit, home));
    match decide(library, record, VisitDate(visit.date)) {
        Verdict::Unanswered(_) => against.push(NotKept::Unanswered),
        Verdict::Withheld(_) => against.push(NotKept::Withheld),
        Verdict::Program(program) => {
            against.extend(of_the_program(library, &program, visit, home));
            let lines = told_at(library, record, home, visit).into_iter();
            against.extend(lines.filter(is_stricter).map(NotKept::Line));
        }
    }
    let mut told = Vec::new();
    for one in against {
        if !told.contains(&one) {
            told.push(one);
        }
    }
    if told.is_empty() {
        Ok(AtHome {
            sheet: home.issued.sheet,
            until: home.issued.use_until,
        })
    } else {
        Err(told)
    }
}

/// Says why the sheet itself does not stand.
fn of_the_sheet(
    library: &Library,
    record: &Record,
    visit: &Visit,
    home: SheetGiven<'_>,
) -> Vec<NotKept> {
    let issued = home.issued;
    let sheet = issued.sheet;
    if issued.phase.is_none() {
        return vec![NotKept::NoExercises { sheet }];
    }
    let mut against = Vec::new();
    let made_after = |made: &Correction| made.follows(home.issued_at);
    if record.corrections.iter().any(made_after) {
        against.push(NotKept::PutRight { sheet });
    }
    let until = slip_until(library, record, home.visit, issued);
    if visit.date > until {
        against.push(NotKept::Over { sheet, until });
    }
    match visit.next_visit {
        Recorded::Yes(NextVisit::Date(on)) if on > until => {
            against.push(NotKept::NextVisit { on, until });
        }
        Recorded::Yes(NextVisit::None)
            if record.next_visit(home.visit) != Recorded::Yes(NextVisit::None) =>
        {
            against.push(NotKept::NoNextVisit);
        }
        Recorded::Yes(_) | Recorded::NotRecorded => {}
    }
    let newer = record.newer_orders(home, visit.date);
    against.extend(newer.map(|order| NotKept::Order {
        what: order.what.clone(),
        on: order.on,
    }));
    against
}

/// Says what was said at the call that the sheet does not know.
fn of_the_call(visit: &Visit, home: SheetGiven<'_>) -> Vec<NotKept> {
    let mut against = Vec::new();
    let screen = visit.screen.as_ref().known().into_iter().flatten();
    let new = screen.filter(|(_, answer)| **answer == ScreenAnswer::Yes);
    against.extend(new.map(|(flag, _)| NotKept::Sign { flag: flag.clone() }));
    if says_otherwise(visit, home.visit) {
        against.push(NotKept::Word);
    }
    let (now, then) = (&visit.patient, &home.visit.patient);
    let same = now.conditions == then.conditions
        && now.frailty == then.frailty
        && now.surgeon == then.surgeon
        && now.positions_no == then.positions_no;
    if !same {
        against.push(NotKept::Person);
    }
    against
}

/// Says whether the clinician's word at the call is another than the one the sheet was made with.
fn says_otherwise(visit: &Visit, then: &Visit) -> bool {
    let said = |new: &Adjust| {
        let mut old = then.adjust.iter();
        old.any(|old| {
            (&old.exercise, old.action, &old.rung) == (&new.exercise, new.action, &new.rung)
        })
    };
    let phase = |visit: &Visit| visit.phase.as_ref().map(|phase| phase.id.clone());
    let set = phase(visit);
    !visit.adjust.iter().all(said) || (set.is_some() && set != phase(then))
}

/// Says what the decision of the call holds against the sheet.
fn of_the_program(
    library: &Library,
    program: &Program,
    visit: &Visit,
    home: SheetGiven<'_>,
) -> Vec<NotKept> {
    let mut against: Vec<NotKept> = program
        .flags
        .iter()
        .filter(|raised| visit.screened(&raised.flag) != Some(ScreenAnswer::Yes))
        .map(|raised| NotKept::Sign {
            flag: raised.flag.clone(),
        })
        .collect();
    if program.response == Recorded::Yes(Response::Overdone) || eased(program) {
        against.push(NotKept::Overdone);
    }
    let told = facts::at_visit(visit, &library.procedure.derives);
    let new = |review: &ReviewDue| told.contains_key(&review.fact);
    if program.reviews.iter().any(new) || program.notices.iter().any(Notice::is_to_act_on) {
        against.push(NotKept::Action);
    }
    // The clinic's own; those of the record stand with the sheet.
    let given_since = |limit: &&LimitInForce| {
        let order = limit.order.as_ref();
        order.is_some_and(|order| order.id.is_none() && order.on > home.issued_at.date)
    };
    let orders = program.limits.iter().filter(given_since);
    against.extend(orders.filter_map(|limit| {
        let order = limit.order.as_ref()?;
        Some(NotKept::Order {
            what: order.what.clone(),
            on: order.on,
        })
    }));
    against.extend(not_allowed(program, home));
    against
}

/// Says whether a line asks for a new sheet; what has only done its work asks for none.
fn is_stricter(line: &SheetLine) -> bool {
    match line {
        SheetLine::Gone { reason, .. } => reason.bars(),
        SheetLine::NoExercises(_)
        | SheetLine::MayExercise
        | SheetLine::Asks
        | SheetLine::Begins(_)
        | SheetLine::Ends(_)
        | SheetLine::Changed { .. }
        | SheetLine::MayCome { .. }
        | SheetLine::AdviceBegins(_)
        | SheetLine::AdviceEnds(_)
        | SheetLine::AdviceBarred(_) => line.is_stricter(),
    }
}

/// Says whether any dose is less, or shorter and more often, because the last one was too much.
fn eased(program: &Program) -> bool {
    let items = program.items.iter().chain(&program.daily);
    let mut steps = items
        .chain(&program.background)
        .flat_map(|item: &Item| &item.steps);
    steps.any(|step| {
        matches!(
            step.why,
            Why::Eased { .. }
                | Why::Rests { .. }
                | Why::RangeShorterMoreOften { .. }
                | Why::KeptLowestRung { .. }
        )
    })
}

/// Lists the exercises of the sheet that a limit, a position or a missing thing now stops.
fn not_allowed(program: &Program, home: SheetGiven<'_>) -> Vec<NotKept> {
    let on_it = |exercise: &ExerciseId| {
        let mut items = home.issued.items.iter();
        items.any(|item| item.exercise == *exercise)
    };
    // The clinician's word sets entry tests aside, and the sheet was made with it.
    let said = |left: &LeftOut| {
        let mut words = home.visit.adjust.iter();
        matches!(left.reason, WhyNot::NotYet { .. })
            && words.any(|word| word.exercise == left.exercise)
    };
    let left_out = program.left_out.iter();
    left_out
        .filter(|left| on_it(&left.exercise) && left.reason.bars() && !said(left))
        .map(|left| {
            NotKept::Line(SheetLine::Gone {
                exercise: left.exercise.clone(),
                reason: left.reason.clone(),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::word::{AdjustAction, LegLift, WeightBearing};
    use crate::engine::sample;

    /// A sheet of day 5 for a visit on day 19, and a calm call on a day.
    fn call(day: i64) -> Record {
        let mut record = sample::record(day);
        sample::earlier(&mut record, 5, &[("bend", "b2")]);
        record.visits[0].next_visit = Recorded::Yes(NextVisit::Date(sample::on(19)));
        record.visits[1].how = How::Phone;
        record
    }

    fn kept(record: &Record) -> Result<AtHome, Vec<NotKept>> {
        keep(&sample::library(), record, record.visits.last().unwrap())
    }

    fn against(change: impl Fn(&mut Record)) -> Vec<NotKept> {
        let mut record = call(8);
        change(&mut record);
        kept(&record).unwrap_err()
    }

    #[test]
    fn a_calm_call_leaves_the_sheet_its_days_and_the_appointment() {
        let record = call(8);
        let until = sample::on(19);
        assert_eq!(kept(&record), Ok(AtHome { sheet: 1, until }));
        let call = &record.visits[1];
        let stands = Recorded::Yes(NextVisit::Date(until));
        assert_eq!(record.next_visit(call), stands);
        let program = sample::program(&sample::library(), &record);
        assert_eq!(
            program.life.until, until,
            "a sheet made at the call ends there too"
        );
    }

    #[test]
    fn a_visit_in_person_or_a_day_that_has_come_names_no_next_visit_of_before() {
        let mut record = call(8);
        record.visits[1].how = How::Seen;
        assert_eq!(record.next_visit(&record.visits[1]), Recorded::NotRecorded);
        assert_eq!(kept(&record), Err(vec![NotKept::Seen]));
        let record = call(19);
        assert_eq!(record.next_visit(&record.visits[1]), Recorded::NotRecorded);
    }

    #[test]
    fn a_sheet_stays_through_the_days_of_a_slipped_visit_and_no_longer() {
        let at = |day| against_all(&call(day));
        assert_eq!(at(33), []);
        let until = sample::on(33);
        let over = [NotKept::Over { sheet: 1, until }, NotKept::Action];
        assert_eq!(at(34), over, "that it ran out is told too");
        let named = |day| {
            let mut record = call(8);
            record.visits[1].next_visit = Recorded::Yes(NextVisit::Date(sample::on(day)));
            against_all(&record)
        };
        assert_eq!(named(33), []);
        let on = sample::on(34);
        assert_eq!(named(34), [NotKept::NextVisit { on, until }]);
        let none = against(|r| r.visits[1].next_visit = Recorded::Yes(NextVisit::None));
        assert_eq!(none, [NotKept::NoNextVisit]);
    }

    fn against_all(record: &Record) -> Vec<NotKept> {
        kept(record).err().unwrap_or_default()
    }

    #[test]
    fn a_new_sign_never_leaves_the_sheet_at_home() {
        let library = sample::library();
        for flag in &library.procedure.red_flags {
            let name = flag.id.to_string();
            let found = against(|r| {
                r.visits[1].measured.leg_lift = Recorded::Yes(LegLift::No);
                sample::answer(r, &name, ScreenAnswer::Yes);
            });
            let sign = NotKept::Sign {
                flag: flag.id.clone(),
            };
            assert!(found.contains(&sign), "{name}: {found:?}");
        }
        let withheld = against(|r| sample::answer(r, "clot", ScreenAnswer::Yes));
        assert!(withheld.contains(&NotKept::Withheld));
        let unasked = against(|r| r.visits[1].screen = Recorded::NotRecorded);
        assert_eq!(unasked, [NotKept::Unanswered]);
    }

    #[test]
    fn an_alarming_answer_never_leaves_the_sheet_at_home() {
        let found = against(|r| r.visits[1].pain.exercise = sample::pain(Some(9)));
        assert_eq!(found, [NotKept::Overdone]);
        let mut record = call(15);
        record.visits[1].measured.flexion = sample::degrees(Some(79));
        assert_eq!(against_all(&record), [NotKept::Action]);
        record.visits[1].measured.flexion = sample::degrees(None);
        record.visits[0].date = sample::on(14);
        record.visits[0].measured.flexion = sample::degrees(Some(79));
        let program = sample::program(&sample::library(), &record);
        assert_eq!(program.reviews.len(), 1);
        assert_eq!(against_all(&record), [], "told when it was measured");
    }

    #[test]
    fn an_order_written_down_after_the_sheet_does_not_leave_it_at_home_whatever_its_date() {
        let order = |line| {
            let mut order = sample::cap(60, 3, crate::domain::record::Until::Open);
            order.origin.line = line;
            order
        };
        let mut record = call(8);
        record.orders.push(order(1));
        assert_eq!(against_all(&record), [], "it stood when the sheet was made");
        let late = against(|r| r.orders.push(order(99)));
        let on = sample::on(3);
        let what = sample::id("bend-cap");
        assert_eq!(late, [NotKept::Order { what, on }]);
    }

    #[test]
    fn a_void_sheet_or_one_that_withholds_does_not_stay() {
        let sheet = 1;
        let void = against(|r| r.corrections.push(sample::day_put_right(2, 1)));
        assert!(void.contains(&NotKept::PutRight { sheet }), "{void:?}");
        let page = against(|r| sample::issued(r, 0).phase = None);
        assert!(page.contains(&NotKept::NoExercises { sheet }), "{page:?}");
        let none = against(|r| r.visits[0].issued = None);
        assert_eq!(none, [NotKept::NothingAtHome]);
        let corrects = against(|r| r.visits[1].corrects = Some(1));
        assert_eq!(corrects, [NotKept::Corrects]);
    }

    #[test]
    fn what_was_changed_at_the_call_needs_a_new_sheet() {
        let word = |r: &mut Record| sample::adjust(r, "bend", AdjustAction::LeaveOut, None);
        assert_eq!(against(word), [NotKept::Word]);
        let mut record = call(8);
        word(&mut record);
        record.visits[0].adjust = record.visits[1].adjust.clone();
        assert_eq!(
            against_all(&record),
            [],
            "the sheet was made with that word"
        );
        let ill = against(|r| sample::condition(r, "thin-bone"));
        assert!(ill.contains(&NotKept::Person), "{ill:?}");
        let bears = against(|r| {
            let none = sample::bears(WeightBearing::None, 8, crate::domain::record::Until::Open);
            r.orders.push(none);
            sample::issue_too(r, 0, "stroll", "w1");
        });
        let stopped = |why: &NotKept| matches!(why, NotKept::Line(SheetLine::Gone { .. }));
        assert!(bears.iter().any(stopped), "{bears:?}");
    }

    #[test]
    fn what_was_said_at_a_kept_call_is_heard_at_the_next_visit_to_the_same_sheet() {
        let mut record = sample::record(12);
        sample::earlier(&mut record, 8, &[]);
        sample::earlier(&mut record, 5, &[("bend", "b2")]);
        record.visits[1].how = How::Phone;
        record.visits[1].kept = Some(1);
        record.visits[2].pain.exercise = sample::pain(Some(9));
        let library = sample::library();
        let tell = |record: &Record| {
            let program = sample::program(&library, record);
            program.notices.iter().any(Notice::is_to_act_on)
        };
        assert!(!tell(&record));
        record.visits[1].pain.exercise = sample::pain(Some(9));
        assert!(tell(&record), "too much at the call, and again today");
        record.visits[1].pain.exercise = sample::pain(Some(3));
        record.visits[2].pain.exercise = sample::pain(Some(3));
        let program = sample::program(&library, &record);
        let steps = &sample::item(&program, "bend").steps;
        let from = Why::LastSheet {
            sheet: 1,
            days_ago: 7,
        };
        assert_eq!(steps[0].why, from, "the call gave no sheet");
    }
}
