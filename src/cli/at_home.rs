//! Says at once what something new does to the sheet at home, and what to do about it.

use chrono::NaiveDate;

use crate::domain::overtaken::{Overtaken, Stands};
use crate::domain::record::{Order, OrderValue, Record, Until, Visit};
use crate::engine::due::{put_right_at, sheet_at_home, standing, stands};
use crate::handout::explain::order;
use crate::handout::overtaken::lines;

use super::open::Opened;
use super::say;

/// Says what a new order does: how it stands in time, what stands beside it, what of the sheet at
/// home no longer holds.
pub fn say_order(opened: &Opened, record: &Record, id: &str) {
    let mut orders = record.orders.iter();
    let Some(new) = orders.find(|order| order.id.as_deref() == Some(id)) else {
        return;
    };
    for line in in_time(record, new) {
        say::talk(&line);
    }
    for line in beside(opened, record, new) {
        say::talk(&line);
    }
    say_new(opened, record, new.on);
}

/// Says when an order begins or ends otherwise than somebody may think.
fn in_time(record: &Record, new: &Order) -> Vec<String> {
    let operation = record.episode.operation.0;
    let used_until = sheet_at_home(record).map(|issued| (issued.sheet, issued.use_until));
    let mut lines = Vec::new();
    let begins = new.begins();
    if begins > new.on {
        lines.push(match used_until.filter(|(_, last)| begins <= *last) {
            Some((sheet, last)) => format!(
                "it begins on {begins}, before sheet {sheet} ends on {last}: a sheet made from now \
                 on keeps to it from its first day"
            ),
            None => format!("it begins on {begins}; until then nothing changes by it"),
        });
    }
    if let Until::Date(last) = new.until {
        if last < operation {
            lines.push(format!(
                "it ends on {last}, before the operation of {operation}: after it nothing holds"
            ));
        } else if let Some((sheet, used)) = used_until.filter(|(_, used)| last < *used) {
            lines.push(format!(
                "it ends on {last}, before sheet {sheet} does on {used}: a sheet made now keeps to \
                 it on all its days"
            ));
        }
    }
    lines
}

/// Names the orders of its kind that stand beside a new one.
fn beside(opened: &Opened, record: &Record, new: &Order) -> Vec<String> {
    if new.value == OrderValue::NotOrdered {
        return Vec::new();
    }
    let before = standing(&opened.library, &opened.record, &new.what, new.begins());
    let clinics = before.iter().filter(|other| other.id.is_none());
    let gives_way: Vec<String> = clinics
        .map(|other| {
            format!(
                "the surgeon's standing order gives way to it: {}",
                order(other)
            )
        })
        .collect();
    let mut others = standing(&opened.library, record, &new.what, new.begins());
    others.retain(|other| other.id.is_some() && other.id != new.id);
    let Some(id) = others.first().and_then(|other| other.id.clone()) else {
        return gives_way;
    };
    let mut lines = gives_way;
    lines.push("it stands beside what was ordered before, and the strictest holds:".to_owned());
    lines.extend(others.iter().map(|other| format!("  {}", order(other))));
    lines.push(format!(
        "if it takes the place of one, that must be said: `order` once more with `--replaces {id}`"
    ));
    lines
}

/// Says, line by line, what of the sheet at home no longer holds on the day of something new.
pub fn say_new(opened: &Opened, record: &Record, on: NaiveDate) {
    match stands(&opened.library, record, on) {
        Stands::NoSheet => return,
        Stands::Holds(sheet) => {
            say::talk(&format!("nothing on sheet {sheet} at home changes by it"));
            return;
        }
        Stands::Void(sheet) => {
            say::talk(&format!(
                "sheet {sheet} at home is void and must not be used; see the patient, then the \
                 new sheet:"
            ));
            return say_next(opened, record, "");
        }
        Stands::Over(sheet) => say::talk(&format!(
            "sheet {sheet} at home has run out; a new sheet keeps to what was written now:"
        )),
        Stands::Withholds(sheet) => say::talk(&format!(
            "sheet {sheet} at home holds exercises back until a new sheet is made: see the \
             patient; at the visit an assessed sign, unchanged, is answered SIGN=known; then the \
             new sheet:"
        )),
        Stands::Overtaken(new) => say_lines(opened, &new),
    }
    say_next(opened, record, by_phone(record));
}

/// Says which commands make the new sheet.
fn say_next(opened: &Opened, record: &Record, how: &str) {
    let path = opened.path.display();
    match record.open_visit() {
        Some(_) => say::talk(&format!("  banister handout {path}")),
        None => say::talk(&format!(
            "  banister visit {path}{how}\n  banister handout {path}"
        )),
    }
}

/// Says, line by line, what of the sheet at home no longer holds now that a visit was put right.
pub fn say_put_right(opened: &Opened, record: &Record, wrong: i64, right: &Visit) {
    if let Some(new) = put_right_at(&opened.library, &opened.record, wrong, right) {
        say_lines(opened, &new);
        say_next(opened, record, by_phone(record));
    }
}

/// Exercises that are held back begin again at a visit in person.
fn by_phone(record: &Record) -> &'static str {
    match sheet_at_home(record) {
        Some(page) if page.phase.is_none() => "",
        Some(_) | None => " --phone",
    }
}

fn say_lines(opened: &Opened, new: &Overtaken) {
    say::talk(&format!(
        "what sheet {} at home says and now does not hold:",
        new.sheet
    ));
    for line in lines(new, &opened.library) {
        say::talk(&format!("  - {line}"));
    }
    if new.is_stricter() {
        say::talk("ring the patient today and tell them; then give them a new sheet:");
    } else {
        say::talk("the new sheet:");
    }
}

/// Warns of orders that the open visit of a sheet does not know, before the sheet goes out; says whether
/// there are any.
pub fn warn_unknown_orders(record: &Record, visit: &Visit) -> bool {
    let later: Vec<&Order> = record
        .orders
        .iter()
        .filter(|order| visit.is_open() && order.on > visit.date)
        .collect();
    for each in &later {
        say::talk(&format!(
            "warning: the visit of {} does not know this order, and the sheet does not hold to \
             it: {}",
            visit.date,
            order(each)
        ));
    }
    if let Some(last) = later.iter().map(|order| order.on).max() {
        say::talk(&format!(
            "so that it does: give the visit again before the sheet goes out, `visit --corrects \
             {} --date {last}`",
            visit.n
        ));
    }
    !later.is_empty()
}
