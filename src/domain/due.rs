//! Who is due, and what is missing: one record seen on one day, as ids and numbers.
//!
//! Must not hold sentences. Next: `engine::due` works it out, `handout::due` puts it into words.

use chrono::NaiveDate;

use super::correction::Correction;
use super::ids::{FlagId, OrderKind, PhaseId, ProcedureId, SurgeonId};
use super::overtaken::Overtaken;
use super::record::NextVisit;
use super::recorded::Recorded;
use super::time::Day;
use super::verdict::ReviewDue;
use super::word::{DocumentState, How, Side};

/// One record on one day.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Due {
    /// The day it is looked at.
    pub date: NaiveDate,
    /// The operated side, as the record said then.
    pub side: Side,
    /// Days since the operation.
    pub day: Day,
    /// Phase of the last sheet with a program; none before the first.
    pub phase: Option<PhaseId>,
    /// The latest visit in time that nobody corrected; none after intake alone.
    pub last: Option<LastVisit>,
    /// The visit to come.
    pub next: Recorded<NextVisit>,
    /// The first day on which somebody has something to do; none when nothing is known to come.
    pub soonest: Option<NaiveDate>,
    /// What asks for somebody, most pressing first.
    pub warnings: Vec<Warning>,
}

/// One record of the list.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Listed {
    /// Its file, as named.
    pub path: String,
    /// The token of its episode.
    pub token: String,
    /// The operation.
    pub procedure: ProcedureId,
    /// What it asks for.
    #[serde(flatten)]
    pub due: Due,
}

/// The last visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct LastVisit {
    /// Its date.
    pub date: NaiveDate,
    /// Whole days ago.
    pub days_ago: i64,
    /// Seen or by phone.
    pub how: How,
}

/// Something that asks for somebody.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[serde(tag = "warning", rename_all = "kebab-case")]
pub enum Warning {
    /// No exercises may be done, and these flags wait to be assessed; none when none waits.
    Withheld {
        /// Since this visit.
        since: NaiveDate,
        /// Not assessed since.
        flags: Vec<FlagId>,
        /// The sheet with exercises that is at home all the same.
        still: Option<i64>,
    },
    /// The sheet at home is void, and nothing has taken its place.
    Void {
        /// Its number.
        sheet: i64,
        /// What made it void, in order; at least one.
        corrections: Vec<Correction>,
    },
    /// The sheet at home does not hold to something newer: an order, an assessment, an override.
    Overtaken(Overtaken),
    /// More than one flag narrows the program, and none of these was assessed since.
    Restricted {
        /// Since this visit.
        since: NaiveDate,
        /// Which.
        flags: Vec<FlagId>,
    },
    /// The same token stands in other files too.
    SameToken {
        /// Which files; the first few.
        also: Vec<String>,
        /// How many more there are.
        more: usize,
    },
    /// A sheet is kept beside the record and not in it: a crash, or an older copy.
    NotInRecord {
        /// Its number.
        sheet: i64,
    },
    /// No visit is in the record.
    NeverSeen,
    /// A visit has no sheet yet.
    VisitOpen {
        /// Its date.
        date: NaiveDate,
        /// Questions that must be answered first.
        questions: usize,
    },
    /// An open visit was entered before the record was put right: it is given again.
    VisitOvertaken {
        /// Its date.
        date: NaiveDate,
        /// Its number.
        n: i64,
    },
    /// The open visit has flags that nobody asked about.
    ScreenUnanswered {
        /// Which.
        flags: Vec<FlagId>,
    },
    /// The next visit did not happen.
    NextVisitPast {
        /// When it was to be.
        on: NaiveDate,
        /// Whole days ago.
        days: i64,
    },
    /// The phone check of the first days at home is due.
    PhoneCheck {
        /// First day for it.
        from: NaiveDate,
        /// Last day for it, included.
        until: NaiveDate,
        /// Days past the last one; 0 is not overdue.
        overdue: i64,
    },
    /// The sheet ends soon or has ended.
    Sheet {
        /// Its number.
        sheet: i64,
        /// How it stands.
        state: SheetState,
    },
    /// Something about an order.
    Order {
        /// Which.
        what: OrderKind,
        /// What.
        state: OrderState,
    },
    /// An assessed flag counts only for some days more, or no more.
    Clearance {
        /// Which.
        flag: FlagId,
        /// Last day it counts, included.
        until: NaiveDate,
        /// Days left; 0 is today, negative is past.
        days: i64,
    },
    /// A measure was past a review line at the last visit.
    Review {
        /// The visit.
        on: NaiveDate,
        /// The measure and whom it tells.
        due: ReviewDue,
    },
    /// The day lies beyond the library.
    BeyondLibrary {
        /// The last day it covers.
        last_day: Day,
    },
}

/// How a sheet stands that ends soon or has ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SheetState {
    /// It ends soon.
    Ends {
        /// Its last day, included.
        until: NaiveDate,
        /// Days left; 0 is today.
        days: i64,
    },
    /// It has ended and runs on the days given for a visit that slips.
    Slips {
        /// Its last day.
        ended: NaiveDate,
        /// Last of the days given, included.
        until: NaiveDate,
    },
    /// It and the days for a slipped visit are over: nothing stands.
    Over {
        /// The last day it stood.
        ended: NaiveDate,
        /// Whole days ago.
        days: i64,
    },
}

/// What asks for somebody about an order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum OrderState {
    /// Nobody knows yet when it ends; the surgeon was asked.
    Asked {
        /// Ordered on.
        on: NaiveDate,
    },
    /// It ends soon.
    Ends {
        /// Its last day, included.
        until: NaiveDate,
        /// Days left; 0 is today.
        days: i64,
    },
    /// It has ended since the last sheet, which still holds to it.
    Ended {
        /// Its last day.
        until: NaiveDate,
        /// The sheet.
        sheet: i64,
    },
}

/// Something about the clinic's own papers, the same for all its records.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(tag = "warning", rename_all = "kebab-case")]
pub enum ClinicWarning {
    /// The clinic has adopted no library.
    NotAdopted,
    /// The library is not the one that was adopted.
    LibraryChanged {
        /// Who adopted the other one.
        by: String,
        /// When.
        on: NaiveDate,
    },
    /// The adopted library was to be read again.
    LibraryReviewPast {
        /// By this day.
        due: NaiveDate,
    },
    /// The clinic's own file is marked as due or expired.
    Document {
        /// As declared.
        state: DocumentState,
    },
    /// The clinic's own file was to be read again.
    DocumentReviewPast {
        /// By this day.
        due: NaiveDate,
    },
    /// A surgeon's standing orders were to be read again.
    StandingReviewPast {
        /// Whose.
        surgeon: SurgeonId,
        /// By this day.
        due: NaiveDate,
    },
}
