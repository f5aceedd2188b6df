//! What was put right in a record: the old value beside the new one, by whom, when and why.
//!
//! Must not decide what a correction does; the rules named here do.

use std::collections::BTreeMap;

use super::trade;
use crate::domain::correction::{Correction, PutRight};
use crate::domain::ids::FlagId;
use crate::domain::quantity::Quantity;
use crate::domain::record::{NextVisit, Record, Visit};
use crate::domain::recorded::Recorded;
use crate::domain::word::{Fact, ScreenAnswer};

/// Lists every correction of a record, of the episode first, then of visits.
pub(super) fn lines(record: &Record) -> Vec<String> {
    let mut lines = Vec::new();
    for correction in &record.corrections {
        lines.push(put_right(correction));
        lines.push(format!("  {}", effect(record, correction)));
    }
    for visit in &record.visits {
        if let Some(old) = record.corrected(visit) {
            lines.extend(of_visit(record, old, visit));
        }
    }
    lines
}

/// Says what was put right, by whom, when and why.
pub(super) fn put_right(correction: &Correction) -> String {
    let what = match correction.what {
        PutRight::Side { was, now } => format!("side {now}, was {was}"),
        PutRight::Operation { was, now } => format!(
            "operation {}, was {}",
            trade::date(now.0),
            trade::date(was.0)
        ),
        PutRight::Moved { was, now } => format!(
            "operation moved to {}, was planned for {}",
            trade::date(now.0),
            trade::date(was.0)
        ),
    };
    format!(
        "{what}: by {}, {}: {}",
        correction.by,
        trade::date(correction.on),
        correction.because
    )
}

fn effect(record: &Record, correction: &Correction) -> String {
    let sheets: Vec<String> = record
        .visits
        .iter()
        .filter(|visit| correction.voids(visit))
        .filter_map(|visit| visit.issued.as_ref())
        .map(|issued| issued.sheet.to_string())
        .collect();
    let void = match sheets.as_slice() {
        [] => "no sheet is void".to_owned(),
        [only] => format!("sheet {only} is void"),
        several => format!("sheets {} are void", several.join(", ")),
    };
    match correction.what {
        PutRight::Side { .. } => format!("{void}; nothing found before counts (D112)"),
        PutRight::Operation { .. } => {
            format!("{void}; measures keep their right day, doses are entered by test (D721)")
        }
        PutRight::Moved { .. } => {
            format!("{void}; the days are counted to the new date, doses are gone on from")
        }
    }
}

fn of_visit(record: &Record, old: &Visit, new: &Visit) -> Vec<String> {
    let changes = differences(old, new);
    let changes = if changes.is_empty() {
        "nothing measured or asked differs".to_owned()
    } else {
        changes.join("; ")
    };
    let mut lines = vec![format!(
        "visit {} was corrected by visit {} ({}): {changes}",
        old.n, new.n, new.by
    )];
    if new.closed.is_some() {
        lines.extend(
            decided_since(record, old, new)
                .map(|sheet| format!("  sheet {sheet} was decided with the old value")),
        );
    }
    lines
}

/// Lists the sheets of later visits that went out before the correction was written.
fn decided_since<'a>(
    record: &'a Record,
    old: &'a Visit,
    new: &'a Visit,
) -> impl Iterator<Item = i64> + 'a {
    record
        .visits
        .iter()
        .filter(|visit| visit.n > old.n && visit.n < new.n && visit.date >= old.date)
        .filter_map(|visit| visit.issued.as_ref())
        .map(|issued| issued.sheet)
}

/// Says what differs between a visit and the one that corrects it: the new value, then the old.
fn differences(old: &Visit, new: &Visit) -> Vec<String> {
    let before = answers(old);
    let after = answers(new);
    let mut names: Vec<&String> = before.keys().chain(after.keys()).collect();
    names.sort();
    names.dedup();
    let value = |all: &BTreeMap<String, String>, name: &String| {
        all.get(name)
            .cloned()
            .unwrap_or_else(|| trade::NOT_RECORDED.to_owned())
    };
    names
        .into_iter()
        .filter(|name| before.get(*name) != after.get(*name))
        .map(|name| {
            format!(
                "{name} {}, was {}",
                value(&after, name),
                value(&before, name)
            )
        })
        .collect()
}

/// Gathers what a visit recorded, by name; what was not recorded is not there.
fn answers(visit: &Visit) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    found.insert("date".to_owned(), trade::date(visit.date));
    found.insert(trade::fact(Fact::How).to_owned(), visit.how.to_string());
    measures(&mut found, visit);
    let pain = &visit.pain;
    put(&mut found, "pain at rest", &pain.rest.map(Quantity::get));
    put(
        &mut found,
        "pain in exercise",
        &pain.exercise.map(Quantity::get),
    );
    put(&mut found, "medicine before", &pain.medicine_before);
    put(&mut found, trade::fact(Fact::Morning), &pain.morning);
    put(&mut found, "bad mornings", &pain.bad_mornings);
    put(&mut found, trade::fact(Fact::Swelling), &visit.swelling);
    put(&mut found, "done", &visit.did);
    put(&mut found, trade::fact(Fact::BlockGone), &visit.block_gone);
    put(
        &mut found,
        "cleared for home by",
        &visit.cleared_for_home_by,
    );
    if let Recorded::Yes(next) = visit.next_visit {
        found.insert("next visit".to_owned(), next_visit(next));
    }
    if let Recorded::Yes(screen) = &visit.screen {
        found.extend(screened(screen));
    }
    exercises(&mut found, visit);
    found
}

fn measures(found: &mut BTreeMap<String, String>, visit: &Visit) {
    let m = &visit.measured;
    let numbers = [
        (Fact::Flexion, m.flexion.map(Quantity::get)),
        (
            Fact::ExtensionDeficit,
            m.extension_deficit.map(Quantity::get),
        ),
        (Fact::Lag, m.lag.map(Quantity::get)),
        (Fact::Stance, m.stance_s),
        (Fact::WalkMinutes, m.walk_minutes.map(Quantity::get)),
    ];
    for (fact, value) in numbers {
        let value = value.map(|value| trade::number(fact, value));
        put(found, trade::fact(fact), &value);
    }
    put(found, trade::fact(Fact::LegLift), &m.leg_lift);
    put(found, trade::fact(Fact::WalkingAid), &m.walking_aid);
    put(found, trade::fact(Fact::Limp), &m.limp);
    put(
        found,
        trade::fact(Fact::StairsPractised),
        &m.stairs_practised,
    );
}

fn exercises(found: &mut BTreeMap<String, String>, visit: &Visit) {
    for row in &visit.done {
        let times = match (row.done, row.asked) {
            (Recorded::Yes(done), Recorded::Yes(asked)) => format!("{done}/{asked}"),
            (Recorded::Yes(done), Recorded::NotRecorded) => done.to_string(),
            (Recorded::NotRecorded, _) => trade::NOT_RECORDED.to_owned(),
        };
        let said = format!(
            "done {times}, seen {}, well at {}, pain {}",
            trade::or_blank(&row.seen),
            trade::or_blank(&row.well_at),
            trade::or_blank(&row.during.map(Quantity::get))
        );
        found.insert(row.exercise.to_string(), said);
    }
}

fn screened(screen: &BTreeMap<FlagId, ScreenAnswer>) -> impl Iterator<Item = (String, String)> {
    screen
        .iter()
        .map(|(flag, answer)| (format!("{flag} (red flag)"), answer.to_string()))
}

fn put<T: ToString>(found: &mut BTreeMap<String, String>, name: &str, value: &Recorded<T>) {
    if let Recorded::Yes(value) = value {
        found.insert(name.to_owned(), value.to_string());
    }
}

fn next_visit(next: NextVisit) -> String {
    match next {
        NextVisit::Date(date) => trade::date(date),
        NextVisit::None => "none".to_owned(),
        NextVisit::Unknown => "unknown".to_owned(),
    }
}
