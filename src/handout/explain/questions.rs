//! Notices and questions: what was not known, and who can answer.

use super::trade;
use crate::domain::library::Library;
use crate::domain::time::Day;
use crate::domain::verdict::{Asked, Notice, Question};

/// Says what a rule would have liked to know or had to assume.
pub(super) fn notice(notice: &Notice) -> String {
    match notice {
        Notice::NotRecorded { rule, fact } => {
            format!(
                "{:<5} {} not recorded, so not considered",
                rule.0,
                trade::fact(*fact)
            )
        }
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
        } => {
            format!(
                "{:<5} {} is from {days_ago} days ago",
                rule.0,
                trade::fact(*fact)
            )
        }
        Notice::Blank { rule, key } => {
            format!("{:<5} `{key}` not recorded, so not considered", rule.0)
        }
        Notice::FlagNotCounted { rule, flag } => {
            format!(
                "{:<5} {flag} answered yes, but what was lost was never recorded",
                rule.0
            )
        }
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
        Notice::StairsNotPractised { rule } => format!(
            "{:<5} stairs at home, and no visit says that they were practised",
            rule.0
        ),
        Notice::TellTeam { rule } => {
            format!(
                "{:<5} two overdone answers within 7 days: tell the team",
                rule.0
            )
        }
        Notice::CoreEmpty { rule, domain } => {
            format!("{:<5} no exercise of this sheet serves {domain}", rule.0)
        }
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
