//! Checks how visits take their places in time: one after the other, a correction in the place
//! of the visit it corrects.
//!
//! Follows the record from its first visit on, so that each visit is judged by what stood then.

use super::super::codes::Code;
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::values::At;
use super::visit::ReadVisit;

/// Tells everything that is wrong with the places of the visits.
pub fn check(table: &mut TableReader<'_>, visits: &[ReadVisit]) {
    let mut line: Vec<&ReadVisit> = Vec::new();
    let mut written: Vec<&ReadVisit> = Vec::new();
    for visit in visits {
        let place = |corrects: &At<i64>| line.iter().position(|standing| is(standing, corrects));
        match (&visit.corrects, visit.corrects.as_ref().and_then(place)) {
            (None, _) => {
                follows(table, line.last().copied(), visit);
                needs_a_sheet(table, visit);
                line.push(visit);
            }
            (Some(_), Some(place)) => replaces(table, &mut line, place, visit),
            (Some(corrects), None) => {
                nothing_to_correct(table, &written, corrects);
                line.push(visit);
            }
        }
        written.push(visit);
    }
}

fn is(visit: &ReadVisit, n: &At<i64>) -> bool {
    visit.n.as_ref().is_some_and(|own| own.value == n.value)
}

/// Tells when a new visit lies before the latest one.
fn follows(table: &mut TableReader<'_>, before: Option<&ReadVisit>, visit: &ReadVisit) {
    let Some((date, before)) = dates(visit, before) else {
        return;
    };
    if date.value < before.value {
        let message = format!(
            "this visit was on {}, before the visit that stands above it",
            date.value
        );
        let problem = Problem::new(Code::DateBack, date.at.clone(), message, "the earlier day");
        let problem = problem.also(before.at.clone(), "the later day");
        table.tell(problem.help("correct the date that is wrong"));
    }
}

/// Puts a correction in the place of the visit it corrects, and tells what does not fit there.
fn replaces<'a>(
    table: &mut TableReader<'_>,
    line: &mut [&'a ReadVisit],
    place: usize,
    visit: &'a ReadVisit,
) {
    let before = place.checked_sub(1).and_then(|at| line.get(at)).copied();
    let after = line.get(place.saturating_add(1)).copied();
    if let Some((date, before)) = dates(visit, before)
        && date.value < before.value
    {
        out_of_place(table, date, before, "before");
    }
    if let Some((date, after)) = dates(visit, after)
        && date.value > after.value
    {
        out_of_place(table, date, after, "after");
    }
    match after {
        Some(after) => needs_no_sheet(table, visit, after),
        None => needs_a_sheet(table, visit),
    }
    if let Some(standing) = line.get_mut(place) {
        *standing = visit;
    }
}

fn dates<'a>(
    visit: &'a ReadVisit,
    other: Option<&'a ReadVisit>,
) -> Option<(&'a At<chrono::NaiveDate>, &'a At<chrono::NaiveDate>)> {
    visit.date.as_ref().zip(other?.date.as_ref())
}

fn out_of_place(
    table: &mut TableReader<'_>,
    date: &At<chrono::NaiveDate>,
    other: &At<chrono::NaiveDate>,
    side: &str,
) {
    let message = format!(
        "this correction is dated {}, but the visit {side} the corrected one was on {}",
        date.value, other.value
    );
    let problem = Problem::new(Code::DateBack, date.at.clone(), message, "out of place");
    let label = format!("the visit {side} it");
    table.tell(problem.also(other.at.clone(), label).help(
        "a correction takes the place of the visit it corrects: its date lies between the visits \
         before and after that one",
    ));
}

/// Tells when a visit that is issued a sheet was closed without one.
fn needs_a_sheet(table: &mut TableReader<'_>, visit: &ReadVisit) {
    if let (Some(_), Some(at)) = (visit.no_sheet, &visit.closed) {
        let message = "only the correction of a visit that is not the latest is closed like this";
        let problem = Problem::new(Code::NoSheet, at.clone(), message, "needs its sheet");
        table.tell(problem.help("take this table and its seal out, and issue the handout"));
    }
}

/// Tells when the correction of a visit that is not the latest is open, or has a sheet.
fn needs_no_sheet(table: &mut TableReader<'_>, visit: &ReadVisit, after: &ReadVisit) {
    if visit.no_sheet.is_some() {
        return;
    }
    let (at, label) = match &visit.closed {
        Some(at) => (at, "a sheet was issued"),
        None => (&visit.at, "not closed"),
    };
    let message = "a later visit than the corrected one stands: this correction has no sheet";
    let problem = Problem::new(Code::NoSheet, at.clone(), message, label);
    let problem = problem.also(after.at.clone(), "the later visit");
    table.tell(problem.help("`visit --corrects` writes it as it must be"));
}

/// Tells that a correction names no visit that counts.
fn nothing_to_correct(table: &mut TableReader<'_>, written: &[&ReadVisit], corrects: &At<i64>) {
    let n = corrects.value;
    let at = corrects.at.clone();
    if !written.iter().any(|earlier| is(earlier, corrects)) {
        let message = format!("no visit {n} stands before this one");
        let problem = Problem::new(Code::Corrects, at, message, "corrects nothing");
        table.tell(problem.help("a correction names an earlier visit by its number"));
        return;
    }
    let first = written
        .iter()
        .filter_map(|earlier| earlier.corrects.as_ref())
        .find(|earlier| earlier.value == n);
    let message = format!("visit {n} has been corrected already");
    let problem = Problem::new(Code::Corrects, at, message, "second correction");
    let problem = match first {
        Some(first) => problem.also(first.at.clone(), "first correction"),
        None => problem,
    };
    table.tell(problem.help("correct the visit that corrected it"));
}

#[cfg(test)]
mod tests {
    use super::super::samples::{RECORD, line, only, read, told, with};

    /// Visit 3 as the correction of visit 1, on a date, closed without a sheet or not.
    fn late(date: &str, closed: bool) -> String {
        let end = "\n[visit.closed]\nsheet = \"none\"\n[visit.seal]\nsha256 = \
            \"abababababababababababababababababababababababababababababababab\"\n";
        let text = with("corrects = 2", "corrects = 1")
            .replace("date = 2026-05-18", &format!("date = {date}"))
            .replace("next_visit = \"none\"", "next_visit = 2026-05-20");
        if closed { format!("{text}{end}") } else { text }
    }

    #[test]
    fn a_correction_stands_between_the_neighbours_of_the_corrected_visit() {
        for date in ["2026-05-04", "2026-05-06", "2026-05-11"] {
            let record = read(&late(date, true)).unwrap();
            let order: Vec<i64> = record.effective().iter().map(|visit| visit.n).collect();
            assert_eq!(order, [3, 2], "{date}");
            assert_eq!(record.latest().unwrap().n, 2);
        }
        let told_late = told(&late("2026-05-12", true));
        line(&told_late, "BN063", "the visit after the corrected one");
        only(
            "date = 2026-05-18",
            "date = 2026-05-05",
            "BN063",
            "the visit before the corrected",
        );
    }

    #[test]
    fn only_a_late_correction_has_no_sheet_and_it_never_has_one() {
        line(&told(&late("2026-05-06", false)), "BN076", "has no sheet");
        let end = late("2026-05-06", true);
        let (_, end) = end.split_once("\n[visit.closed]").unwrap();
        let told_latest = told(&format!("{RECORD}\n[visit.closed]{end}"));
        line(&told_latest, "BN076", "not the latest");
        assert_eq!(told_latest.lines().count(), 1, "{told_latest}");
        let word = late("2026-05-06", true).replace("sheet = \"none\"", "sheet = \"some\"");
        line(&told(&word), "BN024", "`sheet`");
    }

    #[test]
    fn an_open_visit_is_followed_by_its_correction_alone() {
        let again = "\n[[visit]]\nn = 4\ndate = 2026-05-18\nhow = \"seen\"\nby = \"PT-9\"\n";
        line(
            &told(&format!("{RECORD}{again}")),
            "BN065",
            "another one stands after it",
        );
        let corrects = format!("{again}corrects = 3\n");
        let record = read(&format!("{RECORD}{corrects}")).unwrap();
        assert_eq!(record.latest().unwrap().n, 4);
        assert!(record.open_visit().is_some_and(|visit| visit.n == 4));
        assert!(record.visits[2].is_open(), "it stays without a sheet");
        let other = format!("{again}corrects = 1\n");
        line(
            &told(&format!("{RECORD}{other}")),
            "BN065",
            "another one stands after it",
        );
    }

    #[test]
    fn a_correction_names_an_earlier_visit_once() {
        only(
            "corrects = 2",
            "corrects = 3",
            "BN067",
            "no visit 3 stands before",
        );
        only("corrects = 2", "corrects = 7", "BN067", "no visit 7");
        let chain = with("how = \"phone\"", "how = \"phone\"\ncorrects = 1");
        let record = read(&chain).unwrap();
        assert_eq!(
            record.visits[2].patient.goal, record.patient.goal,
            "a chain leaves none of both"
        );
        let second = chain.replace("corrects = 2", "corrects = 1");
        line(&told(&second), "BN067", "corrected already");
    }
}
