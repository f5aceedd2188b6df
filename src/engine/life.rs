//! How long a sheet lives.
//!
//! Must not know limits; `limit` shortens the days a slipped visit may add.

use chrono::NaiveDate;

use crate::domain::library::Library;
use crate::domain::quantity::Quantity;
use crate::domain::record::NextVisit;
use crate::domain::recorded::Recorded;
use crate::domain::time::OperationDate;
use crate::domain::verdict::Life;

use super::dates::{days_between, later};

/// Returns the life of a sheet made today, limits not yet looked at.
///
/// One made before the operation ends the day before it, also when the visit slips.
pub(crate) fn of(
    library: &Library,
    next_visit: Recorded<NextVisit>,
    operation: OperationDate,
    date: NaiveDate,
) -> Life {
    let next_visit = match next_visit {
        Recorded::Yes(next) => next,
        Recorded::NotRecorded => NextVisit::Unknown,
    };
    let wanted = match next_visit {
        NextVisit::Date(next) if next > date => days_between(date, next),
        NextVisit::Date(_) | NextVisit::None | NextVisit::Unknown => {
            library.clinic.sheet_days.get()
        }
    };
    let bounds = &library.procedure.settings.bounds;
    let until = later(date, wanted.clamp(0, bounds.sheet_days_most.get()));
    let slip_until = later(until, bounds.slip_days.get());
    let last = if date < operation.0 {
        later(operation.0, -1)
    } else {
        slip_until
    };
    Life {
        from: date,
        until: until.min(last),
        next_visit,
        slip_until: slip_until.min(last),
    }
}
