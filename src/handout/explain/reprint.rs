//! What is said before an old sheet is given back: what has changed since, what may harm first.

use super::corrections::put_right;
use super::{limit, trade};
use crate::domain::ids::Id;
use crate::domain::reprint::Outdated;

/// Says everything that speaks against giving a sheet back, a line each.
pub fn outdated(sheet: i64, found: &[Outdated]) -> Vec<String> {
    found.iter().map(|each| line(sheet, each)).collect()
}

fn line(sheet: i64, outdated: &Outdated) -> String {
    match outdated {
        Outdated::Withheld { since, flags } => {
            let flags: Vec<&str> = flags.iter().map(Id::as_str).collect();
            let why = if flags.is_empty() {
                "no new sheet was made since".to_owned()
            } else {
                format!("{} not assessed since", flags.join(", "))
            };
            format!(
                "NO EXERCISES since {}: {why}. Sheet {sheet} must not be used",
                trade::date(*since)
            )
        }
        Outdated::Void { correction } => format!(
            "sheet {sheet} is void and must not be used: {}",
            put_right(correction)
        ),
        Outdated::Moved { correction } => format!(
            "sheet {sheet} counts to another day: {}",
            put_right(correction)
        ),
        Outdated::Corrected { visit, by } => {
            format!("sheet {sheet} was decided with visit {visit}, which visit {by} corrects")
        }
        Outdated::Replaced { sheet: newer, on } => format!(
            "sheet {sheet} is not the latest: sheet {newer} of {} took its place",
            trade::date(*on)
        ),
        Outdated::Order { order } => format!(
            "an order was written down after sheet {sheet}: {}",
            limit::order(order)
        ),
        Outdated::Assessed { clearance } => format!(
            "{} was assessed after sheet {sheet}: {}, {}, counts until {}",
            clearance.flag,
            clearance.by,
            trade::date(clearance.on),
            trade::date(clearance.until)
        ),
        Outdated::SetAside { said } => format!(
            "limit {} was set aside after sheet {sheet}, which holds to it: {}, {}: {}",
            said.limit,
            said.by,
            trade::date(said.on),
            said.because
        ),
        Outdated::Over { until, slip_until } if slip_until > until => format!(
            "sheet {sheet} ended on {}; the same dose until {} if the visit slipped",
            trade::date(*until),
            trade::date(*slip_until)
        ),
        Outdated::Over { until, .. } => {
            format!("sheet {sheet} ended on {}", trade::date(*until))
        }
    }
}
