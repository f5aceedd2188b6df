//! Signs somebody has assessed: what an assessment came after, and how long it counts.
//!
//! Must not know what a sign does. Next: `engine::gate` reads the screen with it.

use chrono::{Days as Span, NaiveDate};

use super::ids::FlagId;
use super::quantity::{Days, Quantity};
use super::record::{Clearance, Record, Visit};
use super::recorded::Recorded;
use super::word::ScreenAnswer;

impl Clearance {
    /// Says whether it came after what was told at a visit: of one day, by its place in the file.
    pub fn follows(&self, visit: &Visit) -> bool {
        self.on > visit.date || (self.on == visit.date && visit.n <= self.visits)
    }

    /// Returns the last day on which it counts, however late an end it names.
    pub fn last_day(&self, most: Days) -> NaiveDate {
        let days = u64::try_from(most.get()).unwrap_or_default();
        let capped = self.on.checked_add_days(Span::new(days));
        capped.map_or(self.until, |capped| capped.min(self.until))
    }
}

impl Record {
    /// Lists the assessments of a sign made by a day.
    pub fn assessments<'a>(
        &'a self,
        flag: &FlagId,
        known: NaiveDate,
    ) -> impl Iterator<Item = &'a Clearance> {
        let all = self.clearances.iter();
        all.filter(move |clear| clear.flag == *flag && clear.on <= known)
    }

    /// Says whether somebody has assessed a sign after what was told at a visit.
    pub fn assessed_after(&self, flag: &FlagId, visit: &Visit, known: NaiveDate) -> bool {
        self.assessments(flag, known)
            .any(|clear| clear.follows(visit))
    }
}

impl Visit {
    /// Returns the answer to one sign; none when it was not asked.
    pub fn screened(&self, flag: &FlagId) -> Option<ScreenAnswer> {
        match &self.screen {
            Recorded::Yes(screen) => screen.get(flag).copied(),
            Recorded::NotRecorded => None,
        }
    }
}
