//! What asks for somebody, in one or two sentences: the fact, then what to do.
//!
//! Must not name a command; `command` does.

use chrono::NaiveDate;

use super::days;
use crate::domain::correction::{Correction, PutRight};
use crate::domain::due::{OrderState, SheetState, Warning};
use crate::domain::ids::FlagId;
use crate::domain::overtaken::{Overtaken, SheetLine};
use crate::domain::procedure::ReviewLine;
use crate::domain::verdict::ReviewDue;
use crate::domain::word::ReviewTell;
use crate::handout::explain::trade;

/// Says one warning and what to do about it.
pub fn say(warning: &Warning) -> String {
    match warning {
        Warning::Withheld {
            since,
            flags,
            still,
        } => withheld(*since, flags, *still),
        Warning::Void { sheet, corrections } => void(*sheet, corrections),
        Warning::Overtaken(new) => newer(new),
        Warning::Restricted { since, flags } => restricted(*since, flags),
        Warning::SameToken { also, more } => same_token(also, *more),
        Warning::NotInRecord { sheet } => format!(
            "Sheet {sheet} is here but not in the record: a crash, or an older copy. Find out \
             which sheet is at home before the next one goes out."
        ),
        Warning::NeverSeen => "No visit is in the record. Add the first one.".to_owned(),
        Warning::VisitOpen { date, questions } => open(*date, *questions),
        Warning::VisitOvertaken { date, .. } => overtaken(*date),
        Warning::ScreenUnanswered { flags } => unanswered(flags),
        Warning::NextVisitPast { on, days: late } => format!(
            "The next visit was to be on {on}, {} ago. Ring the patient; add the visit when it \
             is held.",
            days(*late)
        ),
        Warning::PhoneCheck {
            from,
            until,
            overdue,
        } => phone_check(*from, *until, *overdue),
        Warning::Sheet { sheet, state } => format!("Sheet {sheet} {}", sheet_state(*state)),
        Warning::Order { what, state } => format!("The order {what} {}", order_state(*state)),
        Warning::Clearance { flag, until, days } => clearance(flag, *until, *days),
        Warning::Review { on, due } => review(*on, due),
        Warning::BeyondLibrary { last_day } => format!(
            "The library ends at day {}: it makes no new sheet for this patient.",
            last_day.get()
        ),
    }
}

fn same_token(also: &[String], more: usize) -> String {
    let others = match more {
        0 => String::new(),
        1 => " and in one more file".to_owned(),
        n => format!(" and in {n} more files"),
    };
    let two = if also.len().saturating_add(more) == 1 {
        "two"
    } else {
        "several"
    };
    format!(
        "The same token stands in {}{others}. One person, {two} files: find out which one \
         counts, or give one another token.",
        also.join(", ")
    )
}

fn listed(flags: &[FlagId]) -> String {
    let names: Vec<String> = flags.iter().map(ToString::to_string).collect();
    names.join(", ")
}

/// Says how many days are left; 0 is today.
fn left(number: i64) -> String {
    match number {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        many => format!("in {}", days(many)),
    }
}

fn withheld(since: NaiveDate, flags: &[FlagId], still: Option<i64>) -> String {
    if flags.is_empty() {
        return format!(
            "No exercises since {since}, and no red flag waits to be assessed. See the patient \
             and make a new sheet."
        );
    }
    let flags = listed(flags);
    match still {
        None => format!(
            "No exercises since {since}: {flags} not yet assessed. Find out what was found, and \
             enter who assessed it."
        ),
        Some(sheet) => format!(
            "No exercises may be done since {since}: {flags} not yet assessed, and sheet {sheet} \
             with exercises is still at home. Ring the patient today, tell them to stop, and \
             enter who assessed it."
        ),
    }
}

fn void(sheet: i64, corrections: &[Correction]) -> String {
    let why: Vec<String> = corrections.iter().map(put_right).collect();
    format!(
        "Sheet {sheet} is void and still at home: {}. Ring the patient today: they must not use \
         it. See them, and make a new sheet.",
        why.join("; ")
    )
}

/// Says what is new against the sheet; `order` names each line of it in full.
fn newer(new: &Overtaken) -> String {
    let sheet = new.sheet;
    let lines: Vec<String> = new.lines.iter().map(in_short).collect();
    let lines = lines.join(", ");
    if new.is_stricter() {
        format!(
            "Sheet {sheet} at home does not hold to what was written since: {lines}. Ring the \
             patient today, tell them what no longer holds, and make a new sheet."
        )
    } else {
        format!(
            "Sheet {sheet} at home does not have what was written since: {lines}. Make a new \
             sheet."
        )
    }
}

fn in_short(line: &SheetLine) -> String {
    match line {
        SheetLine::NoExercises(flags) => format!("no exercises ({})", listed(flags)),
        SheetLine::MayExercise => "exercises no longer held back".to_owned(),
        SheetLine::Asks => "something to be answered first".to_owned(),
        SheetLine::Begins(limit) => format!("new limit {}", limit.limit),
        SheetLine::Ends(limit) => format!("no limit {} any more", limit.limit),
        SheetLine::Gone { exercise, .. } => format!("no {exercise}"),
        SheetLine::Changed { exercise, .. } => format!("{exercise} changed"),
        SheetLine::MayCome { exercise } => format!("{exercise} may come"),
        SheetLine::AdviceBegins(row) => format!("new advice {row}"),
        SheetLine::AdviceEnds(row) => format!("no advice {row} any more"),
        SheetLine::AdviceBarred(row) => format!("advice {row} barred"),
    }
}

fn put_right(correction: &Correction) -> String {
    let what = match correction.what {
        PutRight::Side { was, now } => format!("the side is {now}, not {was}"),
        PutRight::Operation { was, now } => {
            format!("the operation was on {}, not on {}", now.0, was.0)
        }
        PutRight::Moved { was, now } => {
            format!("the operation was moved from {} to {}", was.0, now.0)
        }
    };
    format!(
        "{what} (\"{}\", {}, {})",
        correction.because, correction.by, correction.on
    )
}

fn open(date: NaiveDate, questions: usize) -> String {
    let held = format!("The visit of {date} is open: no sheet went out.");
    match questions {
        0 => format!("{held} Issue it."),
        1 => format!("{held} One question must be answered first."),
        many => format!("{held} {many} questions must be answered first."),
    }
}

fn restricted(since: NaiveDate, flags: &[FlagId]) -> String {
    format!(
        "More than one red flag narrows the program since {since}: {}. Have each assessed, and \
         enter what was found.",
        listed(flags)
    )
}

fn overtaken(date: NaiveDate) -> String {
    format!(
        "The visit of {date} is open and was entered before the record was put right: no sheet \
         can go out for it. Give it again."
    )
}

fn unanswered(flags: &[FlagId]) -> String {
    format!(
        "Nobody asked about these red flags at the open visit: {}. Ask the patient now, and write \
         the answers into the visit.",
        listed(flags)
    )
}

fn phone_check(from: NaiveDate, until: NaiveDate, overdue: i64) -> String {
    let state = if overdue == 0 {
        "is due".to_owned()
    } else {
        format!("is overdue by {}", days(overdue))
    };
    format!(
        "The phone check of the first days at home {state}: {from} to {until}. Ring the \
         patient, ask the red flags, and add the call as a visit."
    )
}

fn sheet_state(state: SheetState) -> String {
    match state {
        SheetState::Ends { until, days } => format!(
            "is for use until {until}, {}. Make the next one at a visit.",
            left(days)
        ),
        SheetState::Slips { ended, until } => format!(
            "ended on {ended}. The same dose may go on until {until}, no further: see the \
             patient before then."
        ),
        SheetState::Over { ended, days: past } => format!(
            "stood until {ended}, {} ago: the patient has no program. Ring the patient, and \
             see them.",
            days(past)
        ),
    }
}

fn order_state(state: OrderState) -> String {
    match state {
        OrderState::Asked { on } => format!(
            "of {on} has no end: the surgeon was asked. Ask again, and enter the order with its \
             last day."
        ),
        OrderState::Ends { until, days } => format!(
            "ends on {until}, {}. Ask the surgeon whether it goes on; if it does, enter it anew.",
            left(days)
        ),
        OrderState::Ended { until, sheet } => format!(
            "ended on {until}, and sheet {sheet} still holds to it. Make a new sheet at a visit."
        ),
    }
}

fn clearance(flag: &FlagId, until: NaiveDate, days: i64) -> String {
    if days < 0 {
        return format!(
            "The assessment of {flag} counted until {until}. Sign still there? Have it assessed \
             again."
        );
    }
    format!(
        "The assessment of {flag} counts until {until}, {}. Sign still there? Have it assessed \
         again before then.",
        left(days)
    )
}

fn review(on: NaiveDate, due: &ReviewDue) -> String {
    let tell = match due.tell {
        ReviewTell::Review => "Review it.",
        ReviewTell::SeeWithinAWeek => "See the patient again within a week of it.",
        ReviewTell::Team => "Tell the team.",
        ReviewTell::SurgeonThisWeek => "Tell the surgeon in the week of it.",
        ReviewTell::WithinTwoDays => "A clinician looks within 2 days of it.",
    };
    let number = |value| trade::number(due.fact, value);
    let line = match due.line {
        ReviewLine::Below(line) => format!("below {}", number(line)),
        ReviewLine::Above(line) => format!("above {}", number(line)),
        ReviewLine::NoGain { .. } | ReviewLine::Fell(_) | ReviewLine::Rose(_) => {
            return format!("At the visit of {on}: {}. {tell}", trade::crossed(due));
        }
    };
    format!(
        "At the visit of {on} the {} was {}; the review line is {line}. {tell}",
        trade::fact(due.fact),
        number(due.value)
    )
}
