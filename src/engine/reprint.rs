//! What speaks against giving an old sheet back today.
//!
//! Looks at the record as it stands now; must not change what went out, nor decide a dose.

use chrono::NaiveDate;

use crate::domain::correction::PutRight;
use crate::domain::due::Warning;
use crate::domain::library::Library;
use crate::domain::record::{Record, Visit};
use crate::domain::reprint::Outdated;
use crate::domain::timeline::SheetGiven;
use crate::domain::word::ScreenAnswer;

use super::due::{due, slip_until};

/// Lists what has changed since a sheet went out, what may harm first; none when it still holds.
///
/// A sheet nobody knows has changed in nothing.
pub fn outdated(library: &Library, record: &Record, sheet: i64, today: NaiveDate) -> Vec<Outdated> {
    let Some((visit, issued)) = record.sheet(sheet) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    if issued.phase.is_some() {
        found.extend(withheld(library, record, today));
    }
    found.extend(corrections(record, visit));
    let last = record.visits.iter().rev();
    let newest = last.into_iter().find_map(|later| {
        let issued = later.issued.as_ref()?;
        (issued.sheet > sheet).then_some((issued.sheet, later.date))
    });
    found.extend(newest.map(|(sheet, on)| Outdated::Replaced { sheet, on }));
    let given = SheetGiven {
        visit,
        issued_at: visit,
        issued,
    };
    let newer = record.newer_orders(given, today);
    found.extend(newer.cloned().map(|order| Outdated::Order { order }));
    found.extend(loosened(record, visit));
    if issued.phase.is_some() && today > issued.use_until {
        let until = issued.use_until;
        // Nobody carries on with a sheet that something else speaks against.
        let slip_until = if found.is_empty() {
            slip_until(library, record, visit, issued)
        } else {
            until
        };
        found.push(Outdated::Over { until, slip_until });
    }
    found
}

/// Says whether no exercises may be done now; a visit ahead of the clock is known all the same.
fn withheld(library: &Library, record: &Record, today: NaiveDate) -> Option<Outdated> {
    let latest = record.latest().map_or(today, |visit| visit.date);
    let warnings = due(library, record, today.max(latest)).warnings;
    warnings.into_iter().find_map(|warning| match warning {
        Warning::Withheld { since, flags, .. } => Some(Outdated::Withheld { since, flags }),
        Warning::Void { .. }
        | Warning::Overtaken(_)
        | Warning::Restricted { .. }
        | Warning::SameToken { .. }
        | Warning::NotInRecord { .. }
        | Warning::NeverSeen
        | Warning::VisitOpen { .. }
        | Warning::VisitOvertaken { .. }
        | Warning::ScreenUnanswered { .. }
        | Warning::NextVisitPast { .. }
        | Warning::PhoneCheck { .. }
        | Warning::Sheet { .. }
        | Warning::Order { .. }
        | Warning::Clearance { .. }
        | Warning::Review { .. }
        | Warning::BeyondLibrary { .. } => None,
    })
}

fn corrections(record: &Record, visit: &Visit) -> Vec<Outdated> {
    let after = record.corrections.iter().filter(|made| made.follows(visit));
    let mut found: Vec<Outdated> = after
        .cloned()
        .map(|correction| match correction.what {
            PutRight::Side { .. } | PutRight::Operation { .. } => Outdated::Void { correction },
            PutRight::Moved { .. } => Outdated::Moved { correction },
        })
        .collect();
    found.extend(record.corrected_by(visit).map(|by| Outdated::Corrected {
        visit: visit.n,
        by: by.n,
    }));
    found
}

/// Lists what allows more than the sheet does: a sign assessed since, a limit set aside since.
fn loosened(record: &Record, visit: &Visit) -> Vec<Outdated> {
    let said_yes = |flag| visit.screened(flag) == Some(ScreenAnswer::Yes);
    let clearances = record.clearances.iter();
    let assessed = clearances
        .filter(|clear| said_yes(&clear.flag) && clear.follows(visit))
        .map(|clear| Outdated::Assessed {
            clearance: clear.clone(),
        });
    let overrides = record.overrides.iter().filter(|said| said.on > visit.date);
    let aside = overrides.map(|said| Outdated::SetAside { said: said.clone() });
    assessed.chain(aside).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::record::{Clearance, LimitOverride, Until};
    use crate::engine::sample;

    /// Sheet 1 of day 5, to day 19.
    fn one() -> Record {
        let mut record = sample::record(40);
        sample::earlier(&mut record, 5, &[("bend", "b2")]);
        record.visits.truncate(1);
        record
    }

    fn on(record: &Record, day: i64) -> Vec<Outdated> {
        outdated(&sample::library(), record, 1, sample::on(day))
    }

    /// A second visit on day 12, with sheet 2: a program or a page that withholds.
    fn second(record: &mut Record, withholds: bool) {
        let mut visit = record.visits[0].clone();
        (visit.n, visit.date) = (2, sample::on(12));
        if let Some(issued) = &mut visit.issued {
            issued.sheet = 2;
            issued.phase = issued.phase.take().filter(|_| !withholds);
        }
        record.visits.push(visit);
    }

    #[test]
    fn a_sheet_that_holds_has_nothing_against_it_until_its_last_day_is_over() {
        let record = one();
        assert_eq!(on(&record, 5), []);
        assert_eq!(on(&record, 19), []);
        let (until, slip_until) = (sample::on(19), sample::on(33));
        assert_eq!(on(&record, 20), [Outdated::Over { until, slip_until }]);
        assert!(!Outdated::Over { until, slip_until }.stops());
        assert_eq!(
            outdated(&sample::library(), &record, 7, until),
            [],
            "no such sheet"
        );
    }

    #[test]
    fn exercises_withheld_since_stop_an_older_sheet_also_before_the_page_is_printed() {
        let since = sample::on(12);
        for printed in [true, false] {
            let mut record = one();
            second(&mut record, true);
            record.visits[1].issued = record.visits[1].issued.take().filter(|_| printed);
            sample::answer(&mut record, "clot", ScreenAnswer::Yes);
            let flags = vec![sample::id("clot")];
            let withheld = Outdated::Withheld { since, flags };
            let found = on(&record, 13);
            assert!(
                found.first() == Some(&withheld) && withheld.stops(),
                "{found:?}"
            );
            assert!(
                on(&record, 3).contains(&withheld),
                "a clock that is behind hides nothing"
            );
            let page = outdated(&sample::library(), &record, 2, sample::on(13));
            assert_eq!(page, [], "the page says so itself");
        }
    }

    #[test]
    fn a_newer_sheet_and_a_visit_given_again_are_named() {
        let mut record = one();
        second(&mut record, false);
        let replaced = Outdated::Replaced {
            sheet: 2,
            on: sample::on(12),
        };
        assert_eq!(on(&record, 12), std::slice::from_ref(&replaced));
        record.visits[1].corrects = Some(1);
        let corrected = Outdated::Corrected { visit: 1, by: 2 };
        assert_eq!(on(&record, 12), [corrected, replaced]);
        let until = sample::on(19);
        let over = Outdated::Over {
            until,
            slip_until: until,
        };
        assert_eq!(on(&record, 20).last(), Some(&over), "no days for a slip");
    }

    #[test]
    fn what_was_written_down_below_a_sheet_is_newer_whatever_its_date() {
        let order = |line, until| {
            let mut order = sample::cap(60, 3, until);
            order.origin.line = line;
            order
        };
        let mut record = one();
        record.orders.push(order(1, Until::Open));
        assert_eq!(on(&record, 12), [], "the sheet was made with it");
        let late = order(9, Until::Date(sample::on(12)));
        record.orders.push(late.clone());
        assert_eq!(on(&record, 12), [Outdated::Order { order: late }]);
        assert_eq!(on(&record, 13), [], "it is over");
        let order = order(1, Until::Open);
        let order = crate::domain::record::Order {
            on: sample::on(6),
            ..order
        };
        record.orders = vec![order.clone()];
        let newer = [Outdated::Order { order }];
        assert_eq!(on(&record, 12), newer, "a sheet issued late knows it not");
    }

    #[test]
    fn a_correction_makes_it_void_and_a_sign_or_limit_is_less_than_it_says() {
        let mut record = one();
        let made = sample::day_put_right(2, 1);
        record.corrections.push(made.clone());
        let void = Outdated::Void { correction: made };
        assert!(void.stops() && on(&record, 12).contains(&void));
        let mut record = one();
        let clear = |flag: &str, day| Clearance {
            flag: sample::id(flag),
            by: "Ward".to_owned(),
            on: sample::on(day),
            until: sample::on(30),
            visits: i64::from(day > 5),
        };
        sample::answer(&mut record, "wound", ScreenAnswer::Yes);
        record.clearances = vec![clear("wound", 5), clear("clot", 8)];
        assert_eq!(on(&record, 12), [], "before it, or of no sign it speaks of");
        record.clearances = vec![clear("wound", 6)];
        let clearance = clear("wound", 6);
        assert_eq!(on(&record, 12), [Outdated::Assessed { clearance }]);
        let said = LimitOverride {
            limit: sample::id("soft"),
            by: "PT".to_owned(),
            on: sample::on(7),
            because: "Because.".to_owned(),
            until: sample::on(30),
        };
        let mut record = one();
        record.overrides.push(said.clone());
        assert_eq!(on(&record, 12), [Outdated::SetAside { said }]);
    }
}
