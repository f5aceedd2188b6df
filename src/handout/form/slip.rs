//! The question slip for the surgical team: what is still open in a record, to tick and sign.
//!
//! Nothing is guessed here: open are the orders that say so, and what the engine asked the surgeon.

use std::collections::BTreeMap;

use super::ask::{ask, date, line};
use super::orders;
use super::{again, frame, numbered, operation};
use crate::domain::ids::Id;
use crate::domain::library::Library;
use crate::domain::order_kind::{OrderSays, WEIGHT_BEARING};
use crate::domain::quantity::Quantity;
use crate::domain::record::{Order, OrderValue, Record, Until, Visit};
use crate::domain::verdict::{Asked, Question, Verdict};
use crate::domain::word::Side;
use crate::handout::explain::trade;
use crate::handout::model::form::{Form, FormSection};
use crate::handout::model::{Document, Labelled};

/// What came of looking for open questions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Slip {
    /// Something is open.
    Open(Document),
    /// Nothing is.
    NothingOpen,
}

/// One open question about one kind of order.
struct Open {
    kind: String,
    asks: Asks,
    why: String,
}

/// What is asked of an order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Asks {
    /// What it says, and until when.
    All,
    /// Until when; what it says is known.
    End,
}

/// Makes the slip of a record; `asked` is its latest visit and what the engine said of it.
pub fn slip(library: &Library, record: &Record, asked: Option<(&Visit, &Verdict)>) -> Slip {
    let mut open: Vec<Open> = from_verdict(library, asked.map(|(_, verdict)| verdict));
    if let Some((visit, _)) = asked {
        open.retain(|question| !answered_since(record, visit, &question.kind));
    }
    for order in unended(record) {
        if !open.iter().any(|known| known.kind == order.what.as_str()) {
            open.push(Open {
                kind: order.what.as_str().to_owned(),
                asks: Asks::End,
                why: recorded(order),
            });
        }
    }
    if open.is_empty() {
        return Slip::NothingOpen;
    }
    let mut sections: Vec<FormSection> = open.iter().map(|open| section(library, open)).collect();
    sections.push(answered_by());
    let token = &record.episode.token;
    let date = asked.map(|(visit, _)| visit.date.to_string());
    Slip::Open(Document::Form(Box::new(Form {
        frame: frame(library, &format!("{token}, orders"), date),
        title: "Questions for the surgical team".to_owned(),
        subtitle: operation(library).to_owned(),
        name_box: super::NAME_BOX.to_owned(),
        command: "order".to_owned(),
        facts: facts(library, record, asked.map(|(visit, _)| visit)),
        head: Vec::new(),
        again: again(),
        how_to: vec![HOW_TO.to_owned()],
        sections: numbered(sections),
    })))
}

/// Says how the slip is answered.
const HOW_TO: &str = "Please tick one answer in each row, give the last day, and sign below. A row \
    left blank stays open: nothing is taken for granted.";

/// Lists what the engine asked the surgeon.
fn from_verdict(library: &Library, verdict: Option<&Verdict>) -> Vec<Open> {
    let questions = match verdict {
        Some(Verdict::Unanswered(unanswered)) => unanswered.questions.as_slice(),
        Some(Verdict::Program(_) | Verdict::Withheld(_)) | None => &[],
    };
    questions
        .iter()
        .filter(|(_, who)| *who == Asked::Surgeon)
        .flat_map(|(question, _)| open(library, question))
        .collect()
}

fn open(library: &Library, question: &Question) -> Vec<Open> {
    let one = |kind: &str, why: &str| Open {
        kind: kind.to_owned(),
        asks: Asks::All,
        why: why.to_owned(),
    };
    match question {
        Question::WeightBearing => vec![one(
            WEIGHT_BEARING,
            "No order says so. Until one does, no exercise program can be made.",
        )],
        Question::StandingOrders => {
            let bearing = one(
                WEIGHT_BEARING,
                "The clinic\u{2019}s file has no standing orders of this surgeon, and the record \
                 has no order. Until one says so, no exercise program can be made.",
            );
            let others = orders::other_kinds(&library.procedure);
            let others = others
                .iter()
                .map(|kind| one(kind, "Not known for this surgeon."));
            let why = "A way to go on: not known whether this surgeon picks it.";
            let profiles = orders::unusual_profiles(&library.procedure);
            let profiles = profiles.iter().map(|profile| one(profile, why));
            let all = std::iter::once(bearing).chain(others);
            all.chain(profiles).collect()
        }
        Question::OpenOrder { what } => {
            vec![one(
                what.as_str(),
                "After this operation the record must say so, ordered or not. Until it does, no \
                 exercise program can be made.",
            )]
        }
        Question::NoVisit
        | Question::Screen { .. }
        | Question::Conditions
        | Question::Criterion { .. }
        | Question::Fact { .. }
        | Question::BeyondLibrary { .. } => Vec::new(),
    }
}

/// Says whether an order of a kind was given after a visit: the next visit will know it.
fn answered_since(record: &Record, visit: &Visit, kind: &str) -> bool {
    let later = |order: &Order| order.what.as_str() == kind && order.on > visit.date;
    record.orders.iter().any(later)
}

/// Finds the orders whose end was asked for and that no later order of their kind has replaced.
fn unended(record: &Record) -> Vec<&Order> {
    let mut latest: BTreeMap<&str, &Order> = BTreeMap::new();
    for order in &record.orders {
        let kind = order.what.as_str();
        if latest.get(kind).is_none_or(|known| known.on <= order.on) {
            latest.insert(kind, order);
        }
    }
    let open = latest.into_values();
    open.filter(|order| order.until == Until::Asked).collect()
}

/// Says what the record holds of an order.
fn recorded(order: &Order) -> String {
    let value = match order.value {
        OrderValue::WeightBearing(bearing) => format!(": {bearing}"),
        OrderValue::Degrees(degrees) => format!(": {} degrees", degrees.get()),
        OrderValue::Stands => String::new(),
        OrderValue::NotOrdered => ": not ordered".to_owned(),
    };
    format!(
        "In the record{value}, ordered by {} on {} ({}). Its last day was not known then; until it \
         is given, the order stands.",
        order.by,
        trade::date(order.on),
        order.document
    )
}

fn section(library: &Library, open: &Open) -> FormSection {
    let says = library.procedure.order_says(&open.kind);
    let value = match says {
        OrderSays::Bearing | OrderSays::Degrees => " VALUE",
        OrderSays::Stands => "",
    };
    let fields = match (open.asks, says) {
        (Asks::End, OrderSays::Stands) => vec![ask("Last day", "--until", orders::until())],
        (Asks::All | Asks::End, OrderSays::Bearing | OrderSays::Degrees)
        | (Asks::All, OrderSays::Stands) => vec![
            ask("Answer", &open.kind, orders::value(says)),
            ask("Last day", "--until", orders::until()),
        ],
    };
    FormSection {
        title: orders::name(&library.procedure, &open.kind),
        note: Some(open.why.clone()),
        fields,
        entered: Some(Labelled {
            label: "How it will be entered:".to_owned(),
            value: format!(
                "banister order RECORD {}{value} --by NAME --on DATE --document DOCUMENT --until DATE",
                open.kind
            ),
        }),
    }
}

fn answered_by() -> FormSection {
    FormSection {
        title: "Answered by".to_owned(),
        note: None,
        fields: vec![
            ask("Name and grade", "--by", line()),
            ask("Date", "--on", date()),
            ask("Written in (document)", "--document", line()),
            ask("Signature", "", line()),
        ],
        entered: Some(Labelled {
            label: "When typing:".to_owned(),
            value: "until further notice: leave --until out. Not known yet: --until asked. No \
                    limit, not ordered: the value is not-ordered, and no --until."
                .to_owned(),
        }),
    }
}

fn facts(library: &Library, record: &Record, visit: Option<&Visit>) -> Vec<Labelled> {
    let fact = |label: &str, value: String| Labelled {
        label: label.to_owned(),
        value,
    };
    let episode = &record.episode;
    let side = match episode.side {
        Side::Left => "LEFT",
        Side::Right => "RIGHT",
        Side::Both => "BOTH",
    };
    let joint = library.procedure.joint;
    let mut facts = vec![
        fact("Record", episode.token.clone()),
        fact("Side", format!("{side} {joint}")),
        fact("Operation (day 0)", trade::date(episode.operation.0)),
    ];
    if let Some(visit) = visit {
        let day = record.day(visit.date).get();
        facts.push(fact(
            "Visit",
            format!("day {day}, {}", trade::date(visit.date)),
        ));
        facts.push(fact("Asked by", visit.by.clone()));
    }
    facts
}
