//! Checks how the visits of a record follow each other.

use chrono::NaiveDate;

use super::super::codes::Code;
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::values::At;
use super::visit::ReadVisit;

/// Tells everything that is wrong with the order of the visits.
pub fn check(table: &mut TableReader<'_>, operation: Option<&At<NaiveDate>>, visits: &[ReadVisit]) {
    numbers(table, visits);
    dates(table, operation, visits);
    open(table, visits);
    corrections(table, visits);
    sheets(table, visits);
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

fn dates(table: &mut TableReader<'_>, operation: Option<&At<NaiveDate>>, visits: &[ReadVisit]) {
    let mut before: Option<&At<NaiveDate>> = None;
    for date in visits.iter().filter_map(|visit| visit.date.as_ref()) {
        if let Some(before) = before.filter(|before| date.value < before.value) {
            let message = format!(
                "this visit was on {}, before the visit that stands above it",
                date.value
            );
            let problem = Problem::new(Code::DateBack, date.at.clone(), message, "the earlier day");
            let problem = problem.also(before.at.clone(), "the later day");
            table.tell(problem.help("correct the date that is wrong"));
        }
        if let Some(operation) = operation.filter(|operation| date.value < operation.value) {
            let message = "this visit was before the operation";
            let problem = Problem::new(Code::BeforeOperation, date.at.clone(), message, "before");
            let problem = problem.also(operation.at.clone(), "the operation");
            table.tell(problem.help("there is no program for the days before an operation"));
        }
        before = Some(date);
    }
}

fn open(table: &mut TableReader<'_>, visits: &[ReadVisit]) {
    let Some((last, earlier)) = visits.split_last() else {
        return;
    };
    for visit in earlier.iter().filter(|visit| visit.closed.is_none()) {
        let message = "this visit is open, but another one stands after it";
        let problem = Problem::new(Code::OpenVisit, visit.at.clone(), message, "nothing issued")
            .also(last.at.clone(), "the last visit; only this one may be open");
        table.tell(problem.help(
            "issue the handout of a visit before the next one is written; if the patient went \
             without, take the later visit out and write its facts into this one",
        ));
    }
}

fn corrections(table: &mut TableReader<'_>, visits: &[ReadVisit]) {
    let mut earlier: Vec<i64> = Vec::new();
    let mut corrected: Vec<&At<i64>> = Vec::new();
    for visit in visits {
        if let Some(corrects) = &visit.corrects {
            let n = corrects.value;
            let at = corrects.at.clone();
            let twice = corrected.iter().find(|earlier| earlier.value == n);
            if !earlier.contains(&n) {
                let message = format!("no visit {n} stands before this one");
                let problem = Problem::new(Code::Corrects, at, message, "corrects nothing");
                table.tell(problem.help("a correction names an earlier visit by its number"));
            } else if let Some(first) = twice {
                let message = format!("visit {n} has been corrected already");
                let problem = Problem::new(Code::Corrects, at, message, "second correction");
                let problem = problem.also(first.at.clone(), "first correction");
                table.tell(problem.help("correct the visit that corrected it"));
            }
            corrected.push(corrects);
        }
        earlier.extend(visit.n.as_ref().map(|n| n.value));
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

#[cfg(test)]
mod tests {
    use super::super::samples::{RECORD, line, only, read, told, told_with, with};

    #[test]
    fn visits_are_numbered_without_gaps_and_dates_never_go_back() {
        only("n = 2\n", "n = 4\n", "BN062", "number 4, but 2 comes next");
        only(
            "date = 2026-05-18",
            "date = 2026-05-10",
            "BN063",
            "on 2026-05-10",
        );
        let told = told_with("operation = 2026-05-04", "operation = 2026-05-07");
        line(&told, "BN064", "before the operation");
        let both = read(&with("date = 2026-05-18", "date = 2026-05-10")).unwrap_err();
        assert_eq!(
            both.iter().next().unwrap().related.len(),
            1,
            "both visits are shown"
        );
        assert!(
            read(&with("date = 2026-05-18", "date = 2026-05-11")).is_ok(),
            "two on one day"
        );
    }

    #[test]
    fn one_gap_in_the_numbers_is_told_once() {
        let told = told(
            &with("n = 2\n", "n = 3\n")
                .replace("n = 3\ndate = 2026-05-18", "n = 4\ndate = 2026-05-18"),
        );
        line(&told, "BN062", "number 3, but 2 comes next");
        assert_eq!(told.lines().count(), 1, "{told}");
    }

    #[test]
    fn only_the_last_visit_may_be_open() {
        let (first, rest) = RECORD.split_once("\n[visit.issued]\nsheet = 3").unwrap();
        let (_, third) = rest.split_once("\n[[visit]]\nn = 3").unwrap();
        let told = told(&format!("{first}\n[[visit]]\nn = 3{third}"));
        line(&told, "BN065", "another one stands after it");
        assert_eq!(told.lines().count(), 1, "{told}");
    }

    #[test]
    fn a_correction_names_an_earlier_visit_once() {
        only(
            "corrects = 1",
            "corrects = 3",
            "BN067",
            "no visit 3 stands before",
        );
        only("corrects = 1", "corrects = 7", "BN067", "no visit 7");
        let second = with("how = \"phone\"", "how = \"phone\"\ncorrects = 1");
        line(&told(&second), "BN067", "corrected already");
        let chain = second.replace(
            "by = \"PT-9\"\ncorrects = 1\ndid",
            "by = \"PT-9\"\ncorrects = 2\ndid",
        );
        let record = read(&chain).unwrap();
        assert_eq!(
            record.visits[2].patient.goal, record.patient.goal,
            "a chain leaves none of both"
        );
    }
}
