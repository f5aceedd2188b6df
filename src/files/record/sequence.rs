//! Checks how the visits of a record follow each other as written: numbers, sheets, who is open.
//!
//! Their places in time are checked by `timeline`.

use super::super::codes::Code;
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::values::At;
use super::correction::InForce;
use super::visit::ReadVisit;
use crate::domain::word::How;

/// Tells everything that is wrong with the visits as written.
pub fn check(table: &mut TableReader<'_>, in_force: &InForce, visits: &[ReadVisit]) {
    numbers(table, visits);
    after_operation(table, in_force, visits);
    open(table, visits);
    sheets(table, visits);
    kept(table, visits);
}

/// Tells each slip once: after a wrong number the count goes on from it, or from where it was.
fn numbers(table: &mut TableReader<'_>, visits: &[ReadVisit]) {
    let mut before: Option<&At<i64>> = None;
    for (next, visit) in (1_i64..).zip(visits) {
        let goes_on = |n: i64| before.is_some_and(|before| n == before.value.saturating_add(1));
        if let Some(n) = &visit.n
            && n.value != next
            && !goes_on(n.value)
        {
            let message = format!("this visit is number {}, but {next} comes next", n.value);
            let label = format!("should be {next}");
            let problem = Problem::new(Code::VisitNumber, n.at.clone(), message, label);
            table.tell(match before {
                Some(before) => problem.also(before.at.clone(), "the visit before"),
                None => problem,
            });
        }
        before = visit.n.as_ref();
    }
}

/// Tells when a visit before the operation holds what only comes after it.
fn after_operation(table: &mut TableReader<'_>, in_force: &InForce, visits: &[ReadVisit]) {
    for visit in visits {
        let (Some(date), Some(read), Some(operation)) =
            (&visit.date, &visit.visit, in_force.operation())
        else {
            continue;
        };
        let late = read.block_gone.is_recorded() || read.cleared_for_home_by.is_recorded();
        if late && date.value < operation.0 {
            let message = format!("this visit was before the operation of {}", operation.0);
            let problem = Problem::new(Code::OperationDay, date.at.clone(), message, "before");
            table.tell(problem.help(
                "`block_gone` and `cleared_for_home_by` are of the days after it: which date is \
                 wrong?",
            ));
        }
    }
}

fn open(table: &mut TableReader<'_>, visits: &[ReadVisit]) {
    let Some(last) = visits.last() else {
        return;
    };
    for (visit, next) in visits.iter().zip(visits.iter().skip(1)) {
        let own = visit.n.as_ref().map(|n| n.value);
        let corrected = next.corrects.as_ref().map(|n| n.value);
        if visit.closed.is_some() || (own.is_some() && own == corrected) {
            continue;
        }
        let message = "this visit is open, but another one stands after it";
        let problem = Problem::new(Code::OpenVisit, visit.at.clone(), message, "nothing issued")
            .also(last.at.clone(), "the last visit; only this one may be open");
        table.tell(problem.help(
            "issue the handout of a visit before the next one is written; if the patient went \
             without, take the later visit out and write its facts into this one",
        ));
    }
}

fn sheets(table: &mut TableReader<'_>, visits: &[ReadVisit]) {
    let mut before: Option<&At<i64>> = None;
    for sheet in visits.iter().filter_map(|visit| visit.sheet.as_ref()) {
        if let Some(before) = before.filter(|before| sheet.value <= before.value) {
            let message = format!("sheet {} cannot follow sheet {}", sheet.value, before.value);
            let problem = Problem::new(Code::SheetNumber, sheet.at.clone(), message, "not higher");
            table.tell(problem.also(before.at.clone(), "the sheet before"));
        }
        before = Some(sheet);
    }
}

/// Tells when a visit leaves a sheet at home that is not there, or may not leave one.
fn kept(table: &mut TableReader<'_>, visits: &[ReadVisit]) {
    for (place, visit) in visits.iter().enumerate() {
        let Some(kept) = &visit.kept else {
            continue;
        };
        let before = visits.get(..place).unwrap_or_default();
        if let Some((message, label)) = not_kept(before, visit, kept.value) {
            let problem = Problem::new(Code::NoSheet, kept.at.clone(), message, label);
            table.tell(problem.help("`handout --keep` writes it as it must be"));
        }
    }
}

fn not_kept(before: &[ReadVisit], visit: &ReadVisit, sheet: i64) -> Option<(String, &'static str)> {
    let how = visit.visit.as_ref().map(|visit| visit.how);
    if how == Some(How::Seen) {
        let message = "a visit in person has a sheet of its own";
        return Some((message.to_owned(), "not by phone"));
    }
    let last = before.iter().rfind(|earlier| earlier.sheet.is_some());
    let number = last.and_then(|last| last.sheet.as_ref()).map(|at| at.value);
    if number != Some(sheet) {
        let message = format!("sheet {sheet} is not the one given last");
        return Some((message, "another sheet is at home, or none"));
    }
    let issued = last.and_then(|last| last.visit.as_ref()?.issued.as_ref());
    if issued.is_some_and(|issued| issued.phase.is_none()) {
        let message = format!("sheet {sheet} has no exercises: it withholds them");
        return Some((message, "nothing to go on with"));
    }
    let corrects = visit.corrects.as_ref().map(|n| n.value);
    let corrected = |earlier: &&ReadVisit| earlier.n.as_ref().map(|n| n.value) == corrects;
    let corrected = before.iter().filter(|_| corrects.is_some()).find(corrected);
    corrected
        .filter(|earlier| earlier.sheet.is_some())
        .map(|_| {
            let message = "this visit corrects one that had a sheet, and needs a sheet of its own";
            (message.to_owned(), "decided with what was wrong")
        })
}

#[cfg(test)]
mod tests {
    use super::super::samples::{RECORD, line, read, told, with};

    #[test]
    fn visits_are_numbered_without_gaps_and_dates_never_go_back() {
        let number = told(&with("corrects = 2\n", "").replace("n = 2\n", "n = 4\n"));
        line(&number, "BN062", "number 4, but 2 comes next");
        assert_eq!(number.lines().count(), 1, "{number}");
        let dated = |day: &str| with("corrects = 2\n", "").replace("date = 2026-05-18", day);
        line(&told(&dated("date = 2026-05-10")), "BN063", "on 2026-05-10");
        let both = read(&dated("date = 2026-05-10")).unwrap_err();
        assert_eq!(
            both.iter().next().unwrap().related.len(),
            1,
            "both visits are shown"
        );
        assert!(read(&dated("date = 2026-05-11")).is_ok(), "two on one day");
    }

    #[test]
    fn one_gap_in_the_numbers_is_told_once() {
        let told = told(
            &with("corrects = 2\n", "")
                .replace("n = 2\n", "n = 3\n")
                .replace("n = 3\ndate = 2026-05-18", "n = 4\ndate = 2026-05-18"),
        );
        line(&told, "BN062", "number 3, but 2 comes next");
        assert_eq!(told.lines().count(), 1, "{told}");
    }

    #[test]
    fn only_the_last_visit_may_be_open() {
        let (first, rest) = RECORD.split_once("\n[visit.issued]\nsheet = 3").unwrap();
        let (_, third) = rest.split_once("\n[[visit]]\nn = 3").unwrap();
        let third = third.replace("corrects = 2\n", "");
        let told = told(&format!("{first}\n[[visit]]\nn = 3{third}"));
        line(&told, "BN065", "another one stands after it");
        assert_eq!(told.lines().count(), 1, "{told}");
    }

    /// A call as visit 4 that leaves a sheet at home, after a program as sheet 4.
    fn call(sheet: i64, how: &str, corrects: &str) -> String {
        let (_, first) = RECORD.split_once("\n[visit.issued]\n").unwrap();
        let (issued, _) = first.split_once("\n[[clear]]").unwrap();
        let issued = issued
            .replace("sheet = 1\n", "sheet = 4\n")
            .replace("2026-05-06", "2026-05-18")
            .replace("2026-05-11", "2026-05-25");
        let seal = "[visit.seal]\nsha256 = \
            \"abababababababababababababababababababababababababababababababab\"\n";
        format!(
            "{RECORD}\n[visit.issued]\n{issued}\n[[visit]]\nn = 4\ndate = 2026-05-20\n\
             how = \"{how}\"\nby = \"PT-9\"\n{corrects}[visit.kept]\nsheet = {sheet}\n{seal}"
        )
    }

    #[test]
    fn a_call_leaves_the_sheet_given_last_at_home() {
        let record = read(&call(4, "phone", "")).unwrap_or_else(|problems| panic!("{problems}"));
        let visit = record.visits.last().unwrap();
        assert_eq!((visit.kept, visit.is_open()), (Some(4), false));
        assert!(record.given_at(visit).is_none(), "it gave none");
        let other = told(&call(1, "phone", ""));
        line(&other, "BN076", "sheet 1 is not the one given last");
        let seen = told(&call(4, "seen", ""));
        line(&seen, "BN076", "in person");
        let corrects = told(&call(4, "phone", "corrects = 3\n"));
        line(&corrects, "BN076", "corrects one that had a sheet");
        let page = call(4, "phone", "");
        let (start, end) = page.split_once("\n[visit.issued]\nsheet = 4").unwrap();
        let end = end.replace("phase = \"protect\"\n", "");
        let page = told(&format!("{start}\n[visit.issued]\nsheet = 4{end}"));
        line(&page, "BN076", "withholds");
    }

    #[test]
    fn a_visit_is_closed_in_one_way_and_sealed() {
        let whole = call(4, "phone", "");
        let bare = whole.rsplit_once("[visit.seal]").unwrap().0;
        line(&told(bare), "BN066", "what closed it is not sealed");
        let twice = whole.replace(
            "[visit.kept]",
            "[visit.closed]\nsheet = \"none\"\n[visit.kept]",
        );
        line(&told(&twice), "BN066", "closed in one way");
        let word = whole.replace("[visit.kept]\nsheet = 4", "[visit.kept]\nsheet = \"4\"");
        line(&told(&word), "BN022", "`sheet`");
    }
}
