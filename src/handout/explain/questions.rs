//! Notices and questions: what was not known, and who can answer.

use std::collections::BTreeSet;

use super::trade;
use crate::domain::ids::{ConditionId, Id, OrderKind};
use crate::domain::library::Library;
use crate::domain::recorded::Recorded;
use crate::domain::time::Day;
use crate::domain::verdict::{Asked, Notice, Question, RuleId};
use crate::domain::word::Fact;

/// Says which order is not on the sheet, and because of what.
fn order_left_out(rule: RuleId, order: &OrderKind, because: &BTreeSet<ConditionId>) -> String {
    let because: Vec<&str> = because.iter().map(Id::as_str).collect();
    format!(
        "{:<5} {order} is ordered, and not on the sheet because of {}: ask the surgeon",
        rule.0,
        because.join(", ")
    )
}

/// Says what a rule would have liked to know or had to assume.
pub(super) fn notice(notice: &Notice) -> String {
    match notice {
        Notice::NotRecorded { rule, fact } => format!(
            "{:<5} {} not recorded, so not considered",
            rule.0,
            trade::fact(*fact)
        ),
        Notice::UsualTaken { rule, fact, value } => format!(
            "{:<5} {} not recorded: the usual {} of the day was taken",
            rule.0,
            trade::fact(*fact),
            trade::number(*fact, *value)
        ),
        Notice::EarlierTaken {
            rule,
            fact,
            days_ago,
        } => format!(
            "{:<5} {} is from {days_ago} days ago",
            rule.0,
            trade::fact(*fact)
        ),
        Notice::Blank { rule, key } => {
            format!("{:<5} `{key}` not recorded, so not considered", rule.0)
        }
        Notice::FlagNotCounted { rule, flag } => format!(
            "{:<5} {flag} answered yes, but what was lost was never recorded",
            rule.0
        ),
        Notice::PhaseNotTaken { rule, phase } => format!(
            "{:<5} phase {phase} is of the other side of the operation and was not taken",
            rule.0
        ),
        Notice::WrongSide { rule, visits } => format!(
            "{:<5} {} of the wrong side: what was not measured again is not recorded",
            rule.0,
            trade::counted("visit", visits)
        ),
        Notice::OverrideTooShort { rule, limit, until } => format!(
            "{:<5} {limit} is set aside until {} only, not for the whole sheet, so it stands",
            rule.0,
            trade::date(*until)
        ),
        Notice::AdviceLeftOut { rule, advice } => format!(
            "{:<5} `{advice}` left out: it asks for what is not allowed or not possible",
            rule.0
        ),
        Notice::OrderLeftOut {
            rule,
            order,
            because,
        } => order_left_out(*rule, order, because),
        Notice::LookFirst { rule, modifier } => format!(
            "{:<5} no step ahead and no stage is shown (modifier {modifier}): somebody looks first",
            rule.0
        ),
        Notice::StairsNotPractised { rule } => format!(
            "{:<5} stairs at home, and no visit says that they were practised",
            rule.0
        ),
        Notice::StairsForbidden { rule, limit } => format!(
            "{:<5} stairs at home, and the limit `{limit}` leaves no way up them on the sheet",
            rule.0
        ),
        Notice::TellTeam { rule } => format!(
            "{:<5} two overdone answers within 7 days: tell the team",
            rule.0
        ),
        Notice::FarMoreDone { rule, percent } => {
            let much = match percent {
                Recorded::Yes(percent) => format!("{percent} % of what was asked"),
                Recorded::NotRecorded => "more than asked".to_owned(),
            };
            format!(
                "{:<5} {much} was done: ask why, and say to do no more",
                rule.0
            )
        }
        Notice::NothingDone { rule } => format!(
            "{:<5} nothing of the last sheet was done: ask what stood in the way",
            rule.0
        ),
        Notice::SheetRanOut { rule, sheet, days } => format!(
            "{:<5} sheet {sheet} ran out: its last day was {days} days ago",
            rule.0
        ),
        Notice::EndWorkLost {
            rule,
            fact,
            seconds,
            before,
        } => end_work_lost(*rule, *fact, *seconds, *before),
        Notice::CoreEmpty { rule, domain } => {
            format!("{:<5} no exercise of this sheet serves {domain}", rule.0)
        }
    }
}

fn end_work_lost(rule: RuleId, fact: Fact, seconds: i64, before: i64) -> String {
    let minutes = |seconds: i64| seconds.saturating_add(59).div_euclid(60);
    let fact = trade::fact(fact);
    match seconds {
        0 => format!(
            "{:<5} {fact} is past its review line, and nothing on this sheet works at it: decide how",
            rule.0
        ),
        _ => format!(
            "{:<5} {fact} is past its review line, and work at it falls from {} to {} minutes a day",
            rule.0,
            minutes(before),
            minutes(seconds)
        ),
    }
}

/// Says a question and who can answer it.
pub(super) fn question(question: &Question, asked: Asked, library: &Library) -> String {
    let who = match asked {
        Asked::Patient => "ask the patient",
        Asked::Clinician => "look at the patient",
        Asked::Surgeon => "ask the surgical team",
    };
    format!("{} ({who})", what(question, library))
}

fn what(question: &Question, library: &Library) -> String {
    match question {
        Question::NoVisit => "The record has no visit on this date.".to_owned(),
        Question::Screen { flags } => {
            let asked = flags.iter().map(|flag| {
                let known = library.procedure.red_flag(flag);
                let words = known.and_then(|known| known.words.get("en"));
                words.map_or_else(
                    || flag.to_string(),
                    |words| format!("{flag}: {}", words.ask),
                )
            });
            let asked: Vec<_> = asked.collect();
            format!("New or worse since last time? {}", asked.join("; "))
        }
        Question::Conditions => "Other illnesses: which, or none?".to_owned(),
        Question::WeightBearing => "What may the operated leg bear? No order says so.".to_owned(),
        Question::StandingOrders => {
            "The surgeon's orders: neither the clinic file nor the record has any.".to_owned()
        }
        Question::OpenOrder { what } => {
            format!("Order {what}: is it ordered or not, and until when? The record must say.")
        }
        Question::Criterion { criterion, phase } => {
            let found = library
                .procedure
                .phase(phase)
                .and_then(|(_, known)| known.safety.iter().find(|known| known.id == *criterion));
            let ask = found.map_or_else(|| criterion.to_string(), |known| known.ask.clone());
            format!("{ask} Safety criterion {criterion} of phase {phase}.")
        }
        Question::Fact { fact } => format!("{}: a rule must have it.", trade::fact(*fact)),
        Question::BeyondLibrary {
            first_day,
            last_day,
        } => beyond(*first_day, *last_day),
    }
}

/// Says which days the library covers; negative ones are counted as days before.
fn beyond(first: Day, last: Day) -> String {
    let first = if first.is_before_operation() {
        format!("{} days before the operation", first.get().saturating_neg())
    } else {
        format!("day {}", first.get())
    };
    format!(
        "The library runs from {first} to day {} after it; this day lies beyond it.",
        last.get()
    )
}
