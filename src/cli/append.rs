//! Appends to a record: a visit, an order, an assessed flag.
//!
//! The record as it would become is read like any other file before a byte is written.

use std::path::Path;
use std::process::ExitCode;

use chrono::{Days, NaiveDate};

use crate::domain::correction::PutRight;
use crate::domain::ids::{FlagId, Id, LimitId, OrderKind};
use crate::domain::library::Library;
use crate::domain::order_kind::{FLEXION_CAP, LIFTED, NOT_ORDERED, WEIGHT_BEARING};
use crate::domain::quantity::{Degrees, Quantity};
use crate::domain::record::{Adjust, Clearance, LimitOverride, OrderValue, Record, Until, Visit};
use crate::domain::recorded::Recorded;
use crate::domain::word::{AdjustAction, How, ScreenAnswer, WeightBearing, Word, YesNo};
use crate::files::record::NewCap;
use crate::store::{
    Block, Changes, NewOrder, NewVisit, append as append_block, clear_block, closed_visit_block,
    compose, next_order_id, order_block, override_block, visit_block,
};

use super::args::{ClearArgs, OrderArgs, OverrideArgs, VisitCommand};
use super::assess;
use super::at_home;
use super::error::CliError;
use super::keep;
use super::new_visit::{new_visit, since_operation};
use super::open::{Opened, open, read_as_it_would_be};
use super::person;
use super::say;
use super::typed::Typed;

/// Adds a visit, or gives one again that was typed wrongly.
pub fn visit(args: &VisitCommand, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    let opened = open(&args.record, clinic)?;
    refuse_open_visit(&opened.record, args.corrects)?;
    let new = prepare(args, &opened)?;
    let old = corrected(&opened.record, args.corrects);
    let later = old.map_or(Vec::new(), |old| opened.record.after(old));
    let record = write(&opened, &block_of(&opened.record, &new))?;
    let added = format!(
        "{}: visit {} of {} added",
        say::shown(&args.record),
        new.n,
        new.date
    );
    match old {
        Some(old) if later.is_empty() => say::talk(&format!(
            "{added} in the place of visit {}; it is open until a handout is issued for it",
            old.n
        )),
        Some(old) => say_late(&added, old, &later),
        None => say::talk(&format!(
            "{added}; it is open until a handout is issued for it"
        )),
    }
    say::if_ahead("the visit", new.date);
    let right = record.visits.iter().find(|visit| visit.n == new.n);
    if let Some(Recorded::Yes(screen)) = right.map(|visit| &visit.screen) {
        let earlier = since_operation(&opened.record, args.corrects);
        let answered = |flag: &FlagId| screen.get(flag).copied().unwrap_or(ScreenAnswer::No);
        for line in assess::gone_unassessed(&opened.library, &record, &earlier, answered) {
            say::talk(&line);
        }
    }
    if let (Some(old), Some(right)) = (old, right) {
        at_home::say_put_right(&opened, &record, old.n, right);
    }
    let called = record.visits.iter().find(|visit| visit.n == new.n);
    if let Some(call) = called.filter(|visit| visit.how == How::Phone && visit.is_open()) {
        for line in keep::offered(&opened.library, &record, call) {
            say::talk(&line);
        }
    }
    Ok(ExitCode::SUCCESS)
}

/// Makes the visit of what was typed; tells every slip at once.
pub fn prepare(args: &VisitCommand, opened: &Opened) -> Result<NewVisit, CliError> {
    let mut typed = Typed::new();
    let changes = Changes(person::patient(&mut typed, &args.patient));
    let keep = typed.maybe_word::<YesNo>("keep-changes", args.keep_changes.as_ref());
    let new = new_visit(&mut typed, opened, &args.visit, changes, args.corrects);
    typed.finish()?;
    let Some(mut new) = new else {
        return Err(CliError::Usage("the visit has no `--by`".to_owned()));
    };
    if keep.known() == Some(YesNo::Yes) {
        new.adjust = kept(&opened.record, &new);
    }
    Ok(new)
}

/// Renews the changes of the last sheet, in the name of whoever keeps them.
///
/// A call that left that sheet at home made none.
fn kept(record: &Record, new: &NewVisit) -> Vec<Adjust> {
    let last = match corrected(record, new.corrects) {
        Some(wrong) => record.before(wrong),
        None => record.effective().into_iter().rev().collect(),
    };
    let last = last.into_iter().find(|visit| visit.kept.is_none());
    // A change made for the other leg is none for this one.
    let last = last.filter(|visit| {
        let mut put_right = record.voided_by(visit);
        !put_right.any(|correction| matches!(correction.what, PutRight::Side { .. }))
    });
    let changes = last.into_iter().flat_map(|visit| &visit.adjust);
    changes
        .filter(|change| change.action != AdjustAction::AsDecided)
        .map(|change| Adjust {
            by: new.by.clone(),
            ..change.clone()
        })
        .collect()
}

/// Makes the block of a visit: a correction with later visits after it closes at once.
pub fn block_of(record: &Record, new: &NewVisit) -> Block {
    let late = corrected(record, new.corrects).is_some_and(|old| !record.after(old).is_empty());
    if late {
        closed_visit_block(new)
    } else {
        visit_block(new)
    }
}

/// Says that no sheet goes out for a late correction, and which sheets hang on the old value.
fn say_late(added: &str, old: &Visit, later: &[&Visit]) {
    say::talk(&format!(
        "{added} in the place of visit {} and closed: no sheet goes out for it",
        old.n
    ));
    for visit in later {
        if let Some(issued) = &visit.issued {
            say::talk(&format!(
                "sheet {} (visit {} of {}) was decided with what visit {} said",
                issued.sheet, visit.n, visit.date, old.n
            ));
        }
    }
    if let Some(last) = later.last() {
        say::talk(&format!(
            "if that matters now: give visit {} again with `visit --corrects {}`, or add a new \
             visit; `explain` says what differs",
            last.n, last.n
        ));
    }
}

/// Finds the visit that is given again.
pub fn corrected(record: &Record, corrects: Option<i64>) -> Option<&Visit> {
    record
        .visits
        .iter()
        .find(|visit| Some(visit.n) == corrects && !record.is_corrected(visit))
}

/// Adds a surgeon's order.
pub fn order(args: &OrderArgs, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    let opened = open(&args.record, clinic)?;
    let mut typed = Typed::new();
    let what: Option<OrderKind> = typed.id("what", &args.what);
    let value = order_value(&mut typed, &args.what, args.value.as_deref());
    let until = until(&mut typed, args.until.as_deref());
    let by = typed.line("by", &args.by);
    let document = typed.line("document", &args.document);
    typed.finish()?;
    let (Some(what), Some(value), Some(by), Some(document)) = (what, value, by, document) else {
        return Err(CliError::Usage("the order was not understood".to_owned()));
    };
    let on = args
        .on
        .unwrap_or_else(|| say::today_said("date of the order"));
    if let Some(from) = args.from.filter(|from| *from < on) {
        return Err(CliError::Typed(vec![format!(
            "--from {from} lies before --on {on}: an order counts from the day it was given at \
             the earliest. Leave --from out, or give the day of the letter with --on"
        )]));
    }
    let new = NewOrder {
        id: next_order_id(&opened.text()).map_err(|fault| CliError::Usage(fault.to_string()))?,
        what,
        value,
        by,
        on,
        from: args.from,
        document,
        until,
        replaces: args.replaces.clone(),
    };
    let record = write(&opened, &order_block(&new))?;
    say::talk(&format!(
        "{}: order {} added",
        say::shown(&args.record),
        new.id
    ));
    say::if_ahead("the order", on);
    at_home::say_order(&opened, &record, &new.id);
    Ok(ExitCode::SUCCESS)
}

/// Adds an assessed red flag.
pub fn clear(args: &ClearArgs, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    let opened = open(&args.record, clinic)?;
    let mut typed = Typed::new();
    let known: Vec<&str> = opened
        .library
        .procedure
        .red_flags
        .iter()
        .map(|flag| flag.id.as_str())
        .collect();
    if !known.contains(&args.flag.as_str()) {
        typed.unknown("flag", &args.flag, &known);
    }
    let flag: Option<FlagId> = typed.id("flag", &args.flag);
    let by = typed.line("by", &args.by);
    typed.finish()?;
    let (Some(flag), Some(by)) = (flag, by) else {
        return Err(CliError::Usage("the flag was not understood".to_owned()));
    };
    let on = args
        .on
        .unwrap_or_else(|| say::today_said("date of the assessment"));
    let counts = opened.library.procedure.settings.bounds.clearance_days;
    let days = u64::try_from(counts.get()).unwrap_or_default();
    let until = args.until.or_else(|| on.checked_add_days(Days::new(days)));
    let Some(until) = until else {
        return Err(CliError::Usage("that date has no end".to_owned()));
    };
    let path = say::shown(&args.record);
    let refused: Vec<String> = assess::not_raised(&opened.record, &flag, on, &path)
        .into_iter()
        .chain(assess::too_long(&opened.library, on, until))
        .collect();
    if !refused.is_empty() {
        return Err(CliError::Typed(refused));
    }
    let clearance = Clearance {
        flag,
        by,
        on,
        until,
        visits: i64::try_from(opened.record.visits.len()).unwrap_or(i64::MAX),
    };
    let record = write(&opened, &clear_block(&clearance))?;
    say::talk(&format!(
        "{path}: {} counts as assessed until {until}",
        args.flag
    ));
    say::if_ahead("the assessment", on);
    for line in assess::answered_from_now_on(&opened.record, &clearance.flag, &path) {
        say::talk(&line);
    }
    at_home::say_new(&opened, &record, on);
    Ok(ExitCode::SUCCESS)
}

/// Sets a limit aside.
pub fn set_aside(args: &OverrideArgs, clinic: Option<&Path>) -> Result<ExitCode, CliError> {
    let opened = open(&args.record, clinic)?;
    let mut typed = Typed::new();
    let limits = opened.library.procedure.limits.iter();
    let known: Vec<&str> = limits.map(|limit| limit.id.as_str()).collect();
    if !known.contains(&args.limit.as_str()) {
        typed.unknown("limit", &args.limit, &known);
    }
    let limit: Option<LimitId> = typed.id("limit", &args.limit);
    if let Some(by_a_test) = ends_by_a_test(&opened.library, limit.as_ref()) {
        typed.slip(by_a_test);
    }
    let by = typed.line("by", &args.by);
    let because = typed.line("because", &args.because);
    typed.finish()?;
    let (Some(limit), Some(by), Some(because)) = (limit, by, because) else {
        return Err(CliError::Usage(
            "the override was not understood".to_owned(),
        ));
    };
    let on = args
        .on
        .unwrap_or_else(|| say::today_said("date of the override"));
    let said = LimitOverride {
        limit,
        by,
        on,
        because,
        until: args.until,
    };
    let record = write(&opened, &override_block(&said))?;
    say::talk(&format!(
        "{}: limit {} is set aside until {}",
        say::shown(&args.record),
        said.limit,
        said.until
    ));
    say::if_ahead("the override", said.on);
    at_home::say_new(&opened, &record, said.on);
    Ok(ExitCode::SUCCESS)
}

/// Reads the record as it would be, then appends the block; returns the record as it is now.
pub fn write(opened: &Opened, block: &Block) -> Result<Record, CliError> {
    let bytes =
        compose(&opened.bytes, block).map_err(|fault| CliError::Usage(fault.to_string()))?;
    let record = read_as_it_would_be(opened, &bytes)?;
    append_block(&opened.path, &opened.bytes, block)?;
    Ok(record)
}

/// Only its own correction may follow an open visit.
pub fn refuse_open_visit(record: &Record, corrects: Option<i64>) -> Result<(), CliError> {
    match record.open_visit() {
        Some(visit) if corrects != Some(visit.n) => Err(CliError::Usage(format!(
            "visit {} of {} is still open: issue its handout first, or give it again with \
             `visit --corrects {}`",
            visit.n, visit.date, visit.n
        ))),
        Some(_) | None => Ok(()),
    }
}

/// Takes the value of an order of one kind.
pub fn order_value(typed: &mut Typed, what: &str, value: Option<&str>) -> Option<OrderValue> {
    match (what, value) {
        (kind, Some(NOT_ORDERED | LIFTED)) if kind != WEIGHT_BEARING => {
            Some(OrderValue::NotOrdered)
        }
        (WEIGHT_BEARING, Some(text)) => typed
            .word::<WeightBearing>("value", text)
            .known()
            .map(OrderValue::WeightBearing),
        (WEIGHT_BEARING, None) => {
            let known: Vec<&str> = WeightBearing::ALL
                .iter()
                .map(|word| word.as_str())
                .collect();
            typed.slip(format!(
                "weight-bearing needs its value: {}",
                known.join(", ")
            ));
            None
        }
        (FLEXION_CAP, Some(text)) => {
            let Ok(number) = text.parse::<i64>() else {
                typed.slip(format!("flexion-cap takes whole degrees, not `{text}`"));
                return None;
            };
            let [least, most] = NewCap::ENDS;
            if !(least..=most).contains(&number) {
                typed.slip(format!(
                    "flexion-cap is from {least} to {most} degrees, not {number}: for a leg kept \
                     straight it is brace-locked"
                ));
                return None;
            }
            let degrees: Recorded<Degrees> = typed.number("value", Some(number));
            degrees.known().map(OrderValue::Degrees)
        }
        (FLEXION_CAP, None) => {
            let [least, most] = NewCap::ENDS;
            typed.slip(format!(
                "flexion-cap needs its degrees, {least} to {most}, or {LIFTED}"
            ));
            None
        }
        (_, Some(text)) => {
            typed.slip(format!(
                "{what} takes no value but {LIFTED}, and `{text}` was given"
            ));
            None
        }
        (_, None) => Some(OrderValue::Stands),
    }
}

/// Takes the end of an order: a date, `asked`, or none.
pub fn until(typed: &mut Typed, text: Option<&str>) -> Until {
    match text {
        None => Until::Open,
        Some("asked") => Until::Asked,
        Some(text) => {
            if let Ok(date) = text.parse::<NaiveDate>() {
                return Until::Date(date);
            }
            typed.slip(format!(
                "--until takes a date such as 2026-03-29, or `asked`, not `{text}`"
            ));
            Until::Open
        }
    }
}

/// Says what ends a limit that asks the clinician to test something: nobody sets it aside untested.
fn ends_by_a_test(library: &Library, limit: Option<&LimitId>) -> Option<String> {
    let mut limits = library.procedure.limits.iter();
    let known = limits.find(|known| Some(&known.id) == limit)?;
    let act = known.act.as_ref()?;
    Some(format!(
        "the limit {} is not set aside, it ends by a test: {act}. Write what was found at a visit",
        known.id
    ))
}
