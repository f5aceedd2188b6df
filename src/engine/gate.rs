//! Stage 1: may there be a program at all.
//!
//! Red flags come first and win over every question.

use crate::domain::procedure::RedFlag;
use crate::domain::record::{Clearance, Visit};
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{FlagRaised, FlagStood, Withheld};
use crate::domain::word::{FlagEffect, Level, ScreenAnswer};

use super::case::Case;
use super::log::Log;
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
    /// There, and nobody has assessed it.
    Raised,
    /// There, and assessed.
    Cleared,
    /// Old and unchanged.
    Known,
    /// What it says was lost was never there.
    NeverThere,
}

/// Reads one flag off the screen.
pub(crate) fn sign(case: &Case<'_>, flag: &RedFlag) -> Sign {
    let answer = match &case.visit.screen {
        Recorded::Yes(screen) => screen.get(&flag.id).copied(),
        Recorded::NotRecorded => None,
    };
    match answer {
        None if flag.window.holds(case.day) => Sign::Unasked,
        None | Some(ScreenAnswer::No) if withholds(flag) && still_open(case, flag) => Sign::Raised,
        None | Some(ScreenAnswer::No) => Sign::Absent,
        Some(ScreenAnswer::Known) if withholds(flag) && !ever_assessed(case, flag) => Sign::Raised,
        Some(ScreenAnswer::Known) => Sign::Known,
        Some(ScreenAnswer::Yes) if d106_flag_cleared::assessed(case, flag).is_some() => {
            Sign::Cleared
        }
        Some(ScreenAnswer::Yes) if d108_flag_never_there::applies(case, flag) => Sign::NeverThere,
        Some(ScreenAnswer::Yes) => Sign::Raised,
    }
}

fn withholds(flag: &RedFlag) -> bool {
    flag.effect == FlagEffect::Withhold
}

/// Says whether anybody has ever assessed the flag: "known" needs a name behind it.
fn ever_assessed(case: &Case<'_>, flag: &RedFlag) -> bool {
    let clearances = &case.record.clearances;
    clearances
        .iter()
        .any(|clear| clear.flag == flag.id && clear.on <= case.known)
}

/// Says whether the flag withheld a program before and nobody has assessed it since.
///
/// The screen asks what is new or worse; an unchanged sign that nobody looked at is neither.
/// A sign stays one whichever side was typed, and an operation clears none, so visits of the wrong
/// side and from before the operation are looked up too.
fn still_open(case: &Case<'_>, flag: &RedFlag) -> bool {
    let said_yes = |visit: &&&Visit| match &visit.screen {
        Recorded::Yes(screen) => screen.get(&flag.id) == Some(&ScreenAnswer::Yes),
        Recorded::NotRecorded => false,
    };
    let mut earlier = case
        .history
        .iter()
        .chain(&case.other_side)
        .chain(&case.before_operation);
    let Some(then) = earlier.find(said_yes) else {
        return false;
    };
    let withheld = then
        .issued
        .as_ref()
        .is_none_or(|issued| issued.phase.is_none());
    let since = |clear: &Clearance| {
        clear.flag == flag.id && clear.on >= then.date && clear.on <= case.known
    };
    withheld && !case.record.clearances.iter().any(since)
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
            Sign::Raised => gate.raised.push(d105_flag_raised::raise(flag, log)),
            Sign::Cleared => gate.stood.extend(d106_flag_cleared::stand(case, flag, log)),
            Sign::Known => gate.stood.push(d107_flag_known::stand(flag, log)),
            Sign::NeverThere => d108_flag_never_there::note(flag, log),
        }
    }
    gate.raised.sort_by_key(|flag| flag.level);
    gate
}

impl Gate {
    /// Says whether a raised flag narrows the program.
    pub(crate) fn narrows(&self) -> bool {
        self.raised
            .iter()
            .any(|flag| flag.effect == FlagEffect::Restrict)
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
