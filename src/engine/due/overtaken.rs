//! What was written since a sheet went out, held against that sheet.
//!
//! The last visit is decided once more on the day asked, for the days the sheet is still used:
//! without what is new and with it. What the two differ in, and the sheet does not have, is told.

use chrono::NaiveDate;

use crate::domain::dose::Dose;
use crate::domain::ids::{CareId, ExerciseId};
use crate::domain::library::Library;
use crate::domain::limit::LimitRule;
use crate::domain::overtaken::{Overtaken, SheetLine, Stands, differs};
use crate::domain::record::{
    Clearance, Issued, IssuedItem, Measured, NextVisit, Order, Record, Visit,
};
use crate::domain::recorded::Recorded;
use crate::domain::stop::Stop;
use crate::domain::time::VisitDate;
use crate::domain::timeline::SheetGiven;
use crate::domain::verdict::{Given, LeftOut, LimitInForce, Notice, Program, Verdict};
use crate::engine::dates::later;
use crate::engine::decide;

use super::sheet;

/// Says what a record with something new does to the sheet at home; none when nothing differs, no
/// sheet is at home on that day, or the sheet is void.
fn overtaken(
    library: &Library,
    before: &Record,
    after: &Record,
    date: NaiveDate,
) -> Option<Overtaken> {
    let home = sheet::at_home(after)?;
    if sheet::void(after, home).is_some() {
        return None;
    }
    let date = date.max(home.visit.date);
    let last = if sheet::has_program(&home) {
        sheet::Sheet::standing(library, after, home)?.last_on(date)?
    } else {
        date
    };
    let seen = |record: &Record, date| {
        let record = as_seen_on(record, home, date, last);
        decide(library, &record, VisitDate(date))
    };
    let (mut old, mut now) = (seen(before, date), seen(after, date));
    if matches!(
        (&old, &now),
        (Verdict::Unanswered(_), Verdict::Unanswered(_))
    ) {
        // More is asked on that day than was then: as it would have been at the visit itself.
        let then = home.visit.date;
        (old, now) = (seen(before, then), seen(after, then));
    }
    let mut lines = lines(home, &old, &now);
    for line in &mut lines {
        as_given(line, after);
    }
    (!lines.is_empty()).then_some(Overtaken {
        sheet: home.issued.sheet,
        lines,
    })
}

/// Says how the sheet at home stands on a day against all that was written since.
pub fn stands(library: &Library, record: &Record, date: NaiveDate) -> Stands {
    let Some(home) = sheet::at_home(record) else {
        return Stands::NoSheet;
    };
    let number = home.issued.sheet;
    let program = sheet::has_program(&home);
    if sheet::void(record, home).is_some() {
        return Stands::Void(number);
    }
    let standing = sheet::Sheet::standing(library, record, home);
    if program && standing.and_then(|sheet| sheet.last_on(date)).is_none() {
        return Stands::Over(number);
    }
    match since_sheet(library, record, date) {
        Some(new) => Stands::Overtaken(new),
        None if program => Stands::Holds(number),
        None => Stands::Withholds(number),
    }
}

/// Finds the sheet, or the page that withholds, that is at home.
pub fn sheet_at_home(record: &Record) -> Option<&Issued> {
    sheet::at_home(record).map(|home| home.issued)
}

/// Says what was written since the sheet at home went out does to it.
pub(super) fn since_sheet(
    library: &Library,
    record: &Record,
    date: NaiveDate,
) -> Option<Overtaken> {
    let home = sheet::at_home(record)?;
    let mut before = record.clone();
    before.orders.retain(|order| home.knows(order));
    let told = |clear: &Clearance| clear.follows(home.issued_at);
    before.clearances.retain(|clear| !told(clear));
    let made = home.issued_at.date;
    before.overrides.retain(|said| said.on <= made);
    let same = before.orders.len() == record.orders.len()
        && before.clearances.len() == record.clearances.len()
        && before.overrides.len() == record.overrides.len();
    if same {
        return None;
    }
    overtaken(library, &before, record, date)
}

/// Says what is told at a call against the sheet at home: the sheet's own visit, held on the day of
/// the call without it and with it. What was done and how it went belongs to the next sheet.
pub(in crate::engine) fn told_at(
    library: &Library,
    record: &Record,
    home: SheetGiven<'_>,
    call: &Visit,
) -> Vec<SheetLine> {
    let mut with = record.clone();
    let of_sheet = |visit: &&mut Visit| visit.n == home.visit.n;
    if let Some(visit) = with.visits.iter_mut().find(of_sheet) {
        lay_over(visit, call);
    }
    overtaken(library, record, &with, call.date).map_or(Vec::new(), |new| new.lines)
}

/// Says what a visit given once more does to the sheet at home: the sheet's own visit, decided with
/// what was written wrongly and with what stands in its place.
pub fn put_right_at(
    library: &Library,
    before: &Record,
    wrong: i64,
    right: &Visit,
) -> Option<Overtaken> {
    let home = sheet::at_home(before)?.visit.n;
    let mut with = before.clone();
    let old = with.visits.iter_mut().find(|visit| visit.n == wrong)?;
    // The sheet of an older visit went out for what was wrong; no sheet went out for what is right.
    let issued = old.issued.clone().filter(|_| old.n == home);
    *old = Visit {
        n: old.n,
        corrects: old.corrects,
        issued,
        ..right.clone()
    };
    overtaken(library, before, &with, right.date)
}

/// Lays what a call tells of the person over a visit.
fn lay_over(visit: &mut Visit, call: &Visit) {
    fn told<T: Copy>(old: &mut Recorded<T>, new: Recorded<T>) {
        if new.is_recorded() {
            *old = new;
        }
    }
    let Measured {
        flexion,
        extension_deficit,
        lag,
        leg_lift,
        walking_aid,
        stance_s,
        walk_minutes,
        limp,
        stairs_practised,
    } = call.measured;
    let old = &mut visit.measured;
    if leg_lift.is_recorded() || lag.is_recorded() {
        // One follows from the other: an older lag is none of this lift.
        (old.leg_lift, old.lag) = (leg_lift, lag);
    }
    told(&mut old.flexion, flexion);
    told(&mut old.extension_deficit, extension_deficit);
    told(&mut old.walking_aid, walking_aid);
    told(&mut old.stance_s, stance_s);
    told(&mut old.walk_minutes, walk_minutes);
    told(&mut old.limp, limp);
    told(&mut old.stairs_practised, stairs_practised);
    told(&mut visit.block_gone, call.block_gone);
    told(&mut visit.pain.rest, call.pain.rest);
    visit.patient = call.patient.clone();
}

/// Makes the record in which the visit of the sheet is held on a day, for the days it is used, and
/// everything written is known then.
fn as_seen_on(record: &Record, home: SheetGiven<'_>, date: NaiveDate, last: NaiveDate) -> Record {
    let mut seen = record.clone();
    let newest = home.visit.n.max(home.issued_at.n);
    seen.visits.retain(|visit| visit.n <= newest);
    for order in &mut seen.orders {
        order.from = Some(order.begins());
        order.on = order.on.min(date);
    }
    for clear in &mut seen.clearances {
        clear.on = clear.on.min(date);
    }
    for said in &mut seen.overrides {
        said.on = said.on.min(date);
    }
    let of_sheet = |visit: &&mut Visit| visit.n == home.visit.n;
    if let Some(visit) = seen.visits.iter_mut().find(of_sheet) {
        visit.date = date;
        visit.next_visit = Recorded::Yes(NextVisit::Date(last.max(later(date, 1))));
    }
    seen
}

/// Gives the order behind a limit its own days again, which were set for looking at it.
fn as_given(line: &mut SheetLine, record: &Record) {
    let (SheetLine::Begins(limit) | SheetLine::Ends(limit)) = line else {
        return;
    };
    if let Some(order) = &mut limit.order {
        let given = |own: &&Order| own.id.is_some() && own.id == order.id;
        if let Some(own) = record.orders.iter().find(given) {
            (order.on, order.from) = (own.on, own.from);
        }
    }
}

fn lines(home: SheetGiven<'_>, before: &Verdict, after: &Verdict) -> Vec<SheetLine> {
    match (before, after) {
        (Verdict::Program(before), Verdict::Program(after)) => {
            if sheet::has_program(&home) {
                differences(&home.issued.items, before, after)
            } else {
                Vec::new()
            }
        }
        (Verdict::Withheld(_) | Verdict::Unanswered(_), Verdict::Program(_)) => {
            let page = !sheet::has_program(&home);
            page.then_some(SheetLine::MayExercise).into_iter().collect()
        }
        (Verdict::Program(_) | Verdict::Unanswered(_), Verdict::Withheld(page)) => {
            let flags = page.flags.iter().map(|flag| flag.flag.clone());
            vec![SheetLine::NoExercises(flags.collect())]
        }
        (Verdict::Program(_) | Verdict::Withheld(_), Verdict::Unanswered(_)) => {
            vec![SheetLine::Asks]
        }
        (Verdict::Withheld(_), Verdict::Withheld(_))
        | (Verdict::Unanswered(_), Verdict::Unanswered(_)) => Vec::new(),
    }
}

fn differences(issued: &[IssuedItem], before: &Program, after: &Program) -> Vec<SheetLine> {
    let mut items: Vec<SheetLine> = issued
        .iter()
        .filter_map(|item| of_item(item, before, after))
        .collect();
    let new = lines_of(after).filter(|(id, _)| {
        given(before, id).is_none() && issued.iter().all(|item| item.exercise != **id)
    });
    items.extend(new.map(|(id, _)| SheetLine::MayCome {
        exercise: id.clone(),
    }));
    let mut found = limits(before, after);
    found.extend(items);
    let rows = after.care.iter().filter(|row| !before.care.contains(row));
    found.extend(rows.cloned().map(SheetLine::AdviceBegins));
    let rows = before.care.iter().filter(|row| !after.care.contains(row));
    let stops = |line: &SheetLine| matches!(line, SheetLine::Begins(_));
    let stopped = found.iter().any(stops);
    found.extend(rows.cloned().map(|row| {
        if stopped || does_not_fit(after, &row) {
            SheetLine::AdviceBarred(row)
        } else {
            SheetLine::AdviceEnds(row)
        }
    }));
    found
}

/// Says whether advice is left out because it asks for what may not be done.
fn does_not_fit(program: &Program, row: &CareId) -> bool {
    let mut notices = program.notices.iter();
    notices.any(|notice| matches!(notice, Notice::AdviceLeftOut { advice, .. } if advice == row))
}

fn limits(before: &Program, after: &Program) -> Vec<SheetLine> {
    let begin = after.limits.iter();
    let begin = begin.filter(|limit| is_new(limit, after, before));
    let end = before.limits.iter();
    let end = end.filter(|limit| is_new(limit, before, after));
    let begin = begin.map(|limit| SheetLine::Begins(Box::new(limit.clone())));
    begin
        .chain(end.map(|limit| SheetLine::Ends(Box::new(limit.clone()))))
        .collect()
}

/// Says whether a limit of one program stops more than the other program does.
fn is_new(limit: &LimitInForce, own: &Program, other: &Program) -> bool {
    match &limit.rule {
        LimitRule::Motion { of, .. } => {
            let (own, other) = (own.stop(*of), other.stop(*of));
            own.is_some_and(|own| {
                let milder =
                    |other: Stop<'_>| other.degrees > own.degrees || other.stop_at > own.stop_at;
                own.set_by == limit && other.is_none_or(milder)
            })
        }
        LimitRule::Forbid(_) | LimitRule::AllOf(_) => {
            let mut others = other.limits.iter();
            others.all(|other| other.limit != limit.limit)
        }
    }
}

/// Lists the exercises and rows of a program with their doses.
fn lines_of(program: &Program) -> impl Iterator<Item = (&ExerciseId, &Dose)> {
    let all = program.items.iter().chain(&program.daily);
    let all = all.chain(&program.background);
    all.map(|item| (&item.exercise, &item.dose))
}

/// Finds the dose an exercise has, or is offered where it was not chosen.
fn given<'a>(program: &'a Program, id: &ExerciseId) -> Option<&'a Dose> {
    let chosen = lines_of(program).find(|(own, _)| *own == id);
    let offered = || left_out(program, id).and_then(|left| left.offered.as_ref());
    let offered = || offered().map(|Given { dose, .. }| dose);
    chosen.map(|(_, dose)| dose).or_else(offered)
}

fn left_out<'a>(program: &'a Program, id: &ExerciseId) -> Option<&'a LeftOut> {
    program.left_out.iter().find(|left| left.exercise == *id)
}

fn of_item(item: &IssuedItem, before: &Program, after: &Program) -> Option<SheetLine> {
    let id = &item.exercise;
    match (given(before, id), given(after, id)) {
        (old, None) => {
            let reason = &left_out(after, id)?.reason;
            let barred = |program| left_out(program, id).is_some_and(|left| left.reason.bars());
            let new = old.is_some() || (reason.bars() && !barred(before));
            new.then(|| SheetLine::Gone {
                exercise: id.clone(),
                reason: reason.clone(),
            })
        }
        (Some(old), Some(now)) => differs(&item.dose, old, now).then(|| SheetLine::Changed {
            exercise: id.clone(),
            from: Box::new(item.dose.clone()),
            to: Box::new(now.clone()),
        }),
        (None, Some(_)) => None,
    }
}
