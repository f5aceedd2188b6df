//! Reads one visit; how visits follow each other is checked by `sequence`.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::domain::ids::FlagId;
use crate::domain::record::{NextVisit, Visit};
use crate::domain::recorded::Recorded;
use crate::domain::word::{ClosedWith, Did, How, ScreenAnswer, Swelling, YesNo};

use super::super::codes::Code;
use super::super::kind::{Keys, Kind, Kinded, may, may_as, need};
use super::super::node::{Node, Value};
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::reading::Reading;
use super::super::source::Span;
use super::super::values::{At, Readable, Whole};
use super::super::wrong::wrong_kind;
use super::issued::{CLOSED, ISSUED, KEPT, ReadIssued, SEAL};
use super::known::Known;
use super::measured::{MEASURED, PAIN};
use super::patient::CHANGES;
use super::{done, issued, measured, patient, recorded};

type Number = Whole<1, 999>;

/// Keys of a visit.
pub static VISIT: Keys = Keys {
    what: "a visit",
    keys: &[
        need::<Number>("n", "Its number: 1, 2, 3 and so on."),
        need::<NaiveDate>("date", "The day."),
        need::<How>("how", "Seen or by phone."),
        need::<String>("by", "Who saw or phoned the person."),
        may::<Number>("corrects", "The earlier visit it puts right."),
        may_as(
            "screen",
            Kind::Map(&ScreenAnswer::KIND),
            "The red flags asked: new or worse since last time?",
        ),
        may::<String>("cleared_for_home_by", "Who cleared the person for home."),
        may::<YesNo>(
            "block_gone",
            "The block has worn off and the knee holds in standing.",
        ),
        may::<Did>("did", "How much of the last sheet was done."),
        may_as("measured", Kind::Table(&MEASURED), "What was measured."),
        may_as("pain", Kind::Table(&PAIN), "Pain and medicine."),
        may::<Swelling>("swelling", "Swelling against last time."),
        may::<NextVisit>("next_visit", "When they come again."),
        may_as(
            "changes",
            Kind::Table(&CHANGES),
            "What is otherwise from now on.",
        ),
        may_as(
            "phase",
            Kind::Table(&done::PHASE),
            "The clinician's word on the phase.",
        ),
        may_as("done", Kind::Tables(&done::DONE), "What was really done."),
        may_as(
            "adjust",
            Kind::Tables(&done::ADJUST),
            "The clinician's word, for this visit.",
        ),
        may_as(
            "issued",
            Kind::Table(&ISSUED),
            "What was issued; closes the visit.",
        ),
        may_as(
            "closed",
            Kind::Table(&CLOSED),
            "Closes the correction of an earlier visit, for which no sheet goes out.",
        ),
        may_as(
            "kept",
            Kind::Table(&KEPT),
            "Closes a call that leaves the sheet at home as it is.",
        ),
        may_as(
            "seal",
            Kind::Table(&SEAL),
            "The seal; last of a closed visit.",
        ),
    ],
};

/// A visit, and what orders it among the others wherever the rest could not be read.
pub struct ReadVisit {
    /// Where it begins.
    pub at: Span,
    /// Its number and place.
    pub n: Option<At<i64>>,
    /// Its date and place.
    pub date: Option<At<NaiveDate>>,
    /// The visit it corrects, and the place.
    pub corrects: Option<At<i64>>,
    /// Where it was closed; an open visit has no such place.
    pub closed: Option<Span>,
    /// Whether it was closed without a sheet.
    pub no_sheet: Option<ClosedWith>,
    /// The sheet issued, and the place.
    pub sheet: Option<At<i64>>,
    /// The sheet left at home, and the place.
    pub kept: Option<At<i64>>,
    /// The visit; its patient is what it changes, and nothing else yet.
    pub visit: Option<Visit>,
}

impl Kinded for NextVisit {
    const KIND: Kind = Kind::Either("a date such as 2026-03-05, \"none\" or \"unknown\"");
}

impl Readable for NextVisit {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        if node.is_word("none") {
            return Some(Self::None);
        }
        if node.is_word("unknown") {
            return Some(Self::Unknown);
        }
        if matches!(node.value, Value::Date(_)) {
            return NaiveDate::read(node, reading).map(Self::Date);
        }
        wrong_kind(node, reading, Self::KIND);
        None
    }
}

/// Reads one visit.
pub fn read(table: &mut TableReader<'_>, known: Known<'_>) -> ReadVisit {
    let issued = table.may_table("issued", &ISSUED, |table| Some(issued::read(table, known)));
    let (sheet, issued) = match issued {
        Some(ReadIssued { sheet, issued }) => (sheet, issued),
        None => (None, None),
    };
    let no_sheet = table.may_table("closed", &CLOSED, issued::closed);
    let kept = table.may_table("kept", &KEPT, issued::kept);
    let seal = table.may_table("seal", &SEAL, issued::seal);
    sealed(table);
    let closing = CLOSING.into_iter().find(|name| table.has(name));
    let mut read = ReadVisit {
        at: table.at(),
        n: table.need::<At<Number>>("n").map(plain),
        date: table.need("date"),
        corrects: table.may::<At<Number>>("corrects").map(plain),
        closed: closing.map(|name| table.at_key(name)),
        no_sheet,
        sheet,
        kept,
        visit: None,
    };
    read.visit = visit(table, known, &read).map(|visit| Visit {
        issued,
        closed: no_sheet,
        kept: read.kept.as_ref().map(|sheet| sheet.value),
        seal,
        ..visit
    });
    read
}

/// Reads what was found at the visit, as if it were still open.
fn visit(table: &mut TableReader<'_>, known: Known<'_>, read: &ReadVisit) -> Option<Visit> {
    let how = table.need("how");
    let by = table.need("by");
    let changes = table.may_table("changes", &CHANGES, |table| {
        Some(patient::read(table, known))
    });
    let phase = table.may_table("phase", &done::PHASE, |table| done::phase(table, known));
    // Every key is asked for before the first blank one ends the reading.
    Some(Visit {
        screen: screen(table, known),
        cleared_for_home_by: recorded(table, "cleared_for_home_by"),
        block_gone: recorded(table, "block_gone"),
        did: recorded(table, "did"),
        measured: measured::measured(table, read.closed.is_some()),
        pain: measured::pain(table),
        swelling: recorded(table, "swelling"),
        next_visit: next_visit(table, read.date.as_ref()),
        patient: changes.unwrap_or_else(patient::nothing),
        done: done::done(table, known),
        adjust: done::adjust(table, known),
        phase,
        issued: None,
        closed: None,
        kept: None,
        seal: None,
        origin: table.at().origin(),
        corrects: read.corrects.as_ref().map(|corrects| corrects.value),
        n: read.n.as_ref()?.value,
        date: read.date.as_ref()?.value,
        how: how?,
        by: by?,
    })
}

fn plain(number: At<Number>) -> At<i64> {
    At {
        value: number.value.0,
        at: number.at,
    }
}

/// Reads the screen; a screen without an answer is none.
fn screen(
    table: &mut TableReader<'_>,
    known: Known<'_>,
) -> Recorded<BTreeMap<FlagId, ScreenAnswer>> {
    let Some(screen) = table.map::<FlagId, ScreenAnswer>("screen") else {
        return Recorded::NotRecorded;
    };
    let places = table.key_places("screen");
    for flag in screen.keys() {
        if let Some(at) = places.get(&flag.to_string()) {
            known.flag(table, flag, at);
        }
    }
    if screen.is_empty() {
        Recorded::NotRecorded
    } else {
        Recorded::Yes(screen)
    }
}

fn next_visit(table: &mut TableReader<'_>, date: Option<&At<NaiveDate>>) -> Recorded<NextVisit> {
    let next = table.may::<At<NextVisit>>("next_visit");
    if let (Some(date), Some(next)) = (date, &next)
        && let NextVisit::Date(day) = next.value
        && day <= date.value
    {
        let message = "the next visit must be later than this one";
        let problem = Problem::new(Code::DateBack, next.at.clone(), message, "the next visit");
        table.tell(problem.also(date.at.clone(), "this visit"));
    }
    Recorded::from(next.map(|next| next.value))
}

/// What may close a visit.
const CLOSING: [&str; 3] = ["issued", "closed", "kept"];

/// Checks that a seal stands if and only if one thing closed the visit.
fn sealed(table: &mut TableReader<'_>) {
    let closing: Vec<&str> = CLOSING.into_iter().filter(|name| table.has(name)).collect();
    let (message, label, name) = match (closing.as_slice(), table.has("seal")) {
        ([], false) | ([_], true) => return,
        (["issued"], false) => (
            "what was issued is not sealed",
            "`seal` is missing",
            "issued",
        ),
        ([name], false) => ("what closed it is not sealed", "`seal` is missing", *name),
        ([], true) => (
            "a seal stands where nothing was issued",
            "`issued` is missing",
            "seal",
        ),
        (["issued", name, ..], _) => (
            "a sheet was issued, so the visit is not closed without one",
            "not beside `issued`",
            *name,
        ),
        ([_, name, ..], _) => ("a visit is closed in one way", "the second way", *name),
    };
    let problem = Problem::new(Code::Seal, table.at_key(name), message, label);
    table.tell(problem.help(
        "none of them is written by hand: take the record back from a backup if a part is lost",
    ));
}

#[cfg(test)]
mod tests {
    use super::super::samples::only;

    #[test]
    fn the_next_visit_is_later() {
        only(
            "next_visit = 2026-05-11",
            "next_visit = 2026-05-06",
            "BN063",
            "later",
        );
        only(
            "next_visit = \"none\"",
            "next_visit = \"never\"",
            "BN022",
            "`next_visit`",
        );
    }
}
