//! Stage 10: the dated rungs that may follow on the same sheet.
//!
//! Must not open a rung by date alone: the page prints the plain condition beside each.

use chrono::NaiveDate;

use crate::domain::exercise::Rung;
use crate::domain::quantity::Quantity;
use crate::domain::verdict::{Given, NextRung};
use crate::domain::word::YesNo;

use super::dates::later;
use super::dose::{Dosing, FINISH, Working};
use super::judge::{Judged, judge};
use super::log::Log;
use super::plan::Planned;
use super::rules::{d409_taught, d1001_next_rungs, d1002_loaded_ahead};

/// Lists the rungs that may follow one line.
pub(crate) fn next(line: &Planned<'_>, log: &mut Log) -> Vec<NextRung> {
    let dosing = &line.dosed.dosing;
    let mut found = Vec::new();
    let Some(at) = dosing.at(&line.dosed.given) else {
        return found;
    };
    d1001_next_rungs::note(dosing, log);
    if !d1001_next_rungs::applies(dosing) {
        return found;
    }
    let mut before = line.dosed.given.clone();
    let mut from = dosing.case.date;
    for rung in at.saturating_add(1)..dosing.ladder.rungs.len() {
        let Some(one) = step(dosing, at, rung, from, &before, log) else {
            break;
        };
        if d1001_next_rungs::enough(dosing, at, found.len()) {
            break;
        }
        from = one.from;
        before = Given {
            rung: one.rung.clone(),
            dose: one.dose.clone(),
        };
        log.fire(&d1001_next_rungs::RULE);
        found.push(one);
    }
    found
}

/// Returns one rung further, when it may be given on its day.
fn step(
    dosing: &Dosing<'_>,
    at: usize,
    index: usize,
    from: NaiveDate,
    before: &Given,
    log: &mut Log,
) -> Option<NextRung> {
    let rung = dosing.exercise().rungs.get(index)?;
    let from = later(from, d1001_next_rungs::wait(dosing, at, index));
    let taught = rung.taught == YesNo::No
        || d409_taught::given_before(dosing.case, dosing.exercise(), index);
    let open = from <= dosing.case.life.until
        && dosing.bar(index).is_none()
        && holds_on(dosing, rung, from)
        && taught
        && d1002_loaded_ahead::allows(dosing, at, index, log);
    if !open {
        return None;
    }
    let mut working = Working::from(dosing.given(index)?);
    let mut aside = Log::new();
    working.run(FINISH, dosing, &mut aside);
    let given = working.given?;
    (given.dose != before.dose).then_some(NextRung {
        from,
        rung: given.rung,
        dose: given.dose,
        lever: rung.lever?,
    })
}

/// Says whether a rung's entry tests will hold on a date, by what is known now.
pub(crate) fn holds_on(dosing: &Dosing<'_>, rung: &Rung, date: NaiveDate) -> bool {
    let day = dosing.case.day_of(date);
    rung.entry
        .iter()
        .all(|test| match judge(dosing.case, test, day) {
            Judged::Passes | Judged::PassesBlank | Judged::PassesFirst | Judged::PassesUsual(_) => {
                true
            }
            Judged::Fails(_) | Judged::FailsUsual(_) => false,
        })
}

/// Says whether a rung is loaded work.
pub(crate) fn loaded(dosing: &Dosing<'_>, at: usize) -> bool {
    let rung = dosing.exercise().rungs.get(at);
    rung.is_some_and(|rung| rung.loaded == YesNo::Yes)
}

/// Returns a plain count from a number of rungs.
pub(crate) fn rungs(days: crate::domain::quantity::Days) -> usize {
    usize::try_from(days.get()).unwrap_or(0)
}
