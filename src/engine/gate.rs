//! Stage 1: may there be a program at all.
//!
//! Red flags come first and win over every question.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use crate::domain::ids::FlagId;
use crate::domain::procedure::RedFlag;
use crate::domain::record::Visit;
use crate::domain::verdict::{FlagRaised, FlagStood, RaisedBy, Withheld};
use crate::domain::word::{FlagEffect, Level, ScreenAnswer};

use super::case::Case;
use super::log::Log;
use super::orders;
use super::rules::{
    d103_days_covered, d104_screen_asked, d105_flag_raised, d106_flag_cleared, d107_flag_known,
    d108_flag_never_there, d109_conditions_asked, d110_weight_bearing_ordered, d111_fact_asked,
    d113_needed_orders,
};

/// Flags after the screen: raised ones soonest first, and those that stand assessed or known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Gate {
    pub(crate) raised: Vec<FlagRaised>,
    pub(crate) stood: Vec<FlagStood>,
}

/// What the screen says of one flag.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sign {
    /// Not there, or not asked on this day.
    Absent,
    /// Should have been asked.
    Unasked,
    /// There, and nobody has assessed it since.
    Raised(RaisedBy),
    /// The one that was assessed, unchanged.
    Cleared,
    /// Old and unchanged.
    Known,
    /// What it says was lost was never there.
    NeverThere,
}

/// Reads one flag off the screen.
pub(crate) fn sign(case: &Case<'_>, flag: &RedFlag) -> Sign {
    match case.visit.screened(&flag.id) {
        None if is_asked(case, flag) => Sign::Unasked,
        None | Some(ScreenAnswer::No) => match still_open(case, flag) {
            Some(since) => Sign::Raised(RaisedBy::NotAssessedSince(since)),
            None => Sign::Absent,
        },
        Some(ScreenAnswer::Known) => known(case, flag),
        Some(ScreenAnswer::Yes) if d108_flag_never_there::applies(case, flag) => Sign::NeverThere,
        Some(ScreenAnswer::Yes) if was_let_stand(case, flag) => Sign::Cleared,
        Some(ScreenAnswer::Yes) => Sign::Raised(match orders::clearance(case, &flag.id) {
            Some(clear) => RaisedBy::NewSince(clear.on),
            None => RaisedBy::Yes,
        }),
    }
}

/// Says whether a yes was the assessed sign: a record of an earlier version says so, in which a
/// program went out under an assessment that counted.
pub(super) fn was_let_stand(case: &Case<'_>, flag: &RedFlag) -> bool {
    flag.effect == FlagEffect::Withhold
        && had_program(case.visit)
        && d106_flag_cleared::assessed(case, flag).is_some()
}

/// Says whether a sheet with exercises went out for a visit, so that no sign withheld them.
fn had_program(visit: &Visit) -> bool {
    let mut issued = visit.issued.iter();
    issued.any(|issued| issued.phase.is_some())
}

/// Reads "known": the assessed or old sign, unchanged. One that withholds needs an assessment that
/// counts and that no newer sign came after.
fn known(case: &Case<'_>, flag: &RedFlag) -> Sign {
    if let Some(since) = still_open(case, flag) {
        return Sign::Raised(RaisedBy::NotAssessedSince(since));
    }
    if d106_flag_cleared::assessed(case, flag).is_some() {
        return Sign::Cleared;
    }
    let over = orders::longest_assessment(case, &flag.id);
    let over = over.map(|clear| orders::counts_until(case, clear));
    match (flag.effect, over) {
        (FlagEffect::Restrict | FlagEffect::Tell, _) => Sign::Known,
        (FlagEffect::Withhold, Some(until)) => Sign::Raised(RaisedBy::AssessmentOver(until)),
        (FlagEffect::Withhold, None) => Sign::Raised(RaisedBy::NeverAssessed),
    }
}

/// Says whether a flag without an answer must be asked: on its days, of those whom it is for.
///
/// A closed visit was held by the screen of its own time; a sign that came into the library since is
/// asked at the next one.
fn is_asked(case: &Case<'_>, flag: &RedFlag) -> bool {
    let closed = !case.visit.is_open() && case.visit.screen.is_recorded();
    !closed && flag.window.holds(case.day) && flag.concerns(case.patient().conditions.as_ref())
}

/// Finds the day on which the flag withheld a program when nobody has assessed it since.
///
/// The screen asks what is new or worse; an unchanged sign that nobody looked at is neither.
/// A sign stays one whichever side was typed, and an operation clears none, so visits of the wrong
/// side and from before the operation are looked up too.
fn still_open(case: &Case<'_>, flag: &RedFlag) -> Option<NaiveDate> {
    if flag.effect != FlagEffect::Withhold {
        return None;
    }
    let said_yes = |visit: &&&Visit| visit.screened(&flag.id) == Some(ScreenAnswer::Yes);
    let mut earlier = case
        .history
        .iter()
        .chain(&case.other_side)
        .chain(&case.before_operation);
    let then = earlier.find(said_yes)?;
    let assessed = case.record.assessed_after(&flag.id, then, case.known);
    (!had_program(then) && !assessed).then_some(then.date)
}

/// Reads the screen and asks what must be known before any program.
pub(crate) fn check(case: &Case<'_>, log: &mut Log) -> Gate {
    let gate = screen(case, log);
    d103_days_covered::ask(case, log);
    d104_screen_asked::ask(case, log);
    d109_conditions_asked::ask(case, log);
    d110_weight_bearing_ordered::ask(case, log);
    d113_needed_orders::ask(case, log);
    d111_fact_asked::ask(case, log);
    gate
}

fn screen(case: &Case<'_>, log: &mut Log) -> Gate {
    let mut gate = Gate {
        raised: Vec::new(),
        stood: Vec::new(),
    };
    for flag in &case.procedure().red_flags {
        match sign(case, flag) {
            Sign::Absent | Sign::Unasked => {}
            Sign::Raised(why) => gate.raised.push(d105_flag_raised::raise(flag, why, log)),
            Sign::Cleared => gate.stood.extend(d106_flag_cleared::stand(case, flag, log)),
            Sign::Known => gate.stood.push(d107_flag_known::stand(flag, log)),
            Sign::NeverThere => d108_flag_never_there::note(flag, log),
        }
    }
    gate.raised.sort_by_key(|flag| flag.level);
    gate
}

impl Gate {
    /// Returns the raised flags, which narrow the program: those that only tell somebody bring no
    /// limit, and nothing new or harder comes under them either.
    pub(crate) fn narrowed_by(&self) -> BTreeSet<FlagId> {
        self.raised.iter().map(|flag| flag.flag.clone()).collect()
    }

    /// Returns the refusal when any raised flag withholds the program.
    pub(crate) fn withheld(&self, case: &Case<'_>) -> Option<Withheld> {
        let withholds = |flag: &&FlagRaised| flag.effect == FlagEffect::Withhold;
        self.raised.iter().find(withholds)?;
        let first = self.raised.iter().filter(withholds);
        let rest = self.raised.iter().filter(|flag| !withholds(flag));
        let level = self.raised.iter().map(|flag| flag.level).min();
        Some(Withheld {
            date: crate::domain::time::VisitDate(case.date),
            day: case.day,
            how: case.visit.how,
            level: level.unwrap_or(Level::Emergency),
            flags: first.chain(rest).cloned().collect(),
            stood: self.stood.clone(),
        })
    }
}
