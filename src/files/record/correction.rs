//! Reads corrections of the side and of the day of the operation, and follows them to what counts.
//!
//! The value each one replaces must be the one in force when it was written, and the number of
//! visits it makes void is counted in the file, so that nobody's word is taken for it.

use chrono::NaiveDate;

use crate::domain::correction::{Correction, PutRight};
use crate::domain::library::Library;
use crate::domain::time::OperationDate;
use crate::domain::word::{CorrectWhat, Side};

use super::super::codes::Code;
use super::super::kind::{Keys, Kind, need, need_as};
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::source::Span;
use super::super::values::{At, Readable, Whole};
use super::episode::{ReadEpisode, side_fits};
use super::visit::ReadVisit;

type Visits = Whole<0, 999>;

const VALUE: Kind = Kind::Either("a side, or a date such as 2026-03-02");

/// Keys of a correction.
pub static CORRECTION: Keys = Keys {
    what: "a correction",
    keys: &[
        need::<CorrectWhat>(
            "what",
            "What is put right: the side, the operation's day, or its new day when it was moved.",
        ),
        need_as("was", VALUE, "The value in force until now."),
        need_as("now", VALUE, "The right value."),
        need::<String>("because", "Why."),
        need::<String>("by", "Who put it right."),
        need::<NaiveDate>("on", "When."),
        need::<Visits>(
            "visits",
            "How many visits stood in the record then; their sheets are void.",
        ),
    ],
};

/// A value of a correction, of the kind its `what` takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Value {
    Side(Side),
    Operation(NaiveDate),
}

impl std::fmt::Display for Value {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Side(side) => side.fmt(f),
            Self::Operation(date) => date.fmt(f),
        }
    }
}

/// A correction, and what places it wherever the rest could not be read.
pub struct ReadCorrection {
    /// Where it begins.
    at: Span,
    what: Option<CorrectWhat>,
    was: Option<At<Value>>,
    now: Option<At<Value>>,
    visits: Option<At<i64>>,
    /// The correction.
    pub correction: Option<Correction>,
}

/// The values in force, each with the place that says so.
pub struct InForce {
    side: Option<At<Side>>,
    operation: Option<At<NaiveDate>>,
}

impl InForce {
    /// Returns the side in force at the end.
    pub fn side(&self) -> Option<Side> {
        self.side.as_ref().map(|side| side.value)
    }

    /// Returns the day of the operation in force at the end.
    pub fn operation(&self) -> Option<OperationDate> {
        self.operation.as_ref().map(|day| OperationDate(day.value))
    }

    fn value(&self, like: Value) -> Option<At<Value>> {
        match like {
            Value::Side(_) => self.side.clone().map(|side| At {
                value: Value::Side(side.value),
                at: side.at,
            }),
            Value::Operation(_) => self.operation.clone().map(|day| At {
                value: Value::Operation(day.value),
                at: day.at,
            }),
        }
    }

    fn take(&mut self, now: &At<Value>) {
        match now.value {
            Value::Side(side) => {
                self.side = Some(At {
                    value: side,
                    at: now.at.clone(),
                });
            }
            Value::Operation(day) => {
                self.operation = Some(At {
                    value: day,
                    at: now.at.clone(),
                });
            }
        }
    }
}

/// Reads one correction.
pub fn read(table: &mut TableReader<'_>, library: &Library) -> ReadCorrection {
    let what = table.need::<CorrectWhat>("what");
    let was = value(table, "was", what);
    let now = value(table, "now", what);
    if let Some(At {
        value: Value::Side(side),
        at,
    }) = &now
    {
        side_fits(table, library, *side, at);
    }
    let because = table.need("because");
    let by = table.need("by");
    let on = table.need("on");
    let visits = table.need::<At<Visits>>("visits").map(|visits| At {
        value: visits.value.0,
        at: visits.at,
    });
    let correction = put_right(what, was.as_ref(), now.as_ref()).and_then(|what| {
        Some(Correction {
            what,
            because: because?,
            by: by?,
            on: on?,
            visits: visits.as_ref()?.value,
            origin: table.at().origin(),
        })
    });
    ReadCorrection {
        at: table.at(),
        what,
        was,
        now,
        visits,
        correction,
    }
}

fn value(
    table: &mut TableReader<'_>,
    name: &'static str,
    what: Option<CorrectWhat>,
) -> Option<At<Value>> {
    let node = table.need_any(name)?;
    let value = match what? {
        CorrectWhat::Side => Side::read(&node, table.reading()).map(Value::Side),
        CorrectWhat::Operation | CorrectWhat::Moved => {
            NaiveDate::read(&node, table.reading()).map(Value::Operation)
        }
    };
    value.map(|value| At {
        value,
        at: node.at.clone(),
    })
}

fn put_right(
    what: Option<CorrectWhat>,
    was: Option<&At<Value>>,
    now: Option<&At<Value>>,
) -> Option<PutRight> {
    match (was?.value, now?.value) {
        (Value::Side(was), Value::Side(now)) => Some(PutRight::Side { was, now }),
        (Value::Operation(was), Value::Operation(now)) => {
            let (was, now) = (OperationDate(was), OperationDate(now));
            Some(match what? {
                CorrectWhat::Moved => PutRight::Moved { was, now },
                CorrectWhat::Operation | CorrectWhat::Side => PutRight::Operation { was, now },
            })
        }
        (Value::Side(_), Value::Operation(_)) | (Value::Operation(_), Value::Side(_)) => None,
    }
}

/// Follows the corrections from what the episode says, and tells what does not fit.
pub fn follow(
    table: &mut TableReader<'_>,
    episode: Option<&ReadEpisode>,
    corrections: &[ReadCorrection],
    visits: &[ReadVisit],
) -> InForce {
    let mut in_force = InForce {
        side: episode.and_then(|read| read.side.clone()),
        operation: episode.and_then(|read| read.operation.clone()),
    };
    for correction in corrections {
        replaces(table, &in_force, correction);
        counts(table, correction, visits);
        still_to_come(table, correction, visits);
        if let Some(now) = &correction.now {
            in_force.take(now);
        }
    }
    in_force
}

/// Tells when the value replaced is not the one in force, or is no other.
fn replaces(table: &mut TableReader<'_>, in_force: &InForce, correction: &ReadCorrection) {
    let Some(was) = &correction.was else {
        return;
    };
    if let Some(real) = in_force.value(was.value)
        && real.value != was.value
    {
        let message = format!("`was` is {}, but {} is in force", was.value, real.value);
        let problem = Problem::new(Code::Correction, was.at.clone(), message, "not in force")
            .also(real.at, "in force");
        table.tell(problem.help("read the record again, then decide what is right"));
    }
    if let Some(now) = correction.now.as_ref().filter(|now| now.value == was.value) {
        let message = format!("`now` is {} as before: nothing is put right", now.value);
        let problem = Problem::new(Code::Correction, now.at.clone(), message, "the same value");
        table.tell(problem.also(was.at.clone(), "as before"));
    }
}

/// Tells when another number of visits stood above the correction.
fn counts(table: &mut TableReader<'_>, correction: &ReadCorrection, visits: &[ReadVisit]) {
    let stood = above(correction, visits).count();
    if let Some(said) = &correction.visits
        && usize::try_from(said.value).ok() != Some(stood)
    {
        let message = format!("`visits` is {}, but {stood} stand above it", said.value);
        let label = format!("should be {stood}");
        let problem = Problem::new(Code::Correction, said.at.clone(), message, label);
        table.tell(problem.help(
            "a correction is appended where it is made and never moved: the sheets of the visits \
             above it are void",
        ));
    }
    if correction.what == Some(CorrectWhat::Moved) {
        return;
    }
    for visit in above(correction, visits) {
        if let Some(closed) = visit
            .closed
            .iter()
            .find(|at| at.start > correction.at.start)
        {
            let message = "this visit was open when the correction was made; it is given again";
            let problem = Problem::new(Code::Correction, closed.clone(), message, "closed since")
                .also(correction.at.clone(), "the correction");
            table.tell(problem.help("its answers were given for what was wrong then"));
        }
    }
}

/// Tells when an operation is moved that was done already, by the visits that stood then.
///
/// Neither its old day nor its new one may lie on or before a visit: that was held before it.
fn still_to_come(table: &mut TableReader<'_>, correction: &ReadCorrection, visits: &[ReadVisit]) {
    if correction.what != Some(CorrectWhat::Moved) {
        return;
    }
    for day in [&correction.was, &correction.now].into_iter().flatten() {
        let Value::Operation(operation) = day.value else {
            continue;
        };
        let late = above(correction, visits)
            .filter_map(|visit| visit.date.as_ref())
            .find(|date| date.value >= operation);
        if let Some(date) = late {
            let message = format!("a visit was held on {}, not before this day", date.value);
            let problem = Problem::new(Code::OperationDay, day.at.clone(), message, "moved");
            let problem = problem.also(date.at.clone(), "the visit");
            table.tell(problem.help(
                "an operation that was done is not moved; was its day typed wrongly? \
                 Use `what = \"operation\"`",
            ));
            return;
        }
    }
}

fn above<'a>(
    correction: &'a ReadCorrection,
    visits: &'a [ReadVisit],
) -> impl Iterator<Item = &'a ReadVisit> {
    visits
        .iter()
        .filter(|visit| visit.at.start < correction.at.start)
}

#[cfg(test)]
mod tests {
    use super::super::samples::{RECORD, line, read, told};
    use super::*;

    const SIDE: &str = "\n[[correction]]\nwhat = \"side\"\nwas = \"left\"\nnow = \"right\"\n\
        because = \"Typed wrongly.\"\nby = \"PT-9\"\non = 2026-05-19\nvisits = 3\n";
    const DAY: &str = "\n[[correction]]\nwhat = \"operation\"\nwas = 2026-05-04\n\
        now = 2026-05-02\nbecause = \"Typed wrongly.\"\nby = \"PT-9\"\non = 2026-05-19\n\
        visits = 3\n";

    fn only(text: &str, code: &str, said: &str) {
        let told = told(&format!("{RECORD}{text}"));
        line(&told, code, said);
        assert_eq!(told.lines().count(), 1, "{told}");
    }

    #[test]
    fn the_episode_holds_what_is_in_force_and_the_list_what_it_was() {
        let record = read(&format!("{RECORD}{SIDE}{DAY}")).unwrap();
        assert_eq!(record.episode.side, Side::Right);
        assert_eq!(record.episode.operation.0.to_string(), "2026-05-02");
        let [first, second] = record.corrections.as_slice() else {
            panic!("two corrections")
        };
        let was = Side::Left;
        let now = Side::Right;
        assert_eq!(first.what, PutRight::Side { was, now });
        assert!(!second.is_of_side() && second.visits == 3 && second.by == "PT-9");
    }

    #[test]
    fn corrections_chain() {
        let back = SIDE
            .replace("\"left\"", "\"x\"")
            .replace("\"right\"", "\"left\"")
            .replace("\"x\"", "\"right\"");
        let record = read(&format!("{RECORD}{SIDE}{back}")).unwrap();
        assert_eq!(record.episode.side, Side::Left);
        only(&format!("{SIDE}{SIDE}"), "BN075", "right is in force");
    }

    #[test]
    fn what_does_not_fit_is_told_with_its_place() {
        let with = |text: &str, old: &str, new: &str| text.replace(old, new);
        let was = with(SIDE, "was = \"left\"", "was = \"right\"");
        let was = was.replace("now = \"right\"", "now = \"left\"");
        only(&was, "BN075", "`was` is right, but left is in force");
        only(
            &with(SIDE, "now = \"right\"", "now = \"left\""),
            "BN075",
            "nothing is put right",
        );
        only(
            &with(SIDE, "now = \"right\"", "now = \"both\""),
            "BN061",
            "an operation of one side",
        );
        only(
            &with(SIDE, "visits = 3", "visits = 2"),
            "BN075",
            "3 stand above it",
        );
        only(
            &with(DAY, "\"operation\"", "\"operation-moved\""),
            "BN064",
            "a visit was held on 2026-05-06",
        );
        only(
            &with(DAY, "now = 2026-05-02", "now = \"left\""),
            "BN022",
            "`now`",
        );
        only(
            &with(SIDE, "what = \"side\"", "what = \"sied\""),
            "BN024",
            "`what`",
        );
        only(&with(SIDE, "by = \"PT-9\"\n", ""), "BN021", "`by`");
    }

    #[test]
    fn it_may_stand_anywhere_and_counts_what_is_above_it() {
        let early = SIDE.replace("visits = 3", "visits = 1");
        let text = RECORD.replacen("\n[[clear]]", &format!("{early}\n[[clear]]"), 1);
        assert_eq!(read(&text).unwrap().corrections[0].visits, 1);
        let later = "[[visit]]\nn = 4\ndate = 2026-05-03\nhow = \"seen\"\nby = \"PT-9\"\n";
        let text = format!("{RECORD}{DAY}{later}");
        line(&told(&text), "BN063", "2026-05-03");
    }
}
