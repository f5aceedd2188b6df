//! Checks how the visits of a record follow each other as written: numbers, sheets, who is open.
//!
//! Their places in time are checked by `timeline`.

use super::super::codes::Code;
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::values::At;
use super::correction::InForce;
use super::visit::ReadVisit;

/// Tells everything that is wrong with the visits as written.
pub fn check(table: &mut TableReader<'_>, in_force: &InForce, visits: &[ReadVisit]) {
    numbers(table, visits);
    after_operation(table, in_force, visits);
    open(table, visits);
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
}
