//! A visit of what was typed, held against what is known of the person.
//!
//! Must not write. Next: `append` adds it.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use crate::domain::ids::{ConditionId, FlagId};
use crate::domain::procedure::RedFlag;
use crate::domain::record::{Patient, Record, Visit};
use crate::domain::recorded::Recorded;
use crate::domain::word::ScreenAnswer;
use crate::store::{Changes, NewVisit};

use super::append::corrected;
use super::args::VisitArgs;
use super::open::Opened;
use super::person;
use super::say;
use super::typed::Typed;

/// Makes a visit of what was typed, or none when a slip was noted.
pub fn new_visit(
    typed: &mut Typed,
    opened: &Opened,
    args: &VisitArgs,
    changes: Changes,
    corrects: Option<i64>,
) -> Option<NewVisit> {
    let date = args
        .date
        .unwrap_or_else(|| default_date(&opened.record, corrects));
    let day = opened.record.day(date);
    let flags = opened.library.procedure.red_flags.iter();
    let (asked, others): (Vec<&RedFlag>, Vec<&RedFlag>) = flags
        .filter(|flag| flag.window.holds(day))
        .partition(|flag| flag.concerns(conditions(opened, &changes)));
    let measured = person::measured(typed, args);
    if let (Recorded::Yes(lift), Recorded::Yes(lag)) = (measured.leg_lift, measured.lag)
        && let Some(slip) = person::lift_and_lag(&opened.library, lift, lag)
    {
        typed.slip(slip);
    }
    let touched = changes.0.frailty.is_recorded() || changes.0.conditions.is_recorded();
    if touched {
        check_frailty(typed, opened, &changes);
    }
    let by = args.by.as_ref().filter(|by| !by.trim().is_empty());
    if by.is_none() {
        typed.slip("--by is needed: who held the visit, such as PT-1".to_owned());
    }
    let by = by.and_then(|by| typed.line("by", by));
    let by = by.unwrap_or_default();
    let screen = person::screen(typed, args, &asked, &others);
    if let (Recorded::Yes(lift), Recorded::Yes(answers)) = (measured.leg_lift, &screen) {
        let denied = |flag: &FlagId| answers.get(flag) == Some(&ScreenAnswer::No);
        let earlier = since_operation(&opened.record, corrects);
        let odd = person::lost_but_denied(&opened.library, &earlier, lift, denied);
        if let Some(odd) = odd {
            typed.slip(odd);
        }
    }
    Some(NewVisit {
        n: i64::try_from(opened.record.visits.len())
            .ok()?
            .saturating_add(1),
        date,
        how: person::how(args),
        corrects,
        screen,
        cleared_for_home_by: typed
            .maybe_line("cleared-for-home-by", args.cleared_for_home_by.as_ref()),
        block_gone: typed.maybe_word("block-gone", args.block_gone.as_ref()),
        did: typed.maybe_word("did", args.did.as_ref()),
        measured,
        pain: person::pain(typed, args),
        swelling: typed.maybe_word("swelling", args.swelling.as_ref()),
        next_visit: person::next_visit(typed, args),
        changes,
        phase: person::phase(typed, args, &by),
        done: person::done(typed, args),
        adjust: Vec::new(),
        by,
    })
}

/// Lists the visits since the operation before one that is typed, latest first.
pub fn since_operation(record: &Record, corrects: Option<i64>) -> Vec<&Visit> {
    let mut visits = match corrected(record, corrects) {
        Some(wrong) => record.before(wrong),
        None => record.effective().into_iter().rev().collect(),
    };
    visits.retain(|visit| !record.day(visit.date).is_before_operation());
    visits
}

/// Returns the person as known so far.
fn known_so_far(record: &Record) -> &Patient {
    let known = record.effective().into_iter().next_back();
    known.map_or(&record.patient, |visit| &visit.patient)
}

/// Holds the frailty against the other illnesses: each as typed now, else as known so far.
fn check_frailty(typed: &mut Typed, opened: &Opened, changes: &Changes) {
    let frailty = match changes.0.frailty {
        Recorded::Yes(frailty) => Recorded::Yes(frailty),
        Recorded::NotRecorded => known_so_far(&opened.record).frailty,
    };
    let named = conditions(opened, changes);
    if let Some(slip) = person::frailty_unnamed(&opened.library, frailty, named) {
        typed.slip(slip);
    }
}

/// Returns the other illnesses as typed now, else as known so far.
fn conditions<'a>(opened: &'a Opened, changes: &'a Changes) -> Recorded<&'a BTreeSet<ConditionId>> {
    let known = known_so_far(&opened.record);
    let typed = &changes.0.conditions;
    if typed.is_recorded() {
        typed
    } else {
        &known.conditions
    }
    .as_ref()
}

/// A correction is of the day of the visit it corrects; a new visit is today.
fn default_date(record: &Record, corrects: Option<i64>) -> NaiveDate {
    match corrected(record, corrects) {
        Some(old) => {
            say::talk(&format!(
                "date of the visit: that of visit {}, {}",
                old.n, old.date
            ));
            old.date
        }
        None => say::today_said("date of the visit"),
    }
}
