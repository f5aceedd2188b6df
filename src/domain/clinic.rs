//! A clinic's own file: who it is, how it prints, its standing orders and usual sets.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::ids::{ClinicId, ExerciseId, ProcedureId, SetId, SurgeonId};
use super::quantity::{DayMinutes, Days, Items};
use super::record::Order;
use super::source::Decision;
use super::time::Window;
use super::word::{DocumentState, Optional, Paper};

/// Telephone numbers by level of action.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Phones {
    /// For the same day, while open.
    pub same_day: String,
    /// When closed.
    pub closed: String,
}

/// State of a controlled document.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Control {
    /// As declared.
    pub state: DocumentState,
    /// By whom.
    pub by: String,
    /// Since when.
    pub on: NaiveDate,
    /// When it must be read again.
    pub review_due: NaiveDate,
}

/// The built-in library a clinic has read and takes on.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Adopted {
    /// Its digest, `sha256:` and 64 hex digits.
    pub library: String,
    /// By whom.
    pub by: String,
    /// When.
    pub on: NaiveDate,
    /// When it must be read again.
    pub review_due: NaiveDate,
}

/// One surgeon's standing orders for one procedure.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct StandingOrders {
    /// Whose.
    pub surgeon: SurgeonId,
    /// For which operation.
    pub procedure: ProcedureId,
    /// Orders with the days they are for.
    pub orders: Vec<(Window, Order)>,
    /// When they must be read again.
    pub review_due: NaiveDate,
}

/// A named set of exercises the clinic usually gives.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct UsualSet {
    /// Its id.
    pub id: SetId,
    /// For which operation.
    pub procedure: ProcedureId,
    /// For which days.
    pub window: Window,
    /// What is in it.
    pub exercises: Vec<ExerciseId>,
}

/// A value of the library that the clinic has replaced.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Replaced {
    /// The file, as seen from protocols/.
    pub path: String,
    /// The way to the value.
    pub at: String,
    /// The library's value, as written.
    pub was: String,
    /// The clinic's value, as written.
    pub now: String,
    /// Why, who and when.
    pub decision: Decision,
}

/// One clinic file.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Clinic {
    /// Its id, as records name it.
    pub id: ClinicId,
    /// Its name.
    pub name: String,
    /// Its numbers.
    pub phones: Phones,
    /// Its hours, as printed.
    pub hours: String,
    /// Local emergency number; there is no default.
    pub emergency: Option<String>,
    /// Paper.
    pub paper: Paper,
    /// Language tag.
    pub language: String,
    /// Items of a sheet.
    pub items: Items,
    /// Minutes of exercise a day.
    pub minutes_a_day: DayMinutes,
    /// Days a sheet lives without a next visit.
    pub sheet_days: Days,
    /// Measures its clinicians are asked for besides the usual ones.
    pub also_ask: BTreeSet<Optional>,
    /// State of the clinic's own files.
    pub status: Control,
    /// The library it takes on.
    pub adopted: Option<Adopted>,
    /// Standing orders.
    pub standing_orders: Vec<StandingOrders>,
    /// Usual sets.
    pub usual_sets: Vec<UsualSet>,
    /// Values it has replaced in the files of this library.
    pub replaced: Vec<Replaced>,
}
